//! `tautleaf new`: a door file to start from.

use std::fs::File;
use std::io::{ErrorKind, Write};

use crate::args::NewArgs;
use crate::ended::Ended;
use crate::failure::Failure;
use crate::output::Output;

pub(crate) fn run(args: &NewArgs, output: &mut Output) -> Result<Ended, Failure> {
    let text = tautleaf_scenario::commented();
    let Some(path) = &args.file else {
        output.data(text.as_bytes())?;
        return Ok(Ended::Well);
    };
    let created = if args.force { File::create(path) } else { File::create_new(path) };
    created.and_then(|mut file| file.write_all(text.as_bytes())).map_err(|source| match source.kind() {
        ErrorKind::AlreadyExists => Failure::IsThere { path: path.clone() },
        _ => Failure::Write { path: path.clone(), source },
    })?;
    output.note(&format!("wrote {}", path.display()));
    Ok(Ended::Well)
}
