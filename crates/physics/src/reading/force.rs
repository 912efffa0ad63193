//! The force test, over all its gaps, of the closing edge and behind the leaves.

use crate::moment::{Moment, Reading};
use crate::reading::phases::{moment, plain};
use crate::reading::record::Record;
use crate::rear_test;
use crate::run::{AtGap, EventKind, GapForce, GapRange};

/// The greatest value of a figure of the force test over the gaps that count for it, with its gap; the first if equal.
pub(crate) fn worst(force: &[GapForce], at_gap: AtGap, gaps: GapRange) -> Option<Reading> {
    let (value, gap) = force
        .iter()
        .filter(|gap| gaps.holds(gap.gap_m))
        .filter_map(|gap| Some((at_gap(gap)?, gap)))
        .reduce(|a, b| if b.0 > a.0 { b } else { a })?;
    let at = Moment { t_s: gap.touched_at_s.unwrap_or(0.0), clear_opening_m: gap.gap_m };
    Some(Reading { value, at: Some(at) })
}

/// The greatest value of a figure of the force test behind the leaves. 0 where the door opened and no leaf came as near to the next
/// fixed part as the widest gap of the test; `None` where the way to that part is not known.
pub(crate) fn behind(record: &Record<'_>, at_gap: AtGap) -> Option<Reading> {
    let tested = record.tested.rear?;
    record.door.parameters().rear.clearance_m?;
    let values = tested.iter().filter_map(|rear| Some((at_gap(&rear.test)?, rear.test.touched_at_s)));
    let Some((value, touched)) = values.reduce(|a, b| if b.0 > a.0 { b } else { a }) else {
        let opened = record.events.iter().any(|event| event.kind == EventKind::ArrivedOpen);
        let none_met = tested.iter().all(|rear| rear_test::is_at_the_end(record.door, rear.test.gap_m));
        return plain((opened && none_met).then_some(0.0));
    };
    let sample = |t_s: f64| record.samples.iter().find(|sample| sample.t_s >= t_s);
    let at = touched.and_then(|t_s| Some(Moment { t_s, ..moment(sample(t_s)?) }));
    Some(Reading { value, at })
}

/// Speed above which the closing edges are pressed flat while the drive pushes with its greatest slow stall force.
pub(crate) fn flat_speed(record: &Record<'_>) -> Option<Reading> {
    let pushed = record.tested.force.iter().filter_map(|gap| gap.stall_force_slow_n).reduce(f64::max)?;
    plain(record.door.edge_flat_speed_m_per_s(pushed))
}
