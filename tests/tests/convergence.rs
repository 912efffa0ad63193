//! How fast a run comes nearer to its exact solution as the steps get shorter.

use tautleaf_physics::{CycleOptions, Door, Parameters, Plan, Run, Start, cycle};
use tautleaf_tests::lossless_door;

/// A leaf that swings on a soft belt while it coasts on viscous rollers: no friction, no controller, nothing that is
/// touched, so every force is smooth.
fn smooth_door() -> Door {
    let mut p: Parameters = lossless_door();
    p.leaf.stroke_m = 2.0;
    p.belt.tension_n = 800.0;
    p.belt.damping_time_s = 0.0005;
    p.rollers.viscous_n_s_per_m = 150.0;
    Door::try_from(p).unwrap()
}

fn run(door: &Door, refine: u32) -> Run {
    let options = CycleOptions {
        plan: Plan::Off { for_s: 1.0 },
        start: Start::At { opening_m: 0.4, speed_m_per_s: 0.6 },
        refine,
        ..CycleOptions::default()
    };
    cycle(door, &options)
}

/// Greatest difference of any leaf speed, m/s, and of any tension, N.
fn difference(a: &Run, b: &Run) -> (f64, f64) {
    let (mut speed, mut tension) = (0.0_f64, 0.0_f64);
    for (a, b) in a.samples.iter().zip(&b.samples) {
        speed = speed.max((a.leaf_speed_m_per_s[0] - b.leaf_speed_m_per_s[0]).abs());
        tension = tension.max((a.tension_n[0] - b.tension_n[0]).abs());
    }
    (speed, tension)
}

/// Classic Runge-Kutta: half the step, a sixteenth of the error. Against 64 times as many steps, whose own error is
/// 16^-6 of the first one's. At an eighth of the step what is left is rounding: 4e-13 m/s, 4e-9 N.
#[test]
fn half_the_step_leaves_a_sixteenth_of_the_error() {
    let door = smooth_door();
    let exact = run(&door, 64);
    let errors: Vec<(f64, f64)> = [1, 2, 4].map(|refine| difference(&run(&door, refine), &exact)).to_vec();
    for pair in errors.windows(2) {
        for (order, what) in
            [((pair[0].0 / pair[1].0).log2(), "speed"), ((pair[0].1 / pair[1].1).log2(), "tension")]
        {
            println!("{what}: order {order:.2}");
            assert!((3.6..4.4).contains(&order), "{what}: order {order} of {errors:?}");
        }
    }
}

/// The same without any loss, on a slope: its swing does not die.
fn lossless_swing() -> Door {
    let mut p = lossless_door();
    p.leaf.stroke_m = 3.0;
    p.rail.slope = 0.004;
    p.belt.tension_n = 800.0;
    p.belt.damping_time_s = 0.0;
    Door::try_from(p).unwrap()
}

/// Nothing lossy: what the leaf is given at the start, it keeps, as motion and as strain; strain that the belt carries over
/// the pulleys counted (closed form: conservation).
#[test]
fn a_door_without_losses_keeps_its_energy() {
    let run = run(&lossless_swing(), 1);
    let energy = run.energy;
    assert_eq!(energy.losses_j(), 0.0);
    assert_eq!((energy.bus_j, energy.copper_j, energy.end_seal_j), (0.0, 0.0, 0.0));
    let exchanged = energy.slope_j + energy.carried_j;
    let kept = energy.kinetic_j + energy.strain_j;
    assert!(energy.slope_j.abs() > 1.0, "{} J: the case has gone", energy.slope_j);
    assert!((kept - exchanged).abs() < 1e-9 * energy.slope_j.abs(), "{kept} instead of {exchanged} J");
}
