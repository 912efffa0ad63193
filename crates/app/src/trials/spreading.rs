//! The door drawn many times in the background, with what is never known on site spread.

use std::ops::ControlFlow;

use tautleaf_physics::Figure;
use tautleaf_trials::spread::{Findings, MOST_RUNS, Sampling, Study, Tally, USUAL_RUNS};
use tautleaf_trials::{Effort, cores, in_order};

use super::Made;
use crate::document::Document;
use crate::progress::Progress;

/// What is asked for, as it was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// How many doors are drawn.
    pub runs: String,
    /// Seed of the draws.
    pub seed: String,
}

impl Default for Asked {
    fn default() -> Self {
        Self { runs: USUAL_RUNS.to_string(), seed: "1".to_owned() }
    }
}

impl Asked {
    /// Runs and seed.
    ///
    /// # Errors
    /// What would do in their place.
    pub fn read(&self) -> Result<(u64, u64), String> {
        let (runs, seed) = (self.runs.trim(), self.seed.trim());
        let within = |runs: &u64| (1..=MOST_RUNS).contains(runs);
        let wrong = || format!("\"{runs}\" is no number of runs; write one from 1 to {MOST_RUNS}");
        let number = runs.parse().ok().filter(within).ok_or_else(wrong)?;
        let wrong = |_| format!("\"{seed}\" is no seed; write a whole number such as 1");
        Ok((number, seed.parse().map_err(wrong)?))
    }
}

/// What a study of a door found.
pub struct Spread {
    /// The door that it belongs to.
    pub made: Made,
    /// What was drawn and judged.
    pub study: Study,
    /// What was found.
    pub findings: Findings,
    /// Runs that were asked for; fewer were made where it was stopped.
    pub wanted: u64,
}

impl Spread {
    /// The figures that differ from run to run.
    pub fn figures(&self) -> impl Iterator<Item = Figure> {
        self.findings.figures.iter().filter(|(_, found)| found.spreads()).map(|(figure, _)| *figure)
    }

    /// The figure that is looked at first: that of the limit with the least likelihood.
    pub fn first(&self) -> Option<Figure> {
        let limits = self.study.bench.criteria.limits.iter().zip(&self.findings.limits);
        let judged = limits.filter_map(|(limit, found)| Some((limit.figure?, found.kept.share()?)));
        let spreads = |(figure, _): &(Figure, f64)| self.figures().any(|one| one == *figure);
        let least = judged.filter(spreads).min_by(|a, b| a.1.total_cmp(&b.1)).map(|(figure, _)| figure);
        least.or(self.figures().next())
    }
}

/// How many runs are asked for of the door as it is now, and the work that makes them, until told to stop.
///
/// # Errors
/// Why the door, or something that spreads, cannot be, or what was typed cannot be read.
pub fn work(
    document: &Document,
    asked: &Asked,
) -> Result<(u64, impl FnOnce(&Progress) -> Spread + Send + use<>), String> {
    let (wanted, seed) = asked.read()?;
    let made = Made::of(document);
    let study = made.scenario().study(seed, Sampling::Random, Effort::WithImpact);
    let study = study.map_err(|error| error.to_string())?;
    let work = move |progress: &Progress| {
        let mut tally = Tally::new(&study);
        let run = |index| {
            let row = study.row(index);
            progress.step();
            row
        };
        in_order(0..wanted, cores(), progress.stops(), run, |_, row| {
            tally.add(&study, &row);
            ControlFlow::Continue(())
        });
        let findings = tally.findings();
        Spread { made, study, findings, wanted }
    };
    Ok((wanted, work))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(runs: &str, seed: &str) -> Result<(u64, u64), String> {
        Asked { runs: runs.to_owned(), seed: seed.to_owned() }.read()
    }

    #[test]
    fn runs_and_seed_are_whole_numbers_that_there_can_be() {
        assert_eq!(read(" 200", "7 "), Ok((200, 7)));
        for (runs, seed, part) in [
            ("0", "1", "write one from 1"),
            ("many", "1", "no number"),
            ("2000000000", "1", "from 1 to"),
            ("5", "x", "no seed"),
        ] {
            let wrong = read(runs, seed).expect_err("it cannot be");
            assert!(wrong.contains(part), "{wrong}");
        }
    }
}
