//! What a run knows beside its samples and events.

use crate::moment::Moment;
use crate::run::{GapForce, RearForce};
use crate::supply::Extreme;

/// What a run knows beside its samples.
pub(crate) struct Totals {
    pub slack_s: f64,
    pub lift_s: f64,
    /// Where the rotor is parted from its pulley, m/s.
    pub knock_m_per_s: Option<f64>,
    pub drawn_j: f64,
    pub standing_current_a: f64,
    pub standing_power_w: f64,
    /// The same at a battery's open-circuit voltage.
    pub standing_supply_w: f64,
    /// How far a leaf goes on after a beam trip at the worst place, and where that is.
    pub stopping: Option<(f64, Moment)>,
    /// Least and greatest voltage of a bus that moves.
    pub bus: Option<(Extreme, Extreme)>,
    /// Greatest current that the supply gives, A.
    pub supply_current: Extreme,
    /// Greatest speed of the rotor, rad/s.
    pub motor_speed: Extreme,
}

/// What was measured against the tester.
#[derive(Clone, Copy)]
pub(crate) struct Tested<'a> {
    /// In the clear opening.
    pub force: &'a [GapForce],
    /// Behind each leaf; `None`: not looked for.
    pub rear: Option<&'a [RearForce]>,
}
