//! A tolerance study: many trials of one door, each with its numbers drawn anew.

use std::ops::{ControlFlow, Range};
use std::sync::atomic::AtomicBool;

use tautleaf_physics::{Door, Parameters};

use super::drawing::{Sampling, draw};
use super::listed::Input;
use crate::in_order::in_order;
use crate::row::Row;
use crate::trial::Bench;

/// Trials of a study where nobody says how many.
pub const USUAL_RUNS: u64 = 1000;
/// The most trials of a study.
pub const MOST_RUNS: u64 = 1_000_000_000;

/// A tolerance study. A trial is a pure function of door, inputs, seed and index.
#[derive(Clone, Debug)]
pub struct Study {
    /// The door as it is.
    pub door: Parameters,
    /// What is drawn anew for each trial.
    pub inputs: Vec<Input>,
    /// What is measured and judged.
    pub bench: Bench,
    /// Seed of the draws.
    pub seed: u64,
    /// How they are drawn.
    pub sampling: Sampling,
}

impl Study {
    /// A study of a door.
    pub fn new(door: &Door, inputs: Vec<Input>, bench: Bench, seed: u64, sampling: Sampling) -> Self {
        Self { door: door.given().clone(), inputs, bench, seed, sampling }
    }

    /// The share of each input's distribution that lies below what trial `index` draws, above 0 and below 1.
    pub fn shares(&self, index: u64) -> Vec<f64> {
        let inputs = self.inputs.iter().enumerate();
        inputs
            .map(|(place, input)| draw(self.sampling, self.seed, index, place, &input.settable.key()))
            .collect()
    }

    /// What trial `index` runs: the door with its numbers drawn, and those numbers, SI.
    pub fn drawn(&self, index: u64) -> (Parameters, Vec<f64>) {
        let mut p = self.door.clone();
        let values = self.inputs.iter().zip(self.shares(index)).map(|(input, share)| {
            let value = input.distribution.value(share);
            input.settable.set(&mut p, value);
            // as it was set: whole, where it counts things
            input.settable.get(&p).unwrap_or(value)
        });
        let values = values.collect();
        (p, values)
    }

    /// Runs trial `index`.
    pub fn row(&self, index: u64) -> Row {
        let (parameters, values) = self.drawn(index);
        Row { index, values, trial: self.bench.trial(parameters) }
    }

    /// Runs trials on so many threads and hands them over in order; see [`in_order()`].
    pub fn run(
        &self,
        indices: Range<u64>,
        threads: usize,
        stop: &AtomicBool,
        mut take: impl FnMut(Row) -> ControlFlow<()>,
    ) -> u64 {
        in_order(indices, threads, stop, |index| self.row(index), |_, row| take(row))
    }
}

/// The indices of part `part` of `parts`, counted from 1, of so many trials: as even as can be, in order.
pub fn part_of(trials: u64, part: u64, parts: u64) -> Range<u64> {
    let end = |part: u64| (u128::from(trials) * u128::from(part) / u128::from(parts.max(1))) as u64;
    end(part.saturating_sub(1))..end(part)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_even_and_leave_no_trial_out() {
        for (trials, parts) in [(10, 3), (1000, 7), (5, 5), (3, 5), (0, 2)] {
            let mut next = 0;
            for part in 1..=parts {
                let range = part_of(trials, part, parts);
                assert_eq!(range.start, next);
                assert!(range.end - range.start <= trials / parts + 1);
                next = range.end;
            }
            assert_eq!(next, trials);
        }
    }
}
