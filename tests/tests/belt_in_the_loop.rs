//! Strand tensions of the whole loop against the statics of a spring ring.

use tautleaf_physics::parameters::LeafForce;
use tautleaf_physics::{CycleOptions, Door, Figure, Parameters, Plan, Run, Start, belt, cycle};
use tautleaf_tests::lossless_door;

const INSTALLED_N: f64 = 200.0;

/// A leaf of a lossless loop whose gear locks itself, pulled open by a steady force until it has come to rest.
fn pulled(pull_n: f64) -> (Door, Run) {
    let mut p: Parameters = lossless_door();
    p.gear.efficiency = 0.3;
    p.belt.tension_n = INSTALLED_N;
    p.belt.damping_time_s = 0.02;
    p.rollers.viscous_n_s_per_m = 3000.0;
    p.forces.push(LeafForce { constant_n: pull_n, ..LeafForce::default() });
    let door = Door::try_from(p).unwrap();
    let options = CycleOptions {
        plan: Plan::Off { for_s: 3.0 },
        start: Start::At { opening_m: 0.4, speed_m_per_s: 0.0 },
        ..CycleOptions::default()
    };
    let run = cycle(&door, &options);
    (door, run)
}

/// The slack strand carries nothing from F = T_0 L/y on: 1371 N here. The two rules of the trade, T_0 >= F and
/// T_0 >= F/2, are the limits of this for y near L and for equal ways round (common practice, no source).
#[test]
fn a_strand_goes_slack_where_the_pull_exceeds_tension_times_loop_over_span() {
    let limit = INSTALLED_N * 4.8 / 0.7;
    let (_, below) = pulled(0.97 * limit);
    let (_, above) = pulled(1.03 * limit);
    assert_eq!(below.figures.get(Figure::SlackTime), Some(0.0));
    assert!(above.figures.get(Figure::SlackTime).unwrap() > 1.0);
    assert_eq!(above.figures.get(Figure::LeastTension), Some(0.0));
    let (_, slack_linear) = belt::strands_under_pull_n(100.0, 100.0, 1.0, 1.0);
    let (_, slack_equal) = belt::strands_under_pull_n(50.0, 100.0, 1.0, 0.5);
    assert_eq!((slack_linear, slack_equal), (0.0, 0.0));
}
