//! Closing edge against an obstacle.
//!
//! Contact when the clear opening w falls below the gap g. The edge, spring k_e with damper c, is in series
//! with the obstacle, spring k_t; z is the compression of the n touching edges in series.
//!
//! ```text
//! F = max(0, k_t (g - w - y - z))        (c dz/dt + k_e z)/n = F        M d2y/dt2 = F      (eq. 12)
//! ```
//!
//! One leaf meets a fixed obstacle (n = 1), a pair squeezes a floating one between two edges (n = 2). An obstacle
//! with mass M is pushed along by y until it stands against the jamb. Without damping, or where z follows far faster than a tick, z is at rest.

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

/// What stands in the clear opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Contact {
    /// Clear opening at which it is touched, m; negative infinity: nothing is there.
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

/// Above this rate, 1/s, the edge's compression counts as settled.
const SETTLED_RATE: f64 = 50e3;

impl Contact {
    /// Nothing in the way.
    pub const NONE: Self = Self { gap: f64::NEG_INFINITY, stiffness: 1.0, mass: f64::INFINITY, room: 0.0 };

    /// Whether anything is there.
    pub fn is_there(&self) -> bool {
        self.gap > f64::NEG_INFINITY
    }

    /// Rate at which the edge's compression follows, 1/s; `None`: at once.
    pub fn edge_rate(&self, edge_k: f64, edge_c: f64, edges: f64) -> Option<f64> {
        let rate = (edges * self.stiffness + edge_k) / edge_c;
        (edge_c > 0.0 && rate < SETTLED_RATE).then_some(rate)
    }

    /// Overlap g - w - y, m: positive in contact.
    pub fn overlap(&self, w: f64, state: &ContactState) -> f64 {
        self.gap - w - state.y
    }

    #[inline(always)]
    pub fn rates(&self, w: f64, state: &ContactState, edge_k: f64, edge_c: f64, edges: f64) -> Touch {
        let overlap = self.overlap(w, state);
        let mut rate = ContactState { vy: 0.0, y: state.vy, z: 0.0 };
        let (force_n, lost_w) = if self.edge_rate(edge_k, edge_c, edges).is_some() {
            let force = (self.stiffness * (overlap - state.z)).max(0.0);
            rate.z = (edges * force - edge_k * state.z) / edge_c;
            (force, edge_c * rate.z * rate.z / edges)
        } else {
            (self.series_stiffness(edge_k, edges) * overlap.max(0.0), 0.0)
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

    /// Stiffness of obstacle and edges in series, N/m.
    fn series_stiffness(&self, edge_k: f64, edges: f64) -> f64 {
        self.stiffness / (1.0 + edges * self.stiffness / edge_k)
    }

    /// Energy in the springs and in the obstacle's motion, J.
    pub fn energy(&self, w: f64, state: &ContactState, edge_k: f64, edge_c: f64, edges: f64) -> f64 {
        if !self.is_there() {
            return 0.0;
        }
        let overlap = self.overlap(w, state);
        let springs = if self.edge_rate(edge_k, edge_c, edges).is_some() {
            let depth = (overlap - state.z).max(0.0);
            0.5 * self.stiffness * depth * depth + 0.5 * edge_k * state.z * state.z / edges
        } else {
            0.5 * self.series_stiffness(edge_k, edges) * overlap.max(0.0).powi(2)
        };
        let moving = if self.mass.is_finite() { 0.5 * self.mass * state.vy * state.vy } else { 0.0 };
        springs + moving
    }
}
