//! The force test, over all its gaps.

use crate::figures::{Figure, Moment, Reading};
use crate::run::GapForce;

/// The greatest value of a figure of the force test over the gaps that count for it, with its gap; the first if equal.
pub(crate) fn worst(force: &[GapForce], figure: Figure) -> Option<Reading> {
    let at_gap = figure.needs().at_gap()?;
    let (value, gap) = force
        .iter()
        .filter(|gap| figure.gaps().holds(gap.gap_m))
        .filter_map(|gap| Some((at_gap(gap)?, gap)))
        .reduce(|a, b| if b.0 > a.0 { b } else { a })?;
    let at = Moment { t_s: gap.touched_at_s.unwrap_or(0.0), clear_opening_m: gap.gap_m };
    Some(Reading { value, at: Some(at) })
}
