//! A chart with limits: curves, what they must stay under, what lies over, and the moment pointed at.

use eframe::egui::{Align2, Color32, CursorIcon, FontId, Id, RichText, Role, Stroke, Ui, Vec2b, WidgetInfo};
use egui_plot::{
    FilledArea, GridInput, GridMark, HoverPosition, Line, LineStyle, MarkerShape, Plot, PlotPoint,
    PlotPoints, PlotUi, Points, Text, VLine,
};

use crate::charts::{Chart, Charts, Look};
use crate::state::Axis;
use crate::theme::{Palette, plain_at, size, space, strong_at};
use crate::widgets::chart_header::chart_header;
use crate::words;

/// Width of a letter of small text, about, in points.
const LETTER_WIDTH: f32 = 6.1;

/// Height of small text over that of a chart, about.
const TEXT_HEIGHT: f64 = 0.12;

/// What a chart needs beside its curves.
pub struct Around<'a> {
    /// All charts: what they share.
    pub charts: &'a Charts,
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
}

/// Draws the chart; gives the place on the axis that was clicked or dragged to.
pub fn limit_chart(ui: &mut Ui, chart: &Chart, around: &Around<'_>, height: f32) -> Option<f64> {
    let palette = around.palette;
    chart_header(ui, chart, &around.readout, palette);
    let numbers = if around.axis_below { 18.0 } else { 0.0 };
    let (low, high) = around.charts.range;
    let edge = (high - low) * 0.012;
    let unit = &chart.unit;
    let hover = |position: &HoverPosition<'_>| {
        let (HoverPosition::NearDataPoint { position, .. } | HoverPosition::Elsewhere { position }) =
            position;
        // what the curves say there, not where the pointer is
        let mut told = vec![format!("{} {}", words::number(position.x), around.charts.axis_unit)];
        for curve in &chart.curves {
            if let Some(y) = curve.at(position.x) {
                told.push(format!("{} {} {unit}", curve.name, words::number(y)));
            }
        }
        Some(told.join("\n"))
    };
    let plot = Plot::new(("chart", chart.kind.title()))
        .height((height - 20.0 - space::TIGHT).max(60.0) + numbers)
        .show_axes(Vec2b::new(around.axis_below, true))
        .y_axis_min_width(space::CHART_AXIS)
        .x_axis_formatter(|mark, _| words::mark(mark.value, mark.step_size))
        .y_axis_formatter(|mark, _| words::mark(mark.value, mark.step_size))
        .x_grid_spacer(|input| marks(input, 8.0))
        .y_grid_spacer(|input| marks(input, 4.0))
        .grid_color(palette.line)
        .grid_fade(0.0)
        .cursor_color(palette.second)
        .link_cursor(Id::unique("charts"), Vec2b::new(true, false))
        .show_crosshair(true)
        .show_x(true)
        .show_y(false)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_axis_zoom_drag(false)
        .allow_double_click_reset(false)
        .sense(eframe::egui::Sense::click_and_drag())
        .label_formatter(hover);
    let response = plot.show(ui, |plot| {
        plot.set_plot_bounds_x(low - edge..=high + edge);
        plot.set_plot_bounds_y(-0.03 * chart.top..=chart.top);
        draw(plot, chart, around);
        plot.pointer_coordinate().map(|point| point.x)
    });
    let spoken =
        || WidgetInfo::labeled(Role::Image, true, format!("{}: {}", chart.kind.title(), around.spoken));
    response.response.widget_info(spoken);
    let pressed = response.response.clicked() || response.response.dragged();
    let response_place = response.inner.filter(|_| pressed).map(|x| x.clamp(low, high));
    response.response.on_hover_cursor(CursorIcon::Crosshair);
    response_place
}

fn draw<'a>(plot: &mut PlotUi<'a>, chart: &'a Chart, around: &Around<'_>) {
    let palette = around.palette;
    for (n, part) in chart.over.iter().enumerate() {
        let column = |index: usize| part.iter().map(|row| row[index]).collect::<Vec<f64>>();
        let (mut xs, mut lower, mut upper) = (column(0), column(1), column(2));
        if xs.first() > xs.last() {
            for column in [&mut xs, &mut lower, &mut upper] {
                column.reverse();
            }
        }
        let area = FilledArea::new(format!("over {n}"), &xs, &lower, &upper);
        plot.add(area.fill_color(palette.limit.gamma_multiply(0.28)).allow_hover(false));
    }
    phases(plot, chart, around);
    for (n, curve) in chart.curves.iter().enumerate() {
        let name = format!("{} {n}", curve.name);
        let points = PlotPoints::from(&curve.points[..]);
        // The points are thinned out already; the chart's own bands draw wedges where the door stands.
        let line =
            |points, colour, width| Line::new(&name, points).color(colour).width(width).allow_band(false);
        match curve.look {
            Look::Main => plot.line(line(points, palette.door, 2.0)),
            Look::Second => plot.line(line(points, palette.second, 1.3)),
            Look::Thin => plot.line(line(points, palette.door, 1.2)),
            Look::Dashed => {
                plot.line(line(points, palette.door, 1.4).style(LineStyle::Dashed { length: 6.0 }));
            }
            Look::Diamonds => {
                let points = Points::new(name, points).color(palette.second).radius(5.0);
                plot.points(points.shape(MarkerShape::Diamond));
            }
            Look::Circles => plot.points(Points::new(name, points).color(palette.door).radius(3.6)),
        }
    }
    let (low, high) = around.charts.range;
    limits(plot, chart, palette);
    for (n, mark) in chart.marks.iter().enumerate() {
        let colour = if mark.over { palette.limit } else { palette.door };
        let point = Points::new(format!("worst {n}"), vec![[mark.at.x, mark.at.y]]).color(colour);
        plot.points(point.radius(if mark.over { 4.5 } else { 3.0 }).allow_hover(false));
        // To the left where the next value would lie on it.
        let crowded = chart.marks.get(n + 1).is_some_and(|next| {
            next.at.x - mark.at.x < 0.25 * (high - low) && (next.at.y - mark.at.y).abs() < 0.2 * chart.top
        });
        let side = if crowded { Side::Left } else { side_with_room(plot, mark.at, &mark.text) };
        // Lower where a limit would run through it.
        let under = chart.limits.iter().any(|limit| {
            let above = limit.lowest() - mark.at.y;
            limit.gap.is_some() && (0.0..TEXT_HEIGHT * chart.top).contains(&above)
        });
        let lower = if under { TEXT_HEIGHT * chart.top } else { 0.0 };
        let at = PlotPoint::new(mark.at.x, mark.at.y - lower);
        beside(plot, &format!("value {n}"), at, &mark.text, (strong_at(size::SMALL), colour), side);
    }
    if let Some(x) = around.cursor {
        let line = VLine::new("moment", x).color(palette.ink).width(1.2).allow_hover(false);
        plot.vline(line);
    }
}

/// Where a text stands about a point.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Left,
    Middle,
    Right,
}

/// To the right if there is room before the edge of the chart, else above the middle, else to the left.
fn side_with_room(plot: &PlotUi<'_>, at: PlotPoint, text: &str) -> Side {
    let width = LETTER_WIDTH * (text.chars().count() + 1) as f32;
    let room = plot.transform().frame().right() - plot.screen_from_plot(at).x;
    match room {
        _ if room > width => Side::Right,
        _ if room > 0.5 * width => Side::Middle,
        _ => Side::Left,
    }
}

/// Text above a point, on a side of it.
fn beside(
    plot: &mut PlotUi<'_>,
    name: &str,
    at: PlotPoint,
    text: &str,
    (font, colour): (FontId, Color32),
    side: Side,
) {
    let (anchor, padded) = match side {
        Side::Left => (Align2::RIGHT_BOTTOM, format!("{text}  ")),
        Side::Middle => (Align2::CENTER_BOTTOM, text.to_owned()),
        Side::Right => (Align2::LEFT_BOTTOM, format!("  {text}")),
    };
    let text = RichText::new(padded).font(font).color(colour);
    plot.text(Text::new(name, at, text).anchor(anchor).color(colour).allow_hover(false));
}

/// The ways between commands, named at the top of the first chart.
fn phases(plot: &mut PlotUi<'_>, chart: &Chart, around: &Around<'_>) {
    for (n, (name, from, _)) in around.charts.phases.iter().enumerate() {
        if n > 0 {
            let line = VLine::new(format!("phase {n}"), *from).color(around.palette.edge).width(1.0);
            plot.vline(line.style(LineStyle::Dotted { spacing: 4.0 }).allow_hover(false));
        }
        if chart.kind == crate::charts::Kind::Speed {
            let text =
                RichText::new(format!("  {name}")).font(plain_at(size::SMALL)).color(around.palette.soft);
            let at = PlotPoint::new(*from, chart.top);
            plot.text(
                Text::new(format!("name {n}"), at, text)
                    .anchor(Align2::LEFT_TOP)
                    .color(around.palette.soft)
                    .allow_hover(false),
            );
        }
    }
}

fn limits<'a>(plot: &mut PlotUi<'a>, chart: &'a Chart, palette: &Palette) {
    let mut named: Vec<PlotPoint> = Vec::new();
    for (n, limit) in chart.limits.iter().enumerate() {
        let width = if limit.over { 2.2 } else { 1.5 };
        let line = Line::new(format!("limit {n}"), PlotPoints::from(&limit.points[..]));
        let line = line.stroke(Stroke::new(width, palette.limit)).allow_hover(false);
        plot.line(line.style(LineStyle::Dashed { length: 9.0 }));
        let Some(&at) = limit.points.last() else { continue };
        let style = (plain_at(size::SMALL), palette.limit);
        if limit.gap.is_some() {
            // A short piece: its name stands behind it, and only behind the last of several that say the same.
            let said_later = chart.limits.iter().skip(n + 1).any(|later| later.label == limit.label);
            if !said_later {
                let behind = side_with_room(plot, at, &limit.label) == Side::Right;
                let value_below = chart.marks.iter().any(|mark| {
                    let below = at.y - mark.at.y;
                    (0.0..TEXT_HEIGHT * chart.top).contains(&below)
                });
                let lower = if behind && !value_below { 0.5 * TEXT_HEIGHT * chart.top } else { 0.0 };
                let side = if behind { Side::Right } else { Side::Left };
                let at = PlotPoint::new(at.x, at.y - lower);
                beside(plot, &format!("limit name {n}"), at, &limit.label, style, side);
            }
            continue;
        }
        // What is over has its name below the line, where no curve is. Of names that would lie on one another the
        // second goes to the other side, a third is left out.
        let near = |other: &&PlotPoint| (other.y - at.y).abs() < 0.12 * chart.top && other.x == at.x;
        let crowd = named.iter().filter(near).count();
        named.push(at);
        if crowd > 1 {
            continue;
        }
        let below = (crowd == 1) != limit.over;
        let anchor = if below { Align2::RIGHT_TOP } else { Align2::RIGHT_BOTTOM };
        let text = RichText::new(&limit.label).font(style.0).color(style.1);
        let text = Text::new(format!("limit name {n}"), at, text).anchor(anchor).color(style.1);
        plot.text(text.allow_hover(false));
    }
}

/// Marks at 1, 2 or 5 times a power of ten, about `wanted` of them.
fn marks(input: GridInput, wanted: f64) -> Vec<GridMark> {
    let (low, high) = input.bounds;
    let rough = (high - low) / wanted;
    if !(rough.is_finite() && rough > 0.0) {
        return Vec::new();
    }
    let power = 10f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|n| n * power).find(|step| *step >= rough * 0.99);
    let step = step.unwrap_or(10.0 * power);
    let (first, last) = ((low / step).ceil() as i64, (high / step).floor() as i64);
    (first..=last).map(|n| GridMark { value: n as f64 * step, step_size: step }).collect()
}
