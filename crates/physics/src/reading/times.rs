//! How long the motions take, from the command to the interpolated instant.

use crate::moment::{Moment, Reading};
use crate::reading::phases::{DONE_M, crossing, plain};
use crate::reading::record::Record;
use crate::run::{EventKind, Sample};

fn since(found: Option<(f64, Moment)>, command_s: f64) -> Option<Reading> {
    found.map(|(t_s, at)| Reading { value: t_s - command_s, at: Some(at) })
}

pub(crate) fn opening(run: &Record<'_>) -> Option<Reading> {
    let open_m = run.door.clear_width_m() - DONE_M;
    since(crossing(run.phases.opening, open_m, true), run.phases.opening_command)
}

pub(crate) fn opening_80pct(run: &Record<'_>) -> Option<Reading> {
    let open_m = 0.8 * run.door.clear_width_m();
    since(crossing(run.phases.opening, open_m, true), run.phases.opening_command)
}

pub(crate) fn closing(run: &Record<'_>) -> Option<Reading> {
    since(crossing(run.phases.closing, DONE_M, false), run.phases.closing_command)
}

pub(crate) fn closing_least_90pct(run: &Record<'_>) -> Option<Reading> {
    plain(least_time(run.phases.closing, 0.9 * run.door.clear_width_m()))
}

pub(crate) fn held_open(run: &Record<'_>) -> Option<Reading> {
    let arrived = run.events.iter().find(|event| event.kind == EventKind::ArrivedOpen)?;
    let closes =
        |event: &&crate::run::Event| event.kind == EventKind::CommandClose && event.at.t_s > arrived.at.t_s;
    let next = run.events.iter().find(closes)?;
    Some(Reading { value: next.at.t_s - arrived.at.t_s, at: Some(next.at) })
}

/// Shortest time in which `distance` is covered without a break while closing, s.
///
/// The opening falls monotonically but for overshoot, so two interpolated pointers find every window.
fn least_time(samples: &[Sample], distance_m: f64) -> Option<f64> {
    let mut best: Option<f64> = None;
    let mut first = 0;
    for n in 1..samples.len() {
        let target = samples[n].clear_opening_m + distance_m;
        // the last sample that is still at or above the start of the window
        while first + 1 < n && samples[first + 1].clear_opening_m >= target {
            first += 1;
        }
        let (a, b) = (&samples[first], &samples[first + 1]);
        if a.clear_opening_m < target {
            continue;
        }
        let fall = a.clear_opening_m - b.clear_opening_m;
        let part = if fall > 0.0 { ((a.clear_opening_m - target) / fall).clamp(0.0, 1.0) } else { 1.0 };
        let took = samples[n].t_s - (a.t_s + part * (b.t_s - a.t_s));
        best = Some(best.map_or(took, |best: f64| best.min(took)));
    }
    best
}
