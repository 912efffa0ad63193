//! What a door file leaves to judgement, or out, although verdicts on the force stand and fall with it.

use tautleaf_physics::Figure;

use crate::scenario::{Scenario, limits_of};

/// How far the closing edge gives.
const EDGE_TRAVEL: &str = "How far the closing edge gives is judgement, 10 mm; the impact force stands and falls with it. Measure force \
     and travel of a short piece in a vice: edge.travel";
/// What stands behind the open leaf.
const BEHIND: &str = "The opening movement is not tested. Measure the distance behind the open leaf: rear.clearance. Within 500 mm it is \
     tested too";

/// What nobody measured and the limits of this door are judged with, or without, in sentences.
pub fn unmeasured(scenario: &Scenario) -> Vec<&'static str> {
    let p = &scenario.parameters;
    let limits = limits_of(scenario);
    let figures = || limits.iter().filter_map(|limit| limit.figure);
    let strikes = figures().any(|figure| figure.is_closing_force() && !figure.is_stall());
    let tested = figures().any(Figure::is_of_force_test);
    let edge = (strikes && p.edge.travel_m.is_none()).then_some(EDGE_TRAVEL);
    let behind = (tested && p.rear.clearance_m.is_none()).then_some(BEHIND);
    edge.into_iter().chain(behind).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Vec<&'static str> {
        unmeasured(&crate::parse(&format!("schema = 1\n{text}"), "door.toml").unwrap())
    }

    #[test]
    fn what_no_limit_needs_is_not_missed() {
        assert!(of("").is_empty());
        assert!(of("[limits]\nkinetic_energy_max = \"10 J\"\n").is_empty());
    }

    #[test]
    fn what_was_measured_is_not_missed() {
        assert_eq!(of("[limits]\nstall_force_max = \"150 N\"\n"), [BEHIND]);
        assert_eq!(of("[limits]\nimpact_force_max = \"400 N\"\n"), [EDGE_TRAVEL, BEHIND]);
        let measured = "[edge]\ntravel = \"12 mm\"\n[rear]\nclearance = \"0.4 m\"\n";
        assert!(of(&format!("{measured}[limits]\nimpact_force_max = \"400 N\"\n")).is_empty());
    }
}
