//! The force test behind the open leaf: the rear edge meets the tester on the next fixed part while the door opens.
//!
//! Leaf j touches where what is left behind it falls below the gap g of the tester, d = c_r + S - x_j < g (eq. 53).

use crate::contact::{Contact, Place};
use crate::controller::Target;
use crate::course::Course;
use crate::door::Door;
use crate::force_test;
use crate::reading::phases::DONE_M;
use crate::run::{GapForce, RearForce};
use crate::sim::{Setup, Sim};

/// Leaves that have a rear edge, at most.
pub(crate) const MOST: usize = 2;

/// Spaces behind the open leaf at which the tester stands, m: those of the closing edge (EN 12445, in summaries of installers: the
/// opening movement is tested too where something stands within 500 mm).
pub const REAR_GAPS_M: [f64; 3] = [0.05, 0.3, 0.5];

/// The leaves that have a rear edge: number, and body.
fn leaves(door: &Door) -> impl Iterator<Item = (usize, usize)> + '_ {
    let numbered = door.ring().leaves.iter().enumerate();
    numbered.filter(|(_, leaf)| leaf.ratio == 1.0).map(|(j, leaf)| (j + 1, leaf.body))
}

/// Where the next fixed part is, beyond where the rear edge of the closed leaf is, c_r + S, m; `None`: not measured.
fn fixed_m(door: &Door) -> Option<f64> {
    let p = door.parameters();
    Some(p.rear.clearance_m? + p.leaf.stroke_m)
}

/// Every test that can be made behind a leaf, nothing measured yet: the gaps that the open leaf leaves free and passes.
pub(crate) fn tests(door: &Door) -> Vec<RearForce> {
    let (Some(clearance), Some(fixed)) = (door.parameters().rear.clearance_m, fixed_m(door)) else {
        return Vec::new();
    };
    let passed = |gap: &f64| *gap >= clearance && 0.0 < fixed - gap && fixed - gap <= door.travel_m();
    let gaps = || REAR_GAPS_M.into_iter().filter(passed);
    let test = |leaf, gap_m| RearForce { leaf, test: GapForce { gap_m, asked: true, ..GapForce::default() } };
    leaves(door).flat_map(|(leaf, _)| gaps().map(move |gap_m| test(leaf, gap_m))).collect()
}

/// Whether the leaf stands where it would touch at this gap, or before it, when it is open: then it need not have touched.
pub(crate) fn is_at_the_end(door: &Door, gap_m: f64) -> bool {
    fixed_m(door).is_some_and(|fixed_m| fixed_m - gap_m > door.travel_m() - DONE_M)
}

/// What is left behind each leaf, and how fast that becomes less, m and m/s; where there is no such leaf, without end.
pub(crate) fn spaces<const B: usize>(door: &Door, sim: &Sim<B>) -> [(f64, f64); MOST] {
    let mut spaces = [(f64::INFINITY, 0.0); MOST];
    let fixed = fixed_m(door).unwrap_or(f64::INFINITY);
    for (space, (_, body)) in spaces.iter_mut().zip(leaves(door)) {
        *space = (fixed - sim.state.q[body], sim.state.v[body]);
    }
    spaces
}

/// Makes every test, stall and impact, each forked off the way open.
pub(crate) fn measure<const B: usize, const S: usize, const R: usize>(
    door: &Door,
    setup: &Setup<B, S, R>,
    course: &Course<B, MOST>,
    rear: &mut [RearForce],
) {
    let Some(fixed_m) = fixed_m(door) else { return };
    for RearForce { leaf, test } in rear {
        let Some((space, (_, body))) = leaves(door).enumerate().find(|(_, (number, _))| number == leaf)
        else {
            continue;
        };
        let place = Place::RearEdge { body, fixed_m };
        let contact = Contact { place, gap: test.gap_m, stiffness: setup.tester_n_per_m, ..Contact::NONE };
        let stalled = setup.without_reaction();
        let (first, _) = force_test::stall_at(&stalled, fixed_m - test.gap_m, contact, Target::Open);
        test.stall_force_n = Some(first);
        if let Some(before) = course.before(setup, space, test.gap_m) {
            force_test::impact(setup, before, contact, true, test);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Parameters;
    use crate::parameters::LeafForce;
    use crate::run::State;

    /// A leaf of 100 kg without losses, power off, that meets a tester behind it at 0.5 m/s, pushed on by a hand: the greatest force, N.
    fn struck_n(stiffness_n_per_m: f64, pushed_n: f64) -> f64 {
        let mut p = Parameters::default();
        (p.rollers.resistance, p.rollers.viscous_n_s_per_m, p.seal.brush_n_per_m) = (0.0, 0.0, 0.0);
        (p.pulleys.bearing_friction, p.pulleys.drag_n, p.motor.rotor_friction_n_m) = (0.0, 0.0, 0.0);
        (p.gear.efficiency, p.motor.rotor_inertia_kg_m2) = (1.0, 1e-9);
        (p.pulleys.drive_inertia_kg_m2, p.pulleys.return_inertia_kg_m2) = (1e-6, 1e-6);
        (p.belt.specific_mass_kg_per_m2, p.belt.specific_stiffness_n_per_m) = (0.01, 2e6);
        p.rear.clearance_m = Some(0.1);
        p.rear.stiffness_n_per_m = stiffness_n_per_m;
        if pushed_n > 0.0 {
            p.forces.push(LeafForce { constant_n: pushed_n, from_m: 0.8, ..LeafForce::default() });
        }
        p.leaf.mass_kg = 100.0;
        let moving: f64 = Door::try_from(p.clone()).unwrap().ring().masses_kg.iter().sum();
        p.leaf.mass_kg -= moving - 100.0;
        let door = Door::try_from(p).unwrap();
        let setup = Setup::<3, 3, 3>::new(&door, 1);
        let mut sim = Sim::at(&setup, 0.79, 0.5, State::Off);
        let place = Place::RearEdge { body: 1, fixed_m: fixed_m(&door).unwrap() };
        sim.put(&setup, Contact { place, gap: 0.3, stiffness: setup.tester_n_per_m, ..Contact::NONE });
        let forces = (0..200).map(|_| sim.advance(&setup, &mut Vec::new()).greatest);
        forces.fold(0.0, f64::max)
    }

    /// v sqrt(k m) = 0.5 sqrt(250e3 x 100) = 2500 N where nothing pushes, F_0 + sqrt(F_0^2 + k m v^2) = 2602 N where 100 N do
    /// (closed form). The light belt and drive give a little.
    #[test]
    fn a_leaf_that_opens_strikes_as_a_mass_on_a_spring() {
        let (free, pushed) = (struck_n(500e3, 0.0), struck_n(500e3, 100.0));
        assert!((free / 2500.0 - 1.0).abs() < 2e-3, "{free}");
        assert!((pushed / 2602.0 - 1.0).abs() < 2e-3, "{pushed}");
    }

    #[test]
    fn only_gaps_that_the_open_leaf_leaves_free_and_passes_are_tested() {
        let gaps = |clearance_m: Option<f64>| -> Vec<f64> {
            let mut p = Parameters::default();
            p.rear.clearance_m = clearance_m;
            tests(&Door::try_from(p).unwrap()).iter().map(|rear| rear.test.gap_m).collect()
        };
        assert!(gaps(None).is_empty());
        assert!(gaps(Some(0.6)).is_empty());
        assert_eq!(gaps(Some(0.2)), [0.3, 0.5]);
        assert_eq!(gaps(Some(0.0)), REAR_GAPS_M);
    }
}
