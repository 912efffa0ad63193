//! Why a command could not run.

use std::error::Error;
use std::io;
use std::path::PathBuf;

use tautleaf_report::resolved::ResolveError;
use tautleaf_report::rows::{PartError, RowsError};
use tautleaf_report::svg::DrawError;
use tautleaf_report::{ForceTestError, SurelyError};
use tautleaf_scenario::{OverError, ReadError};
use tautleaf_trials::SweepError;
use tautleaf_trials::tune::TuneError;

/// Why a command could not run, in words that say what to change.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Failure {
    #[error(transparent)]
    Read(#[from] ReadError),
    #[error("standard input cannot be read: {0}")]
    Input(io::Error),
    #[error(transparent)]
    Gap(#[from] ForceTestError),
    #[error(transparent)]
    Resolve(#[from] ResolveError),
    #[error(transparent)]
    Draw(#[from] DrawError),
    #[error(transparent)]
    Surely(#[from] SurelyError),
    #[error("the course of the run could not be written as CSV: {0}")]
    Csv(#[from] tautleaf_report::samples::WriteError),
    #[error("the result could not be written as JSON: {0}")]
    Json(#[from] serde_json::Error),
    #[error("{path}: not written: {source}; check that the folder exists, can be written and has room", path = .path.display())]
    Write { path: PathBuf, source: io::Error },
    #[error("{path}: not written: {source}; check that it can be written and has room", path = .path.display())]
    Rows { path: PathBuf, source: RowsError },
    #[error(transparent)]
    Part(#[from] PartError),
    #[error("--over {0}")]
    Over(#[from] OverError),
    #[error("--over: {0}")]
    Sweep(#[from] SweepError),
    #[error(transparent)]
    Tune(TuneError),
    #[error("--over is given {0} times; a sweep is over one number or two")]
    TooManyAxes(usize),
    #[error("Ctrl-C cannot be listened for: {0}")]
    CtrlC(#[from] ctrlc::Error),
    #[error("{path}: not written, because it is the door file; name another file", path = .path.display())]
    OverTheDoorFile { path: PathBuf },
    #[error("{path}: not written, because it is one of the parts; name another file", path = .path.display())]
    OverAPart { path: PathBuf },
    #[error("{path}: not written, because it is there already; name another file, or add --force", path = .path.display())]
    IsThere { path: PathBuf },
    #[error("{path}: two outputs cannot share one file; name another for one of them", path = .path.display())]
    SameOutput { path: PathBuf },
    #[error("--json, --csv -, --svg - and --parquet - all answer on standard output; use one of them")]
    TwoAnswers,
    #[error("standard output cannot be written: {0}")]
    Output(io::Error),
    #[error("{} {what} \"{name}\"; {known}", if *.several { "more than one" } else { "there is no" })]
    NotOne { what: &'static str, name: String, several: bool, known: String },
    #[error("--voltage: no drive of the catalogue is for a bus of {voltage}; there are {known}")]
    NoVoltage { voltage: String, known: String },
    #[error("{0}")]
    NoDriveLeft(String),
    #[error("no drive does, so that {path} was not written; the answer says what each is short of", path = .path.display())]
    NothingToWrite { path: PathBuf },
    #[error(
        "--take {take}: only {there} can be taken, so that nothing was written; name a number of the list"
    )]
    NoSuchNumber { take: usize, there: usize },
    #[error("nothing is proposed, so that {path} was not written; the answer says what is over", path = .path.display())]
    NothingTuned { path: PathBuf },
    #[error("there is no preset \"{name}\"; there are {known}")]
    NoPreset { name: String, known: String },
    #[error("{0}\n`tautleaf --help` lists what works without a window")]
    NoWindow(Box<dyn Error>),
}
