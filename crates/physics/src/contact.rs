//! An edge against an obstacle.
//!
//! Contact when the space before the edge falls below the gap g. The edges ([`crate::edge`]) are in series with the obstacle, spring
//! k_t: the closing edges in the clear opening w, or the rear edge of one leaf before the next fixed part behind it.
//!
//! ```text
//! F = max(0, k_t (g - w - y - z))        M d2y/dt2 = F                  closing edges                       (eq. 12)
//! F = max(0, k_t (g - (c_r + S - x_j) - z))                             rear edge of leaf j                 (eq. 53)
//! ```
//!
//! One leaf meets a fixed obstacle (n = 1), a pair squeezes a floating one between two edges (n = 2). An obstacle
//! with mass M is pushed along by y until it stands against the jamb. Without damping, or where z follows far faster than a tick, z is at rest.

use crate::edge::Edge;
use crate::parameters::Obstacle;

/// Compression of the edges and travel of the obstacle, or their rates.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct ContactState {
    /// Compression of the touching edges in series, m.
    pub z: f64,
    /// How far the obstacle was pushed along, m.
    pub y: f64,
    /// Its speed, m/s.
    pub vy: f64,
}

/// Which edge meets it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Place {
    /// The closing edges, in the clear opening.
    ClosingEdge,
    /// The rear edge of the leaf that is this body, before a part that is fixed `fixed_m` beyond where that edge is while the door is
    /// closed, c_r + S.
    RearEdge { body: usize, fixed_m: f64 },
}

/// What stands in the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Contact {
    /// Which edge meets it.
    pub place: Place,
    /// Width of the space at which it is touched, m; negative infinity: nothing is there.
    pub gap: f64,
    /// Its stiffness, N/m.
    pub stiffness: f64,
    /// Its mass, kg; infinite: fixed or floating.
    pub mass: f64,
    /// How far it can be pushed along before it stands against the jamb, m.
    pub room: f64,
}

/// Force and rates of a contact.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Touch {
    pub force_n: f64,
    pub rate: ContactState,
    pub lost_w: f64,
}

impl Contact {
    /// Nothing in the way.
    pub const NONE: Self = Self {
        place: Place::ClosingEdge,
        gap: f64::NEG_INFINITY,
        stiffness: 1.0,
        mass: f64::INFINITY,
        room: 0.0,
    };

    /// What stands in the clear opening of a door file.
    pub fn with(obstacle: &Obstacle) -> Self {
        Self {
            place: Place::ClosingEdge,
            gap: obstacle.gap_m,
            stiffness: obstacle.stiffness_n_per_m,
            mass: obstacle.mass_kg.unwrap_or(f64::INFINITY),
            room: (obstacle.gap_m - obstacle.depth_m).max(0.0),
        }
    }

    /// Whether anything is there.
    pub fn is_there(&self) -> bool {
        self.gap > f64::NEG_INFINITY
    }

    /// Overlap g - w - y, m, in a space w: positive in contact.
    pub fn overlap(&self, space: f64, state: &ContactState) -> f64 {
        self.gap - space - state.y
    }

    /// How far the edges are pressed together, m.
    pub fn compression(&self, space: f64, state: &ContactState, edge: &Edge) -> f64 {
        match edge.rate(self.stiffness) {
            Some(_) => state.z,
            None => edge.settled(self.overlap(space, state), self.stiffness),
        }
    }

    #[inline(always)]
    pub fn rates(&self, space: f64, state: &ContactState, edge: &Edge) -> Touch {
        let overlap = self.overlap(space, state);
        let mut rate = ContactState { vy: 0.0, y: state.vy, z: 0.0 };
        let (force_n, lost_w) = if edge.rate(self.stiffness).is_some() {
            let force = (self.stiffness * (overlap - state.z)).max(0.0);
            rate.z = (edge.count * force - edge.spring(state.z)) / edge.damping;
            (force, edge.damping * rate.z * rate.z / edge.count)
        } else {
            (edge.spring(edge.settled(overlap, self.stiffness)) / edge.count, 0.0)
        };
        if self.mass.is_finite() && state.y < self.room {
            rate.vy = force_n / self.mass;
        } else {
            rate.y = 0.0;
        }
        Touch { force_n, rate, lost_w }
    }

    /// Stops an obstacle that has come to the jamb; returns the energy that it loses, J.
    pub fn stop_at_jamb(&self, state: &mut ContactState) -> f64 {
        if !self.mass.is_finite() || state.y < self.room || state.vy == 0.0 {
            return 0.0;
        }
        let lost = 0.5 * self.mass * state.vy * state.vy;
        state.vy = 0.0;
        lost
    }

    /// Energy in the springs and in the obstacle's motion, J.
    pub fn energy(&self, space: f64, state: &ContactState, edge: &Edge) -> f64 {
        if !self.is_there() {
            return 0.0;
        }
        let overlap = self.overlap(space, state);
        let z = self.compression(space, state, edge);
        let depth = (overlap - z).max(0.0);
        let moving = if self.mass.is_finite() { 0.5 * self.mass * state.vy * state.vy } else { 0.0 };
        0.5 * self.stiffness * depth * depth + edge.energy(z) + moving
    }
}
