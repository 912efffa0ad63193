//! Doors that do something out of the ordinary, where a figure could be read off wrongly.

use tautleaf_physics::parameters::{Arrangement, LeafForce, Obstacle, ObstructionAction};
use tautleaf_physics::{
    CycleOptions, Door, EventKind, Figure, ForceTest, Judge, Known, Limit, Outcome, Parameters, Rule, Run,
    State, cycle, judge,
};

fn run(p: Parameters, gaps_m: &[f64]) -> (Door, Run) {
    let door = Door::try_from(p).unwrap();
    let run = cycle(&door, &CycleOptions { force: ForceTest::at(gaps_m), ..CycleOptions::default() });
    (door, run)
}

/// Reversed, held open for 2.5 s and closing again, a door of 0.65 m meets the tester a second time before five
/// seconds are over: that force is part of the test. The same door with the tester as an obstacle says how much.
#[test]
fn a_second_contact_within_five_seconds_is_part_of_the_force_test() {
    let mut p = Parameters::default();
    p.leaf.stroke_m = 0.65;
    p.controller.hold_open_s = 2.5;
    p.edge.travel_m = Some(0.1);
    let (_, tested) = run(p.clone(), &[0.5]);
    p.obstacle = Some(Obstacle { gap_m: 0.5, stays_s: 100.0, ..Obstacle::default() });
    let (_, stood) = run(p, &[]);
    let touched =
        stood.events.iter().find(|event| matches!(event.kind, EventKind::Touched { .. })).unwrap().at.t_s;
    let late = stood.samples.iter().filter(|sample| (0.75..5.0).contains(&(sample.t_s - touched)));
    let expected = late.map(|sample| sample.contact_force_n).fold(0.0, f64::max);
    let found = tested.figures.get(Figure::ForceAfter750).unwrap();
    assert!(expected > 500.0, "{expected} N: the case has gone");
    assert!((found / expected - 1.0).abs() < 0.005, "{found} instead of {expected}");
    assert!(tested.figures.get(Figure::ResidualForce).unwrap() > 400.0);
}

/// Never noticed, the leaf pushes on with a constant force: the residual force is that force, whatever part of a
/// tick the touching fell on.
#[test]
fn a_constant_push_is_its_own_residual_force() {
    for tick_s in [0.001, 0.010] {
        let mut p = Parameters::default();
        p.controller.tick_s = tick_s;
        p.obstruction.detect_s = 60.0;
        let (_, run) = run(p, &[0.3]);
        let gap = &run.force[0];
        let (_, last) = gap.force_over_time.last().unwrap();
        let residual = gap.residual_force_n.unwrap();
        assert!((residual / last - 1.0).abs() < 1e-6, "{residual} instead of {last} N at {tick_s} s");
    }
}

/// A closing weight of 60 N, with the power off: 60 N less what friction holds drift, 60 N more by hand.
#[test]
fn a_closing_weight_counts_in_drift_and_in_the_force_by_hand() {
    let bare = run(Parameters::default(), &[]).1;
    let mut p = Parameters::default();
    p.forces.push(LeafForce { constant_n: -60.0, ..LeafForce::default() });
    let (_, weighted) = run(p, &[]);
    let by = |run: &Run, figure| run.figures.get(figure).unwrap();
    let more = by(&weighted, Figure::ManualForce) - by(&bare, Figure::ManualForce);
    assert!((more - 60.0).abs() < 1e-9, "{more}");
    // breakaway 10.2 N, brush 6.6 N, bearings and rotor 7.9 N hold
    let drift = by(&weighted, Figure::DriftForce);
    assert!((30.0..40.0).contains(&drift), "{drift}");
    // and the open door indeed runs shut, which the closing figures show
    let shut = weighted.samples.iter().filter(|sample| sample.state == State::Open);
    let fastest = shut.map(|sample| -sample.leaf_speed_m_per_s[0]).fold(0.0, f64::max);
    assert!(fastest > 0.5 && by(&weighted, Figure::TopSpeedClosing) >= fastest);
    let average = weighted.figures.get(Figure::AverageEnergyClosing);
    assert!(average.is_none_or(|average| average <= by(&weighted, Figure::PeakEnergyCoupledClosing)));
}

/// With a jerk limit the wanted acceleration changes by no more than that, the last stop from creep speed left
/// out, and the door still stops before its stop.
#[test]
fn a_jerk_limit_limits_the_wanted_jerk_and_does_not_overrun() {
    for jerk in [2.0, 10.0] {
        let mut p = Parameters::default();
        p.controller.jerk_m_per_s3 = Some(jerk);
        let (_, run) = run(p, &[]);
        assert!(run.finished);
        assert!(
            !run.events.iter().any(|event| matches!(event.kind, EventKind::StopHit { speed_m_per_s, .. }
            if speed_m_per_s.abs() > 0.06))
        );
        let opening: Vec<f64> = run
            .samples
            .iter()
            .filter(|sample| sample.state == State::Opening && sample.clear_opening_m < 0.95)
            .map(|sample| sample.wanted_speed_m_per_s)
            .collect();
        let accelerations: Vec<f64> = opening.windows(2).map(|pair| (pair[1] - pair[0]) / 0.001).collect();
        // in the tick in which the wanted speed is reached the rounding ends up to a dozen ticks early
        let landing = 12.0 * jerk * 0.001;
        let changes = accelerations.windows(2).map(|pair| (pair[1] - pair[0]).abs());
        let beyond: Vec<f64> = changes.filter(|change| *change > 1.001 * jerk * 0.001).collect();
        assert!(
            beyond.len() <= 6 && beyond.iter().all(|change| *change <= landing),
            "{beyond:?} of {landing}"
        );
    }
}

/// Pushed along, a heavy body comes to stand against the jamb, and the door does not close through it.
#[test]
fn a_body_pushed_along_comes_to_stand_against_the_jamb() {
    let mut p = Parameters::default();
    let body = Obstacle { mass_kg: Some(5.0), stays_s: 100.0, ..Obstacle::default() };
    p.obstacle = Some(body);
    let (_, run) = run(p, &[]);
    assert!(run.events.iter().any(|event| event.kind == EventKind::Reversed));
    let least =
        run.samples.iter().map(|sample| sample.clear_opening_m).skip(4000).fold(f64::INFINITY, f64::min);
    assert!(least > body.depth_m - 0.03, "the opening fell to {least} m");
    let pair =
        Parameters { arrangement: Arrangement::BiParting, obstacle: Some(body), ..Parameters::default() };
    assert!(Door::try_from(pair).unwrap_err().to_string().contains("obstacle.mass"));
}

/// Stopped at the first obstacle, the door never reaches the smaller gaps: no force was measured there, and what it
/// does measure is not called within.
#[test]
fn a_gap_that_was_never_reached_is_not_judged() {
    let mut p = Parameters::default();
    p.obstruction.action = ObstructionAction::Stop;
    p.obstacle = Some(Obstacle { gap_m: 0.4, stays_s: 100.0, ..Obstacle::default() });
    let (door, run) = run(p, &[0.05, 0.5]);
    let limit = Limit {
        key: "impact_force_max".to_owned(),
        preset: None,
        figure: Some(Figure::ImpactForce),
        rule: Rule::AtMost(5000.0),
        unit: "N".to_owned(),
        source: "set by the user".to_owned(),
        known: Known::User,
        judge: Judge::Limit,
    };
    assert_eq!(run.force[0].impact_force_n, None);
    assert!(run.force[1].impact_force_n.is_some());
    let verdict = judge(&door, &run, &[limit], 0.1).remove(0);
    assert_eq!(verdict.outcome, Outcome::NotJudged);
    assert!(
        verdict.why.as_ref().is_some_and(|why| why.contains("never reached the gap of 50 mm")),
        "{:?}",
        verdict.why
    );
    assert_eq!(run.figures.get(Figure::RmsCurrent), None);
}

/// A hard edge springs back at k/c = 350e3/100 a second once it is clear: over before a tick is. Its impact lies
/// above that of the default edge and below v sqrt(k M) with tester and edge in series and all mass rigid, plus
/// twice the push of the drive; nothing runs away.
#[test]
fn a_hard_edge_springs_back_without_running_away() {
    let impact = |stiffness: f64| {
        let mut p = Parameters::default();
        p.edge.stiffness_n_per_m = stiffness;
        let (door, run) = run(p, &[0.05, 0.3, 0.5]);
        for gap in &run.force {
            assert!(gap.force_over_time.iter().all(|(_, force)| force.is_finite() && *force < 5000.0));
            assert_eq!(gap.residual_force_n, Some(0.0));
        }
        (door, run.figures.get(Figure::ImpactForce).unwrap())
    };
    let (_, soft) = impact(40e3);
    for stiffness in [280e3, 350e3, 500e3] {
        let (door, hard) = impact(stiffness);
        let series = 1.0 / (1.0 / stiffness + 1.0 / 500e3);
        let mass: f64 = door.ring().masses_kg.iter().sum();
        let push = 5.0 * door.derived().pull_per_ampere_n;
        let most = 0.32 * f64::sqrt(series * mass) + 2.0 * push;
        assert!(hard > soft && hard < most, "{hard} N at {stiffness} N/m: between {soft} and {most}");
    }
}
