//! Name and version of the program and schema of the JSON, as results say them.

/// Name of the program, as results say it.
pub const PROGRAM: &str = "tautleaf";
/// Version of the program, as results say it.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");
/// Schema of the JSON that is written here.
pub const RESULT_SCHEMA: u32 = 1;
