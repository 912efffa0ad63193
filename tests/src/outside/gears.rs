//! Gears, driven forwards and backwards, through the whole model.

use tautleaf_physics::{CycleOptions, Parameters, Plan, State, cycle};

use super::Standing::{Derived, Memory};
use super::Tolerance::{By, Share};
use super::runs::{door, push, roll};
use super::{Check, Source};
use crate::lossless_door;

const SHIGLEY: Source =
    Source::new(Memory, "Shigley, table of worm efficiency at mu 0.05, 14.5 deg; its formula published");
const WORM: Source =
    Source::new(Derived, "textbook worm relation driven backwards, 2 - 1/eta, from the mesh law");

/// Efficiency of a worm, (cos phi - mu tan lead)/(cos phi + mu/tan lead).
fn worm_efficiency(friction: f64, pressure_deg: f64, lead_deg: f64) -> f64 {
    let (cos, tan) = (pressure_deg.to_radians().cos(), lead_deg.to_radians().tan());
    (cos - friction * tan) / (cos + friction / tan)
}

/// What a leaf pulls against over what its motor puts in, while it opens at a steady speed against 200 N.
fn efficiency_of_a_run(efficiency: f64) -> f64 {
    let load = 200.0;
    let mut p: Parameters = lossless_door();
    p.leaf.stroke_m = 2.0;
    p.gear.efficiency = efficiency;
    p.belt.tension_n = 400.0;
    p.belt.damping_time_s = 0.005;
    p.opening.speed_m_per_s = 0.2;
    p.opening.current_limit_a = 100.0;
    p.supply.voltage_v = 200.0;
    p.forces.push(push(-load));
    let door = door(p);
    let run = cycle(&door, &CycleOptions { plan: Plan::Open, ..CycleOptions::default() });
    let steady = run
        .samples
        .iter()
        .filter(|sample| sample.state == State::Opening && (1.0..1.7).contains(&sample.leaf_position_m[0]));
    let (sum, count) = steady.fold((0.0, 0.0), |(sum, count), sample| (sum + sample.current_a, count + 1.0));
    load / (door.derived().pull_per_ampere_n * sum / count)
}

/// Printed efficiencies at five lead angles.
pub fn worms() -> Vec<Check> {
    [(1.0, 25.2), (2.5, 45.7), (5.0, 62.6), (10.0, 76.6), (15.0, 82.7)]
        .into_iter()
        .map(|(lead, printed)| {
            let ours = 100.0 * efficiency_of_a_run(worm_efficiency(0.05, 14.5, lead));
            let fact = format!("pull over motor force behind a worm of {lead} deg");
            SHIGLEY.check(fact, "%", (printed, ours), By(0.2), "rounding; the speed swings by encoder counts")
        })
        .collect()
}

/// A hand pushes a lossless leaf with 40 N against the drive: a = F/(m + m_d/(2 - 1/eta)); at eta 0.5 and less nothing turns.
pub fn backwards() -> Vec<Check> {
    let push_at = |efficiency: f64| {
        let mut p = lossless_door();
        p.leaf.stroke_m = 3.0;
        p.gear.efficiency = efficiency;
        p.belt.tension_n = 400.0;
        p.belt.damping_time_s = 0.005;
        p.forces.push(push(40.0));
        let door = door(p);
        let run = roll(&door, 0.2, 0.0, 2.0);
        (door, run)
    };
    let mut checks = Vec::new();
    for (efficiency, backwards) in [(0.75, 0.667), (0.90, 0.889)] {
        let (door, run) = push_at(efficiency);
        let masses = &door.ring().masses_kg;
        let a = run.samples.last().map_or(f64::NAN, |sample| sample.leaf_speed_m_per_s[0]) / 2.0;
        let ours = masses[0] / (40.0 / a - masses[1] - masses[2]);
        let fact = format!("efficiency backwards at {efficiency}");
        checks.push(WORM.check(
            fact,
            "",
            (backwards, ours),
            Share(0.01),
            "a small difference of masses; the belt swings",
        ));
    }
    for efficiency in [0.5, 0.4] {
        let (_, run) = push_at(efficiency);
        let moved = run.samples.last().map_or(f64::NAN, |sample| sample.drive_position_m - 0.2);
        let fact = format!("travel of the drive under 40 N at {efficiency}: it locks itself");
        checks.push(WORM.check(
            fact,
            "mm",
            (0.0, 1e3 * moved),
            By(0.1),
            "it turns until the belt has settled",
        ));
    }
    checks
}
