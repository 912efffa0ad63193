//! Flags of `tautleaf tune`.

use std::path::PathBuf;

use clap::Args;
use tautleaf_trials::tune::Goal;

use crate::trial_args::{ReserveArg, SureArgs};

const TUNE_EXAMPLES: &str = "\
Examples:
  tautleaf tune shop.toml                                   the shortest cycle, this very door
  tautleaf tune shop.toml --probability \"95 %\"             limits kept in 95 of 100 such doors
  tautleaf tune shop.toml --goal calmest --json
  tautleaf tune shop.toml --out tuned.toml                  and the door file with the settings
  tautleaf tune shop.toml --reserve \"20 %\"                  a fifth of each limit left, not a tenth

Speeds, ramps, current limits and belt tension are tuned; no strand may go slack, and a tenth of each limit
that may fail the door is left, or what --reserve says. Where that cannot be, the answer says what has less. The answer says what holds it
back, and what more margin of energy and force costs in time. With a probability the door is drawn as by
`tautleaf spread`, and the promise is counted in doors that the tuning did not see.

Exit code: 0 every limit is kept, 1 no settings were found that do, 2 could not run, 130 stopped with Ctrl-C.";

#[derive(Debug, Args)]
#[command(after_help = TUNE_EXAMPLES)]
pub(crate) struct TuneArgs {
    /// Door file; - reads standard input
    pub file: PathBuf,
    /// What for: fastest, calmest (least jerk) or coolest (least RMS current); left out: fastest, or calmest where no limit says
    /// how hard the door may hit
    #[arg(long, value_name = "GOAL", value_parser = goal)]
    pub goal: Option<Goal>,
    #[command(flatten)]
    pub reserve: ReserveArg,
    #[command(flatten)]
    pub sure: SureArgs,
    /// Threads to run on; left out: one for each core
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    /// Answer with one JSON object, SI units in the names
    #[arg(long)]
    pub json: bool,
    /// Write the door file with the settings that were found; limits, ratings and comments stay
    #[arg(long, value_name = "OUT")]
    pub out: Option<PathBuf>,
}

fn goal(text: &str) -> Result<Goal, String> {
    let known = Goal::WORDS.iter().find(|(word, _)| *word == text);
    known.map(|(_, goal)| *goal).ok_or_else(|| "write fastest, calmest or coolest".to_owned())
}
