//! Flags and help of the subcommands that run many trials.

use std::path::{Path, PathBuf};

use clap::Args;
use tautleaf_trials::spread::{MOST_RUNS, Sampling, USUAL_RUNS};
use tautleaf_trials::{Criteria, Reserve, Sure, cores, tune};

use crate::failure::Failure;
use crate::input::is_dash;

/// Refuses two outputs on one file.
pub(crate) fn each_its_own<'a>(outs: impl Iterator<Item = &'a Path>) -> Result<(), Failure> {
    let mut seen: Vec<&Path> = Vec::new();
    for out in outs {
        if seen.contains(&out) {
            return Err(Failure::SameOutput { path: out.to_owned() });
        }
        seen.push(out);
    }
    Ok(())
}

/// How much of each limit is to be left.
#[derive(Clone, Debug, Default, Args)]
pub(crate) struct ReserveArg {
    /// Share of each limit that has to be left, such as "15 %"; left out: limits.close_margin of the door file, 10 % without
    #[arg(long, value_name = "SHARE", value_parser = reserve)]
    reserve: Option<Reserve>,
}

impl ReserveArg {
    /// What was asked for, or else what the criteria of a door go with.
    pub fn or_of(&self, criteria: &Criteria) -> Reserve {
        self.reserve.unwrap_or_else(|| criteria.reserve())
    }
}

fn reserve(text: &str) -> Result<Reserve, String> {
    let wrong = || {
        let most = 100.0 * Reserve::MOST;
        format!("write a share such as 10 %, or 0.1; from 0 % to {most:.0} %")
    };
    share(text).and_then(Reserve::of).ok_or_else(wrong)
}

/// How surely everything is to be kept.
#[derive(Clone, Debug, Args)]
pub(crate) struct SureArgs {
    /// How likely all limits together are to be kept, such as "95 %"; left out: this very door keeps them
    #[arg(long, value_name = "P", value_parser = probability)]
    pub probability: Option<f64>,
    /// How many doors are drawn to see how likely that is
    #[arg(long, value_name = "N", default_value_t = tune::USUAL_RUNS, value_parser = clap::value_parser!(u64).range(20..=10_000))]
    pub runs: u64,
    /// Seed of the draws
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
}

impl SureArgs {
    /// What was asked for.
    pub fn wanted(&self) -> Option<Sure> {
        let of = |probability| Sure { probability, runs: self.runs, seed: self.seed, threads: cores() };
        self.probability.map(of)
    }
}

fn probability(text: &str) -> Result<f64, String> {
    let wrong = || "write a probability such as 95 %, or 0.95, below 1".to_owned();
    let share = share(text).ok_or_else(wrong)?;
    if share > 0.0 && share < 1.0 { Ok(share) } else { Err(wrong()) }
}

/// `95 %` or `0.95` as 0.95.
pub(crate) fn share(text: &str) -> Option<f64> {
    match text.trim().strip_suffix('%') {
        Some(percent) => Some(percent.trim().parse::<f64>().ok()? / 100.0),
        None => text.trim().parse().ok(),
    }
}

/// Files of many trials.
#[derive(Clone, Debug, Default, Args)]
pub(crate) struct TrialOuts {
    /// Write every run as a row of CSV, SI; where it is from stands in the first line, behind a #
    #[arg(long, value_name = "OUT")]
    pub csv: Option<PathBuf>,
    /// Answer with one JSON object, to standard output or a file
    #[arg(long, value_name = "OUT", num_args = 0..=1, default_missing_value = "-")]
    pub json: Option<PathBuf>,
    /// Write every run as a row of Parquet, SI; where it is from stands in its metadata
    #[arg(long, value_name = "OUT")]
    pub parquet: Option<PathBuf>,
}

impl TrialOuts {
    /// Those that were asked for.
    pub fn all(&self) -> impl Iterator<Item = &PathBuf> {
        [&self.csv, &self.json, &self.parquet].into_iter().flatten()
    }

    /// Whether something other than text goes to standard output.
    pub fn takes_output(&self) -> bool {
        self.all().any(|path| is_dash(path))
    }

    /// At most one answers on standard output, and none writes over another.
    pub fn check(&self) -> Result<(), Failure> {
        if self.all().filter(|path| is_dash(path)).count() > 1 {
            return Err(Failure::TwoAnswers);
        }
        each_its_own(self.all().map(PathBuf::as_path))
    }
}

const SPREAD_EXAMPLES: &str = "\
Examples:
  tautleaf spread shop.toml
  tautleaf spread shop.toml --runs 10000 --csv runs.csv      every run as a row
  tautleaf spread shop.toml --sampling sobol --runs 1024     evenly filling draws; powers of two suit them
  tautleaf spread shop.toml --runs 10000 --part 2/5 --csv part-2.csv
  tautleaf gather part-*.csv                                 the same as one run of all

Sections [[spread]] of the door file say how a number spreads:
  key = \"leaf.mass\"   shape = \"normal\"       deviation = \"2 kg\"    mean left out: the door's own value
                       shape = \"uniform\"      from, to
                       shape = \"triangular\"   from, to, and peak, or else the door's own value
                       shape = \"fixed\"        does not spread;   least, most: cut off what lies beyond
What is never known on site spreads by default: rolling resistance, brush, belt tension, edge
stiffness, level, leaf mass, temperatures. The answer lists it with its source.

A run is a pure function of door file, seed and index: threads and parts change nothing.

Exit code: 0 done, 2 could not run, 130 stopped with Ctrl-C, what was done is kept.";

#[derive(Debug, Args)]
#[command(after_help = SPREAD_EXAMPLES)]
pub(crate) struct SpreadArgs {
    /// Door file; - reads standard input
    pub file: PathBuf,
    /// How many doors are drawn
    #[arg(long, value_name = "N", default_value_t = USUAL_RUNS, value_parser = clap::value_parser!(u64).range(1..=MOST_RUNS))]
    pub runs: u64,
    /// Seed of the draws
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
    /// How numbers are drawn: random, or sobol for draws that fill the space evenly
    #[arg(long, value_name = "HOW", default_value = "random", value_parser = sampling)]
    pub sampling: Sampling,
    /// Only part K of N, for `tautleaf gather`
    #[arg(long, value_name = "K/N", value_parser = part, requires = "csv", conflicts_with_all = ["json", "parquet"])]
    pub part: Option<(u64, u64)>,
    /// Leave the force test out: limits on closing force are not judged
    #[arg(long)]
    pub no_force_test: bool,
    /// Threads to run on; left out: one for each core
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    #[command(flatten)]
    pub outs: TrialOuts,
}

fn sampling(text: &str) -> Result<Sampling, String> {
    let known = Sampling::WORDS.iter().find(|(word, _)| *word == text);
    known.map(|(_, sampling)| *sampling).ok_or_else(|| "write random or sobol".to_owned())
}

fn part(text: &str) -> Result<(u64, u64), String> {
    let numbers =
        text.split_once('/').and_then(|(part, parts)| Some((part.parse().ok()?, parts.parse().ok()?)));
    match numbers {
        Some((part, parts)) if 1 <= part && part <= parts && parts <= 1_000_000 => Ok((part, parts)),
        _ => Err("write which part of how many, such as 2/5".to_owned()),
    }
}

const SWEEP_EXAMPLES: &str = "\
Examples:
  tautleaf sweep shop.toml --over \"closing.speed=0.2..0.5 m/s\"
  tautleaf sweep shop.toml --over \"closing.speed=0.2..0.5 m/s:7\" --over \"leaf.mass=60..160 kg:6\"
  tautleaf sweep shop.toml --over \"belt.tension=100..500 N:41\" --svg tension.svg --csv tension.csv

Any number of the door file can be swept by its key, obstacle.gap and force.1.drag included. Left
out, there are 11 values of one number, or 7 of each of two.

Exit code: 0 done, 2 could not run, 130 stopped with Ctrl-C, what was done is kept.";

#[derive(Debug, Args)]
#[command(after_help = SWEEP_EXAMPLES)]
pub(crate) struct SweepArgs {
    /// Door file; - reads standard input
    pub file: PathBuf,
    /// Key and range, with units, and how many values; once or twice
    #[arg(long, value_name = "KEY=FROM..TO[:N]", required = true)]
    pub over: Vec<String>,
    /// Write a picture: curves over one number, a map over two
    #[arg(long, value_name = "OUT")]
    pub svg: Option<PathBuf>,
    /// Leave the force test out: limits on closing force are not judged
    #[arg(long)]
    pub no_force_test: bool,
    /// Threads to run on; left out: one for each core
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    #[command(flatten)]
    pub outs: TrialOuts,
}

const GATHER_EXAMPLES: &str = "\
Examples:
  tautleaf gather part-*.csv
  tautleaf gather part-*.csv --csv runs.csv --json result.json

Parts come from `tautleaf spread FILE --part K/N --csv OUT`, on this machine or others. Door file, seed
and numbers stand in them; what is missing, or does not belong, is refused. The result is the same
to the byte as that of one run.

Exit code: 0 done, 2 could not run.";

#[derive(Debug, Args)]
#[command(after_help = GATHER_EXAMPLES)]
pub(crate) struct GatherArgs {
    /// Files of all parts, in any order
    #[arg(required = true)]
    pub parts: Vec<PathBuf>,
    #[command(flatten)]
    pub outs: TrialOuts,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_is_one_of_those_that_there_are() {
        assert_eq!(part("2/5"), Ok((2, 5)));
        for wrong in ["0/5", "6/5", "2", "a/b", "1/0", "-1/3"] {
            assert!(part(wrong).is_err(), "{wrong}");
        }
    }
}
