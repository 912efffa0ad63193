//! What a study adds up to, trial by trial, in memory that does not grow with their number.

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
    kept_all: u64,
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
        let limits = study.bench.limits.len();
        let counts =
            Counts { trials: 0, unfinished: 0, not_built: 0, kept_all: 0, limits: vec![(0, 0); limits] };
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
        counts.kept_all += u64::from(study.bench.keeps_all(&row.trial));
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
            keeps_all: Probability::counted(counts.kept_all, counts.trials),
            limits: limits.collect(),
            figures: self
                .figures
                .iter()
                .filter_map(|(figure, tally)| Some((*figure, tally.statistics()?)))
                .collect(),
            convergence: self.checkpoints.iter().chain(last).map(|at| self.checkpoint(at)).collect(),
        }
    }

    fn checkpoint(&self, at: &Counts) -> Checkpoint {
        let ever_judged = |n: usize| self.counts.limits[n].0 + self.counts.limits[n].1 > 0;
        Checkpoint {
            trials: at.trials,
            keeps_all: Probability::counted(at.kept_all, at.trials),
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
