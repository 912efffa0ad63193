//! The three charts, one above the other on one axis.

use eframe::egui::{Align, Frame, Layout, Margin, RichText, Stroke, Ui};
use tautleaf_physics::{Moment, Quantity, Sample};
use tautleaf_scenario::units;

use crate::action::Action;
use crate::charts::{Chart, Kind};
use crate::context::ViewContext;
use crate::live::Live;
use crate::state::Axis;
use crate::theme::{size, space, strong_at};
use crate::widgets::{Around, choice, limit_chart, quiet_button};
use crate::words;

/// Height of the numbers under the lowest chart.
const AXIS_HEIGHT: f32 = 18.0;

/// Draws the charts.
pub fn charts_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    bar(ui, ctx);
    let Some(live) = &ctx.state.live else {
        ui.centered_and_justified(|ui| ui.label("There is no door to run yet."));
        return;
    };
    let charts = &ctx.state.charts;
    let count = charts.charts.len().max(1) as f32;
    let margins = 10.0 + 2.0;
    let height = (ui.available_height() - AXIS_HEIGHT - 2.0) / count - margins - space::ROW;
    let place = |moment: Moment| match ctx.state.view.axis {
        Axis::Time => moment.t_s,
        Axis::Opening => units::to_shown(Quantity::Length, moment.clear_opening_m, ctx.units()),
    };
    let mut pointed = None;
    for (n, chart) in charts.charts.iter().enumerate() {
        let frame = Frame::new()
            .fill(ctx.palette.raised)
            .stroke(Stroke::new(1.0, ctx.palette.line))
            .corner_radius(space::CORNER)
            .inner_margin(Margin { left: 10, right: 10, top: 6, bottom: 4 });
        frame.show(ui, |ui| {
            let around = Around {
                charts,
                axis: ctx.state.view.axis,
                cursor: ctx.state.view.cursor.map(place),
                readout: readout(ctx, live, chart),
                spoken: spoken(ctx, live, chart),
                palette: ctx.palette,
                axis_below: n + 1 == charts.charts.len(),
            };
            pointed = pointed.or(limit_chart(ui, chart, &around, height));
        });
        ui.add_space(space::ROW - ui.spacing().item_spacing.y);
    }
    if let Some(x) = pointed {
        let moment = moment_at(ctx, live, x);
        if moment != ctx.state.view.cursor {
            ctx.send(Action::PointAt(moment));
        }
    }
}

/// What the charts are drawn over, and the moment pointed at.
fn bar(ui: &mut Ui, ctx: &ViewContext<'_>) {
    ui.horizontal(|ui| {
        ui.set_height(26.0);
        ui.label(RichText::new("One cycle").font(strong_at(size::HEAD)));
        ui.label(RichText::new("over").color(ctx.palette.soft));
        let names = [(Axis::Time, "time"), (Axis::Opening, "clear opening")];
        if let Some(axis) = choice(ui, "Charts over", ctx.state.view.axis, &names) {
            ctx.send(Action::Over(axis));
        }
        let unit = format!("in {}", ctx.state.charts.axis_unit);
        ui.label(RichText::new(unit).color(ctx.palette.soft));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| match ctx.state.view.cursor {
            Some(moment) => {
                if quiet_button(ui, "Clear", true).on_hover_text("Point at no moment").clicked() {
                    ctx.send(Action::PointAt(None));
                }
                ui.label(RichText::new(place_in_words(ctx, moment)).color(ctx.palette.ink));
            }
            None => {
                let hint = "Click a chart or a verdict to point at a moment";
                ui.label(RichText::new(hint).small().color(ctx.palette.soft));
            }
        });
    });
}

fn place_in_words(ctx: &ViewContext<'_>, moment: Moment) -> String {
    let time = words::value(Quantity::Time, moment.t_s, ctx.units());
    format!("at {time}, {} open", words::value(Quantity::Length, moment.clear_opening_m, ctx.units()))
}

/// The moment at a place on the axis.
fn moment_at(ctx: &ViewContext<'_>, live: &Live, x: f64) -> Option<Moment> {
    let sample = match ctx.state.view.axis {
        Axis::Time => {
            let sample = live.sample_at(x)?;
            return Some(Moment { t_s: x, clear_opening_m: sample.clear_opening_m });
        }
        Axis::Opening => live.closing_sample_at(units::from_shown(Quantity::Length, x, ctx.units()))?,
    };
    Some(Moment { t_s: sample.t_s, clear_opening_m: sample.clear_opening_m })
}

/// The value at the moment pointed at, or the peak.
fn readout(ctx: &ViewContext<'_>, live: &Live, chart: &Chart) -> String {
    let say = |value| words::value(chart.kind.quantity(), value, ctx.units());
    let pointed = ctx.state.view.cursor.and_then(|moment| live.sample_at(moment.t_s));
    match (pointed, chart.kind) {
        (Some(sample), Kind::Speed | Kind::Energy) => say(height(sample, chart.kind)),
        _ => peak(live, chart.kind).map_or_else(String::new, |value| format!("peak {}", say(value))),
    }
}

fn height(sample: &Sample, kind: Kind) -> f64 {
    match kind {
        Kind::Speed => sample.leaf_speed_m_per_s.iter().fold(0.0, |most, speed| most.max(speed.abs())),
        _ => sample.energy_leaf_j,
    }
}

fn peak(live: &Live, kind: Kind) -> Option<f64> {
    match kind {
        Kind::Force => live.run.figures.get(tautleaf_physics::Figure::ImpactForce),
        _ => live.run.samples.iter().map(|sample| height(sample, kind)).reduce(f64::max),
    }
}

/// The chart in words.
fn spoken(ctx: &ViewContext<'_>, live: &Live, chart: &Chart) -> String {
    let value = peak(live, chart.kind);
    let mut text = value.map_or_else(
        || "nothing to show".to_owned(),
        |value| format!("peak {}", words::value(chart.kind.quantity(), value, ctx.units())),
    );
    for limit in &chart.limits {
        text.push_str(if limit.over { ", over " } else { ", under " });
        text.push_str(&limit.label);
    }
    text
}
