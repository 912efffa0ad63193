//! The figures in groups, for a terminal. Those of the force test have a table of their own.

use tautleaf_physics::{Figure, Group};

use crate::columns::{Side, aligned};
use crate::judged::Judged;
use crate::palette::{Palette, paint};
use crate::words;

/// Every group with a heading; a figure that the run does not give is left out.
pub(crate) fn groups(judged: &Judged<'_>, palette: &Palette) -> Vec<String> {
    let system = judged.scenario.units;
    let mut rows = Vec::new();
    for &figure in Figure::ALL.iter().filter(|figure| figure.group() != Group::ForceTest) {
        let Some(reading) = judged.run.figures.reading(figure).filter(|_| is_told(judged, figure)) else {
            continue;
        };
        let shown = words::figure_value(figure, reading.value, system);
        let (number, unit) = shown.split_once(' ').unwrap_or((&shown, ""));
        let place = reading.at.map_or(String::new(), |at| words::moment(at, system));
        rows.push((figure, vec![figure.label().to_owned(), number.to_owned(), unit.to_owned(), place]));
    }
    let cells: Vec<Vec<String>> = rows.iter().map(|(_, row)| row.clone()).collect();
    let lines = aligned(&cells, &[Side::Left, Side::Right, Side::Left, Side::Left]);
    let mut out = Vec::new();
    for group in Group::ALL {
        let of_group = rows.iter().zip(&lines).filter(|((figure, _), _)| figure.group() == group);
        let mut of_group = of_group.map(|(_, line)| format!("  {line}")).peekable();
        if of_group.peek().is_some() {
            out.push(paint(palette.heading, group.title()));
            out.extend(of_group);
        }
    }
    out
}

/// With one leaf, all leaves are that one.
fn is_told(judged: &Judged<'_>, figure: Figure) -> bool {
    figure != Figure::PeakEnergyLeaves || judged.door.leaves() > 1
}
