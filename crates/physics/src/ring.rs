//! Bodies and spans of the belt loop.
//!
//! An endless belt passes, while the door opens, the drive pulley first and then the other bodies. q_i is the
//! belt displacement at body i, positive in that direction. Spans are rows, e = A q; leaves are a list.
//!
//! ```text
//! away         0 drive  1 leaf    2 return             a + x,    C - a - x,   C
//! towards      0 drive  1 return  2 leaf               C,        b + x,       C - b - x
//! bi-parting   0 drive  1 leaf 1  2 return  3 leaf 2   a + x1,   C - a - x1,  b + x2,  C - b - x2
//! ```

use std::f64::consts::PI;

use serde::Serialize;

use crate::belt;
use crate::parameters::{Arrangement, Parameters};

/// A leaf as a body of the ring.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RingLeaf {
    /// Index of its body.
    pub body: usize,
    /// Mass without belt, kg.
    pub mass_kg: f64,
    /// +1 where the rail rises while it opens at positive slope, -1 for the second leaf of a pair.
    pub uphill: f64,
}

/// A free span of belt.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Span {
    /// Row of A: e = sum of coefficient times q.
    pub row: Vec<f64>,
    /// Length with every leaf closed, m.
    pub closed_length_m: f64,
    /// Leaf whose position changes the length, and by how much a metre.
    pub grows_with: Option<(usize, f64)>,
}

impl Span {
    /// Free length with the leaves at these positions, m.
    pub fn length_m(&self, leaf_positions_m: &[f64]) -> f64 {
        self.closed_length_m + self.grows_with.map_or(0.0, |(leaf, by)| by * leaf_positions_m[leaf])
    }
}

/// Bodies, spans and masses of a belt loop.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Ring {
    /// Mass of each body with its share of belt, kg.
    pub masses_kg: Vec<f64>,
    /// The leaves.
    pub leaves: Vec<RingLeaf>,
    /// Index of the return pulley's body. The drive pulley is body 0.
    pub return_body: usize,
    /// The spans, span i ahead of body i.
    pub spans: Vec<Span>,
    /// Stiffness times length of the belt EA, N.
    pub ea_n: f64,
    /// Belt mass m', kg/m.
    pub belt_mass_kg_per_m: f64,
    /// Pitch radius of the drive pulley, m.
    pub radius_m: f64,
}

/// Builds the ring of resolved parameters.
pub(crate) fn build(p: &Parameters, centre_m: f64, return_radius_m: f64) -> Ring {
    let clamp = p.belt.clamp_m;
    let radius_m = belt::pitch_radius_m(p.belt.pitch_m, p.pulleys.teeth);
    let belt_mass_kg_per_m = p.belt.specific_mass_kg_per_m2 * p.belt.width_m;
    // (length when closed, the leaf that changes it and how) in the order of the ring
    let near = |leaf: usize| (clamp, Some((leaf, 1.0)));
    let far = |leaf: usize| (centre_m - clamp, Some((leaf, -1.0)));
    let whole = (centre_m, None);
    let (lengths, leaf_bodies, return_body) = match p.arrangement {
        Arrangement::Away => (vec![near(0), far(0), whole], vec![1], 2),
        Arrangement::Towards => (vec![whole, near(0), far(0)], vec![2], 1),
        Arrangement::BiParting => (vec![near(0), far(0), near(1), far(1)], vec![1, 3], 2),
    };
    let bodies = lengths.len();
    let spans: Vec<Span> = lengths
        .into_iter()
        .enumerate()
        .map(|(i, (closed_length_m, grows_with))| {
            let mut row = vec![0.0; bodies];
            row[i] -= 1.0;
            row[(i + 1) % bodies] += 1.0;
            Span { row, closed_length_m, grows_with }
        })
        .collect();

    let leaves: Vec<RingLeaf> = leaf_bodies
        .into_iter()
        .enumerate()
        .map(|(j, body)| RingLeaf {
            body,
            mass_kg: if j == 0 { p.leaf.mass_kg } else { p.leaf.second_mass_kg.unwrap_or(p.leaf.mass_kg) },
            uphill: if j == 0 { 1.0 } else { -1.0 },
        })
        .collect();

    let mid = vec![p.leaf.stroke_m / 2.0; leaves.len()];
    let drive_inertia = p.pulleys.drive_inertia_kg_m2 + p.gear.ratio.powi(2) * p.motor.rotor_inertia_kg_m2;
    let masses_kg = (0..bodies)
        .map(|body| {
            let ahead = spans[body].length_m(&mid);
            let behind = spans[(body + bodies - 1) % bodies].length_m(&mid);
            let own = if body == 0 {
                drive_inertia / radius_m.powi(2) + PI * radius_m * belt_mass_kg_per_m
            } else if body == return_body {
                p.pulleys.return_inertia_kg_m2 / return_radius_m.powi(2)
                    + PI * return_radius_m * belt_mass_kg_per_m
            } else {
                leaves.iter().find(|leaf| leaf.body == body).map_or(0.0, |leaf| leaf.mass_kg)
            };
            own + belt_mass_kg_per_m * (ahead + behind) / 2.0
        })
        .collect();

    Ring {
        masses_kg,
        leaves,
        return_body,
        spans,
        ea_n: p.belt.specific_stiffness_n_per_m * p.belt.width_m,
        belt_mass_kg_per_m,
        radius_m,
    }
}
