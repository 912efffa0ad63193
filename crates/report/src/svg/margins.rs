//! Drives that were tried, as a picture: one line each, with what each bound has left or is short of.

use plotters::drawing::IntoDrawingArea;
use plotters::element::{Circle, PathElement, Rectangle, Text};
use plotters::prelude::SVGBackend;
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color, ShapeStyle};
use tautleaf_trials::choose::{Check, Tried};

use super::draw::{self, CURVES, DrawError, EDGE, GRID, INK, LIMIT, RAISED, Set};
use super::title::{shortened, with_title};
use crate::choose::{ChooseReport, bound_label};
use crate::table::SHORT_CAUTIONS;
use crate::{PROGRAM, VERSION, words};

const WIDTH: u32 = 1000;
const HEAD_PX: i32 = 116;
const ROW_PX: i32 = 26;
/// Most drives that are drawn.
const MOST: usize = 40;
/// The scale: from half short to all left.
const LEFT: i32 = 322;
const RIGHT: i32 = 812;
const SHORT: f64 = -0.5;
const FULL: f64 = 1.0;

/// The picture as SVG.
///
/// # Errors
/// What the drawing library says.
pub fn draw(report: &ChooseReport<'_>) -> Result<String, DrawError> {
    let rows: Vec<Line> = lines(report).into_iter().take(MOST).collect();
    let bottom = HEAD_PX + ROW_PX * rows.len() as i32;
    let height = (bottom + 84) as u32;
    let mut svg = String::new();
    {
        let root = SVGBackend::with_string(&mut svg, (WIDTH, height)).into_drawing_area();
        draw::page(&root)?;
        let title = words::title(report.scenario);
        draw::text(&root, &shortened(&title, 70), (28, 20), &draw::TITLE)?;
        let (text, set) = match rows.iter().filter(|row| row.does).count() {
            0 => ("none of these drives meets the requirements".to_owned(), draw::OVER),
            some => (format!("{some} of these drives meet the requirements"), draw::VERDICT),
        };
        draw::text(&root, &text, (28, 52), &set)?;
        scale(&root, bottom)?;
        for (n, row) in rows.iter().enumerate() {
            line(&root, row, HEAD_PX + ROW_PX * n as i32)?;
        }
        draw::text(&root, SHORT_CAUTIONS[0], (28, bottom + 38), &draw::SMALL)?;
        draw::text(&root, SHORT_CAUTIONS[1], (28, bottom + 56), &draw::SMALL)?;
        let made = format!("{PROGRAM} {VERSION}");
        draw::text(&root, &made, (WIDTH as i32 - 28, bottom + 56), &draw::SMALL_RIGHT)?;
        root.present()?;
    }
    let title = words::one_line(&report.scenario.title);
    Ok(with_title(&svg, &title, "drives tried on a sliding door, with what each has left"))
}

/// One drive.
struct Line {
    name: String,
    does: bool,
    /// Margins of what tells how much is left.
    margins: Vec<f64>,
    /// The one that is tightest, or the reason.
    decisive: Option<(String, f64)>,
}

/// One line of the picture for each drive.
fn lines(report: &ChooseReport<'_>) -> Vec<Line> {
    let line = |(tried, _): (&Tried, usize)| {
        let told = tried.checks.iter().filter(|check| check.bound.tells_what_is_left());
        let decisive = if tried.does() { tried.tightest() } else { tried.reason() };
        Line {
            name: report.drive(tried).name.clone(),
            does: tried.does(),
            margins: told.map(margin).collect(),
            decisive: decisive.map(|check| (bound_label(&check.bound, &report.limits), margin(check))),
        }
    };
    report.choice.best_of_each().into_iter().map(line).collect()
}

/// What a check stands at on the scale.
fn margin(check: &Check) -> f64 {
    if check.margin.is_finite() { check.margin } else { SHORT }
}

/// Where a margin stands on the scale.
fn x(margin: f64) -> i32 {
    let share = (margin.clamp(SHORT, FULL) - SHORT) / (FULL - SHORT);
    LEFT + (share * f64::from(RIGHT - LEFT)).round() as i32
}

fn scale(root: &draw::Area<'_>, bottom: i32) -> Result<(), DrawError> {
    root.draw(&Rectangle::new([(LEFT, HEAD_PX - 6), (RIGHT, bottom)], RAISED.filled()))?;
    for percent in [-50, -25, 0, 25, 50, 75, 100] {
        let at = x(f64::from(percent) / 100.0);
        let (colour, width) = if percent == 0 { (LIMIT, 2) } else { (GRID, 1) };
        let style = ShapeStyle::from(&colour).stroke_width(width);
        root.draw(&PathElement::new(vec![(at, HEAD_PX - 6), (at, bottom)], style))?;
        let set = Set { side: HPos::Center, ..draw::SMALL };
        root.draw(&Text::new(format!("{percent} %"), (at, bottom + 6), draw::style(&set, VPos::Top)))?;
    }
    draw::text(root, "short", (LEFT, HEAD_PX - 26), &draw::SMALL)?;
    draw::text(root, "left", (RIGHT, HEAD_PX - 26), &draw::SMALL_RIGHT)?;
    Ok(())
}

fn line(root: &draw::Area<'_>, row: &Line, top: i32) -> Result<(), DrawError> {
    let middle = top + ROW_PX / 2 - 2;
    let name =
        Set { side: HPos::Right, colour: if row.does { INK } else { draw::SMALL.colour }, ..draw::SMALL };
    let text = |text: String, at: (i32, i32), set: &Set| {
        root.draw(&Text::new(text, at, draw::style(set, VPos::Center)))
    };
    text(shortened(&row.name, 40), (LEFT - 12, middle), &name)?;
    let spread = row.margins.iter().copied().chain(row.decisive.iter().map(|(_, margin)| *margin));
    let (low, high) =
        spread.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), m| (low.min(m), high.max(m)));
    if low <= high {
        let style = ShapeStyle::from(&EDGE).stroke_width(2);
        root.draw(&PathElement::new(vec![(x(low), middle), (x(high), middle)], style))?;
    }
    for margin in &row.margins {
        root.draw(&Circle::new((x(*margin), middle), 3, CURVES[1].filled()))?;
    }
    if let Some((bound, margin)) = &row.decisive {
        let colour = if row.does { CURVES[0] } else { LIMIT };
        root.draw(&Circle::new((x(*margin), middle), 5, colour.filled()))?;
        let words = if row.does { bound.clone() } else { format!("not: {bound}") };
        let set = Set { colour, side: HPos::Left, bold: !row.does, ..draw::SMALL };
        text(shortened(&words, 24), (RIGHT + 12, middle), &set)?;
    }
    Ok(())
}
