//! One trial of many, and what such trials have in common.

use tautleaf_physics::{Figure, Limit, Needs};

use crate::assess::Effort;
use crate::trial::{Bench, Trial};

/// One trial of a study or sweep.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its index, from 0.
    pub index: u64,
    /// The values that were set, one an input, SI.
    pub values: Vec<f64>,
    /// What came out.
    pub trial: Trial,
}

/// Figures that trials on this bench can give: all but those of tests that are not made.
pub fn figures_of(bench: &Bench) -> Vec<Figure> {
    let limits = || bench.criteria.limits.iter().filter_map(|limit| limit.figure).map(Figure::needs);
    let tested = bench.effort != Effort::NoForceTest;
    let made = |figure: &Figure| match figure.needs() {
        Needs::Cycle => true,
        Needs::Stall(_) => tested && limits().any(|needs| matches!(needs, Needs::Stall(_))),
        Needs::Impact(_) => tested,
        Needs::Rear(_) => tested && limits().any(|needs| matches!(needs, Needs::Rear(_))),
        Needs::Whole(_) => tested && limits().any(|needs| matches!(needs, Needs::Whole(_))),
        Needs::Beam => limits().any(|needs| matches!(needs, Needs::Beam)),
    };
    Figure::ALL.iter().copied().filter(made).collect()
}

/// A name for each limit that no other has: its key, and the preset where several presets have it.
pub fn names_of(limits: &[Limit]) -> Vec<String> {
    let name = |limit: &Limit| match &limit.preset {
        Some(preset) if limits.iter().filter(|other| other.key == limit.key).count() > 1 => {
            format!("{}@{preset}", limit.key)
        }
        _ => limit.key.clone(),
    };
    limits.iter().map(name).collect()
}
