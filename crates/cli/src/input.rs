//! Door files from disk or from standard input.

use std::io::Read;
use std::path::Path;

use tautleaf_scenario::{FileProblem, LARGEST_FILE, ReadError, Scenario, parse_bytes};

use crate::failure::Failure;

/// What problems call standard input.
const STANDARD_INPUT: &str = "standard-input";

/// Whether a path stands for standard input or output.
pub(crate) fn is_dash(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// Reads a door file; `-` is standard input.
pub(crate) fn scenario(path: &Path) -> Result<Scenario, Failure> {
    if !is_dash(path) {
        return Ok(tautleaf_scenario::read(path)?);
    }
    let mut bytes = Vec::new();
    std::io::stdin().lock().take(LARGEST_FILE + 1).read_to_end(&mut bytes).map_err(Failure::Input)?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(too_large().into());
    }
    Ok(parse_bytes(&bytes, STANDARD_INPUT)?)
}

fn too_large() -> ReadError {
    let problem = FileProblem {
        file: STANDARD_INPUT.to_owned(),
        line: None,
        key: String::new(),
        found: "this is too long for a door file".to_owned(),
        would_do: "a door file has at most 1 MiB".to_owned(),
    };
    ReadError { problems: vec![problem] }
}
