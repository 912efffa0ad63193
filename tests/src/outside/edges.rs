//! Edges that are pressed flat, and the rear edge, through the whole model, against the closed forms of a mass on two springs.
//!
//! ```text
//! F_1 = k_1 s     1/k_a = n/k_1 + 1/k_t     1/k_b = n/k_2 + 1/k_t
//! F = F_0 + sqrt(F_0^2 + n k_a m v^2)                                                       if that is at most F_1
//! F = F_0 + sqrt((F_1 - F_0)^2 + k_b (n m v^2 + (2 F_0 F_1 - F_1^2)/k_a))                   else
//! ```

use tautleaf_physics::parameters::{Arrangement, ClosingEdge, LeafForce, Obstacle};
use tautleaf_physics::{CycleOptions, Figure, ForceTest, Parameters, Plan, cycle};

use super::Standing::Derived;
use super::Tolerance::Share;
use super::runs::{door, moving_mass_kg, roll, with_moving_mass};
use super::{Check, Source};
use crate::lossless_leaf;

const TWO_SPRINGS: Source = Source::new(Derived, "mass on two springs in a row, the softer one ending");
const SPRING: Source = Source::new(Derived, "mass on a spring, F = v sqrt(k m)");

/// An edge of 20 N/mm that is flat after so many metres, then of `hard_n_per_mm`, without a damper.
fn edge(travel_m: f64, hard_n_per_mm: f64) -> ClosingEdge {
    ClosingEdge {
        stiffness_n_per_m: 20e3,
        damping_n_s_per_m: 0.0,
        travel_m: Some(travel_m),
        hard_stiffness_n_per_m: 1e3 * hard_n_per_mm,
        ..ClosingEdge::default()
    }
}

/// What runs against the tester, 500 N/mm.
#[derive(Clone, Copy)]
struct Leaf {
    arrangement: Arrangement,
    mass_kg: f64,
    speed_m_per_s: f64,
    pushed_n: f64,
}

const LEAF: Leaf = Leaf { arrangement: Arrangement::Away, mass_kg: 100.0, speed_m_per_s: 0.2, pushed_n: 0.0 };

/// Greatest force on the tester of leaves that coast into it.
fn greatest_force_n(edge: ClosingEdge, leaf: Leaf) -> f64 {
    let mut p = Parameters { arrangement: leaf.arrangement, edge, ..lossless_leaf() };
    p.leaf.mass_kg = leaf.mass_kg;
    p.obstacle = Some(Obstacle { gap_m: 0.3, ..Obstacle::default() });
    if leaf.pushed_n > 0.0 {
        // a hand that begins to push where the leaf begins to touch
        p.forces.push(LeafForce { constant_n: -leaf.pushed_n, to_m: 0.3, ..LeafForce::default() });
    }
    let leaves = if leaf.arrangement == Arrangement::BiParting { 2.0 } else { 1.0 };
    p.leaf.mass_kg -= (moving_mass_kg(&door(p.clone())) - leaf.mass_kg * leaves) / leaves;
    let run = roll(&door(p), 0.31 / leaves, -leaf.speed_m_per_s, 0.4);
    run.samples.iter().map(|sample| sample.contact_force_n).fold(0.0, f64::max)
}

/// Force over speed behind a leaf of 100 kg that opens into a tester of 500 N/mm with a rear edge of 500 N/mm, hardly pushed, N s/m.
fn force_behind_over_speed() -> f64 {
    let mut p = lossless_leaf();
    p.leaf.stroke_m = 8.0;
    p.belt.clamp_m = 1.0;
    p.rear.clearance_m = Some(0.1);
    p.rear.stiffness_n_per_m = 500e3;
    p.opening.speed_m_per_s = 0.5;
    p.opening.creep_distance_m = 0.0;
    p.opening.braking_m_per_s2 = 5.0;
    p.opening.current_limit_a = 0.2;
    // so weak a drive sets off slowly, which is no obstruction
    p.obstruction.speed_m_per_s = 1e-3;
    let force = ForceTest { rear: true, ..ForceTest::none() };
    let options = CycleOptions { plan: Plan::Open, force, ..CycleOptions::default() };
    let run = cycle(&with_moving_mass(p, 100.0), &options);
    let figure = |figure| run.figures.get(figure).unwrap_or(f64::NAN);
    figure(Figure::RearImpactForce) / figure(Figure::RearTouchSpeed)
}

/// Closing edges that end and the rear edge.
pub fn forces() -> Vec<Check> {
    let why = "the belt between leaf and drive gives a little";
    let check = |fact: &str, expected, edge, leaf| {
        let ours = greatest_force_n(edge, leaf);
        TWO_SPRINGS.check(fact, "N", (expected, ours), Share(0.003), why)
    };
    let pair = Leaf { arrangement: Arrangement::BiParting, ..LEAF };
    let heavy = Leaf { mass_kg: 115.0, speed_m_per_s: 0.3, pushed_n: 40.0, ..LEAF };
    vec![
        check("100 kg at 0.2 m/s, edge of 20 N/mm and 10 mm, then 500 N/mm", 721.1, edge(0.01, 500.0), LEAF),
        check("the same with an edge of 1 m", 277.4, edge(1.0, 500.0), LEAF),
        check("10 mm, pushed by 50 N", 923.2, edge(0.01, 500.0), Leaf { pushed_n: 50.0, ..LEAF }),
        check("10 mm, two such leaves, tester floating", 832.7, edge(0.01, 500.0), pair),
        check("115 kg at 0.3 m/s pushed by 40 N, 30 mm, then 300 N/mm", 488.0, edge(0.03, 300.0), heavy),
        check("the same with 20 mm", 947.0, edge(0.02, 300.0), heavy),
        check("the same with 15 mm", 1208.0, edge(0.015, 300.0), heavy),
        check("the same with 10 mm", 1356.0, edge(0.01, 300.0), heavy),
        check("the same with 5 mm", 1427.0, edge(0.005, 300.0), heavy),
        SPRING.check(
            "100 kg opening, rear edge and tester 500 N/mm each: force over speed",
            "N s/m",
            (5000.0, force_behind_over_speed()),
            Share(0.003),
            "the drive pushes on by less than 5 N, the belt gives a little",
        ),
    ]
}
