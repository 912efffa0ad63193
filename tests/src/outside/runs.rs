//! Runs that several groups need.

use tautleaf_physics::parameters::LeafForce;
use tautleaf_physics::{CycleOptions, Door, Parameters, Plan, Run, Start, cycle};

/// Builds a door that is known to be possible.
pub fn door(p: Parameters) -> Door {
    Door::try_from(p).expect("a door of a check is possible")
}

/// Rolls with the power off from a place at a speed.
pub fn roll(door: &Door, opening_m: f64, speed_m_per_s: f64, for_s: f64) -> Run {
    let options = CycleOptions {
        plan: Plan::Off { for_s },
        start: Start::At { opening_m, speed_m_per_s },
        skip_standing: false,
        ..CycleOptions::default()
    };
    cycle(door, &options)
}

/// A steady force on every leaf, opening positive, N.
pub fn push(constant_n: f64) -> LeafForce {
    LeafForce { constant_n, ..LeafForce::default() }
}

/// All that moves with the belt, kg.
pub fn moving_mass_kg(door: &Door) -> f64 {
    door.ring().masses_kg.iter().sum()
}

/// Takes off the leaf what the rest of the loop weighs, so that all that moves is `mass_kg`.
pub fn with_moving_mass(mut p: Parameters, mass_kg: f64) -> Door {
    p.leaf.mass_kg = mass_kg;
    let more = moving_mass_kg(&door(p.clone())) - mass_kg;
    p.leaf.mass_kg -= more;
    door(p)
}

/// Slope of a straight line through points, least squares.
pub fn slope(points: &[(f64, f64)]) -> f64 {
    let n = points.len() as f64;
    let (sum_x, sum_y) = points.iter().fold((0.0, 0.0), |(x, y), point| (x + point.0, y + point.1));
    let (mean_x, mean_y) = (sum_x / n, sum_y / n);
    let (mut above, mut below) = (0.0, 0.0);
    for (x, y) in points {
        above += (x - mean_x) * (y - mean_y);
        below += (x - mean_x) * (x - mean_x);
    }
    above / below
}
