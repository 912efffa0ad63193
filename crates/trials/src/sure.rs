//! How surely a door keeps everything: doors are drawn from what is never known on site, and counted.

use std::ops::ControlFlow;
use std::sync::atomic::AtomicBool;

use tautleaf_physics::Door;

use crate::assess::{Criteria, Effort};
use crate::spread::{Probability, Sampling, Spread, Study, Tally, Undrawable, inputs_of};
use crate::trial::Bench;

/// What is added to the reserve, one after the other, until what is proposed is as sure as is wanted. Judgement.
pub(crate) const MORE_RESERVE: [f64; 4] = [0.0, 0.05, 0.1, 0.2];

/// How surely everything is to be kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sure {
    /// The share of drawn doors that has to keep everything, above 0 and below 1.
    pub probability: f64,
    /// Doors that are drawn.
    pub runs: u64,
    /// Seed of the draws.
    pub seed: u64,
    /// Threads to run on.
    pub threads: usize,
}

impl Sure {
    /// How often all limits that may fail a door, and what a sound door keeps, are kept by doors that are drawn around this one.
    /// Fewer than were to be drawn: it was stopped.
    ///
    /// # Errors
    /// Every listed spread that cannot be drawn.
    pub fn count(
        &self,
        door: &Door,
        criteria: &Criteria,
        spreads: &[Spread],
        stop: &AtomicBool,
    ) -> Result<Probability, Undrawable> {
        let bench = Bench { criteria: criteria.with_soundness(), effort: Effort::MayFail };
        let study = Study::new(
            door,
            inputs_of(door, spreads).map_err(Undrawable)?,
            bench,
            self.seed,
            Sampling::Random,
        );
        let mut tally = Tally::new(&study);
        study.run(0..self.runs, self.threads, stop, |row| {
            tally.add(&study, &row);
            ControlFlow::Continue(())
        });
        Ok(tally.findings().keeps_all)
    }

    /// Whether a count of all that were to be drawn is as sure as it has to be.
    pub fn is_met(&self, counted: &Probability) -> bool {
        counted.of >= self.runs && counted.share().is_some_and(|share| share >= self.probability)
    }
}

/// How surely what is proposed keeps everything.
#[derive(Clone, Debug, PartialEq)]
pub struct Surely {
    /// What was asked for.
    pub wanted: Sure,
    /// Of what is proposed first, and what follows it.
    pub kept: Vec<Probability>,
}

impl Surely {
    /// Whether what ranks first is as sure as was asked for.
    pub fn is_met(&self) -> bool {
        self.kept.first().is_some_and(|kept| self.wanted.is_met(kept))
    }
}
