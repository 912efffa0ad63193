//! Moving the leaf with the power off: quasi-static, closed form but for the tensions.

use crate::belt::G;
use crate::door::Door;
use crate::hanging::Hanging;
use crate::parameters::{LeafForce, Parameters};
use crate::ring::RingLeaf;
use crate::weather;

/// Speed at which the force with a shorted winding is given, m/s.
pub const SHORTED_SPEED_M_PER_S: f64 = 0.1;

/// Hand force on the leaves together that starts the door open from rest, winding open, N, where that is hardest. `None`:
/// the gear locks.
///
/// ```text
/// F = sum(rolling + brush + guide + slope) + listed + rail + F_r + F_d/(1 - lambda)
/// ```
///
/// Rolling at rest is breakaway. F_r: drag of the return pulley; F_d: bearing drag of the drive pulley and rotor friction, which the mesh
/// magnifies. Listed forces that always act, and an uneven rail, count where along the stroke they are worst.
pub fn opening_force_n(door: &Door) -> Option<f64> {
    most(opening_forces_n(door)?)
}

/// The same at places all along the stroke: opening of the leaf, m, and force, N.
pub fn opening_forces_n(door: &Door) -> Option<Vec<(f64, f64)>> {
    forces(door, 0.0, 0.0)
}

fn most(forces_n: Vec<(f64, f64)>) -> Option<f64> {
    forces_n.into_iter().map(|(_, force)| force).reduce(f64::max)
}

/// The same with the winding shorted, at 0.1 m/s, N: adds (N K/r)^2 v / (R (1 - lambda)).
pub fn opening_force_shorted_n(door: &Door) -> Option<f64> {
    let derived = door.derived();
    let brake = derived.pull_per_ampere_n.powi(2) * SHORTED_SPEED_M_PER_S / derived.resistance_ohm;
    most(forces(door, brake, SHORTED_SPEED_M_PER_S)?)
}

fn forces(door: &Door, brake_n: f64, speed: f64) -> Option<Vec<(f64, f64)>> {
    let p = door.parameters();
    let back = door.derived().back_driving_efficiency;
    if back <= 0.0 {
        return None;
    }
    let breakaway = if speed == 0.0 { p.rollers.breakaway } else { 1.0 };
    let (drag, rotor) = drive_friction_n(door);
    let even = leaves_n(door, 1.0, breakaway, speed) + drag + (drag + rotor + brake_n) / back;
    let hangings = hangings(door);
    let at = |x: f64| (x, (even + listed_n(door, &hangings, 1.0, x)).max(0.0));
    Some(along_the_stroke(door, &hangings).map(at).collect())
}

/// What resists a door that moves at a steady speed, seen at the rim of the drive pulley, N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resistance {
    /// Leaves, listed forces, rail and return pulley: what the belt has to pull, through the gear.
    pub pulled_n: f64,
    /// Bearing of the drive pulley and friction of the rotor: what the motor has to turn beside it.
    pub turned_n: f64,
}

/// Steady resistance on the way open or closed, at a speed in m/s.
///
/// ```text
/// pulled = sum(rolling + F_v v + brush + guide +- slope) +- listed + rail + F_r        turned = F_d     (DEVELOPERS.md, eq. 13)
/// ```
///
/// Listed forces that always act, and an uneven rail, count where along the stroke they are worst.
pub fn running_resistance(door: &Door, opening: bool, speed_m_per_s: f64) -> Resistance {
    let way = if opening { 1.0 } else { -1.0 };
    let (drag, rotor) = drive_friction_n(door);
    let hangings = hangings(door);
    let listed = along_the_stroke(door, &hangings).map(|x| listed_n(door, &hangings, way, x));
    Resistance {
        pulled_n: leaves_n(door, way, 1.0, speed_m_per_s) + listed.fold(f64::NEG_INFINITY, f64::max) + drag,
        turned_n: drag + rotor,
    }
}

/// Drag of each pulley, and friction of the rotor at the rim, N.
fn drive_friction_n(door: &Door) -> (f64, f64) {
    let p = door.parameters();
    let bearing = p.pulleys.bearing_friction * p.pulleys.bearing_diameter_ratio;
    // At each pulley the two strands add up to twice the installed tension, as near as their stiffness is equal.
    let drag = bearing * 2.0 * p.belt.tension_n + p.pulleys.drag_n;
    (drag, p.motor.rotor_friction_n_m * p.gear.ratio / door.ring().radius_m)
}

/// What resists all leaves on an even rail on one way, +1 open, -1 closed, N.
fn leaves_n(door: &Door, way: f64, breakaway: f64, speed: f64) -> f64 {
    let p = door.parameters();
    let one = |leaf: &RingLeaf| {
        let weight = leaf.mass_kg * G;
        let rolling = p.rollers.resistance * breakaway * weight;
        let viscous = p.rollers.viscous_n_s_per_m * speed;
        let sideways = p.guide.friction * weather::guide_load_n(p, leaf.mass_kg);
        let slope = way * leaf.uphill * weight * p.rail.slope;
        // the slow leaf of a telescopic door goes half the way
        leaf.ratio
            * (rolling
                + leaf.ratio * viscous
                + second_pulleys_n(p, leaf)
                + p.seal.brush_n_per_m * p.leaf.height_m
                + sideways
                + slope)
    };
    door.ring().leaves.iter().map(one).sum()
}

/// What listed forces and an uneven rail resist on one way with every leaf at x, N.
fn listed_n(door: &Door, hangings: &[(Hanging, f64)], way: f64, x: f64) -> f64 {
    let (push, drag) = standing_forces(door, x);
    drag - way * (push + rail_force_n(hangings, x))
}

/// Pull of slope and listed forces beyond what friction at rest holds, power off, worst place, N; 0: the door stays where it is.
pub fn drift_force_n(door: &Door) -> f64 {
    drift_forces_n(door).into_iter().map(|(_, force)| force).fold(0.0, f64::max)
}

/// The same at places all along the stroke: opening of the leaf, m, and pull, N; 0: it stays there.
pub fn drift_forces_n(door: &Door) -> Vec<(f64, f64)> {
    let p = door.parameters();
    let back = door.derived().back_driving_efficiency;
    if back <= 0.0 {
        return vec![(0.0, 0.0)];
    }
    let (drag, rotor) = drive_friction_n(door);
    let (mut pull, mut held) = (0.0, drag + (drag + rotor) / back);
    for leaf in &door.ring().leaves {
        let weight = leaf.mass_kg * G;
        pull -= leaf.ratio * leaf.uphill * weight * p.rail.slope;
        held += leaf.ratio * second_pulleys_n(p, leaf);
        held += leaf.ratio
            * (p.rollers.resistance * p.rollers.breakaway * weight
                + p.seal.brush_n_per_m * p.leaf.height_m
                + p.guide.friction * weather::guide_load_n(p, leaf.mass_kg));
    }
    let hangings = hangings(door);
    let beyond = |x: f64| {
        let (push, drag) = standing_forces(door, x);
        (x, ((pull + push + rail_force_n(&hangings, x)).abs() - held - drag).max(0.0))
    };
    along_the_stroke(door, &hangings).map(beyond).collect()
}

/// Drag of the two pulleys of a second loop, which turn on its slow leaf, N.
fn second_pulleys_n(p: &Parameters, leaf: &RingLeaf) -> f64 {
    let Some(telescope) = p.telescope.filter(|_| leaf.ratio < 1.0) else { return 0.0 };
    let bearing = p.pulleys.bearing_friction * p.pulleys.bearing_diameter_ratio;
    // each of the two lengths runs onto its pulley and off it
    bearing * 4.0 * telescope.tension_n + 2.0 * p.pulleys.drag_n
}

/// What each leaf hangs by, and its way over that of the belt.
fn hangings(door: &Door) -> Vec<(Hanging, f64)> {
    let leaves = door.ring().leaves.iter().enumerate();
    leaves.map(|(n, leaf)| (Hanging::new(door.parameters(), n + 1, leaf), leaf.ratio)).collect()
}

/// Force of an uneven rail on all leaves at rest, every leaf at x, N.
fn rail_force_n(hangings: &[(Hanging, f64)], x: f64) -> f64 {
    let of = |(hanging, ratio): &(Hanging, f64)| {
        let (loads, rises) = (hanging.standing_loads(), hanging.rises(ratio * x));
        -ratio * (loads[0] * rises[0] + loads[1] * rises[1])
    };
    hangings.iter().filter(|(hanging, _)| !hanging.is_even()).map(of).sum()
}

/// Openings at which a force that changes along the travel is looked at, m: evenly, and where a wheel climbs steepest.
fn along_the_stroke(door: &Door, hangings: &[(Hanging, f64)]) -> impl Iterator<Item = f64> {
    const PLACES: u32 = 200;
    let stroke = door.parameters().leaf.stroke_m;
    let steepest = hangings.iter().flat_map(|(hanging, ratio)| hanging.steepest_at().map(move |x| x / ratio));
    let steepest: Vec<f64> = steepest.filter(|x| (0.0..=stroke).contains(x)).collect();
    (0..=PLACES).map(move |n| stroke * f64::from(n) / f64::from(PLACES)).chain(steepest)
}

/// Push (opening) and drag of the listed forces that act at any time, all leaves together, N.
fn standing_forces(door: &Door, x: f64) -> (f64, f64) {
    let always = |force: &&LeafForce| force.start_s <= 0.0 && force.end_s >= LeafForce::default().end_s;
    let mut sum = (0.0, 0.0);
    for force in door.parameters().forces.iter().filter(always) {
        for (n, leaf) in door.ring().leaves.iter().enumerate() {
            let here = leaf.ratio * x;
            let acts = force.leaf.is_none_or(|number| number == n + 1);
            if acts && (force.from_m..=force.to_m).contains(&here) {
                let spring = force.stiffness_n_per_m * (force.rest_m - here);
                sum.0 += leaf.ratio * (force.constant_n + spring);
                sum.1 += leaf.ratio * force.drag_n;
            }
        }
    }
    sum
}
