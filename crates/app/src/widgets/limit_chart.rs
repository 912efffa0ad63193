//! A chart with limits: curves, what they must stay under, what lies over, and the moment pointed at.

use eframe::egui::{Align2, CursorIcon, Id, Rangef, Response, Role, Stroke, Ui, Vec2b, WidgetInfo, pos2};
use egui_plot::{
    AxisHints, FilledArea, GridMark, HoverPosition, Line, LineStyle, MarkerShape, Plot, PlotPoints,
    PlotTransform, PlotUi, Points, VLine,
};

use crate::axis::Axis;
use crate::charts::{Chart, Look, MarkKind};
use crate::limit_lines::LimitLine;
use crate::theme::{Palette, plain_at, size, space};
use crate::widgets::chart_around::Around;
use crate::widgets::chart_header::{STRAND_WIDTHS, Wish, chart_header};
use crate::widgets::chart_labels::chart_labels;
use crate::widgets::scale::marks;
use crate::widgets::trial_plot::still;
use crate::words;

/// Height of the line above a chart.
const HEADER: f32 = 20.0;
/// How much closer a point of the wheel looks, as an exponent.
const WHEEL: f64 = 0.004;
/// How near the pointer has to be to a limit to take hold of it, in points.
const GRAB: f32 = 5.0;
/// Room left at the ends of the axis for the words "closed" and "open", as a part of its length.
const ENDS: f64 = 0.09;

/// What a user did with a chart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Answer {
    /// The place on the axis that was clicked or dragged to.
    pub pointed: Option<f64>,
    /// What is to become of the chart.
    pub wish: Option<Wish>,
    /// A limit that is dragged, and where to.
    pub limit: Option<LimitDrag>,
    /// The part of the axis to look at from now on; the inner `None`: the whole.
    pub zoom: Option<Option<(f64, f64)>>,
}

/// A limit that is dragged.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitDrag {
    /// Its key in a door file.
    pub key: String,
    /// Its new height in the unit of the chart; `None`: it was let go.
    pub to: Option<f64>,
}

/// Draws the chart.
pub fn limit_chart<'a>(ui: &mut Ui, chart: &'a Chart, around: &Around<'a>, height: f32) -> Answer {
    let palette = around.palette;
    let wish = chart_header(ui, chart, &around.readout, around.axis, palette);
    let numbers = if around.axis_below { 18.0 } else { 0.0 };
    let (low, high) = around.charts.range;
    let top = around.held.map_or(chart.top, |held| held.top.max(chart.top));
    let bottom = around.held.map_or(chart.bottom, |held| held.bottom.min(chart.bottom));
    let edge = (high - low) * 0.012;
    let unit = &chart.unit;
    let hover = |position: &HoverPosition<'_>| {
        let (HoverPosition::NearDataPoint { position, .. } | HoverPosition::Elsewhere { position }) =
            position;
        // what the curves say there, not where the pointer is
        let mut told = vec![format!("{} {}", words::number(position.x), around.charts.axis_unit)];
        for curve in chart.curves.iter().rev() {
            if let Some(y) = curve.at(position.x) {
                let y = if y.abs() < 1e-3 * top.max(-bottom) { 0.0 } else { y };
                told.push(format!("{} {} {unit}", curve.name, words::number(y)));
            }
        }
        let main = around.held.and_then(|held| held.curves.last()?.at(position.x));
        told.extend(main.map(|y| format!("held {} {unit}", words::number(y))));
        Some(told.join("\n"))
    };
    let plot = still(Plot::new(("chart", chart.kind.title())))
        .height((height - HEADER - space::TIGHT).max(40.0) + numbers)
        .show_axes(Vec2b::new(around.axis_below, true))
        .custom_y_axes(vec![heights(around.axis_width)])
        .x_axis_formatter(|mark, _| place(mark, around))
        .x_grid_spacer(|input| marks(input, 8.0))
        .y_grid_spacer(move |input| marks(input, f64::from((height - HEADER) / 26.0).clamp(1.6, 5.0)))
        .grid_color(palette.line)
        .grid_fade(0.0)
        .cursor_color(palette.second)
        .link_cursor(Id::unique("charts"), Vec2b::new(true, false))
        .show_crosshair(true)
        .show_x(true)
        .show_y(false)
        .sense(eframe::egui::Sense::click_and_drag())
        .label_formatter(hover);
    let response = plot.show(ui, |plot| {
        plot.set_plot_bounds_x(low - edge..=high + edge);
        plot.set_plot_bounds_y(bottom - 0.03 * (top - bottom)..=top);
        draw(plot, chart, around);
        plot.pointer_coordinate().map(|point| point.x)
    });
    let spoken =
        || WidgetInfo::labeled(Role::Image, true, format!("{}: {}", chart.kind.title(), around.spoken));
    response.response.widget_info(spoken);
    chart_labels(ui, chart, around, &response.transform);
    if around.axis_below {
        ends_of_axis(ui, around, &response.transform);
    }
    let zoom = zoomed(ui, around, &response.response, response.inner);
    let (limit, held) = drag_limit(ui, chart, &response.response, &response.transform);
    let pressed = !held && (response.response.clicked() || response.response.dragged());
    let response_place = response.inner.filter(|_| pressed).map(|x| x.clamp(low, high));
    response.response.on_hover_cursor(if held { CursorIcon::ResizeVertical } else { CursorIcon::Crosshair });
    Answer { pointed: response_place, wish, limit, zoom }
}

/// The wheel looks closer at where the pointer is, sideways it moves along; a double click brings the whole back.
fn zoomed(ui: &Ui, around: &Around<'_>, response: &Response, at: Option<f64>) -> Option<Option<(f64, f64)>> {
    if response.double_clicked() {
        return Some(None);
    }
    let at = at.filter(|_| response.contains_pointer())?;
    let (scroll, pinch) = ui.input(|input| (input.smooth_scroll_delta(), input.zoom_delta()));
    let wheel = if around.wheel_zooms { scroll.y } else { 0.0 };
    let factor = 1.0 / (f64::from(pinch) * (f64::from(wheel) * WHEEL).exp());
    let (low, high) = around.charts.range;
    let along = -f64::from(scroll.x / response.rect.width()) * (high - low);
    if factor == 1.0 && along == 0.0 {
        return None;
    }
    let (whole_low, whole_high) = around.charts.whole;
    let (from, to) = (at - (at - low) * factor, at + (high - at) * factor);
    let along = along.clamp((whole_low - from).min(0.0), (whole_high - to).max(0.0));
    Some(Some((from + along, to + along)))
}

/// The axis of heights: its numbers stand even in a low chart, where marks are close together.
fn heights(width: f32) -> AxisHints<'static> {
    let axis = AxisHints::new_y().min_thickness(width);
    let axis = axis.label_spacing(Rangef::new(size::SMALL - 1.0, size::SMALL));
    axis.formatter(|mark, _| words::mark(mark.value, mark.step_size))
}

/// Lets a limit be dragged up and down; gives what became of it, and whether the pointer has one.
fn drag_limit(
    ui: &Ui,
    chart: &Chart,
    response: &Response,
    transform: &PlotTransform,
) -> (Option<LimitDrag>, bool) {
    let id = Id::unique(("limit dragged", chart.kind.title()));
    let dragged: Option<String> = ui.data(|data| data.get_temp(id));
    let pointer = response.interact_pointer_pos().or(response.hover_pos());
    if let (Some(key), true) = (dragged.clone(), response.dragged()) {
        let to = pointer.map(|at| transform.value_from_position(at).y.max(1e-3 * chart.top));
        return (Some(LimitDrag { key, to }), true);
    }
    if let Some(key) = dragged {
        ui.data_mut(|data| data.remove::<String>(id));
        return (Some(LimitDrag { key, to: None }), true);
    }
    // A drag has begun where the button went down, not where it was noticed.
    let pressed_at = ui.input(|input| input.pointer.press_origin()).filter(|_| response.drag_started());
    let near = pressed_at.or(pointer).and_then(|at| {
        let reach = |limit: &&LimitLine| {
            let (first, last) = (limit.points.first()?, limit.points.last()?);
            let (first, last) = (transform.position_from_point(first), transform.position_from_point(last));
            let along = (first.x..=last.x).contains(&at.x);
            (along && (at.y - first.y).abs() <= GRAB).then(|| limit.key.clone()).flatten()
        };
        chart.limits.iter().find_map(|limit| reach(&limit))
    });
    if let (Some(key), true) = (near.clone(), response.drag_started()) {
        ui.data_mut(|data| data.insert_temp(id, key));
    }
    (None, near.is_some())
}

/// A number on the axis; its ends are named instead.
fn place(mark: GridMark, around: &Around<'_>) -> String {
    let (low, high) = around.charts.range;
    let part = (mark.value - low) / (high - low);
    let named = match around.axis {
        Axis::Time => part > 1.0 - ENDS / 2.0,
        Axis::Opening => !(ENDS..=1.0 - 1.4 * ENDS).contains(&part),
    };
    if named { String::new() } else { words::mark(mark.value, mark.step_size) }
}

/// "closed" and "open" under the ends of the opening, the unit at the end of the axis.
fn ends_of_axis(ui: &Ui, around: &Around<'_>, transform: &PlotTransform) {
    let (low, high) = around.charts.range;
    let y = transform.frame().bottom() + 10.0;
    let unit = &around.charts.axis_unit;
    let x = |place: f64| transform.position_from_point_x(place);
    let write = |at: f32, anchor: Align2, text: &str| {
        ui.painter().text(pos2(at, y), anchor, text, plain_at(size::SMALL), around.palette.ink);
    };
    match around.axis {
        Axis::Time => write(x(high), Align2::RIGHT_CENTER, unit),
        Axis::Opening => {
            write(x(low), Align2::LEFT_CENTER, "closed");
            let open = format!("open, {} {unit}", words::number(high));
            write(x(high), Align2::RIGHT_CENTER, &open);
        }
    }
}

fn draw<'a>(plot: &mut PlotUi<'a>, chart: &'a Chart, around: &Around<'a>) {
    let palette = around.palette;
    if let Some(held) = around.held {
        held_curves(plot, held, palette);
    }
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
    slack(plot, chart, palette);
    phases(plot, around);
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
            Look::Strand(n) => {
                let strand = line(points, palette.strands[n % palette.strands.len()], STRAND_WIDTHS[n % 4]);
                plot.line(if n % 2 == 0 { strand } else { strand.style(LineStyle::Dashed { length: 7.0 }) });
            }
            Look::Reference => {
                let dots = LineStyle::Dotted { spacing: 4.0 };
                plot.line(line(points, palette.soft, 1.2).style(dots).allow_hover(false));
            }
            Look::Diamonds => {
                let points = Points::new(name, points).color(palette.second).radius(5.0);
                plot.points(points.shape(MarkerShape::Diamond));
            }
            Look::Circles => plot.points(Points::new(name, points).color(palette.door).radius(3.6)),
        }
    }
    limits(plot, chart, palette);
    for (n, mark) in chart.marks.iter().enumerate() {
        let (colour, radius) = match mark.kind {
            MarkKind::Over => (palette.limit, 4.5),
            MarkKind::Peak => (palette.door, 3.0),
            MarkKind::Event => (palette.ink, 3.6),
        };
        let point =
            Points::new(format!("mark {n}"), vec![[mark.at.x, mark.at.y]]).color(colour).radius(radius);
        let shape = if mark.kind == MarkKind::Event { MarkerShape::Up } else { MarkerShape::Circle };
        plot.points(point.shape(shape).allow_hover(false));
    }
    if let Some(x) = around.cursor {
        let line = VLine::new("moment", x).color(palette.ink).width(1.2).allow_hover(false);
        plot.vline(line);
    }
}

/// The curves of the run that is compared with, pale behind the others.
fn held_curves<'a>(plot: &mut PlotUi<'a>, held: &'a Chart, palette: &Palette) {
    for (n, curve) in held.curves.iter().enumerate() {
        let name = format!("held {} {n}", curve.name);
        let points = PlotPoints::from(&curve.points[..]);
        let colour = palette.held;
        match curve.look {
            Look::Second | Look::Thin | Look::Reference => {}
            Look::Diamonds | Look::Circles => {
                plot.points(Points::new(name, points).color(colour).radius(3.0).allow_hover(false));
            }
            Look::Main | Look::Dashed | Look::Strand(_) => {
                let line = Line::new(name, points).color(colour).width(2.4).allow_band(false);
                plot.line(line.allow_hover(false));
            }
        }
    }
}

/// The ends of the ways between commands.
fn phases(plot: &mut PlotUi<'_>, around: &Around<'_>) {
    for (n, (_, from, _)) in around.charts.phases.iter().enumerate().skip(1) {
        let line = VLine::new(format!("phase {n}"), *from).color(around.palette.edge).width(1.0);
        plot.vline(line.style(LineStyle::Dotted { spacing: 4.0 }).allow_hover(false));
    }
}

/// Where a strand is slack, over the whole height.
fn slack(plot: &mut PlotUi<'_>, chart: &Chart, palette: &Palette) {
    for (n, slack) in chart.slack.iter().enumerate() {
        let xs = [slack.across.0, slack.across.1];
        let area = FilledArea::new(format!("slack {n}"), &xs, &[chart.bottom; 2], &[chart.top; 2]);
        plot.add(area.fill_color(palette.limit.gamma_multiply(0.18)).allow_hover(false));
        // An edge, so that a short time is not lost.
        let edge = VLine::new(format!("slack edge {n}"), slack.across.0).color(palette.limit).width(1.0);
        plot.vline(edge.allow_hover(false));
    }
}

/// Limits are dashed; that of stall is dotted, with the diamonds of the points that it is for.
fn limits<'a>(plot: &mut PlotUi<'a>, chart: &'a Chart, palette: &Palette) {
    for (n, limit) in chart.limits.iter().enumerate() {
        let width = if limit.over { 2.2 } else { 1.5 };
        let line = Line::new(format!("limit {n}"), PlotPoints::from(&limit.points[..]));
        let line = line.stroke(Stroke::new(width, palette.limit)).allow_hover(false);
        if !limit.is_stall() {
            plot.line(line.style(LineStyle::Dashed { length: 9.0 }));
            continue;
        }
        plot.line(line.style(LineStyle::Dotted { spacing: 5.0 }));
        let ends = Points::new(format!("limit ends {n}"), PlotPoints::from(&limit.points[..]));
        plot.points(ends.color(palette.limit).radius(4.0).shape(MarkerShape::Diamond).allow_hover(false));
    }
}
