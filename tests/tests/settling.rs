//! When an opened leaf counts as settled, and when it never does.

use tautleaf_physics::{
    CycleOptions, Door, EventKind, Figure, Judge, Known, Limit, Outcome, Parameters, Rule, Run, cycle, judge,
};

/// A heavy leaf on a soft belt that loses little: it swings on for seconds after the drive has arrived.
fn swings_on(hold_open_s: f64) -> Parameters {
    let mut p = Parameters::default();
    p.leaf.mass_kg = 150.0;
    p.rollers.resistance = 0.0005;
    p.rollers.breakaway = 1.0;
    p.rollers.viscous_n_s_per_m = 0.0;
    p.seal.brush_n_per_m = 0.0;
    p.belt.width_m = 0.006;
    p.belt.specific_stiffness_n_per_m = 2e6;
    p.belt.tension_n = 100.0;
    p.belt.damping_time_s = 0.0;
    p.opening.creep_speed_m_per_s = 0.15;
    p.stoppers.behind_open_m = 0.05;
    p.controller.hold_open_s = hold_open_s;
    p
}

fn opened(p: Parameters) -> (Door, Run) {
    let door = Door::try_from(p).unwrap();
    let run = cycle(&door, &CycleOptions::default());
    (door, run)
}

/// Speed and place of the leaf at the tick of the command to close.
fn when_told_to_close(run: &Run) -> (f64, f64) {
    let told = run.events.iter().find(|event| event.kind == EventKind::CommandClose).unwrap().at.t_s;
    let at = run.samples.partition_point(|sample| sample.t_s < told - 1e-6);
    (run.samples[at].leaf_speed_m_per_s[0].abs(), run.samples[at].leaf_position_m[0])
}

/// A swing stands still for an instant wherever it turns: a command that falls on it finds a leaf that moves all the same.
#[test]
fn a_leaf_that_still_swings_at_the_next_command_has_not_settled_even_where_its_swing_turns() {
    let (_, long) = opened(swings_on(3.0));
    let arrived = long.events.iter().find(|event| event.kind == EventKind::ArrivedOpen).unwrap().at.t_s;
    let open = long.samples.iter().filter(|sample| sample.t_s > arrived + 0.2).take(1500);
    let slow = open.filter(|sample| sample.leaf_speed_m_per_s[0].abs() < 0.0008);
    let turns: Vec<f64> = slow.map(|sample| sample.t_s - arrived).collect();
    assert!(turns.len() > 3, "{turns:?}");
    for held_s in turns {
        let (_, run) = opened(swings_on(held_s));
        let speed = when_told_to_close(&run).0;
        assert!(speed < 0.001, "{speed} m/s: the command does not fall on a turn");
        assert_eq!(run.figures.get(Figure::SettlingOpen), None, "held open for {held_s} s");
    }
}

#[test]
fn a_leaf_that_has_come_to_rest_says_when_it_settled() {
    let mut p = swings_on(3.0);
    p.belt.damping_time_s = 0.02;
    let (door, run) = opened(p);
    let settling = run.figures.get(Figure::SettlingOpen).unwrap();
    let arrived = run.events.iter().find(|event| event.kind == EventKind::ArrivedOpen).unwrap().at.t_s;
    let (speed, rest) = when_told_to_close(&run);
    assert!(speed < 1e-6, "{speed} m/s");
    let held = run.samples.iter().filter(|sample| sample.t_s > arrived && sample.t_s < arrived + 3.0);
    let mut away = held.filter(|sample| (sample.leaf_position_m[0] - rest).abs() > 0.001);
    let last = away.next_back().map_or(0.0, |sample| sample.t_s - arrived);
    assert!((settling - last).abs() <= door.parameters().controller.tick_s + 1e-9, "{settling}, {last} s");
    assert!(settling > 0.05, "{settling} s: the case has gone");
}

/// A limit on what was not found is not judged, and says why.
#[test]
fn a_limit_on_settling_says_that_the_leaf_still_moved() {
    let (door, run) = opened(swings_on(0.4));
    let limit = Limit {
        key: "settling_open_max".to_owned(),
        preset: None,
        figure: Some(Figure::SettlingOpen),
        rule: Rule::AtMost(1.0),
        unit: "s".to_owned(),
        source: "set by the user".to_owned(),
        known: Known::User,
        judge: Judge::Limit,
    };
    let verdict = judge(&door, &run, &[limit], 0.1).remove(0);
    assert_eq!(verdict.outcome, Outcome::NotJudged);
    let why = verdict.why.unwrap();
    assert!(why.contains("still moved"), "{why}");
}
