//! The ways of a run, where they pass a mark, and values as they are read.

use crate::moment::{Moment, Reading};
use crate::run::{Event, EventKind, Sample};

/// Distance from the end at which a motion counts as done, m.
pub const DONE_M: f64 = 0.005;
/// Band within which a leaf counts as settled, m.
pub(crate) const SETTLED_M: f64 = 0.001;

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
    pub fn of(samples: &'a [Sample], events: &[Event]) -> Self {
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
