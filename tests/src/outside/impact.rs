//! A leaf that runs against a tester, through the whole model, against the closed forms of a mass on a spring.
//!
//! ```text
//! m v^2/2 = k d^2/2 - F_0 d,   F = k d   ->   F = F_0 + sqrt(F_0^2 + k m v^2)
//! ```

use tautleaf_physics::Parameters;
use tautleaf_physics::parameters::{Arrangement, LeafForce, Obstacle};

use super::Standing::Derived;
use super::Tolerance::Share;
use super::runs::{door, moving_mass_kg, roll};
use super::{Check, Source};
use crate::lossless_leaf;

const SPRING: Source =
    Source::new(Derived, "mass on a spring, F_0 + sqrt(F_0^2 + k m v^2); two leaves v sqrt(2 k m)");

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
    let leaves = if arrangement == Arrangement::BiParting { 2.0 } else { 1.0 };
    p.leaf.mass_kg -= (moving_mass_kg(&door(p.clone())) - 100.0 * leaves) / leaves;
    let run = roll(&door(p), 0.31 / leaves, -0.2, 0.2);
    run.samples.iter().map(|sample| sample.contact_force_n).fold(0.0, f64::max)
}

/// 100 kg at 0.2 m/s on 500 N/mm: free, pushed by 100 N, two leaves with the tester between them.
pub fn forces() -> Vec<Check> {
    let why = "the belt between leaf and drive gives a little";
    let check = |fact: &str, expected, arrangement, pushed| {
        let ours = greatest_force_n(arrangement, pushed);
        SPRING.check(fact, "N", (expected, ours), Share(0.003), why)
    };
    vec![
        check("100 kg at 0.2 m/s on 500 N/mm", 1414.2, Arrangement::Away, 0.0),
        check("the same, opening towards the drive", 1414.2, Arrangement::Towards, 0.0),
        check("pushed by 100 N", 1517.7, Arrangement::Away, 100.0),
        check("two such leaves, tester floating", 2000.0, Arrangement::BiParting, 0.0),
    ]
}
