//! The course of the way closed.

use crate::moment::Reading;
use crate::parameters::Arrangement;
use crate::peaks::fastest_closing;
use crate::reading::phases::{DONE_M, crossing, plain};
use crate::reading::record::Record;

/// Energy with drive at the average speed over the stated stretch (EN 81-20:2020 5.3.6.2.2.1), J.
pub(crate) fn average_energy(run: &Record<'_>) -> Option<Reading> {
    let (door, closing) = (run.door, run.phases.closing);
    let end = if door.parameters().arrangement == Arrangement::BiParting { 0.025 } else { 0.050 };
    let leaves = door.edges() as f64;
    let (from, to) = (door.clear_width_m() - end * leaves, end * leaves);
    let (start, finish) = (crossing(closing, from, false)?.0, crossing(closing, to, false)?.0);
    let speed = (from - to) / leaves / (finish - start);
    plain(Some(0.5 * door.ring().moving_kg() * speed * speed))
}

/// Travel of a leaf before closed over which it goes no faster than 1.2 times its creep speed, m.
pub(crate) fn latch_check(run: &Record<'_>) -> Option<Reading> {
    let (door, closing) = (run.door, run.phases.closing);
    let slow = 1.2 * door.parameters().closing.creep_speed_m_per_s;
    let closed = closing.iter().any(|sample| sample.clear_opening_m <= DONE_M);
    let last_fast = closing.iter().rposition(|sample| fastest_closing(sample) > slow);
    let from = last_fast.map_or(door.clear_width_m(), |n| closing[n].clear_opening_m);
    plain(closed.then_some((from / door.edges() as f64).max(0.0)))
}
