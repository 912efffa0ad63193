//! Overshoot, settling, and how fast a stop is met.

use crate::moment::Reading;
use crate::reading::phases::{SETTLED_M, moment, plain};
use crate::reading::record::Record;
use crate::run::{Event, EventKind, Sample, State};

/// A leaf slower than this has come to rest, m/s.
const AT_REST_M_PER_S: f64 = 0.001;
/// For so long, s: a leaf that swings stands still for an instant wherever it turns.
const AT_REST_S: f64 = 0.05;

fn arrived_open_s(run: &Record<'_>) -> Option<f64> {
    run.events.iter().find(|event| event.kind == EventKind::ArrivedOpen).map(|event| event.at.t_s)
}

/// Greatest travel of any leaf beyond fully open, m.
pub(crate) fn overshoot(run: &Record<'_>) -> Option<Reading> {
    arrived_open_s(run)?;
    let stroke = run.door.travel_m();
    let furthest = |sample: &Sample| sample.leaf_position_m.iter().copied().fold(0.0, f64::max) - stroke;
    let beyond = run.phases.opening.iter().map(|sample| (furthest(sample), sample));
    let (value, sample) = beyond.reduce(|a, b| if b.0 > a.0 { b } else { a })?;
    Some(Reading { value: value.max(0.0), at: Some(moment(sample)) })
}

/// Time from first arrival open until every leaf stays within 1 mm of where it comes to rest, s; `None`: a leaf still
/// moves when the next command comes.
pub(crate) fn settling(run: &Record<'_>) -> Option<Reading> {
    let arrived_s = arrived_open_s(run)?;
    let opening = run.phases.opening;
    let rest = opening.iter().rev().find(|sample| sample.state == State::Open)?;
    let moves =
        |sample: &Sample| sample.leaf_speed_m_per_s.iter().any(|speed| speed.abs() >= AT_REST_M_PER_S);
    let lately = |sample: &&Sample| sample.state == State::Open && sample.t_s > rest.t_s - AT_REST_S - 1e-9;
    if opening.iter().filter(lately).any(moves) {
        return None;
    }
    let away = |sample: &&Sample| {
        let apart = |n: usize| (sample.leaf_position_m[n] - rest.leaf_position_m[n]).abs();
        (0..run.door.leaves()).map(apart).fold(0.0, f64::max) > SETTLED_M
    };
    let settled_s = opening.iter().rev().find(away).map_or(0.0, |sample| sample.t_s);
    plain(Some((settled_s - arrived_s).max(0.0)))
}

/// Greatest speed at which a leaf meets an end stop, over the creep speed of that way.
pub(crate) fn stop_speed(run: &Record<'_>) -> Option<Reading> {
    let p = run.door.parameters();
    let over_creep = |event: &Event| {
        let EventKind::StopHit { speed_m_per_s, .. } = event.kind else { return None };
        let way = if speed_m_per_s < 0.0 { &p.closing } else { &p.opening };
        Some(Reading { value: speed_m_per_s.abs() / way.creep_speed_m_per_s, at: Some(event.at) })
    };
    let met = run.events.iter().filter_map(over_creep);
    met.reduce(|a, b| if b.value > a.value { b } else { a }).or(Some(Reading { value: 0.0, at: None }))
}
