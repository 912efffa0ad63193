//! Doors drawn at random, the same for the same seed and index.

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use tautleaf_physics::belt::{G, pitch_radius_m};
use tautleaf_physics::parameters::{Arrangement, ObstructionAction};
use tautleaf_physics::{FIELDS, Parameters, WHOLE_NUMBERS};

fn rng(seed: u64, index: u64) -> StdRng {
    StdRng::seed_from_u64(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ index)
}

/// A door drawn from the usual ranges, the same for the same seed and index.
///
/// Ranges that span more than a factor of twenty are drawn evenly over their logarithm.
pub fn random_door(seed: u64, index: u64) -> Parameters {
    let mut rng = rng(seed, index);
    let mut p = Parameters {
        arrangement: [Arrangement::Away, Arrangement::Towards, Arrangement::BiParting]
            [rng.random_range(0..3)],
        ..Parameters::default()
    };
    if rng.random_bool(0.2) {
        p.obstruction.action = ObstructionAction::Stop;
    }
    for field in FIELDS {
        let (low, high) = field.usual;
        let drawn = if low > 0.0 && high / low > 20.0 {
            (rng.random_range(low.ln()..=high.ln())).exp()
        } else {
            rng.random_range(low..=high)
        };
        let drawn = if WHOLE_NUMBERS.contains(&field.key) { drawn.round() } else { drawn };
        if (field.get)(&p).is_some() {
            (field.set)(&mut p, Some(drawn.clamp(low, high)));
        }
    }
    p.motor.winding_temperature_c = 25.0;
    p
}

/// A door whose parts fit each other as somebody who knows the trade would choose them: belt, tension, motor, gear,
/// supply and current limits follow from leaf, speeds and resistance, each with a margin that is drawn.
pub fn coherent_door(seed: u64, index: u64) -> Parameters {
    let mut rng = rng(seed, index);
    let mut between = |low: f64, high: f64| rng.random_range(low..=high);
    let mut p = Parameters {
        arrangement: [Arrangement::Away, Arrangement::Towards, Arrangement::BiParting]
            [between(0.0, 2.999) as usize],
        ..Parameters::default()
    };
    let mass = between(25.0_f64.ln(), 250.0_f64.ln()).exp();
    p.leaf.mass_kg = mass;
    p.leaf.height_m = between(2.0, 2.6);
    p.leaf.width_m = between(0.7, 1.6);
    p.leaf.stroke_m = (p.leaf.width_m - between(0.0, 0.15)).max(0.6);
    p.rollers.resistance = between(0.004, 0.02);
    p.rollers.viscous_n_s_per_m = between(0.0, 20.0);
    p.seal.brush_n_per_m = between(0.0, 8.0);
    // what is heavy goes slowly
    let calm = (80.0 / mass).powf(0.3).clamp(0.6, 1.3);
    p.opening.speed_m_per_s = calm * between(0.3, 0.6);
    p.closing.speed_m_per_s = calm * between(0.15, 0.35);
    for motion in [&mut p.opening, &mut p.closing] {
        motion.acceleration_m_per_s2 = calm * between(0.4, 1.0);
        motion.braking_m_per_s2 = calm * between(0.3, 0.8);
        motion.creep_speed_m_per_s = between(0.04, 0.08).min(motion.speed_m_per_s);
        motion.creep_distance_m = between(0.02, 0.08);
    }
    p.controller.counts_per_turn = between(500.0, 4000.0).round();
    p.controller.hold_open_s = between(0.0, 5.0);

    let leaves = if p.arrangement == Arrangement::BiParting { 2.0 } else { 1.0 };
    let drag = p.rollers.resistance * p.rollers.breakaway * mass * G + p.seal.brush_n_per_m * p.leaf.height_m;
    let moving = |motion: f64| leaves * (mass * motion + drag) + 10.0;
    let pull_open = between(1.5, 3.0) * moving(p.opening.acceleration_m_per_s2);
    let pull_close = between(1.2, 2.0) * moving(p.closing.acceleration_m_per_s2);
    p.belt.width_m = if pull_open > 300.0 { 0.025 } else { 0.015 };
    p.belt.tension_n = (pull_open * between(0.6, 1.2)).max(80.0);
    p.belt.damping_time_s = between(0.0005, 0.002);

    p.gear.efficiency = between(0.6, 0.95);
    p.gear.ratio = between(8.0, 20.0);
    let radius = pitch_radius_m(p.belt.pitch_m, p.pulleys.teeth);
    let bus = [24.0, 36.0][between(0.0, 1.999) as usize];
    p.supply.voltage_v = bus;
    // the bus drives the motor a third to twice faster than it has to go
    let turns = p.opening.speed_m_per_s / radius * p.gear.ratio;
    p.motor.torque_constant_n_m_per_a = bus / (turns * between(1.35, 2.0));
    let per_ampere = p.motor.torque_constant_n_m_per_a * p.gear.ratio * p.gear.efficiency / radius;
    p.opening.current_limit_a = pull_open / per_ampere;
    p.closing.current_limit_a = pull_close / per_ampere;
    p.controller.press_current_a = 0.2 * p.closing.current_limit_a;
    // at the limit the winding takes a tenth to a fifth of the bus
    p.motor.resistance_ohm = bus * between(0.1, 0.2) / p.opening.current_limit_a;
    p.motor.inductance_h = p.motor.resistance_ohm * between(0.3e-3, 1e-3);
    // rotor and leaf alike, or less
    let rotor = leaves * mass * radius * radius / (p.gear.ratio * p.gear.ratio);
    p.motor.rotor_inertia_kg_m2 = rotor * between(0.1, 0.8);
    p.edge.stiffness_n_per_m = between(10e3, 60e3);
    p
}
