//! What DEVELOPERS.md says about when a time begins, over which stretch something counts, and of which leaf a figure is.

use tautleaf_physics::parameters::{Arrangement, Obstacle};
use tautleaf_physics::{CycleOptions, Door, EventKind, Figure, Parameters, Run, cycle, felt};

fn run(p: Parameters) -> (Door, Run) {
    let door = Door::try_from(p).unwrap();
    let run = cycle(&door, &CycleOptions::default());
    (door, run)
}

/// The first tick at which the leaf is seen to be held up is where detection begins: with no time to detect it is noticed
/// there, with t_detect exactly that much later; t_react runs from there.
#[test]
fn detection_is_counted_from_the_first_tick_at_which_the_leaf_is_seen_held_up() {
    let noticed = |detect_s: f64| {
        let mut p = Parameters::default();
        p.obstruction.detect_s = detect_s;
        p.obstruction.react_s = 0.037;
        p.obstacle = Some(Obstacle { gap_m: 0.4, stays_s: 100.0, ..Obstacle::default() });
        let (_, run) = run(p);
        let first = |kind| run.events.iter().find(|event| event.kind == kind).unwrap().at.t_s;
        (first(EventKind::ObstructionNoticed), first(EventKind::Reversed))
    };
    let (seen, _) = noticed(0.0);
    for detect_s in [0.020, 0.060] {
        let (then, reversed) = noticed(detect_s);
        assert!((then - seen - detect_s).abs() < 1e-9, "{} instead of {detect_s} s", then - seen);
        assert!((reversed - then - 0.037).abs() < 1e-9, "{} s", reversed - then);
    }
}

/// A belt without tension has a slack strand from the first command to the end of the run, standing included; strands that
/// are slack together count once.
#[test]
fn slack_time_counts_from_the_first_command_to_the_end_of_the_run() {
    let mut p = Parameters::default();
    p.belt.tension_n = 0.0;
    p.belt.damping_time_s = 0.0;
    let (_, run) = run(p);
    let (slack, end) = (run.figures.get(Figure::SlackTime).unwrap(), run.samples.last().unwrap().t_s);
    assert!(run.finished && (slack - end).abs() < 1e-6, "{slack} of {end} s");
}

/// Extremes are those of every sample: from the door at rest before the first command to the end of the run, no matter what
/// the controller is doing.
#[test]
fn extremes_are_those_of_every_tick_of_the_run() {
    let (_, run) = run(Parameters::default());
    let loads = run.samples.iter().flat_map(|sample| sample.hanger_load_n[0]);
    assert_eq!(run.figures.get(Figure::GreatestHangerLoad), loads.clone().reduce(f64::max));
    assert_eq!(run.figures.get(Figure::LeastHangerLoad), loads.reduce(f64::min));
    let tensions = run.samples.iter().flat_map(|sample| sample.tension_n[..3].to_vec());
    assert_eq!(run.figures.get(Figure::GreatestTension), tensions.clone().reduce(f64::max));
    assert_eq!(run.figures.get(Figure::LeastTension), tensions.reduce(f64::min));
    assert_eq!(run.samples[0].t_s, 0.0);
}

/// Of a pair, acceleration, jerk and overshoot are those of the leaf that has most, each for itself.
#[test]
fn acceleration_jerk_and_overshoot_of_a_pair_are_those_of_the_leaf_that_has_most() {
    let mut most_of = [[0; 2]; 3];
    for second_mass_kg in [40.0, 160.0] {
        let mut p = Parameters { arrangement: Arrangement::BiParting, ..Parameters::default() };
        p.leaf.second_mass_kg = Some(second_mass_kg);
        p.belt.specific_stiffness_n_per_m = 5e6;
        let (door, run) = run(p);
        let tick_s = door.parameters().controller.tick_s;
        let told = |kind| run.events.iter().find(|event| event.kind == kind).unwrap().at.t_s;
        let closes = told(EventKind::CommandClose);
        let each = [0, 1].map(|leaf| {
            let felt = felt(&run.samples, leaf, tick_s);
            let opening = run.samples.iter().filter(|sample| sample.t_s < closes + 1e-9);
            [
                felt.iter().map(|felt| felt.acceleration_m_per_s2.abs()).fold(0.0, f64::max),
                felt.iter().map(|felt| felt.jerk_m_per_s3.abs()).fold(0.0, f64::max),
                opening.map(|sample| sample.leaf_position_m[leaf] - door.travel_m()).fold(0.0, f64::max),
            ]
        });
        let figures = [Figure::PeakAcceleration, Figure::PeakJerk, Figure::OvershootOpen];
        for (n, figure) in figures.into_iter().enumerate() {
            let found = run.figures.get(figure).unwrap();
            assert_eq!(found, each[0][n].max(each[1][n]), "{figure:?} of {each:?}");
            most_of[n][usize::from(each[1][n] > each[0][n])] += 1;
        }
    }
    assert!(most_of.iter().all(|of| of[1] > 0), "never the second leaf: {most_of:?}");
}
