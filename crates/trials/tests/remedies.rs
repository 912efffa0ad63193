//! The setting that a remedy names brings its limit back within: the door is run again with it.

use tautleaf_physics::parameters::Telescope;
use tautleaf_physics::{Door, Figure, Limit, Outcome, Parameters, field, number};
use tautleaf_trials::{Criteria, Effort, remedy};

fn criteria(limits: &[Limit]) -> Criteria {
    Criteria { limits: limits.to_vec(), close_margin: 0.1, gaps_m: None }
}

/// Each limit is over on the default door; with the named setting it is within.
#[test]
fn every_remedy_keeps_its_promise_when_the_door_is_run_again() {
    let cases = [
        Limit::at_most("kinetic_energy_max", Figure::PeakEnergyLeaf, 10.0),
        Limit::at_most("closing_speed_max", Figure::TopSpeedClosing, 0.2),
        Limit::at_most("opening_time_max", Figure::OpeningTime, 2.5),
        Limit::at_least("hold_open_min", Figure::HoldOpen, 5.0),
        Limit::at_most("stall_force_max", Figure::StallForceGreatest, 120.0),
        Limit::at_most("impact_force_max", Figure::ImpactForce, 400.0),
        Limit::at_least("least_tension_min", Figure::LeastTension, 200.0),
        Limit::at_least("latch_check_min", Figure::LatchCheck, 0.08),
        Limit::at_least("time_over_90pct_min", Figure::ClosingLeastTime90, 4.5),
        Limit::at_most("peak_current_max", Figure::PeakCurrent, 5.2),
        Limit::at_most("rms_current_max", Figure::RmsCurrent, 1.0),
        // over both ways: one speed alone does not do
        Limit::at_most("kinetic_energy_low_max", Figure::PeakEnergyLeaf, 1.69),
    ];
    let door = Door::try_from(Parameters::default()).unwrap();
    for case in cases {
        let key = case.key.clone();
        let limits = [case];
        let before = criteria(&limits).assess(&door, Effort::AsJudged).verdicts;
        assert_eq!(
            before[0].outcome,
            Outcome::Over,
            "{key} is not over to begin with: {:?}",
            before[0].value
        );
        let found = remedy(&door, &criteria(&limits), 0).unwrap_or_else(|| panic!("{key}: no remedy"));
        let mut changed = door.given().clone();
        for change in &found.changes {
            assert!(number(change.key).unwrap().set(&mut changed, Some(change.to)));
        }
        let changed = Door::try_from(changed).unwrap();
        let after = criteria(&limits).assess(&changed, Effort::AsJudged).verdicts;
        assert!(
            matches!(after[0].outcome, Outcome::Within | Outcome::Close),
            "{key}: {:?} gives {:?}",
            found.changes,
            after[0].value
        );
    }
}

/// A limit that both ways are over takes both speeds, and each is named with its own value now.
#[test]
fn a_limit_over_both_ways_turns_both_speeds() {
    let door = Door::try_from(Parameters::default()).unwrap();
    let limits = [Limit::at_most("kinetic_energy_max", Figure::PeakEnergyLeaf, 1.69)];
    let found = remedy(&door, &criteria(&limits), 0).unwrap();
    let keys: Vec<_> = found.changes.iter().map(|change| (change.key, change.from)).collect();
    assert_eq!(keys, [("opening.speed", 0.6), ("closing.speed", 0.3)]);
    // sqrt(2 E / m) = 0.2055 m/s for 80 kg, and some overshoot
    assert!(found.changes.iter().all(|change| change.to < 0.2055 && change.to > 0.15), "{:?}", found.changes);
}

/// A limit that is kept needs nothing.
#[test]
fn a_limit_that_is_kept_has_no_remedy() {
    let door = Door::try_from(Parameters::default()).unwrap();
    let limits = [Limit::at_most("opening_time_max", Figure::OpeningTime, 100.0)];
    assert_eq!(remedy(&door, &criteria(&limits), 0), None);
}

/// A remedy runs the door that its user would write: what is worked out from the setting follows it. The default gain of the
/// controller is 30 rad/s (m/eta + m_d) r/(N K) or less, so another gear ratio has another gain.
#[test]
fn what_is_worked_out_follows_a_changed_setting() {
    let door = Door::try_from(Parameters::default()).unwrap();
    let ratio = field("gear.ratio").unwrap();
    let mut written = Parameters::default();
    (ratio.set)(&mut written, Some(10.0));
    let mut changed = door.given().clone();
    (ratio.set)(&mut changed, Some(10.0));
    let (written, changed) = (Door::try_from(written).unwrap(), Door::try_from(changed).unwrap());
    assert_eq!(changed, written);
    assert_ne!(
        changed.parameters().controller.proportional_gain_a_s_per_m,
        door.parameters().controller.proportional_gain_a_s_per_m
    );
}

/// The second belt of a telescopic door has a tension of its own, and only that one takes up its slack.
#[test]
fn a_second_belt_that_goes_slack_is_tightened_itself() {
    let mut p = Parameters { telescope: Some(Telescope::default()), ..Parameters::default() };
    p.belt.tension_n = 400.0;
    p.opening.braking_m_per_s2 = 1.6;
    assert!(number("telescope.tension").unwrap().set(&mut p, Some(22.0)));
    let door = Door::try_from(p).unwrap();
    let limits = [Limit::at_most("slack_time_max", Figure::SlackTime, 1e-3)];
    let found = remedy(&door, &criteria(&limits), 0).unwrap();
    assert_eq!(found.changes.iter().map(|change| change.key).collect::<Vec<_>>(), ["telescope.tension"]);
}

/// A slower opening brings the energy back and makes an opening time worse that is over anyway: that is said.
#[test]
fn what_a_remedy_makes_worse_is_said() {
    let door = Door::try_from(Parameters::default()).unwrap();
    let limits = [
        Limit::at_most("kinetic_energy_max", Figure::PeakEnergyLeaf, 8.0),
        Limit::at_most("opening_time_max", Figure::OpeningTime, 1.0),
        Limit::at_most("closing_time_max", Figure::ClosingTime, 1.0),
    ];
    let found = remedy(&door, &criteria(&limits), 0).unwrap();
    assert_eq!(found.changes.iter().map(|change| change.key).collect::<Vec<_>>(), ["opening.speed"]);
    assert_eq!((found.breaks, found.worsens), (vec![], vec!["opening_time_max".to_owned()]));
}
