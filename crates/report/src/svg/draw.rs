//! One panel on the page: axes, curves, limit lines, marks.

use plotters::chart::{ChartBuilder, ChartContext};
use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind};
use plotters::element::{Circle, PathElement, Rectangle, Text};
use plotters::prelude::{Cartesian2d, SVGBackend};
use plotters::series::{DashedLineSeries, LineSeries};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontStyle, IntoFont, RGBColor, ShapeStyle, TextStyle};

use super::axis::Axis;

/// Why no picture was drawn.
#[derive(Debug, thiserror::Error)]
#[error("the picture could not be drawn: {0}")]
pub struct DrawError(#[from] DrawingAreaErrorKind<std::io::Error>);

pub(super) type Area<'a> = DrawingArea<SVGBackend<'a>, Shift>;
type Chart<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<Axis, Axis>>;

// Blue is what the door does, orange is what limits it.
const PAGE: RGBColor = RGBColor(0xF7, 0xF5, 0xF1);
pub(super) const RAISED: RGBColor = RGBColor(0xFF, 0xFE, 0xFC);
pub(super) const GRID: RGBColor = RGBColor(0xE2, 0xDE, 0xD5);
pub(super) const EDGE: RGBColor = RGBColor(0xC9, 0xC6, 0xBC);
pub(super) const INK: RGBColor = RGBColor(0x1A, 0x28, 0x35);
const SOFT: RGBColor = RGBColor(0x58, 0x65, 0x71);
const WASH: RGBColor = RGBColor(0xEC, 0xF1, 0xF4);
pub(super) const LIMIT: RGBColor = RGBColor(0xB9, 0x48, 0x06);

/// Colours of curves, the main one first. They differ in lightness too.
pub(super) const CURVES: [RGBColor; 5] = [
    RGBColor(0x13, 0x5E, 0x8C),
    RGBColor(0x5B, 0xA3, 0xC9),
    RGBColor(0x2F, 0x3F, 0x4D),
    RGBColor(0x6E, 0x8B, 0x5A),
    RGBColor(0x8A, 0x6B, 0xA8),
];
/// Colour of what is wanted, not done.
pub(super) const WANTED: RGBColor = RGBColor(0xA9, 0xB4, 0xBC);

/// How a text is set.
#[derive(Clone, Copy)]
pub(super) struct Set {
    pub size: f64,
    pub bold: bool,
    pub colour: RGBColor,
    pub side: HPos,
}

pub(super) const TITLE: Set = Set { size: 26.0, bold: true, colour: INK, side: HPos::Left };
pub(super) const VERDICT: Set = Set { size: 18.0, bold: false, colour: INK, side: HPos::Left };
pub(super) const OVER: Set = Set { size: 18.0, bold: true, colour: LIMIT, side: HPos::Left };
pub(super) const SMALL: Set = Set { size: 15.0, bold: false, colour: SOFT, side: HPos::Left };
pub(super) const SMALL_RIGHT: Set = Set { side: HPos::Right, ..SMALL };
pub(super) const PANEL_TITLE: Set = Set { size: 18.0, bold: true, colour: INK, side: HPos::Left };
const LIMIT_TEXT: Set = Set { size: 14.5, bold: false, colour: LIMIT, side: HPos::Right };
pub(super) const MARK_TEXT: Set = Set { size: 14.5, bold: true, colour: INK, side: HPos::Left };
pub(super) const PHASE_TEXT: Set = Set { size: 14.0, bold: false, colour: SOFT, side: HPos::Center };

/// One curve.
#[derive(Clone, Debug)]
pub(super) struct Curve {
    pub name: String,
    pub colour: RGBColor,
    pub width: u32,
    pub points: Vec<(f64, f64)>,
}

/// What is allowed, over a stretch of the axis.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct LimitLine {
    pub label: String,
    pub from: f64,
    pub to: f64,
    pub height: f64,
    pub over: bool,
}

/// A point with its value.
#[derive(Clone, Debug)]
pub(super) struct Mark {
    pub at: (f64, f64),
    pub text: String,
}

/// One chart.
#[derive(Clone, Debug, Default)]
pub(super) struct Panel {
    pub title: String,
    pub x_axis: String,
    pub y_axis: String,
    /// The horizontal axis goes from 0 to here.
    pub end: f64,
    pub curves: Vec<Curve>,
    pub limits: Vec<LimitLine>,
    pub marks: Vec<Mark>,
    /// Stretches of the axis that have a name: opening, closing.
    pub phases: Vec<(f64, f64, &'static str)>,
    /// Said in place of curves where there are none.
    pub nothing: &'static str,
}

pub(super) fn page(root: &Area<'_>) -> Result<(), DrawError> {
    Ok(root.fill(&PAGE)?)
}

pub(super) fn style(set: &Set, vertical: VPos) -> TextStyle<'static> {
    let font = ("sans-serif", set.size).into_font();
    let font = if set.bold { font.style(FontStyle::Bold) } else { font };
    font.color(&set.colour).pos(Pos::new(set.side, vertical))
}

pub(super) fn text(root: &Area<'_>, text: &str, at: (i32, i32), set: &Set) -> Result<(), DrawError> {
    Ok(root.draw(&Text::new(text.to_owned(), at, style(set, VPos::Top)))?)
}

/// Draws a panel with its title and legend.
pub(super) fn panel(root: &Area<'_>, area: &Area<'_>, panel: &Panel) -> Result<(), DrawError> {
    let (left, top) = area.get_base_pixel();
    text(root, &panel.title, (left + 28, top + 2), &PANEL_TITLE)?;
    legend(root, panel, (left + 28 + 10 * panel.title.chars().count() as i32 + 26, top + 10))?;
    let (shown, beyond): (Vec<&LimitLine>, Vec<&LimitLine>) =
        panel.limits.iter().partition(|limit| limit.height <= highest(panel));
    let mut chart = ChartBuilder::on(area)
        .margin_top(28)
        .margin_right(28)
        .margin_left(18)
        .margin_bottom(8)
        .x_label_area_size(44)
        .y_label_area_size(66)
        .build_cartesian_2d(Axis::to(panel.end), Axis::to(highest(panel)))?;
    chart.plotting_area().fill(&RAISED)?;
    phases(root, &mut chart, panel)?;
    chart
        .configure_mesh()
        .light_line_style(RAISED.mix(0.0))
        .bold_line_style(GRID)
        .axis_style(EDGE)
        .x_labels(10)
        .y_labels(6)
        .x_label_formatter(&label)
        .y_label_formatter(&label)
        .x_desc(&panel.x_axis)
        .y_desc(&panel.y_axis)
        .label_style(style(&SMALL, VPos::Center))
        .axis_desc_style(style(&SMALL, VPos::Center))
        .draw()?;
    for curve in panel.curves.iter().rev() {
        let line = ShapeStyle::from(&curve.colour).stroke_width(curve.width);
        chart.draw_series(LineSeries::new(curve.points.iter().copied(), line))?;
    }
    limits(root, &mut chart, panel, &shown)?;
    marks(root, &mut chart, panel, &shown)?;
    notes(root, &chart, panel, &beyond)
}

/// Top of the value axis: room for the curves and for limits that are not far above them.
fn highest(panel: &Panel) -> f64 {
    let curves = panel.curves.iter().flat_map(|curve| &curve.points).map(|point| point.1).fold(0.0, f64::max);
    let limits = panel.limits.iter().map(|limit| limit.height);
    let near = limits.filter(|height| *height <= 2.5 * curves).fold(curves, f64::max);
    let highest = if near > 0.0 { near } else { panel.limits.iter().map(|l| l.height).fold(0.0, f64::max) };
    if highest > 0.0 { 1.22 * highest } else { 1.0 }
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "the drawing library asks for it")]
pub(super) fn label(value: &f64) -> String {
    crate::words::decimals(*value, 3).trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Lines and names of the curves, in a row.
fn legend(root: &Area<'_>, panel: &Panel, (mut x, y): (i32, i32)) -> Result<(), DrawError> {
    for curve in &panel.curves {
        let line = ShapeStyle::from(&curve.colour).stroke_width(curve.width + 1);
        root.draw(&PathElement::new(vec![(x, y), (x + 22, y)], line))?;
        root.draw(&Text::new(curve.name.clone(), (x + 28, y), style(&SMALL, VPos::Center)))?;
        x += 28 + (7.2 * curve.name.chars().count() as f64) as i32 + 18;
    }
    Ok(())
}

fn phases(root: &Area<'_>, chart: &mut Chart<'_, '_>, panel: &Panel) -> Result<(), DrawError> {
    let top = highest(panel);
    for (n, &(from, to, name)) in panel.phases.iter().enumerate() {
        if n % 2 == 0 {
            chart.draw_series([Rectangle::new([(from, 0.0), (to, top)], WASH.filled())])?;
        }
        let (x, y) = chart.backend_coord(&((from + to) / 2.0, top));
        let (left, right) = (chart.backend_coord(&(from, top)).0, chart.backend_coord(&(to, top)).0);
        if right - left > 8 * name.chars().count() as i32 {
            root.draw(&Text::new(name, (x, y + 6), style(&PHASE_TEXT, VPos::Top)))?;
        }
    }
    Ok(())
}

/// Limit lines, dashed, each with its label above its right end; labels make room for each other.
fn limits(
    root: &Area<'_>,
    chart: &mut Chart<'_, '_>,
    panel: &Panel,
    shown: &[&LimitLine],
) -> Result<(), DrawError> {
    const LABEL_PX: i32 = 16;
    let mut sorted = shown.to_vec();
    sorted.sort_by(|a, b| a.height.total_cmp(&b.height));
    let mut taken: Vec<(i32, i32, i32)> = Vec::new(); // left, right, y of the labels so far
    for limit in sorted {
        let (from, to) = (limit.from.max(0.0), limit.to.min(panel.end));
        let width = if limit.over { 3 } else { 2 };
        let line = ShapeStyle::from(&LIMIT).stroke_width(width);
        let points = [(from, limit.height), (to, limit.height)];
        chart.draw_series(DashedLineSeries::new(points, 9, 5, line))?;
        let (right, at) = chart.backend_coord(&(to, limit.height));
        let left = right - 10 - (7.1 * limit.label.chars().count() as f64) as i32;
        let mut y = at - 4;
        while let Some(&(_, _, other)) =
            taken.iter().find(|&&(l, r, other)| l < right && left < r && (y - other).abs() < LABEL_PX)
        {
            y = other - LABEL_PX;
        }
        taken.push((left, right, y));
        // so that a curve behind it does not strike it through
        let ground =
            Rectangle::new([(left, y - LABEL_PX + 2), (right - 4, y + 2)], RAISED.mix(0.75).filled());
        root.draw(&ground)?;
        root.draw(&Text::new(limit.label.clone(), (right - 6, y), style(&LIMIT_TEXT, VPos::Bottom)))?;
    }
    Ok(())
}

/// Points with their values: above the point, or below it where a limit line runs just above.
fn marks(
    root: &Area<'_>,
    chart: &mut Chart<'_, '_>,
    panel: &Panel,
    shown: &[&LimitLine],
) -> Result<(), DrawError> {
    const TEXT_PX: i32 = 22;
    for mark in &panel.marks {
        chart.draw_series([Circle::new(mark.at, 4, INK.filled())])?;
        let (x, y) = chart.backend_coord(&mark.at);
        let right_end = chart.backend_coord(&(panel.end, 0.0)).0;
        let strikes = |limit: &&LimitLine| {
            let above = y - chart.backend_coord(&(limit.from, limit.height)).1;
            (0..TEXT_PX).contains(&above) && limit.to >= mark.at.0
        };
        let (dy, vertical) = if shown.iter().any(strikes) { (6, VPos::Top) } else { (-3, VPos::Bottom) };
        let wide = 8 * mark.text.chars().count() as i32;
        let (x, side) = if x + 8 + wide > right_end { (x - 8, HPos::Right) } else { (x + 8, HPos::Left) };
        let set = Set { side, ..MARK_TEXT };
        root.draw(&Text::new(mark.text.clone(), (x, y + dy), style(&set, vertical)))?;
    }
    Ok(())
}

/// What cannot be drawn is said: limits far above the curves, a panel without curves.
fn notes(
    root: &Area<'_>,
    chart: &Chart<'_, '_>,
    panel: &Panel,
    beyond: &[&LimitLine],
) -> Result<(), DrawError> {
    let (right, top) = chart.backend_coord(&(panel.end, highest(panel)));
    if !beyond.is_empty() {
        let labels: Vec<&str> = beyond.iter().map(|limit| limit.label.as_str()).collect();
        let note = format!("far above: {}", labels.join(", "));
        root.draw(&Text::new(note, (right - 6, top + 24), style(&LIMIT_TEXT, VPos::Top)))?;
    }
    if panel.curves.is_empty() {
        let (x, y) = chart.backend_coord(&(panel.end / 2.0, highest(panel) / 2.0));
        root.draw(&Text::new(panel.nothing, (x, y), style(&PHASE_TEXT, VPos::Center)))?;
    }
    Ok(())
}
