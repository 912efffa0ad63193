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
//!
//! A telescopic door has one more body for each slow leaf, and two more rows, +-(2 q_slow - q_fast), of constant
//! length. A rotor parted from its pulley is one more body, joined by a spring with play and not by belt.

use std::f64::consts::PI;

use serde::Serialize;

use crate::belt;
use crate::parameters::{Arrangement, Parameters, Telescope};

/// A leaf as a body of the ring.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RingLeaf {
    /// Index of its body.
    pub body: usize,
    /// Mass without belt, kg.
    pub mass_kg: f64,
    /// +1 where the rail rises while it opens at positive slope, -1 for the second leaf of a pair.
    pub uphill: f64,
    /// Its way over that of the belt: 1, or 1/2 for the slow leaf of a telescopic door.
    pub ratio: f64,
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

impl Ring {
    /// Leaves with a closing edge.
    pub fn edges(&self) -> usize {
        self.leaves.iter().filter(|leaf| leaf.ratio == 1.0).count()
    }

    /// EA of the belt that a span belongs to, N.
    pub fn ea_of(&self, span: usize) -> f64 {
        if span < self.bodies { self.ea_n } else { self.second_ea_n }
    }

    /// Mass that moves at the speed of the belt and has the energy of the whole, rotor included, kg.
    pub fn moving_kg(&self) -> f64 {
        let slow: f64 = self.masses_kg[self.bodies..].iter().map(|mass| 0.25 * mass).sum();
        self.masses_kg[..self.bodies].iter().sum::<f64>() + slow + self.rotor_kg.unwrap_or(0.0)
    }
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
    /// Mass of each body with its share of belt, kg: the ring's in their order, then the slow leaves.
    pub masses_kg: Vec<f64>,
    /// The leaves: first those with a closing edge, then the slow ones behind them in the same order.
    pub leaves: Vec<RingLeaf>,
    /// Bodies and spans of the first belt.
    pub bodies: usize,
    /// Mass of the rotor at the rim where it is parted from the drive pulley, kg; else it counts with the pulley.
    pub rotor_kg: Option<f64>,
    /// Index of the return pulley's body. The drive pulley is body 0.
    pub return_body: usize,
    /// The spans: of the first belt span i ahead of body i, then two for each slow leaf.
    pub spans: Vec<Span>,
    /// Stiffness times length of the belt EA, N.
    pub ea_n: f64,
    /// The same for the second belts, N; 0 where there are none.
    pub second_ea_n: f64,
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
            ratio: 1.0,
        })
        .collect();

    let mid = vec![p.leaf.stroke_m / 2.0; leaves.len()];
    let rotor_kg = p.gear.ratio.powi(2) * p.motor.rotor_inertia_kg_m2 / radius_m.powi(2);
    let is_parted = p.gear.mesh_stiffness_n_per_m.is_some();
    let with_pulley = if is_parted { 0.0 } else { rotor_kg };
    let masses_kg = (0..bodies)
        .map(|body| {
            let ahead = spans[body].length_m(&mid);
            let behind = spans[(body + bodies - 1) % bodies].length_m(&mid);
            let own = if body == 0 {
                p.pulleys.drive_inertia_kg_m2 / radius_m.powi(2)
                    + with_pulley
                    + PI * radius_m * belt_mass_kg_per_m
            } else if body == return_body {
                p.pulleys.return_inertia_kg_m2 / return_radius_m.powi(2)
                    + PI * return_radius_m * belt_mass_kg_per_m
            } else {
                leaves.iter().find(|leaf| leaf.body == body).map_or(0.0, |leaf| leaf.mass_kg)
            };
            own + belt_mass_kg_per_m * (ahead + behind) / 2.0
        })
        .collect();

    let ring = Ring {
        bodies,
        masses_kg,
        leaves,
        rotor_kg: is_parted.then_some(rotor_kg),
        second_ea_n: 0.0,
        return_body,
        spans,
        ea_n: p.belt.specific_stiffness_n_per_m * p.belt.width_m,
        belt_mass_kg_per_m,
        radius_m,
    };
    match &p.telescope {
        Some(telescope) => with_slow_leaves(ring, telescope, p),
        None => ring,
    }
}

/// Adds a slow leaf behind each leaf, and the two lengths of its loop: e = +-(2 q_slow - q_fast).
///
/// Of the second belt half runs along with the fast leaf, as far as it does not stand with the frame.
fn with_slow_leaves(mut ring: Ring, telescope: &Telescope, p: &Parameters) -> Ring {
    let fast = ring.leaves.clone();
    let all = ring.bodies + fast.len();
    let length = telescope.belt_length_m.unwrap_or(p.leaf.width_m);
    ring.second_ea_n = p.belt.specific_stiffness_n_per_m * telescope.belt_width_m;
    let second_belt = p.belt.specific_mass_kg_per_m2 * telescope.belt_width_m;
    let pulleys =
        2.0 * p.pulleys.return_inertia_kg_m2 / p.pulleys.return_radius_m.unwrap_or(ring.radius_m).powi(2);
    for span in &mut ring.spans {
        span.row.resize(all, 0.0);
    }
    for (j, leaf) in fast.iter().enumerate() {
        let body = ring.bodies + j;
        let mass_kg = telescope.mass_kg.unwrap_or(leaf.mass_kg);
        ring.masses_kg[leaf.body] += second_belt * length;
        ring.masses_kg.push(mass_kg + pulleys);
        ring.leaves.push(RingLeaf { body, mass_kg, uphill: leaf.uphill, ratio: 0.5 });
        for sign in [1.0, -1.0] {
            let mut row = vec![0.0; all];
            (row[body], row[leaf.body]) = (2.0 * sign, -sign);
            ring.spans.push(Span { row, closed_length_m: length, grows_with: None });
        }
    }
    ring
}
