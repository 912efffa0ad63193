//! Standard output for the answer, standard error for everything else.

use std::io::{self, Write};
use std::path::Path;
use std::process::ExitCode;

use anstyle::{AnsiColor, Style};
use tautleaf_scenario::FileProblem;

use crate::failure::Failure;

const WARNING: Style = AnsiColor::Yellow.on_default().bold();
const ERROR: Style = AnsiColor::Red.on_default().bold();

/// Where a command says things. Colour only on a terminal, and not where `NO_COLOR` is set.
#[derive(Debug, Default)]
pub(crate) struct Output {}

impl Output {
    /// The answer, as text that may carry styles.
    pub fn answer(&mut self, text: &str) -> Result<(), Failure> {
        let mut out = anstream::stdout().lock();
        heard(out.write_all(text.as_bytes()).and_then(|()| out.flush()))
    }

    /// The answer, byte for byte.
    pub fn data(&mut self, bytes: &[u8]) -> Result<(), Failure> {
        let mut out = io::stdout().lock();
        heard(out.write_all(bytes).and_then(|()| out.flush()))
    }

    /// Something unusual.
    pub fn warn(&mut self, problems: &[FileProblem]) {
        for problem in problems {
            // whoever closes standard error does not want to hear
            let _ = writeln!(anstream::stderr(), "{WARNING}warning:{WARNING:#} {problem}");
        }
    }

    /// What was done, where the answer is not the output itself.
    pub fn note(&mut self, text: &str) {
        let _ = writeln!(anstream::stderr(), "{text}");
    }

    /// Why it could not run. A problem of a file begins with the file, so that editors find the line.
    pub fn complain(&mut self, text: &str) {
        let first = text.lines().next().unwrap_or_default();
        let names_a_place = first.split_once(": ").is_some_and(|(place, _)| !place.contains(' '));
        let prefix = if names_a_place { String::new() } else { format!("{ERROR}error:{ERROR:#} ") };
        let _ = writeln!(anstream::stderr(), "{prefix}{text}");
    }

    /// Help that was asked for, or what is wrong with the arguments.
    pub fn usage(&mut self, error: &clap::Error) -> ExitCode {
        let _ = error.print();
        ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(2))
    }

    /// A whole file, in the place of one that was there.
    pub fn file(&mut self, path: &Path, bytes: &[u8]) -> Result<(), Failure> {
        std::fs::write(path, bytes).map_err(|source| Failure::Write { path: path.to_owned(), source })
    }
}

/// A reader that has seen enough is no failure.
fn heard(written: io::Result<()>) -> Result<(), Failure> {
    match written {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other.map_err(Failure::Output),
    }
}
