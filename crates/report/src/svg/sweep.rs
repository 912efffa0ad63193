//! A sweep as a picture: one number as curves of what each limit allows, two as a map of the worst limit.

use plotters::chart::{ChartBuilder, ChartContext};
use plotters::drawing::IntoDrawingArea;
use plotters::element::{Rectangle, Text};
use plotters::prelude::{Cartesian2d, SVGBackend};
use plotters::series::{DashedLineSeries, LineSeries};
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color, RGBColor, ShapeStyle};
use tautleaf_scenario::units;
use tautleaf_trials::{Axis as Values, Ended, Row};

use super::axis::Axis;
use super::draw::{self, CURVES, DrawError, EDGE, GRID, INK, LIMIT, RAISED, Set};
use super::title::{shortened, with_title};
use crate::table::SHORT_CAUTIONS;
use crate::trials::sweep::{Lettered, SweepReport, axis_title, used};
use crate::{PROGRAM, VERSION, words};

const WIDE_PX: u32 = 1000;
const HEAD_PX: u32 = 84;
const CHART_PX: u32 = 520;
const ROW_PX: u32 = 19;
/// Top of the axis at most, in shares of what is allowed.
const MOST_SHOWN: f64 = 2.0;
/// Cells of a map no narrower than this carry their letter.
const LETTERED_PX: i32 = 16;

type Chart<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<Axis, Axis>>;

/// The picture as SVG.
///
/// # Errors
/// What the drawing library says.
pub fn draw(report: &SweepReport<'_>) -> Result<String, DrawError> {
    let lettered = report.lettered();
    let size = (WIDE_PX, HEAD_PX + CHART_PX + ROW_PX * (lettered.len() as u32 + 5));
    let mut svg = String::new();
    {
        let root = SVGBackend::with_string(&mut svg, size).into_drawing_area();
        draw::page(&root)?;
        let title = words::title(report.scenario);
        draw::text(&root, &shortened(&title, 70), (28, 20), &draw::TITLE)?;
        let keys: Vec<String> = report.sweep.axes.iter().map(|axis| axis.settable.key()).collect();
        let line = format!("sweep over {}, {} runs", keys.join(" and "), report.rows.len());
        draw::text(&root, &line, (28, 52), &draw::VERDICT)?;
        let area = root.clone().shrink((0, HEAD_PX), (WIDE_PX, CHART_PX));
        match report.sweep.axes.as_slice() {
            [axis] => curves(report, &root, &area, axis, &lettered)?,
            [down, across, ..] => map(report, &root, &area, (across, down), &lettered)?,
            [] => {}
        }
        legend(&root, (HEAD_PX + CHART_PX) as i32 + 8, &lettered, report.sweep.axes.len() > 1)?;
        draw::text(&root, SHORT_CAUTIONS[0], (28, size.1 as i32 - 24), &draw::SMALL)?;
        let made = format!("{PROGRAM} {VERSION}");
        draw::text(&root, &made, (WIDE_PX as i32 - 28, size.1 as i32 - 24), &draw::SMALL_RIGHT)?;
        root.present()?;
    }
    let title = words::one_line(&report.scenario.title);
    Ok(with_title(&svg, &title, "limits of a sliding door over its settings"))
}

/// An axis of the chart over the values of one of the sweep, in shown units, half a step beyond where cells are drawn.
fn axis(report: &SweepReport<'_>, values: &Values, with_half_step: bool) -> Axis {
    let (low, high) = ends(report, values);
    let half =
        if with_half_step { (high - low) / (values.values.len().max(2) - 1) as f64 / 2.0 } else { 0.0 };
    Axis::between(low - half, high + half)
}

/// Least and greatest value, in shown units.
fn ends(report: &SweepReport<'_>, values: &Values) -> (f64, f64) {
    let all = values.values.iter().map(|&value| shown(report, values, value));
    all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)))
}

fn shown(report: &SweepReport<'_>, values: &Values, value: f64) -> f64 {
    units::to_shown(values.settable.quantity(), value, report.scenario.units)
}

fn chart<'a, 'b>(
    area: &'a draw::Area<'b>,
    across: (Axis, &str),
    up: (Axis, &str),
    with_lines: bool,
) -> Result<Chart<'a, 'b>, DrawError> {
    let mut chart = ChartBuilder::on(area)
        .margin_top(12)
        .margin_right(48)
        .margin_left(18)
        .margin_bottom(8)
        .x_label_area_size(44)
        .y_label_area_size(66)
        .build_cartesian_2d(across.0, up.0)?;
    chart.plotting_area().fill(&RAISED)?;
    chart
        .configure_mesh()
        .light_line_style(RAISED.mix(0.0))
        .bold_line_style(if with_lines { GRID.mix(1.0) } else { RAISED.mix(0.0) })
        .axis_style(EDGE)
        .x_labels(10)
        .y_labels(8)
        .x_label_formatter(&draw::label)
        .y_label_formatter(&draw::label)
        .x_desc(across.1)
        .y_desc(up.1)
        .label_style(draw::style(&draw::SMALL, VPos::Center))
        .axis_desc_style(draw::style(&draw::SMALL, VPos::Center))
        .draw()?;
    Ok(chart)
}

/// What each limit allows, in per cent of it, over the values.
fn curves(
    report: &SweepReport<'_>,
    root: &draw::Area<'_>,
    area: &draw::Area<'_>,
    values: &Values,
    lettered: &[Lettered<'_>],
) -> Result<(), DrawError> {
    let of = |one: &Lettered<'_>, row: &Row| used(one.limit, &row.trial.judged[one.place]);
    let all = lettered.iter().flat_map(|one| report.rows.iter().filter_map(move |row| of(one, row)));
    let top = 100.0 * (1.1 * all.fold(1.1, f64::max)).min(MOST_SHOWN);
    let title = axis_title(values, report.scenario);
    let across = (axis(report, values, false), title.as_str());
    let mut chart = chart(area, across, (Axis::to(top), "used of what is allowed, %"), true)?;
    let (low, high) = ends(report, values);
    let limit = ShapeStyle::from(&LIMIT).stroke_width(2);
    chart.draw_series(DashedLineSeries::new([(low, 100.0), (high, 100.0)], 9, 5, limit))?;
    let mut taken: Vec<i32> = Vec::new();
    for (n, one) in lettered.iter().enumerate() {
        let points: Vec<(f64, f64)> = report
            .rows
            .iter()
            .filter_map(|row| Some((shown(report, values, row.values[0]), (100.0 * of(one, row)?).min(top))))
            .collect();
        let colour = CURVES[n % CURVES.len()];
        let line = ShapeStyle::from(&colour).stroke_width(2);
        chart.draw_series(LineSeries::new(points.iter().copied(), line))?;
        if let Some(&last) = points.last() {
            let (x, mut y) = chart.backend_coord(&last);
            while taken.iter().any(|other| (other - y).abs() < 15) {
                y -= 15;
            }
            taken.push(y);
            let set = Set { colour, ..draw::MARK_TEXT };
            root.draw(&Text::new(one.letter.to_string(), (x + 6, y), draw::style(&set, VPos::Center)))?;
        }
    }
    Ok(())
}

/// The worst limit of each combination; a thick line where the first one goes over.
fn map(
    report: &SweepReport<'_>,
    root: &draw::Area<'_>,
    area: &draw::Area<'_>,
    (across, up): (&Values, &Values),
    lettered: &[Lettered<'_>],
) -> Result<(), DrawError> {
    let titles = [axis_title(across, report.scenario), axis_title(up, report.scenario)];
    let mut chart =
        chart(area, (axis(report, across, true), &titles[0]), (axis(report, up, true), &titles[1]), false)?;
    let half = |values: &Values| {
        let (low, high) = ends(report, values);
        (high - low) / (values.values.len().max(2) - 1) as f64 / 2.0
    };
    let (half_x, half_y) = (half(across), half(up));
    let columns = across.values.len();
    let is_over = |row: &Row| {
        row.trial.ended != Ended::Done || report.worst(row, lettered).is_some_and(|worst| worst.over)
    };
    let middle = |row: &Row| (shown(report, across, row.values[1]), shown(report, up, row.values[0]));
    for row in &report.rows {
        let (x, y) = middle(row);
        let worst = report.worst(row, lettered);
        let corners = [(x - half_x, y - half_y), (x + half_x, y + half_y)];
        chart.draw_series([Rectangle::new(
            corners,
            cell_colour(row, worst.map(|worst| worst.used)).filled(),
        )])?;
        let (left, right) = (chart.backend_coord(&corners[0]).0, chart.backend_coord(&corners[1]).0);
        if right - left >= LETTERED_PX {
            let text = match worst {
                _ if row.trial.ended != Ended::Done => "!".to_owned(),
                None => String::new(),
                Some(worst) if right - left < 4 * LETTERED_PX => worst.letter.to_string(),
                Some(worst) => format!("{} {}", worst.letter, words::share_used(worst.used)),
            };
            let at = chart.backend_coord(&(x, y));
            let set = Set { side: HPos::Center, bold: is_over(row), size: 13.0, ..draw::MARK_TEXT };
            root.draw(&Text::new(text, at, draw::style(&set, VPos::Center)))?;
        }
    }
    let border = ShapeStyle::from(&LIMIT).stroke_width(3);
    for (n, row) in report.rows.iter().enumerate() {
        let (x, y) = middle(row);
        let beside = report.rows.get(n + 1).filter(|_| (n + 1) % columns != 0);
        if let Some(other) = beside.filter(|other| is_over(other) != is_over(row)) {
            let edge = (x + middle(other).0) / 2.0;
            chart.draw_series(LineSeries::new([(edge, y - half_y), (edge, y + half_y)], border))?;
        }
        if let Some(other) = report.rows.get(n + columns).filter(|other| is_over(other) != is_over(row)) {
            let edge = (y + middle(other).1) / 2.0;
            chart.draw_series(LineSeries::new([(x - half_x, edge), (x + half_x, edge)], border))?;
        }
    }
    Ok(())
}

/// Blue, darker the more is used; orange where it is over. The letter and the border say the same.
fn cell_colour(row: &Row, used: Option<f64>) -> RGBColor {
    let mix = |from: (f64, f64, f64), to: (f64, f64, f64), share: f64| {
        let part = |a: f64, b: f64| (a + share * (b - a)).round() as u8;
        RGBColor(part(from.0, to.0), part(from.1, to.1), part(from.2, to.2))
    };
    match used {
        _ if row.trial.ended != Ended::Done => RGBColor(0xC9, 0xC6, 0xBC),
        None => RAISED,
        Some(used) if used > 1.0 + 1e-9 => {
            mix((251.0, 225.0, 205.0), (230.0, 150.0, 95.0), (used - 1.0).clamp(0.0, 1.0))
        }
        Some(used) => mix((240.0, 246.0, 250.0), (140.0, 185.0, 212.0), used.clamp(0.0, 1.0)),
    }
}

fn legend(root: &draw::Area<'_>, top: i32, lettered: &[Lettered<'_>], is_map: bool) -> Result<(), DrawError> {
    for (n, one) in lettered.iter().enumerate() {
        let colour = if is_map { INK } else { CURVES[n % CURVES.len()] };
        let y = top + (ROW_PX as usize * n) as i32;
        draw::text(root, &one.letter.to_string(), (28, y), &Set { colour, ..draw::MARK_TEXT })?;
        let text = format!("{}: {}", words::limit_label(one.limit), words::asks(one.limit));
        draw::text(root, &shortened(&text, 130), (50, y), &draw::SMALL)?;
    }
    let y = top + (ROW_PX as usize * lettered.len()) as i32 + 4;
    let said = if lettered.is_empty() {
        "No limit judges this door."
    } else if is_map {
        "The letter is the worst limit, the number how much of what it allows is used; the thick line is the border."
    } else {
        "Above the dashed line a limit is over."
    };
    draw::text(root, said, (28, y), &draw::SMALL)
}
