//! What a person who walks up finds, how far a leaf goes without power, what a learning run learns.

use crate::moment::{Moment, Reading};
use crate::reading::phases::{crossing, moment, placed, plain};
use crate::reading::record::Record;
use crate::run::{Event, EventKind};
use crate::timeline;

/// When the person reaches the leaf, s; `None`: no one walks up, or the door does not open.
fn reached_s(run: &Record<'_>) -> Option<f64> {
    let after = timeline::reaches_after_s(&run.door.parameters().timeline)?;
    (!run.phases.opening.is_empty()).then_some(run.phases.opening_command + after)
}

pub(crate) fn opening_at_person(run: &Record<'_>) -> Option<Reading> {
    let reached = reached_s(run)?;
    let then = run.samples.partition_point(|sample| sample.t_s < reached);
    // no one is met by a door that is not followed as long as that
    let (before, sample) = (run.samples.get(then.max(1) - 1)?, run.samples.get(then)?);
    let gap = sample.t_s - before.t_s;
    let part = if gap > 0.0 { (reached - before.t_s) / gap } else { 0.0 };
    let opening_m = before.clear_opening_m + part * (sample.clear_opening_m - before.clear_opening_m);
    placed(opening_m.max(0.0), Moment { t_s: reached, clear_opening_m: opening_m })
}

pub(crate) fn person_waits(run: &Record<'_>) -> Option<Reading> {
    let reached = reached_s(run)?;
    let shoulders_m = run.door.parameters().timeline.shoulder_width_m;
    let (t_s, at) = crossing(run.phases.opening, shoulders_m, true)?;
    placed((t_s - reached).max(0.0), at)
}

fn power_lost<'a>(run: &Record<'a>) -> Option<&'a Event> {
    run.events.iter().find(|event| event.kind == EventKind::PowerLost)
}

/// Index of the first sample without power.
fn from_power_lost(run: &Record<'_>, lost: &Event) -> usize {
    run.samples.partition_point(|sample| sample.t_s < lost.at.t_s - 1e-9)
}

pub(crate) fn coast(run: &Record<'_>) -> Option<Reading> {
    let lost = power_lost(run)?;
    let (from, last) = (run.samples.get(from_power_lost(run, lost))?, run.samples.last()?);
    let way = |n: usize| (last.leaf_position_m[n] - from.leaf_position_m[n]).abs();
    placed(way(0).max(way(1)), moment(last))
}

pub(crate) fn opened_without_power(run: &Record<'_>) -> Option<Reading> {
    let lost = power_lost(run)?;
    let off = &run.samples[from_power_lost(run, lost)..];
    let (t_s, at) = crossing(off, 0.8 * run.door.clear_width_m(), true)?;
    placed(t_s - lost.at.t_s, at)
}

pub(crate) fn learned_stroke(run: &Record<'_>) -> Option<Reading> {
    let ends: Vec<f64> = run.events.iter().filter_map(|event| event.kind.end_found()).collect();
    let [closed, open] = ends[..] else { return None };
    plain(Some(open - closed))
}
