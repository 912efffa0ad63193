//! Motors: a rigid drive, a step of voltage, the winding's copper.

use tautleaf_physics::{CycleOptions, Door, Parameters, Plan, Run, cycle, motor};

use super::Standing::{Derived, Memory, Published};
use super::Tolerance::{By, Share};
use super::runs::{slope, with_moving_mass};
use super::{Check, Source};
use crate::lossless_leaf;

const TRACTION: Source = Source::new(
    Memory,
    "Dorf & Bishop, Modern Control Systems, traction drive: theta/V = 26.035/(s (s + 33.142)); inputs published",
);
const STEP: Source =
    Source::new(Published, "University of Michigan, Control Tutorials, DC Motor Speed: System Analysis");
const COPPER: Source = Source::new(Published, "handbook: 0.00385/K referred to 25 C");

const PULLEY_TEETH: f64 = 20.0;

/// A lossless leaf on a pulley of this radius behind a motor without a gear, whose controller puts the whole bus voltage
/// on the winding from its first tick on: the speed that it wants is never reached.
fn under_one_volt(radius_m: f64) -> Parameters {
    let mut p = lossless_leaf();
    p.pulleys.teeth = PULLEY_TEETH;
    p.belt.pitch_m = std::f64::consts::TAU * radius_m / PULLEY_TEETH;
    p.gear.ratio = 1.0;
    p.supply.voltage_v = 1.0;
    p.controller.proportional_gain_a_s_per_m = Some(1e6);
    p.controller.counts_per_turn = 1e6;
    p.opening.speed_m_per_s = 10.0;
    p.opening.acceleration_m_per_s2 = 100.0;
    p.opening.current_limit_a = 1000.0;
    p.obstruction.detect_s = 60.0;
    p
}

fn opened(door: &Door) -> Run {
    cycle(door, &CycleOptions { plan: Plan::Open, ..CycleOptions::default() })
}

/// Slope of ln(1 - v/v_end) between two times, 1/s.
fn decay(run: &Run, end_m_per_s: f64, from_s: f64, to_s: f64) -> f64 {
    let points: Vec<(f64, f64)> = run
        .samples
        .iter()
        .filter(|sample| (from_s..to_s).contains(&sample.t_s))
        .map(|sample| (sample.t_s, (1.0 - sample.drive_speed_m_per_s / end_m_per_s).ln()))
        .collect();
    slope(&points)
}

/// M 5.693 + 6.96 kg, r 0.03175 m, J 0.01091 kg m2, b 0.268 N m s, K_m 0.8379 N m/A, K_b 0.838, R 1.36 ohm.
pub fn traction_drive() -> Vec<Check> {
    let radius = 0.03175;
    let mut p = under_one_volt(radius);
    p.belt.specific_stiffness_n_per_m = 22e9;
    p.pulleys.return_inertia_kg_m2 = radius * radius;
    p.rollers.viscous_n_s_per_m = 0.268 / (radius * radius);
    p.motor.torque_constant_n_m_per_a = 0.8379;
    p.motor.resistance_ohm = 1.36;
    p.motor.inductance_h = 0.0;
    p.motor.rotor_inertia_kg_m2 = 0.01091;
    let total = 5.693 + 6.96 + 0.01091 / (radius * radius);
    let run = opened(&with_moving_mass(p, total));
    let end = run
        .samples
        .iter()
        .rev()
        .find(|sample| sample.t_s < 1.0)
        .map_or(0.0, |sample| sample.drive_speed_m_per_s);
    let rate = -decay(&run, end, 0.002, 0.1);
    let why = "the belt gives a little, and one torque constant stands for two";
    vec![
        TRACTION.check("pole", "1/s", (33.142, rate), Share(0.002), why),
        TRACTION.check(
            "gain: end speed times pole",
            "rad/(s2 V)",
            (26.035, end / radius * rate),
            Share(0.002),
            why,
        ),
    ]
}

/// J 0.01 kg m2, b 0.1 N m s, K 0.01, R 1 ohm, L 0.5 H, 1 V.
pub fn motor_step() -> Vec<Check> {
    let radius = 0.02;
    let mut p = under_one_volt(radius);
    p.leaf.stroke_m = 0.2;
    p.belt.specific_stiffness_n_per_m = 22e7;
    p.pulleys.return_inertia_kg_m2 = radius * radius;
    p.rollers.viscous_n_s_per_m = 0.1 / (radius * radius);
    p.motor.torque_constant_n_m_per_a = 0.01;
    p.motor.resistance_ohm = 1.0;
    p.motor.inductance_h = 0.5;
    p.motor.rotor_inertia_kg_m2 = 0.002;
    let run = opened(&with_moving_mass(p, 0.01 / (radius * radius)));
    let end = run
        .samples
        .iter()
        .rev()
        .find(|sample| sample.t_s < 10.0)
        .map_or(0.0, |sample| sample.drive_speed_m_per_s);
    let settled = run.samples.iter().find(|sample| sample.drive_speed_m_per_s >= 0.98 * end);
    let exact = Source::new(Derived, "the same system's slower pole, exact");
    vec![
        STEP.check(
            "end speed",
            "rad/s",
            (0.1, end / radius),
            Share(0.002),
            "printed without more digits; exact 0.0999",
        ),
        STEP.check(
            "settling to 2 %",
            "s",
            (2.07, settled.map_or(f64::NAN, |sample| sample.t_s)),
            By(0.02),
            "read off a plot",
        ),
        exact.check(
            "slower pole",
            "1/s",
            (-2.0025, decay(&run, end, 1.0, 3.0)),
            Share(0.002),
            "the faster one has not quite faded",
        ),
    ]
}

/// Resistance at 105 C over that at 25 C.
pub fn copper() -> Vec<Check> {
    let mut p = Parameters::default();
    p.motor.winding_temperature_c = 105.0;
    let ratio = motor::resistance(&p.motor) / p.motor.resistance_ohm;
    let other = Source::new(Published, "handbook: 0.00393/K referred to 20 C");
    let by_20 = (1.0 + 0.00393 * 85.0) / (1.0 + 0.00393 * 5.0);
    vec![
        COPPER.check("copper at 105 C over 25 C", "", (1.308, ratio), By(1e-9), "exact"),
        other.check(
            "the same by the other constant",
            "",
            (by_20, ratio),
            By(0.001),
            "the two constants are rounded",
        ),
    ]
}
