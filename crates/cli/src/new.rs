//! `tautleaf new`: a door file to start from.

use std::fs::File;
use std::io::{ErrorKind, Write};
use std::path::Path;

use crate::args::NewArgs;
use crate::ended::Ended;
use crate::failure::Failure;
use crate::output::Output;

pub(crate) fn run(args: &NewArgs, output: &mut Output) -> Result<Ended, Failure> {
    let text = tautleaf_scenario::commented();
    match &args.file {
        Some(path) => fresh(path, &text, args.force, output)?,
        None => output.data(text.as_bytes())?,
    }
    Ok(Ended::Well)
}

/// Writes a file that is not there yet, or with `force` over one that is.
pub(crate) fn fresh(path: &Path, text: &str, force: bool, output: &mut Output) -> Result<(), Failure> {
    let created = if force { File::create(path) } else { File::create_new(path) };
    created.and_then(|mut file| file.write_all(text.as_bytes())).map_err(|source| match source.kind() {
        ErrorKind::AlreadyExists => Failure::IsThere { path: path.to_owned() },
        _ => Failure::Write { path: path.to_owned(), source },
    })?;
    output.note(&format!("wrote {}", path.display()));
    Ok(())
}
