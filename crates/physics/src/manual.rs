//! Moving the leaf with the power off: quasi-static, closed form but for the tensions.

use crate::belt::G;
use crate::door::Door;

/// Speed at which the force with a shorted winding is given, m/s.
pub const SHORTED_SPEED_M_PER_S: f64 = 0.1;

/// Steady hand force on the leaves together that moves the door open, winding open, N. `None`: the gear locks.
///
/// ```text
/// F = sum(rolling + brush + slope) + F_r + F_d/(1 - lambda)
/// ```
///
/// F_r: drag of the return pulley; F_d: bearing drag of the drive pulley and rotor friction, which the mesh
/// magnifies. Bearing drag follows the tensions of that state.
pub fn opening_force_n(door: &Door) -> Option<f64> {
    force(door, 0.0, 0.0)
}

/// The same with the winding shorted, at 0.1 m/s, N: adds (N K/r)^2 v / (R (1 - lambda)).
pub fn opening_force_shorted_n(door: &Door) -> Option<f64> {
    let derived = door.derived();
    let brake = derived.pull_per_ampere_n.powi(2) * SHORTED_SPEED_M_PER_S / derived.resistance_ohm;
    force(door, brake, SHORTED_SPEED_M_PER_S)
}

fn force(door: &Door, brake_n: f64, speed: f64) -> Option<f64> {
    let (p, derived) = (door.parameters(), door.derived());
    let back = derived.back_driving_efficiency;
    if back <= 0.0 {
        return None;
    }
    let bearing = p.pulleys.bearing_friction * p.pulleys.bearing_diameter_ratio;
    let rotor = p.motor.rotor_friction_n_m * p.gear.ratio / door.ring().radius_m;
    // At each pulley the two strands add up to twice the installed tension, as near as their stiffness is equal.
    let bearing_drag = bearing * 2.0 * p.belt.tension_n + p.pulleys.drag_n;
    let belt = bearing_drag + (bearing_drag + rotor + brake_n) / back;
    let leaves: f64 = door
        .ring()
        .leaves
        .iter()
        .map(|leaf| {
            let weight = leaf.mass_kg * G;
            let rolling = p.rollers.resistance * weight;
            rolling
                + p.rollers.viscous_n_s_per_m * speed
                + p.seal.brush_n_per_m * p.leaf.height_m
                + leaf.uphill * weight * p.rail.slope
        })
        .sum();
    Some((leaves + belt).max(0.0))
}

/// Pull of the slope beyond what friction at rest holds, power off, N; 0: the door stays where it is.
pub fn drift_force_n(door: &Door) -> f64 {
    let p = door.parameters();
    let bearing = p.pulleys.bearing_friction * p.pulleys.bearing_diameter_ratio;
    let bearing_drag = bearing * 2.0 * p.belt.tension_n + p.pulleys.drag_n;
    let rotor = p.motor.rotor_friction_n_m * p.gear.ratio / door.ring().radius_m;
    let back = door.derived().back_driving_efficiency;
    if back <= 0.0 {
        return 0.0;
    }
    let (mut pull, mut held) = (0.0, bearing_drag + (bearing_drag + rotor) / back);
    for leaf in &door.ring().leaves {
        let weight = leaf.mass_kg * G;
        pull -= leaf.uphill * weight * p.rail.slope;
        held += p.rollers.resistance * p.rollers.breakaway * weight + p.seal.brush_n_per_m * p.leaf.height_m;
    }
    (pull.abs() - held).max(0.0)
}
