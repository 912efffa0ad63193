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
    let way = Way { opening: 1.0, speed, breakaway };
    let at = |x: f64| (x, (even + listed_n(door, &hangings, way, x)).max(0.0));
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
    let going = Way { opening: way, speed: speed_m_per_s, breakaway: 1.0 };
    let listed = along_the_stroke(door, &hangings).map(|x| listed_n(door, &hangings, going, x));
    Resistance {
        pulled_n: leaves_n(door, way, 1.0, speed_m_per_s) + listed.fold(f64::NEG_INFINITY, f64::max) + drag,
        turned_n: drag + rotor,
    }
}

/// What a gauge reads that is leaned slowly on a closing edge at a gap, m: the push of the stalled drive beyond what friction takes, N,
/// for each of the n closing edges.
///
/// ```text
/// F = max(0, ((N K i/r - F_d)/(1 + lambda) - pulled(x))/n)        (47)
/// ```
///
/// `pulled` at x = gap/n: rolling, brush, guide, slope, end seal, listed forces, return pulley; F_d: bearing of the drive pulley and
/// friction of the rotor. A stalled winding carries i = min(R_25 i_lim, V_bus)/R.
pub(crate) fn stall_force_slow_n(door: &Door, gap_m: f64) -> f64 {
    let (p, derived, edges) = (door.parameters(), door.derived(), door.edges() as f64);
    let (drag, rotor) = drive_friction_n(door);
    // the controller sets the voltage for a winding at 25 C
    let volts = (p.motor.resistance_ohm * p.closing.current_limit_a).min(p.supply.voltage_v);
    let current_a = volts / derived.resistance_ohm;
    let through = (derived.pull_per_ampere_n * current_a - drag - rotor) / (1.0 + derived.gear_loss);
    let x = gap_m / edges;
    let closing = Way { opening: -1.0, speed: 0.0, breakaway: 1.0 };
    let seal = edges * p.seal.end_stiffness_n_per_m * (p.seal.end_length_m - x).max(0.0);
    let pulled = leaves_n(door, -1.0, 1.0, 0.0) + listed_n(door, &hangings(door), closing, x) + seal + drag;
    ((through - pulled) / edges).max(0.0)
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

/// On which way a door is moved, and how.
#[derive(Clone, Copy)]
struct Way {
    /// +1 open, -1 closed.
    opening: f64,
    /// Speed of the belt, m/s; 0: from rest.
    speed: f64,
    /// Rolling resistance over that of a rolling wheel.
    breakaway: f64,
}

/// What listed forces and an uneven rail resist with every leaf at x, N.
fn listed_n(door: &Door, hangings: &[(Hanging, f64)], way: Way, x: f64) -> f64 {
    let listed = standing_forces(door, x);
    let sum = |of: fn(&Listed) -> f64| listed.iter().map(of).sum::<f64>();
    let damping = sum(|force| force.ratio * force.ratio * force.damping_n_s_per_m);
    let hung = hung(door, hangings, &listed, way, x);
    let push = sum(|force| force.ratio * force.push_n) + hung.rail_n;
    sum(|force| force.ratio * force.drag_n) + damping * way.speed + hung.lifted_n - way.opening * push
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
        let listed = standing_forces(door, x);
        let push: f64 = listed.iter().map(|force| force.ratio * force.push_n).sum();
        let drag: f64 = listed.iter().map(|force| force.ratio * force.drag_n).sum();
        let towards = |opening: f64| {
            let way = Way { opening, speed: 0.0, breakaway: p.rollers.breakaway };
            let hung = hung(door, &hangings, &listed, way, x);
            opening * (pull + push + hung.rail_n) - held - drag - hung.lifted_n
        };
        (x, towards(1.0).max(towards(-1.0)).max(0.0))
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

/// What the loads of the hangers make, N.
#[derive(Clone, Copy, Default)]
struct Hung {
    /// Force of an uneven rail on all leaves, opening positive.
    rail_n: f64,
    /// Rolling resistance beyond that of the weight: a wheel that has left the rail rubs on the other side.
    lifted_n: f64,
}

/// With every leaf at x, moved at the rail. What drags below the rail against the way loads the hangers as listed forces do (eq. 14).
fn hung(door: &Door, hangings: &[(Hanging, f64)], listed: &[Listed], way: Way, x: f64) -> Hung {
    let p = door.parameters();
    let mut all = Hung::default();
    for (n, ((hanging, ratio), leaf)) in hangings.iter().zip(&door.ring().leaves).enumerate() {
        let here = || listed.iter().filter(|force| force.leaf == n);
        let pushes: f64 = here().map(|force| force.push_n * force.depth_m).sum();
        let drags: f64 = here()
            .map(|force| (force.drag_n + force.damping_n_s_per_m * ratio * way.speed) * force.depth_m)
            .sum();
        let brush = p.seal.brush_n_per_m * p.leaf.height_m * hanging.gravity_depth;
        let guide =
            p.guide.friction * weather::guide_load_n(p, leaf.mass_kg) * p.guide.depth_m.unwrap_or(0.0);
        let loads = hanging.standing_loads_under(way.opening * (brush + guide + drags) - pushes);
        let rises = if hanging.is_even() { [0.0; 2] } else { hanging.rises(ratio * x) };
        all.rail_n -= ratio * (loads[0] * rises[0] + loads[1] * rises[1]);
        let carried = loads[0].abs() + loads[1].abs() - (loads[0] + loads[1]);
        all.lifted_n += ratio * p.rollers.resistance * way.breakaway * carried;
    }
    all
}

/// Openings at which a force that changes along the travel is looked at, m: evenly, and where a wheel climbs steepest.
fn along_the_stroke(door: &Door, hangings: &[(Hanging, f64)]) -> impl Iterator<Item = f64> {
    const PLACES: u32 = 200;
    let stroke = door.parameters().leaf.stroke_m;
    let steepest = hangings.iter().flat_map(|(hanging, ratio)| hanging.steepest_at().map(move |x| x / ratio));
    let steepest: Vec<f64> = steepest.filter(|x| (0.0..=stroke).contains(x)).collect();
    (0..=PLACES).map(move |n| stroke * f64::from(n) / f64::from(PLACES)).chain(steepest)
}

/// A listed force on one leaf where that leaf is.
struct Listed {
    /// Which leaf, from 0, and its way over that of the belt.
    leaf: usize,
    ratio: f64,
    /// Push, opening positive, N, at a depth below the rail, m.
    push_n: f64,
    depth_m: f64,
    drag_n: f64,
    damping_n_s_per_m: f64,
}

/// The listed forces that act at any time, with every leaf at x of its belt.
fn standing_forces(door: &Door, x: f64) -> Vec<Listed> {
    let p = door.parameters();
    let always = |force: &&LeafForce| force.start_s <= 0.0 && force.end_s >= LeafForce::default().end_s;
    let on = |force: &LeafForce, leaf: usize, ratio: f64| {
        let here = ratio * x;
        let acts = force.leaf.is_none_or(|number| number == leaf + 1);
        (acts && (force.from_m..=force.to_m).contains(&here)).then(|| Listed {
            leaf,
            ratio,
            push_n: force.constant_n + force.stiffness_n_per_m * (force.rest_m - here),
            depth_m: force.depth_m.unwrap_or(p.leaf.height_m / 2.0),
            drag_n: force.drag_n,
            damping_n_s_per_m: force.damping_n_s_per_m,
        })
    };
    let leaves = || door.ring().leaves.iter().enumerate();
    let all = p.forces.iter().filter(always);
    all.flat_map(|force| leaves().filter_map(move |(n, leaf)| on(force, n, leaf.ratio))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parameters::{Fault, FaultKind};

    fn door(change: impl FnOnce(&mut Parameters)) -> Door {
        let mut p = Parameters::default();
        change(&mut p);
        Door::try_from(p).unwrap()
    }

    fn damper(damping_n_s_per_m: f64) -> LeafForce {
        LeafForce { damping_n_s_per_m, ..LeafForce::default() }
    }

    /// A damper of 200 N s/m at 0.1 m/s: 20 N more by hand, and nothing from rest (closed form).
    #[test]
    fn a_damper_resists_a_hand_that_keeps_the_leaf_going() {
        let (with, without) = (door(|p| p.forces = vec![damper(200.0)]), door(|_| ()));
        let shorted = |door: &Door| opening_force_shorted_n(door).unwrap();
        assert!((shorted(&with) - shorted(&without) - 20.0).abs() < 1e-9);
        assert_eq!(opening_force_n(&with), opening_force_n(&without));
    }

    /// An opening push of 80 N at 1.2 m below the rail, held at the rail, adds 80 x 1.2/s_h to the leading hanger (moments): a step
    /// under the leading wheel then resists the more.
    #[test]
    fn a_listed_force_loads_the_wheel_that_climbs_a_step() {
        let stepped = |depth_m: f64| {
            door(|p| {
                p.leaf.hanger_spacing_m = Some(0.8);
                let at_m = p.leaf.width_m / 2.0 - 0.4 + 0.5;
                p.faults = vec![Fault { kind: FaultKind::Step, at_m, height_m: 0.0005, ..Fault::default() }];
                p.forces =
                    vec![LeafForce { constant_n: 80.0, depth_m: Some(depth_m), ..LeafForce::default() }];
            })
        };
        let (at_the_rail, below) = (stepped(0.0), stepped(1.2));
        let steepest = |door: &Door| {
            let hangings = hangings(door);
            let rise = |x: f64| hangings[0].0.rises(x)[0];
            along_the_stroke(door, &hangings).map(rise).fold(0.0, f64::max)
        };
        assert!(steepest(&below) > 0.1, "{}", steepest(&below));
        let more = opening_force_n(&below).unwrap() - opening_force_n(&at_the_rail).unwrap();
        let expected = steepest(&below) * 80.0 * 1.2 / 0.8;
        assert!((more / expected - 1.0).abs() < 1e-6, "{more} instead of {expected}");
    }

    /// A drag of 80 N at 1.2 m below the rail, against a hand at the rail, turns the leaf as an opening push of -80 N does: the leading
    /// hanger is unloaded by 80 x 1.2/s_h on the way open and loaded by it on the way closed (moments).
    #[test]
    fn a_drag_below_the_rail_loads_the_wheel_that_climbs_a_step() {
        let stepped = |depth_m: f64| {
            door(|p| {
                p.leaf.hanger_spacing_m = Some(0.8);
                let at_m = p.leaf.width_m / 2.0 + 0.4 + 0.5;
                p.faults = vec![Fault { kind: FaultKind::Step, at_m, height_m: 0.0005, ..Fault::default() }];
                p.forces = vec![LeafForce { drag_n: 80.0, depth_m: Some(depth_m), ..LeafForce::default() }];
            })
        };
        let (at_the_rail, below) = (stepped(0.0), stepped(1.2));
        let hangings = hangings(&below);
        let rise = |x: f64| hangings[0].0.rises(x)[1];
        let steepest = along_the_stroke(&below, &hangings).map(rise).fold(0.0, f64::max);
        assert!(steepest > 0.1, "{steepest}");
        let more = opening_force_n(&below).unwrap() - opening_force_n(&at_the_rail).unwrap();
        let expected = steepest * 80.0 * 1.2 / 0.8;
        assert!((more / expected - 1.0).abs() < 1e-6, "{more} instead of {expected}");
    }

    /// A drag of 900 N at 1.2 m on hangers 0.8 m apart turns more than half the weight of 80 kg: the leading wheel lifts and its
    /// anti-lift roller carries what is missing, 2 (900 x 1.2/0.8 - 40 g) more to roll on (moments).
    #[test]
    fn a_wheel_that_a_drag_lifts_resists_on_the_other_side() {
        let lifted = |depth_m: f64| {
            door(|p| {
                p.leaf.hanger_spacing_m = Some(0.8);
                p.forces = vec![LeafForce { drag_n: 900.0, depth_m: Some(depth_m), ..LeafForce::default() }];
            })
        };
        let (at_the_rail, below) = (lifted(0.0), lifted(1.2));
        let p = below.parameters();
        let brush = p.seal.brush_n_per_m * p.leaf.height_m * p.leaf.gravity_depth_m.unwrap();
        let guide = p.guide.friction * weather::guide_load_n(p, p.leaf.mass_kg) * p.guide.depth_m.unwrap();
        let lifts = (900.0 * 1.2 + brush + guide) / 0.8 - 40.0 * G;
        let more = opening_force_n(&below).unwrap() - opening_force_n(&at_the_rail).unwrap();
        let expected = p.rollers.resistance * p.rollers.breakaway * 2.0 * lifts;
        assert!((more / expected - 1.0).abs() < 1e-9, "{more} instead of {expected}");
    }
}
