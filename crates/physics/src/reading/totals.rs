//! What the run added up while it went.

use crate::moment::{Moment, Reading};
use crate::reading::phases::moment;
use crate::reading::record::Record;
use crate::run::EventKind;
use crate::supply::Extreme;

/// The middle of the longest stretch that an event ends, by how long it lasted, s.
fn longest(run: &Record<'_>, lasted: impl Fn(&EventKind) -> Option<f64>) -> Option<Moment> {
    let stretches = run.events.iter().filter_map(|event| Some((lasted(&event.kind)?, event.at.t_s)));
    let (lasted_s, end_s) = stretches.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let middle_s = end_s - lasted_s / 2.0;
    run.samples.get(run.samples.partition_point(|sample| sample.t_s < middle_s)).map(moment)
}

pub(crate) fn slack(run: &Record<'_>) -> Option<Reading> {
    let lasted = |kind: &EventKind| {
        if let EventKind::SlackEnds { lasted_s, .. } = kind { Some(*lasted_s) } else { None }
    };
    Some(Reading { value: run.totals.slack_s, at: longest(run, lasted) })
}

pub(crate) fn lift(run: &Record<'_>) -> Option<Reading> {
    let lasted = |kind: &EventKind| {
        if let EventKind::WheelSits { lasted_s, .. } = kind { Some(*lasted_s) } else { None }
    };
    Some(Reading { value: run.totals.lift_s, at: longest(run, lasted) })
}

/// An extreme of the voltage of a bus that moves, V.
pub(crate) fn bus(run: &Record<'_>, which: fn(&(Extreme, Extreme)) -> Extreme) -> Option<Reading> {
    extreme(which(run.totals.bus.as_ref()?))
}

/// A value that was watched tick by tick, with its moment.
pub(crate) fn extreme(seen: Extreme) -> Option<Reading> {
    Some(Reading { value: seen.value, at: seen.at })
}
