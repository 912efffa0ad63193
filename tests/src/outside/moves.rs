//! What a move costs in RMS force, through the whole model.

use tautleaf_physics::{CycleOptions, Parameters, Plan, State, cycle};

use super::Standing::Derived;
use super::Tolerance::Share;
use super::runs::{door, moving_mass_kg};
use super::{Check, Source};
use crate::lossless_door;

const TRAPEZOID: Source = Source::new(
    Derived,
    "textbook: with ramps of p t each, F_rms = m d/t^2 sqrt(2 p)/(p (1 - p)); least, 3.674, at p = 1/3",
);

/// RMS of the drive's force over a lossless opening with ramps of this share of the planned time, over m d/t^2.
fn rms_over_least_unit(ramp_share: f64) -> f64 {
    let (distance, time) = (3.0, 10.0); // so long that the corners count for little
    let speed = distance / (time * (1.0 - ramp_share));
    let mut p: Parameters = lossless_door();
    p.leaf.stroke_m = distance;
    p.belt.tension_n = 600.0;
    p.belt.damping_time_s = 0.004;
    p.supply.voltage_v = 200.0;
    p.controller.counts_per_turn = 100_000.0;
    p.controller.stop_distance_m = 0.0;
    p.controller.speed_filter_s = 0.0;
    p.opening.current_limit_a = 200.0;
    p.opening.speed_m_per_s = speed;
    p.opening.acceleration_m_per_s2 = speed / (ramp_share * time);
    p.opening.braking_m_per_s2 = speed / (ramp_share * time);
    p.opening.creep_distance_m = 0.0;
    p.opening.creep_speed_m_per_s = 0.005;
    let door = door(p);
    let run = cycle(&door, &CycleOptions { plan: Plan::Open, ..CycleOptions::default() });
    let pull = door.derived().pull_per_ampere_n;
    let tick = door.parameters().controller.tick_s;
    let opening = run.samples.iter().filter(|sample| sample.state == State::Opening);
    let squares: f64 = opening.map(|sample| (pull * sample.current_a).powi(2) * tick).sum();
    (squares / time).sqrt() * time * time / (moving_mass_kg(&door) * distance)
}

/// Three trapezoids: the one by thirds, a steeper and a triangle.
pub fn least_rms_force() -> Vec<Check> {
    let why = "the speed loop swings a little behind each corner";
    [(1.0 / 3.0, 3.674), (0.2, 3.953), (0.45, 3.833)]
        .into_iter()
        .map(|(share, expected)| {
            let fact = format!("F_rms over m d/t^2, ramps of {share:.2} t");
            TRAPEZOID.check(fact, "", (expected, rms_over_least_unit(share)), Share(0.01), why)
        })
        .collect()
}
