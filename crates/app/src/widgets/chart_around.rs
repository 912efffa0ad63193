//! What a chart needs beside its curves.

use crate::axis::Axis;
use crate::charts::{Chart, Charts};
use crate::theme::Palette;

/// What a chart stands among: the other charts, the run compared with, the moment pointed at.
pub struct Around<'a> {
    /// All charts: what they share.
    pub charts: &'a Charts,
    /// The same chart of the run that is compared with.
    pub held: Option<&'a Chart>,
    /// What they are drawn over.
    pub axis: Axis,
    /// Where the moment pointed at lies on the axis.
    pub cursor: Option<f64>,
    /// What the header says at its end.
    pub readout: String,
    /// What a screen reader says.
    pub spoken: String,
    /// Colours.
    pub palette: &'a Palette,
    /// Whether the numbers of the axis stand under this chart.
    pub axis_below: bool,
    /// Width of the numbers beside each chart, so that all charts begin at one place.
    pub axis_width: f32,
    /// Whether the wheel looks closer, rather than to scroll through the charts.
    pub wheel_zooms: bool,
}
