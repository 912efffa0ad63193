//! A leaf that runs against a tester, through the whole model, against the closed forms of a mass on a spring.
//!
//! ```text
//! m v^2/2 = k d^2/2 - F_0 d,   F = k d   ->   F = F_0 + sqrt(F_0^2 + k m v^2)        (derived, textbook)
//! ```

use tautleaf_physics::parameters::{Arrangement, LeafForce, Obstacle};
use tautleaf_physics::{CycleOptions, Door, Parameters, Plan, Start, cycle};
use tautleaf_tests::lossless_leaf;

/// Greatest force on the tester of leaves of 100 kg that coast into it at 0.2 m/s.
///
/// The edge is as hard as can be written, so that the spring is the tester's 500 N/mm. What little mass drive,
/// return pulley and belt have is taken off the leaf.
fn greatest_force_n(arrangement: Arrangement, pushed_by_n: f64) -> f64 {
    let mut p = Parameters { arrangement, ..lossless_leaf() };
    p.leaf.mass_kg = 100.0;
    p.edge.stiffness_n_per_m = 1e15;
    p.edge.damping_n_s_per_m = 0.0;
    p.obstacle = Some(Obstacle { gap_m: 0.3, ..Obstacle::default() });
    if pushed_by_n > 0.0 {
        // a hand that begins to push where the leaf begins to touch
        p.forces.push(LeafForce { constant_n: -pushed_by_n, to_m: 0.3, ..LeafForce::default() });
    }
    let extra = Door::try_from(p.clone()).unwrap().ring().masses_kg.iter().sum::<f64>();
    let leaves = if arrangement == Arrangement::BiParting { 2.0 } else { 1.0 };
    p.leaf.mass_kg -= (extra - 100.0 * leaves) / leaves;
    let door = Door::try_from(p).unwrap();
    let options = CycleOptions {
        plan: Plan::Off { for_s: 0.2 },
        start: Start::At { opening_m: 0.31 / leaves, speed_m_per_s: -0.2 },
        ..CycleOptions::default()
    };
    let run = cycle(&door, &options);
    run.samples.iter().map(|sample| sample.contact_force_n).fold(0.0, f64::max)
}

fn assert_within(found: f64, expected: f64, share: f64) {
    assert!((found / expected - 1.0).abs() < share, "{found} instead of {expected}");
}

/// v sqrt(k m) = 0.2 sqrt(500e3 x 100) = 1414 N. The belt between leaf and drive gives a little: 0.3 %.
#[test]
fn a_free_leaf_of_100_kg_at_200_mm_per_s_hits_a_500_n_per_mm_tester_with_1414_n() {
    assert_within(greatest_force_n(Arrangement::Away, 0.0), 1414.2, 0.003);
    assert_within(greatest_force_n(Arrangement::Towards, 0.0), 1414.2, 0.003);
}

/// 100 + sqrt(100^2 + 500e3 x 100 x 0.2^2) = 1518 N.
#[test]
fn pushed_by_100_n_it_hits_with_1518_n() {
    assert_within(greatest_force_n(Arrangement::Away, 100.0), 1517.7, 0.003);
}

/// Two leaves squeeze a tester that floats between them: v sqrt(2 k m) = 2000 N.
#[test]
fn two_leaves_of_100_kg_squeeze_it_with_2000_n() {
    assert_within(greatest_force_n(Arrangement::BiParting, 0.0), 2000.0, 0.003);
}
