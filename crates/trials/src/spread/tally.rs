//! What a study adds up to, trial by trial, in memory that does not grow with their number.

use std::collections::BTreeMap;

use super::figure_tally::{FigureTally, Statistics};
use super::study::Study;
use super::wilson::Probability;
use crate::row::{Row, figures_of};
use crate::trial::Ended;
use tautleaf_physics::Figure;

/// Sums over the trials of a study, added in the order of their indices.
#[derive(Clone, Debug)]
pub struct Tally {
    figures: Vec<(Figure, FigureTally)>,
    margins: Vec<FigureTally>,
    counts: Counts,
    checkpoints: Vec<Counts>,
}

/// How often each thing was so, up to some trial.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Counts {
    trials: u64,
    unfinished: u64,
    not_built: u64,
    /// Trials that broke no limit, by the limits that they did not judge: what no trial judges is not counted, and
    /// which those are shows at the end.
    kept_all: BTreeMap<Vec<usize>, u64>,
    /// Of each limit: kept, over.
    limits: Vec<(u64, u64)>,
}

/// What a study found.
#[derive(Clone, Debug, PartialEq)]
pub struct Findings {
    /// Trials that were run.
    pub trials: u64,
    /// Those in which the door did not open and close.
    pub unfinished: u64,
    /// Those whose numbers make no door that can be built.
    pub not_built: u64,
    /// That every limit which may fail a door is kept, and that the door opens and closes.
    pub keeps_all: Probability,
    /// Of each limit of the bench.
    pub limits: Vec<LimitFindings>,
    /// Of each figure that some trial gave.
    pub figures: Vec<(Figure, Statistics)>,
    /// How the probabilities came to stand, after more and more trials; the last is after all.
    pub convergence: Vec<Checkpoint>,
}

/// What a study found of one limit.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitFindings {
    /// That it is kept. A trial in which it could not be judged counts as one that does not keep it, unless it could
    /// be judged in none: then `kept.of` is 0.
    pub kept: Probability,
    /// Trials in which it was over.
    pub over: u64,
    /// Trials in which it was not judged.
    pub not_judged: u64,
    /// The fraction of the allowed value that is left.
    pub margin: Option<Statistics>,
}

/// The probabilities after so many trials.
#[derive(Clone, Debug, PartialEq)]
pub struct Checkpoint {
    /// Trials so far.
    pub trials: u64,
    /// That every limit is kept.
    pub keeps_all: Probability,
    /// That each limit is kept.
    pub limits: Vec<Probability>,
}

impl Tally {
    /// Of no trial yet.
    pub fn new(study: &Study) -> Self {
        let tally = || FigureTally::new(study.inputs.len());
        let limits = study.bench.criteria.limits.len();
        let counts = Counts {
            trials: 0,
            unfinished: 0,
            not_built: 0,
            kept_all: BTreeMap::new(),
            limits: vec![(0, 0); limits],
        };
        Self {
            figures: figures_of(&study.bench).into_iter().map(|figure| (figure, tally())).collect(),
            margins: (0..limits).map(|_| tally()).collect(),
            counts,
            checkpoints: Vec::new(),
        }
    }

    /// One more trial of the study, the next by its index.
    pub fn add(&mut self, study: &Study, row: &Row) {
        let shares = study.shares(row.index);
        let counts = &mut self.counts;
        counts.trials += 1;
        counts.unfinished += u64::from(row.trial.ended == Ended::Unfinished);
        counts.not_built += u64::from(row.trial.ended == Ended::NotBuilt);
        if let Some(unjudged) = study.bench.unjudged(&row.trial) {
            *counts.kept_all.entry(unjudged).or_default() += 1;
        }
        for (figure, tally) in &mut self.figures {
            if let Some(value) = row.trial.get(*figure) {
                tally.add(value, &shares);
            }
        }
        for (n, judged) in row.trial.judged.iter().enumerate() {
            counts.limits[n].0 += u64::from(judged.kept == Some(true));
            counts.limits[n].1 += u64::from(judged.kept == Some(false));
            if let Some(margin) = judged.margin {
                self.margins[n].add(margin, &shares);
            }
        }
        if is_checkpoint(counts.trials) {
            self.checkpoints.push(counts.clone());
        }
    }

    /// Trials so far.
    pub fn trials(&self) -> u64 {
        self.counts.trials
    }

    /// What the trials so far say.
    pub fn findings(&self) -> Findings {
        let counts = &self.counts;
        let limits = (0..counts.limits.len()).map(|n| {
            let (kept, over) = counts.limits[n];
            LimitFindings {
                kept: counts.kept(n, kept + over > 0),
                over,
                not_judged: counts.trials - kept - over,
                margin: self.margins[n].statistics(),
            }
        });
        let last = Some(counts).filter(|counts| !is_checkpoint(counts.trials) && counts.trials > 0);
        Findings {
            trials: counts.trials,
            unfinished: counts.unfinished,
            not_built: counts.not_built,
            keeps_all: self.keeps_all(counts),
            limits: limits.collect(),
            figures: self
                .figures
                .iter()
                .filter_map(|(figure, tally)| Some((*figure, tally.statistics()?)))
                .collect(),
            convergence: self.checkpoints.iter().chain(last).map(|at| self.checkpoint(at)).collect(),
        }
    }

    /// Whether some trial judged a limit.
    fn ever_judged(&self, limit: usize) -> bool {
        let (kept, over) = self.counts.limits[limit];
        kept + over > 0
    }

    /// How many trials kept every limit that any trial judged.
    fn keeps_all(&self, at: &Counts) -> Probability {
        let whole = |unjudged: &Vec<usize>| unjudged.iter().all(|&n| !self.ever_judged(n));
        let times = at.kept_all.iter().filter(|(unjudged, _)| whole(unjudged)).map(|(_, times)| times).sum();
        Probability::counted(times, at.trials)
    }

    fn checkpoint(&self, at: &Counts) -> Checkpoint {
        let ever_judged = |n: usize| self.ever_judged(n);
        Checkpoint {
            trials: at.trials,
            keeps_all: self.keeps_all(at),
            limits: (0..at.limits.len()).map(|n| at.kept(n, ever_judged(n))).collect(),
        }
    }
}

impl Counts {
    fn kept(&self, limit: usize, ever_judged: bool) -> Probability {
        Probability::counted(self.limits[limit].0, if ever_judged { self.trials } else { 0 })
    }
}

/// 10, 20, 50, 100, 200, 500, ...: some twenty of them up to ten million.
fn is_checkpoint(trials: u64) -> bool {
    let mut leading = trials;
    let mut tens = 0;
    while leading >= 10 && leading.is_multiple_of(10) {
        leading /= 10;
        tens += 1;
    }
    tens > 0 && matches!(leading, 1 | 2 | 5)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checkpoints_come_three_in_a_decade() {
        let found: Vec<u64> = (0..=5000).filter(|&trials| is_checkpoint(trials)).collect();
        assert_eq!(found, [10, 20, 50, 100, 200, 500, 1000, 2000, 5000]);
    }
}
