//! Door files and catalogue files from disk or from standard input.

use std::io::Read;
use std::path::Path;

use tautleaf_scenario::{
    FileProblem, LARGEST_FILE, ReadError, Scenario, parse_bytes, parse_catalogue, read_catalogue,
};
use tautleaf_trials::choose::Catalogue;

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
    Ok(parse_bytes(&standard_input()?, STANDARD_INPUT)?)
}

/// Reads a catalogue file; `-` is standard input.
pub(crate) fn catalogue(path: &Path) -> Result<Catalogue, Failure> {
    if !is_dash(path) {
        return Ok(read_catalogue(path)?);
    }
    let text = String::from_utf8(standard_input()?).map_err(|_| {
        refused("this is no text in UTF-8", "write a catalogue file of text in TOML, saved as UTF-8")
    })?;
    Ok(parse_catalogue(&text, STANDARD_INPUT)?)
}

fn standard_input() -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    std::io::stdin().lock().take(LARGEST_FILE + 1).read_to_end(&mut bytes).map_err(Failure::Input)?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(refused("this is too long for a door file", "a door file has at most 1 MiB").into());
    }
    Ok(bytes)
}

fn refused(found: &str, would_do: &str) -> ReadError {
    let problem = FileProblem {
        file: STANDARD_INPUT.to_owned(),
        line: None,
        key: String::new(),
        entry: None,
        found: found.to_owned(),
        would_do: would_do.to_owned(),
    };
    ReadError { problems: vec![problem] }
}
