//! Tones as a picture: what makes them over speed, what answers beside it, and where the two meet.

use plotters::chart::{ChartBuilder, ChartContext};
use plotters::drawing::IntoDrawingArea;
use plotters::element::{Circle, Rectangle, Text};
use plotters::prelude::{Cartesian2d, SVGBackend};
use plotters::series::{DashedLineSeries, LineSeries};
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color, RGBColor, ShapeStyle};
use tautleaf_physics::Quantity;
use tautleaf_physics::workbench::{Answer, Meeting, Source};
use tautleaf_scenario::units;

use super::axis::Axis;
use super::draw::{self, CURVES, DrawError, EDGE, GRID, INK, LIMIT, RAISED, Set};
use super::title::{shortened, with_title};
use crate::table::SHORT_CAUTIONS;
use crate::tone_words::{maker_in_words, tone};
use crate::workbench::TonesReport;
use crate::{PROGRAM, VERSION, words};

/// Width of the page and of the chart of speeds, px.
const WIDE: (u32, u32) = (1000, 640);
const HEAD_PX: u32 = 84;
const CHART_PX: u32 = 470;
const ROW_PX: u32 = 19;
/// Meetings that are numbered and told below.
const MOST_TOLD: usize = 6;
/// Swings from which a meeting in passing has a mark.
const MARKED_FROM: f64 = 2.0;

type Chart<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<Axis, Axis>>;

/// The picture as SVG.
///
/// # Errors
/// What the drawing library says.
pub fn draw(report: &TonesReport<'_>) -> Result<String, DrawError> {
    let singing: Vec<&Meeting> = report.singing().take(MOST_TOLD).collect();
    let rows = report.tones.answers.len().max(singing.len()) as u32;
    let size = (WIDE.0, HEAD_PX + CHART_PX + 40 + ROW_PX * (rows + 2));
    let mut svg = String::new();
    {
        let root = SVGBackend::with_string(&mut svg, size).into_drawing_area();
        draw::page(&root)?;
        head(report, &root)?;
        let top = highest_hz(report);
        let left = root.clone().shrink((0, HEAD_PX), (WIDE.1, CHART_PX));
        speeds(report, &root, &left, top, &singing)?;
        let right = root.clone().shrink((WIDE.1, HEAD_PX), (WIDE.0 - WIDE.1, CHART_PX));
        answers(report, &root, &right, top, &singing)?;
        told(report, &root, (HEAD_PX + CHART_PX) as i32 + 12, &singing)?;
        draw::text(&root, SHORT_CAUTIONS[0], (28, size.1 as i32 - 24), &draw::SMALL)?;
        let made = format!("{PROGRAM} {VERSION}");
        draw::text(&root, &made, (WIDE.0 as i32 - 28, size.1 as i32 - 24), &draw::SMALL_RIGHT)?;
        root.present()?;
    }
    let title = words::one_line(&report.scenario.title);
    Ok(with_title(&svg, &title, "tones of a sliding door over its speed"))
}

fn head(report: &TonesReport<'_>, root: &draw::Area<'_>) -> Result<(), DrawError> {
    let title = words::title(report.scenario);
    draw::text(root, &shortened(&title, 70), (28, 20), &draw::TITLE)?;
    let (line, set) = match report.singing().count() {
        0 => ("sings nowhere at the speeds that it is set to".to_owned(), draw::VERDICT),
        1 => ("sings at one place of its travel: see below".to_owned(), draw::OVER),
        more => (format!("sings at {more} places of its travel: see below"), draw::OVER),
    };
    draw::text(root, &line, (28, 52), &set)
}

/// Top of both charts: room for what meets, and for meshing at the greatest speed.
fn highest_hz(report: &TonesReport<'_>) -> f64 {
    let p = report.door.parameters();
    let fastest = p.opening.speed_m_per_s.max(p.closing.speed_m_per_s);
    let met = report.tones.meetings.iter().filter(|met| met.swings >= MARKED_FROM).map(|met| met.tone_hz);
    1.15 * met.fold(fastest / p.belt.pitch_m, f64::max)
}

/// What makes tones, as lines over speed, with the meetings.
fn speeds(
    report: &TonesReport<'_>,
    root: &draw::Area<'_>,
    area: &draw::Area<'_>,
    top: f64,
    singing: &[&Meeting],
) -> Result<(), DrawError> {
    let p = report.door.parameters();
    let system = report.scenario.units;
    let shown = |speed: f64| units::to_shown(Quantity::Speed, speed, system);
    let end = 1.38 * p.opening.speed_m_per_s.max(p.closing.speed_m_per_s);
    draw::text(root, "What makes tones", (28, HEAD_PX as i32 + 2), &draw::PANEL_TITLE)?;
    let mut chart = ChartBuilder::on(area)
        .margin_top(28)
        .margin_left(18)
        .margin_right(10)
        .margin_bottom(8)
        .x_label_area_size(44)
        .y_label_area_size(66)
        .build_cartesian_2d(Axis::to(shown(end)), Axis::to(top))?;
    chart.plotting_area().fill(&RAISED)?;
    let speed_axis = format!("speed, {}", units::unit(Quantity::Speed, system));
    mesh(&mut chart, 8, &speed_axis, "tone, Hz")?;
    for (speed, name) in [(p.closing.speed_m_per_s, "closing"), (p.opening.speed_m_per_s, "opening")] {
        let line = ShapeStyle::from(&EDGE).stroke_width(2);
        chart.draw_series(LineSeries::new([(shown(speed), 0.0), (shown(speed), top)], line))?;
        let (x, y) = chart.backend_coord(&(shown(speed), top));
        let set = Set { side: HPos::Right, ..draw::SMALL };
        root.draw(&Text::new(name, (x - 4, y + 4), draw::style(&set, VPos::Top)))?;
    }
    let mut taken: Vec<(i32, i32)> = Vec::new();
    for (n, source) in report.tones.sources.iter().enumerate() {
        let colour = CURVES[n % CURVES.len()];
        let to = end.min(top / source.per_m);
        let line = ShapeStyle::from(&colour).stroke_width(2);
        chart.draw_series(LineSeries::new([(0.0, 0.0), (shown(to), source.per_m * to)], line))?;
        name_line(root, &chart, (shown(to), source.per_m * to), source, colour, &mut taken)?;
    }
    for met in report.tones.meetings.iter().filter(|met| !met.sings() && met.swings >= MARKED_FROM) {
        let at = (shown(met.speed_m_per_s), met.tone_hz);
        if met.tone_hz <= top {
            chart.draw_series([Circle::new(at, 3, INK.stroke_width(1))])?;
        }
    }
    for (n, met) in singing.iter().enumerate().rev() {
        let at = (shown(met.speed_m_per_s), met.tone_hz);
        chart.draw_series([Circle::new(at, 6, LIMIT.filled())])?;
        let (x, y) = chart.backend_coord(&at);
        // so that meetings at one speed do not hide each other's numbers
        let side = if n % 2 == 0 { HPos::Left } else { HPos::Right };
        let set = Set { side, ..draw::MARK_TEXT };
        let dx = if n % 2 == 0 { 9 } else { -9 };
        root.draw(&Text::new((n + 1).to_string(), (x + dx, y + 2), draw::style(&set, VPos::Top)))?;
    }
    Ok(())
}

/// Name at the end of a line: above it, or below the upper edge; names make way for each other.
fn name_line(
    root: &draw::Area<'_>,
    chart: &Chart<'_, '_>,
    end: (f64, f64),
    source: &Source,
    colour: RGBColor,
    taken: &mut Vec<(i32, i32)>,
) -> Result<(), DrawError> {
    const NAME_PX: i32 = 17;
    const REACH_PX: i32 = 190;
    let (x, at) = chart.backend_coord(&end);
    let upper_edge = HEAD_PX as i32 + 28;
    let leaves_at_the_top = at < upper_edge + 2 * NAME_PX;
    let (mut y, step) =
        if leaves_at_the_top { (upper_edge + 22, NAME_PX) } else { (at - NAME_PX - 8, -NAME_PX) };
    while taken.iter().any(|(other_x, other)| (other_x - x).abs() < REACH_PX && (other - y).abs() < NAME_PX) {
        y += step;
    }
    taken.push((x, y));
    let name = maker_in_words(source.maker);
    let wide = 8 * name.chars().count() as i32;
    let (dx, side) = if leaves_at_the_top && x + wide < WIDE.1 as i32 {
        (8, HPos::Left)
    } else {
        (if leaves_at_the_top { -24 } else { -7 }, HPos::Right)
    };
    let set = Set { colour, side, ..draw::SMALL };
    Ok(root.draw(&Text::new(name, (x + dx, y), draw::style(&set, VPos::Top)))?)
}

/// What answers: a bar for each, from its tone with the door closed to that with it open.
fn answers(
    report: &TonesReport<'_>,
    root: &draw::Area<'_>,
    area: &draw::Area<'_>,
    top: f64,
    singing: &[&Meeting],
) -> Result<(), DrawError> {
    let count = report.tones.answers.len();
    draw::text(
        root,
        "What answers, closed to open",
        (WIDE.1 as i32 + 20, HEAD_PX as i32 + 2),
        &draw::PANEL_TITLE,
    )?;
    let mut chart = ChartBuilder::on(area)
        .margin_top(28)
        .margin_left(20)
        .margin_right(28)
        .margin_bottom(8)
        .x_label_area_size(44)
        .build_cartesian_2d(Axis::to(count as f64), Axis::to(top))?;
    chart.plotting_area().fill(&RAISED)?;
    chart
        .configure_mesh()
        .disable_x_mesh()
        .light_line_style(RAISED.mix(0.0))
        .bold_line_style(GRID)
        .axis_style(EDGE)
        .x_labels(0)
        .x_label_formatter(&|_| String::new())
        .y_labels(8)
        .draw()?;
    for met in singing {
        let line = ShapeStyle::from(&LIMIT).stroke_width(1);
        let points = [(0.0, met.tone_hz), (count as f64, met.tone_hz)];
        chart.draw_series(DashedLineSeries::new(points, 5, 4, line))?;
    }
    for (n, answering) in report.tones.answers.iter().enumerate() {
        let colour = match answering.answer {
            Answer::Strand { order: 1, .. } => CURVES[0],
            Answer::Strand { .. } => CURVES[1],
            Answer::Axial(_) => CURVES[2],
        };
        let (low, high) =
            (answering.closed_hz.min(answering.open_hz), answering.closed_hz.max(answering.open_hz).min(top));
        let (x, bottom) = chart.backend_coord(&(n as f64 + 0.5, 0.0));
        root.draw(&Text::new(letter(n), (x, bottom + 6), draw::style(&draw::PHASE_TEXT, VPos::Top)))?;
        if low > top || high <= 0.0 {
            continue;
        }
        let (from, to) = (chart.backend_coord(&(0.0, high)).1, chart.backend_coord(&(0.0, low)).1);
        let from = (from - 2).max(HEAD_PX as i32 + 28);
        root.draw(&Rectangle::new([(x - 5, from), (x + 5, to + 2)], colour.filled()))?;
    }
    Ok(())
}

fn mesh(chart: &mut Chart<'_, '_>, labels: usize, x_axis: &str, y_axis: &str) -> Result<(), DrawError> {
    chart
        .configure_mesh()
        .light_line_style(RAISED.mix(0.0))
        .bold_line_style(GRID)
        .axis_style(EDGE)
        .x_labels(labels)
        .y_labels(8)
        .x_label_formatter(&draw::label)
        .y_label_formatter(&draw::label)
        .x_desc(x_axis)
        .y_desc(y_axis)
        .label_style(draw::style(&draw::SMALL, VPos::Center))
        .axis_desc_style(draw::style(&draw::SMALL, VPos::Center))
        .draw()?;
    Ok(())
}

/// Below the charts: where it sings, and the letters of what answers.
fn told(
    report: &TonesReport<'_>,
    root: &draw::Area<'_>,
    top: i32,
    singing: &[&Meeting],
) -> Result<(), DrawError> {
    let system = report.scenario.units;
    let line = |n: usize| top + ROW_PX as i32 * n as i32;
    let mine = |met: &Meeting| report.tones.answers.iter().position(|it| it.answer == met.answer);
    for (n, met) in singing.iter().enumerate() {
        let text = format!(
            "{}  {} at {}: {} {} meets {}",
            n + 1,
            if met.opening { "opening" } else { "closing" },
            units::show(Quantity::Speed, met.speed_m_per_s, system),
            maker_in_words(met.source.maker),
            tone(met.tone_hz),
            mine(met).map_or(String::new(), letter),
        );
        draw::text(root, &text, (28, line(n)), &draw::SMALL)?;
    }
    if singing.is_empty() {
        draw::text(root, "Circles: tones that meet in passing.", (28, line(0)), &draw::SMALL)?;
    }
    for (n, answering) in report.tones.answers.iter().enumerate() {
        let text = format!(
            "{}  {}: {} closed, {} open",
            letter(n),
            report.answer_in_words(answering.answer),
            tone(answering.closed_hz),
            tone(answering.open_hz)
        );
        draw::text(root, &text, (480, line(n)), &draw::SMALL)?;
    }
    Ok(())
}

/// a, b, c ...; there are fewer answers than letters.
fn letter(n: usize) -> String {
    char::from(b'a' + (n % 26) as u8).to_string()
}
