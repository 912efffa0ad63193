//! What a warm motor changes, for a terminal.

use tautleaf_physics::Figure::{self, ClosingTime, PeakEnergyCoupledClosing, StallForce};

use crate::columns::{Side, aligned};
use crate::judged::Judged;
use crate::palette::{Palette, paint};
use crate::words;

/// Figures that are told for the warm motor too.
pub(crate) const TOLD: [Figure; 3] = [StallForce, PeakEnergyCoupledClosing, ClosingTime];

/// A heading with the temperature, then one line for each figure: as run, and warm.
pub(crate) fn block(judged: &Judged<'_>, palette: &Palette) -> Vec<String> {
    let Some(warm) = &judged.warm else { return Vec::new() };
    let system = judged.scenario.units;
    let shown = |figure, value: Option<f64>| {
        value.map_or("-".to_owned(), |value| words::figure_value(figure, value, system))
    };
    let rows = TOLD.iter().map(|&figure| {
        let (cold, warm) = (judged.run.figures.get(figure), warm.run.figures.get(figure));
        vec![figure.label().to_owned(), shown(figure, cold), "->".to_owned(), shown(figure, warm)]
    });
    let title = format!(
        "With the motor as warm as the duty makes it, {}",
        shown(Figure::WindingTemperature, Some(warm.winding_temperature_c))
    );
    let mut lines = vec![String::new(), paint(palette.heading, &title)];
    let rows: Vec<Vec<String>> = rows.collect();
    let sides = [Side::Left, Side::Right, Side::Left, Side::Right];
    lines.extend(aligned(&rows, &sides).iter().map(|line| format!("  {line}")));
    lines
}
