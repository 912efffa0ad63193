//! The winding of the motor: what a voltage makes of its current, and what that current does over a step.

use super::{Continuous, Plant, Rubbing, Winding};
use crate::decay::Decay;
use crate::energy::{POWERS, power};

impl<const B: usize, const S: usize, const R: usize> Plant<B, S, R> {
    /// Current that a voltage drives at once, A.
    pub fn static_current(&self, winding: Winding, drive_speed: f64) -> f64 {
        match winding {
            Winding::Volts(volts) => (volts - self.pull * drive_speed) / self.r,
            Winding::Open => 0.0,
        }
    }

    /// Lets the current jump where it has no inertia: open winding, or L/R far below a tick.
    pub fn settle_current(&self, state: &mut Continuous<B>, winding: Winding) {
        if self.quasi_static || winding == Winding::Open {
            state.i = self.static_current(winding, state.v[Self::MOTOR]);
        }
    }

    /// What a step of `h` seconds makes of the winding current.
    pub fn decay_over(&self, h: f64) -> Decay {
        Decay::over(self.electric_rate, h)
    }

    /// The pull of the current over a step, where the weights of the method miss some of it: what flowed is known from what
    /// the winding took, L di + R i dt = (V - K v) dt, and the rest is given to the drive. `counted` is what the weights
    /// counted, A s.
    #[inline(always)]
    #[allow(clippy::too_many_arguments)]
    pub fn add_missed_impulse(
        &self,
        h: f64,
        from: &Continuous<B>,
        to: &mut Continuous<B>,
        winding: Winding,
        rubbing: &Rubbing<B>,
        counted: f64,
        work: &mut [f64; POWERS],
    ) {
        let motor = Self::MOTOR;
        let Winding::Volts(volts) = winding else { return };
        if self.quasi_static || rubbing[motor] == 0.0 {
            return;
        }
        let flowed =
            (volts * h - self.pull * (to.q[motor] - from.q[motor]) - self.l * (to.i - from.i)) / self.r;
        let missed = flowed - counted;
        to.v[motor] += self.pull * missed * self.inverse_masses[motor];
        work[power::BUS] += volts * missed;
        if volts * counted > 0.0 {
            work[power::DRAWN] += volts * missed;
        }
    }

    /// Current at which nothing changes any more while the drive stands, A.
    pub fn standing_current(&self, winding: Winding) -> f64 {
        self.static_current(winding, 0.0)
    }
}
