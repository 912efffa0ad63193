//! A chart outside the window: as a table, as a drawing, as a picture.

mod csv;
pub mod picture;
mod svg;

use crate::charts::{Chart, Charts};

/// What a chart can be saved or copied as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Format {
    /// A table of every curve's points.
    Csv,
    /// A drawing.
    Svg,
    /// A picture of the drawing.
    Png,
}

impl Format {
    /// All of them.
    pub const ALL: [Format; 3] = [Format::Png, Format::Svg, Format::Csv];

    /// Its name, and the ending of its files.
    pub fn name(self) -> (&'static str, &'static str) {
        match self {
            Format::Csv => ("CSV", "csv"),
            Format::Svg => ("SVG", "svg"),
            Format::Png => ("PNG", "png"),
        }
    }
}

/// The text of a chart: its table, or the drawing that a picture is rendered from too.
pub fn text(chart: &Chart, charts: &Charts, axis: &str, title: &str, format: Format) -> String {
    match format {
        Format::Csv => csv::table(chart, charts, axis),
        Format::Svg | Format::Png => svg::drawing(chart, charts, axis, title),
    }
}
