//! Leaves that roll with the power off, against their equations of motion.

use tautleaf_physics::{CycleOptions, Door, Parameters, Plan, Run, Start, cycle};
use tautleaf_tests::lossless_door;

fn roll(p: Parameters, from_m: f64, at_m_per_s: f64, for_s: f64) -> (Door, Run) {
    let door = Door::try_from(p).unwrap();
    let options = CycleOptions {
        plan: Plan::Off { for_s },
        start: Start::At { opening_m: from_m, speed_m_per_s: at_m_per_s },
        ..CycleOptions::default()
    };
    let run = cycle(&door, &options);
    (door, run)
}

fn moving_mass_kg(door: &Door) -> f64 {
    door.ring().masses_kg.iter().sum()
}

/// M dv/dt = -c v, so v(t) = v0 exp(-c t/M), M all that moves with the belt (derived).
#[test]
fn coasting_leaf_on_viscous_rollers_slows_exponentially() {
    let mut p = lossless_door();
    p.leaf.stroke_m = 3.0;
    p.rollers.viscous_n_s_per_m = 80.0;
    let (door, run) = roll(p, 0.2, 0.8, 2.0);
    for sample in run.samples.iter().filter(|sample| sample.t_s > 0.1) {
        let expected = 0.8 * (-80.0 * sample.t_s / moving_mass_kg(&door)).exp();
        // the belt swings by the drag on the leaf: 0.5 %
        let found = sample.leaf_speed_m_per_s[0];
        assert!((found / expected - 1.0).abs() < 0.005, "{found} instead of {expected} at {} s", sample.t_s);
    }
}

/// M v dv/dx = -c_rr m g, so it stops after M v0^2/(2 c_rr m g), exactly, and stays (derived).
#[test]
fn coasting_leaf_on_dry_rollers_stops_after_its_energy_over_its_drag() {
    let mut p = lossless_door();
    p.leaf.stroke_m = 3.0;
    p.rollers.resistance = 0.02;
    let (door, run) = roll(p, 0.2, 0.5, 10.0);
    let drag = 0.02 * 80.0 * 9.80665;
    let expected = moving_mass_kg(&door) * 0.25 / (2.0 * drag);
    let last = run.samples.last().unwrap();
    let found = last.leaf_position_m[0] - 0.2;
    // friction at the leaf alone leaves the lossless pulleys swinging: 1 %
    assert!((found / expected - 1.0).abs() < 0.01, "{found} instead of {expected}");
}

/// A leaf that would have to roll uphill against less than its breakaway stays: parked an hour on a slope of
/// 10 mm/m with c_rr 0.010 and breakaway 1.3 it moves less than a micrometre, every tick integrated.
#[test]
fn parked_an_hour_on_a_slope_below_breakaway_it_moves_less_than_a_micrometre() {
    let mut p = Parameters::default();
    p.rail.slope = -0.010;
    p.seal.brush_n_per_m = 0.0;
    p.seal.end_stiffness_n_per_m = 0.0;
    let door = Door::try_from(p).unwrap();
    let options = CycleOptions {
        plan: Plan::Off { for_s: 3600.0 },
        start: Start::At { opening_m: 0.5, speed_m_per_s: 0.0 },
        skip_standing: false,
        ..CycleOptions::default()
    };
    let run = cycle(&door, &options);
    let moved = run.samples.last().unwrap().leaf_position_m[0] - 0.5;
    assert!(moved.abs() < 1e-6, "{moved} m");
    assert_eq!(run.samples.len(), 3_600_001);
}

/// The same leaf with the belt's help gone (open gear, light drive) rolls once the slope exceeds breakaway.
#[test]
fn on_a_slope_beyond_breakaway_it_rolls() {
    let mut p = lossless_door();
    p.rollers.resistance = 0.010;
    p.rollers.breakaway = 1.3;
    p.rail.slope = -0.014;
    let (_, run) = roll(p, 0.2, 0.0, 3.0);
    assert!(run.samples.last().unwrap().leaf_position_m[0] > 0.25);
}
