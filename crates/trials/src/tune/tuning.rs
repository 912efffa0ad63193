//! What a door is tuned for, and why it cannot be.

use tautleaf_physics::{Figure, Limit, Problems};

use super::limits_on_hits::bounds_a_hit;
use crate::reserve::Reserve;
use crate::spread::Undrawable;

/// What the settings are tuned for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goal {
    /// Opening and closing together in the shortest time.
    Fastest,
    /// The least peak of jerk, in no more time than now.
    Calmest,
    /// The least RMS current, in no more time than now.
    Coolest,
}

impl Goal {
    /// Every goal, with its word.
    pub const WORDS: &'static [(&'static str, Self)] =
        &[("fastest", Self::Fastest), ("calmest", Self::Calmest), ("coolest", Self::Coolest)];

    /// What a door is tuned for where nobody says: the shortest cycle only if some limit says how hard it may hit.
    pub fn first(limits: &[Limit]) -> Self {
        if limits.iter().any(bounds_a_hit) { Self::Fastest } else { Self::Calmest }
    }

    /// The figures whose sum is to be least.
    pub fn figures(self) -> &'static [Figure] {
        match self {
            Self::Fastest => &[Figure::OpeningTime, Figure::ClosingTime],
            Self::Calmest => &[Figure::PeakJerk],
            Self::Coolest => &[Figure::RmsCurrent],
        }
    }
}

/// How it is tuned.
#[derive(Clone, Debug)]
pub struct Tuning {
    /// What for.
    pub goal: Goal,
    /// What is to be left of every limit, and of the installed tension in the slackest strand.
    pub reserve: Reserve,
    /// How likely all limits together are to be kept, of what is never known on site; `None`: the door as it is counts.
    pub probability: Option<f64>,
    /// Doors that are drawn to see how likely that is.
    pub runs: u64,
    /// Seed of the draws.
    pub seed: u64,
    /// Threads.
    pub threads: usize,
    /// About how many cycles the first search may take; [`MOST_EVALUATIONS`] finds what there is.
    pub most_evaluations: usize,
}

/// Why a door cannot be tuned.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TuneError {
    /// It cannot be built.
    #[error(transparent)]
    Door(#[from] Problems),
    /// It is told to learn its travel or loses power: such a run has no opening and closing time to be tuned.
    #[error(
        "this run has no opening and closing time: take timeline.run and timeline.power_lost out of the door file to tune it"
    )]
    NoCycle,
    /// These limits, by their keys, cannot be judged at the gaps of the force test that the door file lists.
    #[error(
        "{} cannot be judged at the gaps in limits.gaps: leave them out, then each band is tested where the leaf is fastest",
        .0.join(" and ")
    )]
    Untested(Vec<String>),
    /// With its settings changed, something that is listed to spread cannot be drawn.
    #[error(transparent)]
    Spread(#[from] Undrawable),
}

/// Doors that are drawn to see how likely limits are kept, where nobody says how many.
pub const USUAL_RUNS: u64 = 400;
/// Evaluations of one coarse search.
pub const MOST_EVALUATIONS: usize = 260;
/// Margins of the trade-off.
pub(super) const MARGINS: [f64; 4] = [0.0, 0.1, 0.2, 0.3];
