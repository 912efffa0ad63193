//! How many doors each part of a tuning is expected to run, so that it can be said how far it is.
//!
//! Counted on the shipped scenarios, and about right: how long a search goes on is known when it ends.

use super::tuning::{MARGINS, Tuning};

/// How often the margins that sureness needs are worked out anew.
pub(super) const ROUNDS: usize = 4;
/// How often they are relaxed: each time by half of what is not yet known to be needed.
pub(super) const RELAXED: usize = 4;

/// What settles settings as they can be set.
pub(super) const SETTING: f64 = 40.0;

/// A search whose coarse part may take so many.
pub(super) fn search(most: usize) -> f64 {
    2.7 * most as f64
}

/// The doors that are drawn once, as many at a time as there are threads.
pub(super) fn draws(tuning: &Tuning) -> f64 {
    tuning.runs as f64 / tuning.threads.max(1) as f64
}

/// All of it.
pub(super) fn all(tuning: &Tuning, fewer: usize) -> f64 {
    let rounds = if tuning.probability.is_some() { 0.8 * ROUNDS as f64 + 0.5 * RELAXED as f64 } else { 0.0 };
    let drawn = if tuning.probability.is_some() { draws(tuning) } else { 0.0 };
    let searches = 1.0 + rounds + MARGINS.len() as f64;
    search(tuning.most_evaluations) + searches * search(fewer) + SETTING + (rounds + 1.0) * drawn
}
