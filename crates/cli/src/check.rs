//! `tautleaf check`: everything that is wrong or unusual in door files.

use std::fmt::Write;

use crate::args::CheckArgs;
use crate::ended::Ended;
use crate::failure::Failure;
use crate::input;
use crate::output::Output;

pub(crate) fn run(args: &CheckArgs, output: &mut Output) -> Result<Ended, Failure> {
    let mut ended = Ended::Well;
    for file in &args.files {
        match fine(file) {
            Ok(answer) => output.answer(&answer)?,
            Err(failure) => {
                output.complain(&failure.to_string());
                ended = Ended::CouldNotRun;
            }
        }
    }
    Ok(ended)
}

/// What to say of a file that can be run.
fn fine(file: &std::path::Path) -> Result<String, Failure> {
    let scenario = input::scenario(file)?;
    let door = scenario.door()?;
    let warnings = scenario.warnings(&door);
    let count = match warnings.len() {
        0 => String::new(),
        1 => ", with a warning".to_owned(),
        more => format!(", with {more} warnings"),
    };
    let mut answer = format!("{}: fine{count}\n", scenario.origin.file);
    for warning in warnings {
        let _ = writeln!(answer, "warning: {warning}");
    }
    Ok(answer)
}
