//! A tolerance study as text and JSON.

mod in_words;
mod json;
mod text;

use tautleaf_scenario::{FileProblem, Scenario};
use tautleaf_trials::spread::{Findings, Study};

pub use in_words::{Matters, all_kept, judged_limits, notes, signed_rank, what_matters};

/// What a tolerance study of a door found.
#[derive(Clone, Debug)]
pub struct SpreadReport<'a> {
    /// The door file.
    pub scenario: &'a Scenario,
    /// What was drawn and judged.
    pub study: &'a Study,
    /// What was found.
    pub findings: Findings,
    /// Trials that were asked for; fewer were run where it was stopped.
    pub wanted: u64,
    /// Number of leaves of the door.
    pub leaves: usize,
    /// What is unusual about the door.
    pub warnings: Vec<FileProblem>,
}

impl<'a> SpreadReport<'a> {
    /// Of a study that has been added up.
    pub fn new(scenario: &'a Scenario, study: &'a Study, findings: Findings, wanted: u64) -> Self {
        let (leaves, warnings) = match scenario.door() {
            Ok(door) => (door.leaves(), scenario.warnings(&door)),
            Err(error) => (0, error.problems),
        };
        Self { scenario, study, findings, wanted, leaves, warnings }
    }
}

/// The name of an input's shape and its numbers, in words.
pub fn shape_in_words(
    input: &tautleaf_trials::spread::Input,
    system: tautleaf_scenario::UnitSystem,
) -> String {
    use tautleaf_physics::Quantity;
    use tautleaf_scenario::units;
    use tautleaf_trials::spread::Shape;
    let quantity = input.settable.quantity();
    let show = |value: f64| units::show(quantity, value, system);
    let mut said = match input.distribution.shape() {
        Shape::Uniform { from, to } => format!("uniform {} to {}", show(from), show(to)),
        Shape::Triangular { from, peak, to } => {
            format!("triangular {} to {}, peak {}", show(from), show(to), show(peak))
        }
        Shape::Normal { mean, deviation } => {
            let of_difference =
                if quantity == Quantity::Temperature { Quantity::TemperatureRise } else { quantity };
            format!(
                "normal about {}, deviation {}",
                show(mean),
                units::show(of_difference, deviation, system)
            )
        }
    };
    let (least, most) = input.distribution.truncation();
    let (low, high) = input.settable.possible();
    let (lowest, highest) = match input.distribution.shape() {
        Shape::Uniform { from, to } | Shape::Triangular { from, to, .. } => (from, to),
        Shape::Normal { .. } => (low, high),
    };
    if least > lowest {
        said += &format!(", at least {}", show(least));
    }
    if most < highest {
        said += &format!(", at most {}", show(most));
    }
    said
}
