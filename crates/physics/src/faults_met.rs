//! Where wheels roll over steps and bumps of their rail, and how hard the leaf takes it.

use crate::door::Door;
use crate::hanging::Hanging;
use crate::moment::Moment;
use crate::parameters::Hanger;
use crate::run::{Event, EventKind, Sample};

/// The jolt of a wheel is looked for this long before and after it stands on the fault, s: a wheel of 50 mm bridges a
/// step of 1 mm over 7 mm.
const AROUND_S: f64 = 0.06;

/// One event for each wheel that rolls over a step or a bump.
pub(crate) fn faults_met(door: &Door, samples: &[Sample]) -> Vec<Event> {
    let mut events = Vec::new();
    if door.parameters().faults.is_empty() {
        return events;
    }
    for (n, leaf) in door.ring().leaves.iter().enumerate() {
        let hanging = Hanging::new(door.parameters(), n + 1, leaf);
        for (hanger, track) in [Hanger::Leading, Hanger::Trailing].into_iter().zip(hanging.tracks()) {
            for (at, pair) in samples.windows(2).enumerate() {
                let Some(fault) = track.passed(pair[0].leaf_position_m[n], pair[1].leaf_position_m[n]) else {
                    continue;
                };
                let moment = Moment { t_s: pair[1].t_s, clear_opening_m: pair[1].clear_opening_m };
                let acceleration_m_per_s2 = jolt(samples, at, n);
                let kind = EventKind::FaultPassed { leaf: n + 1, hanger, fault, acceleration_m_per_s2 };
                events.push(Event { at: moment, kind });
            }
        }
    }
    events
}

/// Greatest acceleration of a leaf around a sample, m/s2.
fn jolt(samples: &[Sample], at: usize, leaf: usize) -> f64 {
    let now = samples[at].t_s;
    let from = samples.partition_point(|sample| sample.t_s < now - AROUND_S);
    let to = samples.partition_point(|sample| sample.t_s <= now + AROUND_S);
    let rate = |pair: &[Sample]| {
        (pair[1].leaf_speed_m_per_s[leaf] - pair[0].leaf_speed_m_per_s[leaf]) / (pair[1].t_s - pair[0].t_s)
    };
    samples[from..to].windows(2).map(|pair| rate(pair).abs()).fold(0.0, f64::max)
}
