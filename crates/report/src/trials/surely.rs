//! How surely what is chosen or advised keeps everything, in words and as data.

use serde::Serialize;
use tautleaf_scenario::ReadError;
use tautleaf_trials::spread::{Probability, Undrawable};
use tautleaf_trials::{Reserve, Sure};

use super::probability::ProbabilityObject;
use super::reserve_words::percent;

/// Why doors cannot be drawn around what is proposed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SurelyError {
    /// The door cannot be built.
    #[error(transparent)]
    Door(#[from] ReadError),
    /// What is listed to spread cannot be drawn.
    #[error(transparent)]
    Spread(#[from] Undrawable),
}

/// Whether what was asked for is met, and with which reserve.
pub(crate) fn surely_in_words(is_met: bool, reserve: Reserve) -> String {
    let reserve = percent(reserve.share());
    if is_met {
        format!("That is as sure as was asked for, with {reserve} left of each limit where it can be.")
    } else {
        format!(
            "NOT AS SURE as was asked for: what comes nearest, with {reserve} left of each limit where it can be."
        )
    }
}

/// How surely everything is kept.
#[derive(Serialize)]
pub(crate) struct SurelyObject {
    met: bool,
    wanted: f64,
    seed: u64,
    /// Of what is proposed first, and what follows it.
    kept: Vec<ProbabilityObject>,
}

impl SurelyObject {
    pub fn of(wanted: &Sure, kept: &[Probability]) -> Self {
        Self {
            met: kept.first().is_some_and(|kept| wanted.is_met(kept)),
            wanted: wanted.probability,
            seed: wanted.seed,
            kept: kept.iter().map(ProbabilityObject::of).collect(),
        }
    }
}
