//! What a run shows beside its figures, in the words of the window.

use tautleaf_physics::{Moment, Quantity, SlackTime, slack_times};
use tautleaf_report::remark_words::{Shown, in_words};
use tautleaf_scenario::UnitSystem;
use tautleaf_trials::{Remark, RemarkKind};

use crate::live::{Live, moment_of};
use crate::words;

/// Everything worth a word about a run, with its sentence.
pub fn remarks(live: &Live, system: UnitSystem) -> Vec<(Remark, String)> {
    let profile = live.profile_known().unwrap_or_default();
    let found = tautleaf_trials::remarks(&live.door, &live.run, &live.verdicts, profile);
    let told = |mut remark: Remark| {
        if let RemarkKind::ImpactBetweenGaps { gap_m, .. } = remark.kind {
            remark.at = live.closing_sample_at(gap_m).map(moment_of);
        }
        let text = in_words(&remark, &live.door, &InWindow(system));
        (remark, text)
    };
    found.into_iter().map(told).collect()
}

/// Numbers as the window shows them.
struct InWindow(UnitSystem);

impl Shown for InWindow {
    fn value(&self, quantity: Quantity, si: f64) -> String {
        words::value(quantity, si, self.0)
    }

    fn moment(&self, at: Moment) -> String {
        words::moment(at, self.0)
    }
}

/// The time in which a strand was slack longest before it snapped tight.
pub(crate) fn longest_snap(live: &Live) -> Option<SlackTime> {
    let all = slack_times(&live.run.events, live.end());
    all.into_iter().filter(|time| time.ends).max_by(|a, b| a.lasts_s().total_cmp(&b.lasts_s()))
}

/// A short time in whole milliseconds.
pub(crate) fn lasting(time_s: f64) -> String {
    format!("{:.0} ms", 1e3 * time_s)
}

/// `, 7 times`; nothing for once.
pub(crate) fn times(count: usize) -> String {
    if count > 1 { format!(", {count} times") } else { String::new() }
}

#[cfg(test)]
mod tests {
    use tautleaf_physics::parameters::{Fault, FaultKind};
    use tautleaf_scenario::Scenario;

    use super::*;

    fn told(change: impl FnOnce(&mut Scenario)) -> Vec<String> {
        let mut scenario = crate::example::scenario();
        change(&mut scenario);
        let live = Live::of(&scenario).expect("a door");
        remarks(&live, UnitSystem::Si).into_iter().map(|(_, text)| text).collect()
    }

    /// Without its impact forces over the whole travel, which is worked out apart.
    #[test]
    fn the_reference_door_is_worth_no_remark() {
        assert_eq!(told(|_| ()), Vec::<String>::new());
    }

    #[test]
    fn a_loose_belt_is_said_to_jerk_once_with_its_strand_and_moment() {
        let said = told(|scenario| {
            scenario.parameters.belt.tension_n = 50.0;
            scenario.parameters.closing.braking_m_per_s2 = 1.5;
        });
        assert_eq!(said.len(), 1, "{said:?}");
        assert!(said[0].starts_with("Jerks: the strand from drive pulley to leaf goes slack"), "{said:?}");
        assert!(said[0].contains("m open"), "{said:?}");
    }

    /// Just below 200 mm the table of the example allows 400 N, above it 700 N: at 180 mm the leaf is faster than at the 50 mm
    /// that are tested there. Tested at 180 mm too it is no remark but a verdict.
    #[test]
    fn what_is_over_between_the_tested_gaps_is_told() {
        let told_with = |gaps: &[f64], edge_n_per_m: f64| {
            let mut scenario = crate::example::scenario();
            scenario.limits.gaps_m = Some(gaps.to_vec());
            scenario.parameters.edge.stiffness_n_per_m = edge_n_per_m;
            let live = Live::of(&scenario).expect("a door");
            let _ = live.profile();
            let between = |(_, text): &&(Remark, String)| text.starts_with("Between the tested gaps");
            remarks(&live, UnitSystem::Si).iter().filter(between).count()
        };
        assert_eq!(told_with(&[0.05, 0.3, 0.5], 20e3), 1);
        assert_eq!(told_with(&[0.05, 0.18, 0.3, 0.5], 20e3), 0, "the verdict says it");
        assert_eq!(told_with(&[0.05, 0.3, 0.5], 6e3), 0, "a soft edge keeps it everywhere");
    }

    /// A joint of 0.8 mm under the wheels is felt; one of a hundredth of that is not.
    #[test]
    fn a_joint_that_knocks_is_told_with_its_place_and_one_that_does_not_is_not() {
        let joint = |height_m: f64| {
            told(|scenario| {
                let at_m = 1.2;
                let step = Fault { kind: FaultKind::Step, at_m, height_m, ..Fault::default() };
                scenario.parameters.faults = vec![step];
            })
        };
        let said = joint(0.0008);
        let knocks: Vec<_> = said.iter().filter(|text| text.starts_with("Knocks: the ")).collect();
        assert_eq!(knocks.len(), 1, "{said:?}");
        assert!(knocks[0].contains("m open") && knocks[0].contains("m/s²"), "{knocks:?}");
        assert!(joint(0.000_008).iter().all(|text| !text.starts_with("Knocks: the ")));
    }

    /// A leaf that its motor hardly moves is held up again and again.
    #[test]
    fn a_stuck_leaf_is_told_once_with_a_count() {
        let said = told(|scenario| scenario.parameters.opening.current_limit_a = 0.5);
        let stuck: Vec<_> = said.iter().filter(|text| text.contains("takes the stuck leaf")).collect();
        assert_eq!(stuck.len(), 1, "{said:?}");
    }
}
