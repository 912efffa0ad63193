//! Reads the figures off a run (PHYSICS of each: DEVELOPERS.md, figures). The table of figures says what reads which.

pub(crate) mod closing;
pub(crate) mod comfort;
pub(crate) mod duty;
pub(crate) mod force;
pub(crate) mod happenings;
pub(crate) mod times;
pub(crate) mod totals;

use crate::door::Door;
use crate::energy::EnergyBalance;
use crate::figures::{Figure, Figures, Moment, Reading};
use crate::peaks::Peaks;
use crate::run::{Event, EventKind, GapForce, RearForce, Sample};
use crate::supply::Extreme;
use crate::thermal::Steady;
use comfort::Comfort;
use duty::Duty;

/// Distance from the end at which a motion counts as done, m.
pub const DONE_M: f64 = 0.005;
/// 2 in: clear opening down to which the closing speed before latch check is taken, m.
pub const LATCH_CHECK_M: f64 = 0.0508;
/// Band within which a leaf counts as settled, m.
pub(crate) const SETTLED_M: f64 = 0.001;

/// How a figure is read; `None`: the run does not give it.
pub(crate) type Reader = fn(&Record<'_>) -> Option<Reading>;

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

/// A run as the figures are read off it.
pub(crate) struct Record<'a> {
    pub door: &'a Door,
    pub samples: &'a [Sample],
    pub events: &'a [Event],
    pub tested: Tested<'a>,
    pub totals: &'a Totals,
    pub phases: Phases<'a>,
    pub peaks: Peaks,
    pub comfort: Comfort,
    pub duty: Option<Duty>,
}

impl<'a> Record<'a> {
    pub fn new(
        door: &'a Door,
        samples: &'a [Sample],
        events: &'a [Event],
        tested: Tested<'a>,
        energy: &'a EnergyBalance,
        totals: &'a Totals,
    ) -> Self {
        Self {
            phases: Phases::of(samples, events),
            peaks: Peaks::of(door, samples),
            comfort: Comfort::of(door, samples),
            duty: Duty::of(door, samples, events, energy, totals),
            door,
            samples,
            events,
            tested,
            totals,
        }
    }

    /// Every figure that the run gives.
    pub fn figures(&self) -> Figures {
        Figures::of(self)
    }

    /// A figure of the duty, without a moment.
    pub fn duty(&self, value: impl Fn(&Duty) -> f64) -> Option<Reading> {
        plain(self.duty.as_ref().map(value))
    }

    /// A temperature of the duty, with the moment at which the winding is warmest.
    pub fn warmth(&self, value: impl Fn(&Steady) -> f64) -> Option<Reading> {
        let steady = &self.duty.as_ref()?.steady;
        Some(Reading { value: value(steady), at: steady.at })
    }

    /// The greatest value of a figure of the force test over the gaps that count for it, with its gap.
    pub fn worst_gap(&self, figure: Figure) -> Option<Reading> {
        force::worst(self.tested.force, figure)
    }
}

/// A value without a moment.
pub(crate) fn plain(value: Option<f64>) -> Option<Reading> {
    value.map(|value| Reading { value, at: None })
}

/// A value with its moment.
pub(crate) fn placed(value: f64, at: Moment) -> Option<Reading> {
    Some(Reading { value, at: Some(at) })
}

pub(crate) fn moment(sample: &Sample) -> Moment {
    Moment { t_s: sample.t_s, clear_opening_m: sample.clear_opening_m }
}

/// The first motion open and the last motion closed, as ranges of samples.
pub(crate) struct Phases<'a> {
    pub opening: &'a [Sample],
    pub opening_command: f64,
    pub closing: &'a [Sample],
    pub closing_command: f64,
}

impl<'a> Phases<'a> {
    fn of(samples: &'a [Sample], events: &[Event]) -> Self {
        let first = |kind| events.iter().find(|event| event.kind == kind).map(|event| event.at.t_s);
        let last = |kind| events.iter().rev().find(|event| event.kind == kind).map(|event| event.at.t_s);
        let end = samples.last().map_or(0.0, |sample| sample.t_s);
        let after = |t: f64| samples.partition_point(|sample| sample.t_s < t - 1e-9);
        let ended = |from: f64| {
            let stop = |event: &&Event| {
                event.at.t_s > from + 1e-9
                    && matches!(
                        event.kind,
                        EventKind::CommandOpen | EventKind::CommandClose | EventKind::Reversed
                    )
            };
            events.iter().find(stop).map_or(end, |event| event.at.t_s)
        };
        let range = |from: Option<f64>| {
            from.map_or(&samples[..0], |from| {
                let (low, high) = (after(from), after(ended(from) + 2e-9));
                &samples[low.min(high)..high]
            })
        };
        let (opening, closing) = (first(EventKind::CommandOpen), last(EventKind::CommandClose));
        Self {
            opening: range(opening),
            opening_command: opening.unwrap_or(0.0),
            closing: range(closing),
            closing_command: closing.unwrap_or(0.0),
        }
    }
}

/// Interpolated time at which the clear opening first reaches a value, s.
pub(crate) fn crossing(samples: &[Sample], opening_m: f64, rising: bool) -> Option<(f64, Moment)> {
    let sign = if rising { 1.0 } else { -1.0 };
    let beyond = |sample: &Sample| sign * (sample.clear_opening_m - opening_m) >= 0.0;
    let n = samples.iter().position(beyond)?;
    // a motion that begins beyond the mark does not cross it
    let (a, b) = (&samples[n.checked_sub(1)?], &samples[n]);
    let part = (opening_m - a.clear_opening_m) / (b.clear_opening_m - a.clear_opening_m);
    let t_s = a.t_s + part * (b.t_s - a.t_s);
    Some((t_s, Moment { t_s, clear_opening_m: opening_m }))
}
