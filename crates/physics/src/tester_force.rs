//! What the tester reads within one tick.

use crate::crossing::share_below_zero;

/// The greatest force within this time of touching is the impact force, s.
pub(crate) const IMPACT_S: f64 = 0.75;
/// The force is followed for this time after touching, s.
pub(crate) const WHOLE_S: f64 = 5.0;
/// Force above which its time is counted, N.
const NOTICED_N: f64 = 150.0;

/// Forces of one tick against the obstacle.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct TickForce {
    /// Greatest until [`IMPACT_S`] after the first touch, N, and when, s.
    pub greatest: f64,
    pub greatest_at: f64,
    /// Greatest from then on until [`WHOLE_S`] after it, N.
    pub late: f64,
    /// Time above 150 N, s.
    pub above_150: f64,
    /// Mean over the tick, N.
    pub mean: f64,
    /// How far the touching edges were pressed together in all, at most, until [`IMPACT_S`] after the first touch, m.
    pub pressed_m: f64,
}

impl TickForce {
    /// The force over one sub-step from `before` to `push`, both N, that ends `now`, s.
    ///
    /// Within a sub-step the force runs straight: what the tester reads where the impact ends, and where it is followed no
    /// longer, counts.
    pub fn see(&mut self, before: f64, push: f64, now: f64, h: f64, touched_at: Option<f64>) {
        let since = touched_at.map_or(f64::NEG_INFINITY, |touched| now - touched);
        let at = |until_s: f64| push + (before - push) * ((since - until_s) / h).clamp(0.0, 1.0);
        if since - h < IMPACT_S && at(IMPACT_S) > self.greatest {
            (self.greatest, self.greatest_at) = (at(IMPACT_S), now - (since - IMPACT_S).max(0.0));
        }
        if since > IMPACT_S && since - h < WHOLE_S {
            self.late = self.late.max(at(IMPACT_S)).max(at(WHOLE_S));
        }
        self.above_150 += h * share_below_zero(NOTICED_N - before, NOTICED_N - push);
    }
}
