//! tautleaf
fn main() {}
