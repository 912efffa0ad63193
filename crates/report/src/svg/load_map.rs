//! The load map as a picture: what a drive moves in which closing time, each limit a border with its name.

use plotters::chart::{ChartBuilder, ChartContext};
use plotters::drawing::IntoDrawingArea;
use plotters::element::{Circle, Polygon, Rectangle, Text};
use plotters::prelude::{Cartesian2d, SVGBackend};
use plotters::series::{DashedLineSeries, LineSeries};
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color, RGBColor, ShapeStyle};
use tautleaf_physics::Quantity;
use tautleaf_scenario::units;
use tautleaf_trials::choose::MapPoint;

use super::axis::Axis;
use super::draw::{self, CURVES, DrawError, EDGE, GRID, INK, LIMIT, RAISED, Set};
use super::title::{shortened, with_title};
use crate::choose::MapReport;
use crate::table::SHORT_CAUTIONS;
use crate::{PROGRAM, VERSION, words};

const SIZE: (u32, u32) = (1000, 760);
const HEAD_PX: u32 = 108;
const FOOT_PX: u32 = 56;
/// Ground of what the drive does.
const DOES: RGBColor = RGBColor(0xDC, 0xE9, 0xEE);
const LINE_PX: i32 = 17;

type Chart<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<Axis, Axis>>;

/// The picture as SVG.
///
/// # Errors
/// What the drawing library says.
pub fn draw(report: &MapReport<'_>) -> Result<String, DrawError> {
    let mut svg = String::new();
    {
        let root = SVGBackend::with_string(&mut svg, SIZE).into_drawing_area();
        draw::page(&root)?;
        let title = words::title(report.scenario);
        draw::text(&root, &shortened(&title, 70), (28, 20), &draw::TITLE)?;
        let set = if report.does() { draw::VERDICT } else { draw::OVER };
        draw::text(&root, &shortened(&report.verdict(), 110), (28, 52), &set)?;
        let what = format!("{} with {}", report.drive.name, report.belt.name);
        draw::text(&root, &shortened(&what, 110), (28, 80), &draw::SMALL)?;
        map(report, &root)?;
        let bottom = SIZE.1 as i32 - FOOT_PX as i32;
        draw::text(&root, SHORT_CAUTIONS[0], (28, bottom + 12), &draw::SMALL)?;
        draw::text(&root, SHORT_CAUTIONS[1], (28, bottom + 30), &draw::SMALL)?;
        let made = format!("{PROGRAM} {VERSION}");
        draw::text(&root, &made, (SIZE.0 as i32 - 28, bottom + 30), &draw::SMALL_RIGHT)?;
        root.present()?;
    }
    let title = words::one_line(&report.scenario.title);
    Ok(with_title(&svg, &title, "leaf mass against closing time of one drive, with the limits as borders"))
}

fn map(report: &MapReport<'_>, root: &draw::Area<'_>) -> Result<(), DrawError> {
    let system = report.scenario.units;
    let kilograms = |mass: f64| units::to_shown(Quantity::Mass, mass, system);
    let at = |point: &MapPoint| (point.closing_s, kilograms(point.mass_kg));
    let (end, top) = (report.map.times_s.1, kilograms(report.map.masses_kg.1));
    let area = root.clone().shrink((0, HEAD_PX), (SIZE.0, SIZE.1 - HEAD_PX - FOOT_PX));
    let mut chart = ChartBuilder::on(&area)
        .margin_top(6)
        .margin_left(18)
        .margin_right(28)
        .margin_bottom(8)
        .x_label_area_size(44)
        .y_label_area_size(66)
        .build_cartesian_2d(Axis::to(end), Axis::to(top))?;
    chart.plotting_area().fill(&RAISED)?;
    within(report, &mut chart, &kilograms)?;
    let mass_axis = format!("mass of a leaf, {}", units::unit(Quantity::Mass, system));
    chart
        .configure_mesh()
        .light_line_style(RAISED.mix(0.0))
        .bold_line_style(GRID)
        .axis_style(EDGE)
        .x_labels(12)
        .y_labels(9)
        .x_label_formatter(&draw::label)
        .y_label_formatter(&draw::label)
        .x_desc("closing time, s")
        .y_desc(&mass_axis)
        .label_style(draw::style(&draw::SMALL, VPos::Center))
        .axis_desc_style(draw::style(&draw::SMALL, VPos::Center))
        .draw()?;
    if let Some(wanted) = report.map.wanted_s {
        let line = ShapeStyle::from(&LIMIT).stroke_width(2);
        chart.draw_series(DashedLineSeries::new([(wanted, 0.0), (wanted, top)], 9, 5, line))?;
        let (x, y) = chart.backend_coord(&(wanted, 0.0));
        let set = Set { colour: LIMIT, ..draw::SMALL };
        root.draw(&Text::new("closing time wanted", (x + 6, y - 20), draw::style(&set, VPos::Top)))?;
    }
    let mut taken: Vec<(i32, i32, i32)> = Vec::new();
    for (n, border) in report.map.borders.iter().enumerate() {
        let colour = if n < CURVES.len() { CURVES[n] } else { INK };
        let line = ShapeStyle::from(&colour).stroke_width(3);
        for (from, to) in &border.pieces {
            chart.draw_series(LineSeries::new([at(from), at(to)], line))?;
        }
        let name = report.name(&border.bound);
        // where the border is longest, so that its name stands at its line
        let length = |piece: &&(MapPoint, MapPoint)| {
            let (a, b) = (chart.backend_coord(&at(&piece.0)), chart.backend_coord(&at(&piece.1)));
            (a.0 - b.0).pow(2) + (a.1 - b.1).pow(2)
        };
        let middle = border.pieces.get(border.pieces.len() / 2);
        if let Some(piece) =
            border.pieces.iter().max_by_key(length).filter(|_| border.pieces.len() < 3).or(middle)
        {
            name_border(root, &chart, at(&piece.0), (&name, colour), &mut taken)?;
        }
    }
    let door = at(&report.map.door);
    chart.draw_series([Circle::new(door, 7, RAISED.filled()), Circle::new(door, 5, INK.filled())])?;
    let (x, y) = chart.backend_coord(&door);
    let (side, dx) = if x > SIZE.0 as i32 - 160 { (HPos::Right, -12) } else { (HPos::Left, 12) };
    let set = Set { side, ..draw::MARK_TEXT };
    Ok(root.draw(&Text::new("this door", (x + dx, y - 8), draw::style(&set, VPos::Top)))?)
}

/// Ground under what the drive does: from the shortest time of each mass on.
fn within(
    report: &MapReport<'_>,
    chart: &mut Chart<'_, '_>,
    kilograms: &impl Fn(f64) -> f64,
) -> Result<(), DrawError> {
    let end = report.map.times_s.1;
    let kept: Vec<(f64, f64)> = report
        .map
        .rows
        .iter()
        .filter_map(|row| row.shortest_s.map(|shortest| (shortest, kilograms(row.mass_kg))))
        .collect();
    if let (Some(&(_, low)), Some(&(_, high))) = (kept.first(), kept.last()) {
        let mut outline = vec![(end, low)];
        outline.extend(&kept);
        outline.push((end, high));
        chart.draw_series([Polygon::new(outline, DOES.filled())])?;
    }
    Ok(())
}

/// The name of a border beside its line, out of the way of other names.
fn name_border(
    root: &draw::Area<'_>,
    chart: &Chart<'_, '_>,
    at: (f64, f64),
    (name, colour): (&str, RGBColor),
    taken: &mut Vec<(i32, i32, i32)>,
) -> Result<(), DrawError> {
    let (x, y) = chart.backend_coord(&at);
    let wide = (7.4 * name.chars().count() as f64) as i32;
    let left = (x + 9).min(SIZE.0 as i32 - 34 - wide);
    let mut top = y + 4;
    while taken.iter().any(|&(l, r, t)| l < left + wide && left < r && (t - top).abs() < LINE_PX) {
        top += LINE_PX;
    }
    taken.push((left, left + wide, top));
    root.draw(&Rectangle::new(
        [(left - 3, top - 1), (left + wide, top + LINE_PX - 1)],
        RAISED.mix(0.8).filled(),
    ))?;
    let set = Set { colour, bold: true, ..draw::SMALL };
    Ok(root.draw(&Text::new(name.to_owned(), (left, top), draw::style(&set, VPos::Top)))?)
}
