//! The subcommands. The only place that prints and that knows exit codes.
//!
//! Exit code 0: done, and no limit is over. 1: a limit is over, or could not be judged because the door did not open
//! and close. 2: could not run. 130: stopped with Ctrl-C, what was done is kept.

mod advise;
mod args;
mod belt;
mod catalogue;
mod check;
mod choose;
mod choose_args;
mod ended;
mod failure;
mod force;
mod gather;
mod hang;
mod input;
mod limits;
mod new;
mod output;
mod resolve;
mod run;
mod spread;
mod stop;
mod sweep;
mod tones;
mod trial_args;
mod trial_files;
mod tune;
mod tune_args;

use std::error::Error;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Parser;

use args::{Arguments, Command, OpenArgs};
use ended::Ended;
use failure::Failure;
use output::Output;

/// Runs the program with these arguments, the first of which is its own name.
///
/// `window` opens the window, with a door file or without, and returns when it is closed.
pub fn main_with<E: Error + 'static>(
    args: impl IntoIterator<Item = OsString>,
    window: impl FnOnce(Option<PathBuf>) -> Result<(), E>,
) -> ExitCode {
    let mut output = Output::default();
    let args: Vec<OsString> = args.into_iter().collect();
    // A file alone, as a desktop opens it.
    let file = args.get(1).filter(|file| args.len() == 2 && Path::new(file).is_file()).map(PathBuf::from);
    let arguments = match Arguments::try_parse_from(args) {
        Ok(arguments) => arguments,
        Err(_) if file.is_some() => Arguments { command: Some(Command::Open(OpenArgs { file })) },
        Err(asked_for_help_or_wrong) => return output.usage(&asked_for_help_or_wrong),
    };
    let ended = match arguments.command {
        None => open(window, None),
        Some(Command::Open(open_args)) => open(window, open_args.file),
        Some(Command::Run(run_args)) => run::run(&run_args, &mut output),
        Some(Command::Force(force_args)) => force::run(&force_args, &mut output),
        Some(Command::Belt(belt_args)) => belt::run(&belt_args, &mut output),
        Some(Command::Hang(hang_args)) => hang::run(&hang_args, &mut output),
        Some(Command::Tones(tones_args)) => tones::run(&tones_args, &mut output),
        Some(Command::Advise(advise_args)) => advise::run(&advise_args, &mut output),
        Some(Command::Spread(spread_args)) => spread::run(&spread_args, &mut output),
        Some(Command::Tune(tune_args)) => tune::run(&tune_args, &mut output),
        Some(Command::Sweep(sweep_args)) => sweep::run(&sweep_args, &mut output),
        Some(Command::Gather(gather_args)) => gather::run(&gather_args, &mut output),
        Some(Command::Choose(choose_args)) => choose::run(&choose_args, &mut output),
        Some(Command::Catalogue(catalogue_args)) => catalogue::run(&catalogue_args, &mut output),
        Some(Command::Check(check_args)) => check::run(&check_args, &mut output),
        Some(Command::New(new_args)) => new::run(&new_args, &mut output),
        Some(Command::Resolve(resolve_args)) => resolve::run(&resolve_args, &mut output),
        Some(Command::Limits(limits_args)) => limits::run(&limits_args, &mut output),
    };
    match ended {
        Ok(ended) => ended.into(),
        Err(failure) => {
            output.complain(&failure.to_string());
            Ended::CouldNotRun.into()
        }
    }
}

fn open<E: Error + 'static>(
    window: impl FnOnce(Option<PathBuf>) -> Result<(), E>,
    file: Option<PathBuf>,
) -> Result<Ended, Failure> {
    window(file).map(|()| Ended::Well).map_err(|error| Failure::NoWindow(Box::new(error)))
}
