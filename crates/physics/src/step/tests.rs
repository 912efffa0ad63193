//! Forces that jump where something is met: a step is cut there, and nothing of the far side counts before it.

use super::*;
use crate::contact::Contact;
use crate::door::Door;
use crate::parameters::{Fault, FaultKind, Hanger, LeafForce, Obstacle, Parameters};

const STEP_S: f64 = 5e-4;
const SPEED: f64 = 0.3;

/// A leaf with nothing that resists, on a belt that gives way like a thread: what pushes it is what is put in its way.
fn free_leaf() -> Parameters {
    let mut p = Parameters::default();
    p.rollers.resistance = 0.0;
    p.rollers.breakaway = 1.0;
    p.rollers.viscous_n_s_per_m = 0.0;
    p.seal.brush_n_per_m = 0.0;
    p.seal.end_stiffness_n_per_m = 0.0;
    p.pulleys.bearing_friction = 0.0;
    p.pulleys.drag_n = 0.0;
    p.gear.efficiency = 1.0;
    p.motor.rotor_friction_n_m = 0.0;
    p.belt.specific_stiffness_n_per_m = 1.0;
    p
}

fn standing_at<const B: usize>(x: f64, speed: f64) -> Continuous<B> {
    Continuous { q: [x; B], v: [speed; B], i: 0.0, contact: ContactState::default() }
}

/// The state `STEP_S` after `state`, in so many sub-steps.
fn after<const B: usize>(
    p: &Parameters,
    mut state: Continuous<B>,
    t: f64,
    contact: &Contact,
    steps: u32,
) -> Continuous<B> {
    let plant = Plant::<B, 3, 3>::new(&Door::try_from(p.clone()).unwrap());
    let h = STEP_S / f64::from(steps);
    let decay = plant.decay_over(h);
    for n in 0..steps {
        let now = t + f64::from(n) * h;
        advance(&plant, now, &decay, &mut state, Winding::Open, contact, &mut [0.0; POWERS]);
    }
    state
}

/// The leaf's body and what moves with it, kg.
fn leaf_of(p: &Parameters) -> (usize, f64) {
    let door = Door::try_from(p.clone()).unwrap();
    let leaf = &door.ring().leaves[0];
    (leaf.body, door.ring().masses_kg[leaf.body])
}

/// Where a leaf at `SPEED` starts so as to be at `x` after this share of the step.
fn before(x: f64, share: f64) -> f64 {
    x - SPEED * share * STEP_S
}

const SHARES: [f64; 4] = [0.0, 0.13, 0.5, 0.81];

/// m dv/dt = -k x - c v from x = 0 with v0: v = v0 e^(-d t) (cos(w t) - d/w sin(w t)), d = c/(2 m), w^2 = k/m - d^2
/// (closed form). A step that holds a sixth of the damper's jump before the contact brakes by h c v/(6 m) more.
#[test]
fn a_stop_brakes_a_leaf_from_the_contact_on() {
    let mut p = free_leaf();
    p.stoppers.damping_n_s_per_m = 6000.0;
    p.stoppers.stiffness_n_per_m = 200e3;
    let stop = p.leaf.stroke_m + p.stoppers.behind_open_m;
    let (leaf, mass) = leaf_of(&p);
    let d = p.stoppers.damping_n_s_per_m / (2.0 * mass);
    let w = (p.stoppers.stiffness_n_per_m / mass - d * d).sqrt();
    for share in SHARES {
        let t = (1.0 - share) * STEP_S;
        let expected = SPEED * (-d * t).exp() * ((w * t).cos() - d / w * (w * t).sin());
        let state = after::<3>(&p, standing_at(before(stop, share), SPEED), 0.0, &Contact::NONE, 1);
        let (lost, should) = (SPEED - state.v[leaf], SPEED - expected);
        // a ten-thousandth of the step is bracketed, and the thread of a belt pulls a little
        assert!((lost / should - 1.0).abs() < 5e-4, "{lost} instead of {should} m/s, met at {share}");
    }
}

/// v^2 = v0^2 + 2 F (x - a)/m over a stretch that begins at a; over one that begins at t, v = v0 + F (t - t0)/m (closed form).
#[test]
fn a_listed_force_acts_from_where_and_when_it_begins_to_where_and_when_it_ends() {
    let (leaf, mass) = leaf_of(&free_leaf());
    let (begins, force) = (0.4, -2000.0);
    for share in SHARES {
        let listed = |force: LeafForce| {
            let mut p = free_leaf();
            p.forces.push(LeafForce { constant_n: -2000.0, ..force });
            let state = after::<3>(&p, standing_at(before(begins, share), SPEED), 2.0, &Contact::NONE, 1);
            state.v[leaf] - SPEED
        };
        let (off, on) = (share * STEP_S, (1.0 - share) * STEP_S);
        for (what, gained, should) in [
            (
                "from a place on",
                listed(LeafForce { from_m: begins, ..LeafForce::default() }),
                force * on / mass,
            ),
            (
                "from a time on",
                listed(LeafForce { start_s: 2.0 + off, ..LeafForce::default() }),
                force * on / mass,
            ),
            (
                "until a time",
                listed(LeafForce { end_s: 2.0 + off, ..LeafForce::default() }),
                force * off / mass,
            ),
        ] {
            let apart = (gained - should).abs();
            assert!(
                apart < 2e-4 * (force * STEP_S / mass).abs(),
                "{what}: {gained}, not {should} m/s, at {share}"
            );
        }
    }
}

/// A wheel that comes to a step climbs it at a slope that begins with c/(R - h): one step over it agrees with sixty-four.
#[test]
fn a_wheel_meets_the_corner_of_a_step_where_it_is() {
    let mut p = free_leaf();
    let fault = Fault {
        kind: FaultKind::Step,
        height_m: 4e-4,
        at_m: 0.9,
        hanger: Hanger::Leading,
        ..Fault::default()
    };
    p.faults.push(fault);
    let (leaf, _) = leaf_of(&p);
    let (radius, height) = (p.rollers.diameter_m / 2.0, 4e-4_f64);
    let reach = (2.0 * radius * height - height * height).sqrt();
    let door = Door::try_from(p.clone()).unwrap();
    let spacing = door.parameters().leaf.hanger_spacing_m.unwrap();
    let leading = p.leaf.width_m / 2.0 - spacing / 2.0;
    let corner = 0.9 - reach - leading;
    for share in [0.13, 0.5, 0.81] {
        let over =
            |steps| after::<3>(&p, standing_at(before(corner, share), SPEED), 0.0, &Contact::NONE, steps);
        let (lost, fine) = (SPEED - over(1).v[leaf], SPEED - over(64).v[leaf]);
        assert!(fine > 1e-5, "{fine}: it has not met the corner");
        assert!((lost / fine - 1.0).abs() < 1e-3, "{lost} and {fine} m/s, met at {share}");
    }
}

/// Rotor and pulley that meet at u0: their relative speed is that of one mass m, both in series, on spring and damper,
/// u = u0 e^(-z w t) (cos(w' t) - z w/w' sin(w' t)), w^2 = k/m, w'^2 = w^2 (1 - z^2), and their momentum stays (closed form).
#[test]
fn a_rotor_meets_its_pulley_at_the_end_of_the_play() {
    let (k, zeta) = (2e4, 0.5_f64);
    let mut p = free_leaf();
    p.gear.backlash_m = 0.001;
    p.gear.mesh_stiffness_n_per_m = Some(k);
    p.gear.mesh_damping_ratio = zeta;
    let door = Door::try_from(p.clone()).unwrap();
    let (pulley, rotor) = (door.ring().masses_kg[0], door.ring().rotor_kg.unwrap());
    let swing = (k * (pulley + rotor) / (pulley * rotor)).sqrt();
    let damped = swing * (1.0 - zeta * zeta).sqrt();
    for share in SHARES {
        let mut state = standing_at::<4>(0.5, 0.0);
        (state.q[3], state.v[3]) = (0.5 + before(0.0005, share), SPEED);
        let found = after(&p, state, 0.0, &Contact::NONE, 1).v[0];
        let t = (1.0 - share) * STEP_S;
        let phase = (damped * t).cos() - zeta * swing / damped * (damped * t).sin();
        let should = SPEED * (1.0 - (-zeta * swing * t).exp() * phase) * rotor / (pulley + rotor);
        assert!((found / should - 1.0).abs() < 1e-3, "{found} instead of {should} m/s, met at {share}");
    }
}

/// An obstacle that comes to the jamb stops there: it is neither short of it nor beyond.
#[test]
fn an_obstacle_that_is_pushed_along_stops_at_the_jamb() {
    let p = free_leaf();
    let obstacle = Obstacle { gap_m: 0.4, mass_kg: Some(5.0), ..Obstacle::default() };
    let contact = Contact::with(&obstacle);
    for share in SHARES {
        let mut state = standing_at::<3>(0.2, 0.0);
        state.contact = ContactState { z: 0.0, y: contact.room - SPEED * share * STEP_S, vy: SPEED };
        state.q = [0.4 - state.contact.y + 1e-3; 3];
        let found = after(&p, state, 0.0, &contact, 1).contact;
        assert_eq!(found.vy, 0.0);
        assert!((found.y - contact.room).abs() < 1e-4 * SPEED * STEP_S, "{} of {}", found.y, contact.room);
    }
}

/// A seal pushes with nothing where it is first touched: only the slope of its force has a kink, which costs a step that runs
/// over it less than a micrometre a second, with the stiffest seal that is usual.
#[test]
fn the_kink_of_an_end_seal_needs_no_cut() {
    let mut p = free_leaf();
    (p.seal.end_stiffness_n_per_m, p.seal.end_length_m) = (10e3, 0.02);
    let (leaf, _) = leaf_of(&p);
    for share in SHARES {
        let state = standing_at(0.02 + SPEED * share * STEP_S, -SPEED);
        let [whole, fine] = [1, 64].map(|steps| after::<3>(&p, state, 0.0, &Contact::NONE, steps).v[leaf]);
        assert!(fine > -SPEED + 1e-9, "{fine}: it has not met the seal");
        assert!((whole - fine).abs() < 1e-6, "{} m/s at {share}", whole - fine);
    }
}
