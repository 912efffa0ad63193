//! What turns values in SI into heights and places of a chart.

use tautleaf_scenario::UnitSystem;

use crate::axis::Axis;
use crate::live::Live;

/// Run, units, axis and the part of it that a chart is drawn for.
pub(crate) struct Scales<'a> {
    pub live: &'a Live,
    pub system: UnitSystem,
    pub axis: Axis,
    /// The part of the axis that is drawn.
    pub part: (f64, f64),
    /// Whether that is less than all of it.
    pub is_closer: bool,
    /// One metre on the axis of openings.
    pub metre: f64,
}

impl Scales<'_> {
    /// Place of a moment on the axis.
    pub(crate) fn place(&self, t_s: f64, opening_m: f64) -> f64 {
        match self.axis {
            Axis::Time => t_s,
            Axis::Opening => opening_m * self.metre,
        }
    }
}
