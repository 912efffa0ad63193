//! The charts, one above the other on one axis.

use eframe::egui::containers::menu::{MenuButton, MenuConfig};
use eframe::egui::{
    Align, Button, Frame, Id, Layout, Margin, PopupCloseBehavior, Response, RichText, Role, ScrollArea,
    Stroke, Ui, UiBuilder, WidgetInfo,
};
use tautleaf_physics::{Figure, Moment, Quantity, Sample, wheel_heights};

use crate::action::Action;
use crate::axis::Axis;
use crate::charts::{Chart, Kind};
use crate::context::ViewContext;
use crate::courses;
use crate::limit_edits::LimitEdit;
use crate::live::{Live, moment_of};
use crate::panels::transport;
use crate::state::Popup;
use crate::theme::{is_roomy, space};
use crate::widgets::{Around, Icon, LimitDrag, Wish, choice, icon_button, limit_chart, link};
use crate::words;

/// Least height of a chart.
const LEAST_HEIGHT: f32 = 74.0;
/// Room that the moment pointed at takes.
const MOMENT: f32 = 110.0;
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
    // More of them than the window holds are scrolled through.
    if height >= LEAST_HEIGHT {
        stack(ui, ctx, live, height, true);
    } else {
        ScrollArea::vertical().show(ui, |ui| stack(ui, ctx, live, LEAST_HEIGHT, false));
    }
}

/// One chart under the other, each `height` high.
fn stack(ui: &mut Ui, ctx: &ViewContext<'_>, live: &Live, height: f32, wheel_zooms: bool) {
    let charts = &ctx.state.charts;
    let place = |moment: Moment| match ctx.state.view.axis {
        Axis::Time => moment.t_s,
        Axis::Opening => words::to_shown(Quantity::Length, moment.clear_opening_m, ctx.units()),
    };
    let mut pointed = None;
    let axis_width = axis_width(&charts.charts);
    for (n, chart) in charts.charts.iter().enumerate() {
        let frame = Frame::new()
            .fill(ctx.palette.raised)
            .stroke(Stroke::new(1.0, ctx.palette.line))
            .corner_radius(space::CORNER)
            .inner_margin(Margin { left: 10, right: 10, top: 6, bottom: 4 });
        frame.show(ui, |ui| {
            let held = ctx.state.held_charts.as_ref();
            let around = Around {
                charts,
                held: held.and_then(|held| held.charts.iter().find(|held| held.kind == chart.kind)),
                axis: ctx.state.view.axis,
                cursor: ctx.state.view.cursor.map(place),
                readout: readout(ctx, live, chart),
                spoken: spoken(ctx, live, chart),
                palette: ctx.palette,
                axis_below: n + 1 == charts.charts.len(),
                wheel_zooms,
                axis_width,
            };
            let answer = limit_chart(ui, chart, &around, height);
            pointed = pointed.or(answer.pointed);
            if let Some(part) = answer.zoom {
                ctx.send(Action::Zoom(part));
            }
            match answer.limit {
                Some(LimitDrag { key, to: Some(to) }) => {
                    let value = chart.kind.si(to, ctx.units());
                    ctx.send(Action::EditLimits(LimitEdit::Value { key, value, dragging: true }));
                }
                Some(LimitDrag { to: None, .. }) => ctx.send(Action::EndDrag),
                None => {}
            }
            match answer.wish {
                Some(Wish::Copy(format)) => ctx.send(Action::CopyChart(chart.kind, format)),
                Some(Wish::Peak) => ctx.send(Action::PointAt(peak(live, chart.kind))),
                Some(Wish::Save(format)) => ctx.send(Action::Show(Popup::SaveChart(chart.kind, format))),
                None => {}
            }
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

/// Room that the longest number beside any chart takes.
fn axis_width(charts: &[Chart]) -> f32 {
    const DIGIT: f32 = 8.2;
    let longest = |chart: &Chart| {
        let step = (chart.top - chart.bottom) / 3.0;
        words::mark(chart.top, step).len().max(words::mark(chart.bottom, step).len())
    };
    let digits = charts.iter().map(longest).max().unwrap_or(0);
    space::CHART_AXIS.max(DIGIT * digits as f32 + 6.0)
}

/// What the charts are drawn over, which are shown, and the moment pointed at. In a low window time has no row of its
/// own, so it stands here too.
fn bar(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let roomy = is_roomy(ui);
    ui.horizontal(|ui| {
        ui.set_height(26.0);
        if !roomy {
            transport::buttons(ui, ctx);
            transport::rate_menu(ui, ctx);
            ui.separator();
        }
        let names = [(Axis::Time, "time"), (Axis::Opening, "opening")];
        if let Some(axis) = choice(ui, "Charts over", ctx.state.view.axis, &names) {
            ctx.send(Action::Over(axis));
        }
        ui.separator();
        if roomy {
            which(ui, ctx);
        } else {
            let menu = chart_menu(ui, ctx, "Charts".into(), Kind::ALL);
            menu.on_hover_text("Which charts are shown");
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            // Where time has little room, its slider comes before its number.
            let says = roomy || ui.available_width() > MOMENT + transport::LEAST_SCRUB;
            moment_ui(ui, ctx, roomy, says);
            let width = ui.available_width() - space::ROW;
            if !roomy && width >= transport::LEAST_SCRUB {
                transport::scrub(ui, ctx, width);
            }
        });
    });
}

/// The moment pointed at.
fn moment_ui(ui: &mut Ui, ctx: &ViewContext<'_>, roomy: bool, says: bool) {
    if ctx.state.charts.range != ctx.state.charts.whole {
        let whole = link(ui, "whole run", ctx.palette);
        if whole.on_hover_text("The whole axis again: Home, or a double click in a chart").clicked() {
            ctx.send(Action::Zoom(None));
        }
    }
    let Some(moment) = ctx.state.view.cursor else { return };
    if icon_button(ui, Icon::Clear, "Point at no moment", 20.0).clicked() {
        ctx.send(Action::PointAt(None));
    }
    if !says {
        return;
    }
    let time = format!("{:.3} s", moment.t_s);
    let where_ = words::moment(moment, ctx.units());
    let text = if roomy { &where_ } else { &time };
    ui.label(RichText::new(text).color(ctx.palette.ink)).on_hover_text(&where_);
}

/// Which charts are shown: the first ones and those that were asked for, the others in a menu.
fn which(ui: &mut Ui, ctx: &ViewContext<'_>) {
    ui.spacing_mut().item_spacing.x = 2.0;
    ui.spacing_mut().button_padding.x = 7.0;
    let is_near = |kind: &Kind| Kind::FIRST.contains(kind) || ctx.state.view.shown.contains(kind);
    let (near, far): (Vec<Kind>, Vec<Kind>) = Kind::ALL.into_iter().partition(is_near);
    for kind in near {
        toggle(ui, ctx, kind, kind.short());
    }
    if far.is_empty() {
        return;
    }
    let more = chart_menu(ui, ctx, RichText::new("More").small(), far);
    more.widget_info(|| WidgetInfo::labeled(Role::Button, true, "More charts"));
}

/// Charts to choose from, one below the other. It stays open while several are chosen.
fn chart_menu(
    ui: &mut Ui,
    ctx: &ViewContext<'_>,
    name: RichText,
    kinds: impl IntoIterator<Item = Kind>,
) -> Response {
    let stays = MenuConfig::new().close_behavior(PopupCloseBehavior::CloseOnClickOutside);
    let menu = |ui: &mut Ui| {
        MenuButton::new(name).config(stays).ui(ui, |ui| {
            for kind in kinds {
                toggle(ui, ctx, kind, kind.title());
            }
        })
    };
    // What stands before it comes and goes; the open menu stays that of the same button.
    let same = UiBuilder::new().scope_id(Id::unique("which charts"));
    ui.scope_builder(same, menu).inner.0
}

fn toggle(ui: &mut Ui, ctx: &ViewContext<'_>, kind: Kind, name: &str) {
    let shown = ctx.state.view.shown.contains(&kind);
    let response = ui.add(Button::selectable(shown, RichText::new(name).small()));
    let enabled = ui.is_enabled();
    response.widget_info(|| {
        let label = format!("Show {}", kind.title().to_lowercase());
        WidgetInfo::selected(Role::CheckBox, enabled, shown, label)
    });
    if response.clicked() {
        ctx.send(Action::ShowChart(kind, !shown));
    }
}

/// The moment at a place on the axis.
fn moment_at(ctx: &ViewContext<'_>, live: &Live, x: f64) -> Option<Moment> {
    let sample = match ctx.state.view.axis {
        Axis::Time => {
            let sample = live.sample_at(x)?;
            return Some(Moment { t_s: x, clear_opening_m: sample.clear_opening_m });
        }
        Axis::Opening => live.closing_sample_at(words::from_shown(Quantity::Length, x, ctx.units()))?,
    };
    Some(Moment { t_s: sample.t_s, clear_opening_m: sample.clear_opening_m })
}

/// The value at the moment pointed at, or the peak.
fn readout(ctx: &ViewContext<'_>, live: &Live, chart: &Chart) -> String {
    let say = |value| chart.kind.say(value, ctx.units());
    let pointed = ctx.state.view.cursor.and_then(|moment| live.sample_at(moment.t_s));
    match (pointed, chart.kind) {
        (Some(sample), Kind::Tension) => {
            let tension = &sample.tension_n[..live.door.ring().spans.len()];
            tension.iter().map(|tension| say(*tension)).collect::<Vec<_>>().join("  ")
        }
        (Some(sample), Kind::Hanger) => {
            let loads = sample.hanger_load_n[..live.door.leaves()].iter().flatten();
            loads.map(|load| say(*load)).collect::<Vec<_>>().join("  ")
        }
        (Some(sample), kind) if kind != Kind::Force => {
            let reach = kind.si(chart.top.max(-chart.bottom), ctx.units()).abs();
            let near = |si| kind.say_beside(si, reach, ctx.units());
            height(live, live.index_at(sample.t_s), kind).map_or_else(|| "none".to_owned(), near)
        }
        _ => extremes(ctx, live, chart.kind),
    }
}

/// The height of the main curve at the n-th sample, SI.
fn height(live: &Live, n: usize, kind: Kind) -> Option<f64> {
    let sample: &Sample = live.run.samples.get(n)?;
    Some(match kind {
        Kind::Speed => courses::speed(sample),
        Kind::Energy => sample.energy_leaf_j,
        Kind::Force => sample.contact_force_n,
        Kind::Tension => sample.tension_n[0],
        Kind::Hanger => sample.hanger_load_n[0][0],
        Kind::Current => sample.current_a,
        Kind::Power => sample.current_a * sample.voltage_v,
        Kind::Acceleration => live.felt(0).get(n)?.acceleration_m_per_s2,
        Kind::Jerk => live.felt(0).get(n)?.jerk_m_per_s3,
        Kind::Winding => *live.winding().get(n)?,
        Kind::Rail => wheel_heights(&live.door, 0, &[sample.leaf_position_m[0]])[0][0],
    })
}

/// The moment of its greatest height, whatever its sign.
fn peak(live: &Live, kind: Kind) -> Option<Moment> {
    let of_figure = match kind {
        Kind::Force => Some(Figure::ImpactForce),
        Kind::Tension => Some(Figure::GreatestTension),
        Kind::Hanger => Some(Figure::GreatestHangerLoad),
        _ => None,
    };
    if let Some(figure) = of_figure {
        return live.run.figures.reading(figure)?.at;
    }
    let size = |n: &usize| height(live, *n, kind).map_or(0.0, f64::abs);
    let highest = (0..live.run.samples.len()).max_by(|a, b| size(a).total_cmp(&size(b)))?;
    live.run.samples.get(highest).map(moment_of)
}

/// What a chart is read for: its peak, or for strands both ends.
fn extremes(ctx: &ViewContext<'_>, live: &Live, kind: Kind) -> String {
    let figure = |figure| live.run.figures.get(figure);
    let say =
        |value: Option<f64>| value.map_or_else(|| "none".to_owned(), |value| kind.say(value, ctx.units()));
    let greatest = || {
        let heights = (0..live.run.samples.len()).filter_map(|n| height(live, n, kind));
        heights.max_by(|a, b| a.abs().total_cmp(&b.abs()))
    };
    match kind {
        Kind::Force => format!("peak {}", say(figure(Figure::ImpactForce))),
        Kind::Hanger => {
            let (least, most) = (figure(Figure::LeastHangerLoad), figure(Figure::GreatestHangerLoad));
            format!("{} to {}", say(least), say(most))
        }
        Kind::Tension => {
            let (least, most) = (figure(Figure::LeastTension), figure(Figure::GreatestTension));
            format!("{} to {}", say(least), say(most))
        }
        Kind::Rail => {
            let places: Vec<f64> = live.run.samples.iter().map(|sample| sample.leaf_position_m[0]).collect();
            let heights = wheel_heights(&live.door, 0, &places).concat();
            let ends = heights.iter().fold((0.0f64, 0.0f64), |(a, b), &z| (a.min(z), b.max(z)));
            format!("{} to {}", say(Some(ends.0)), say(Some(ends.1)))
        }
        _ => format!("peak {}", say(greatest())),
    }
}

/// The chart in words.
fn spoken(ctx: &ViewContext<'_>, live: &Live, chart: &Chart) -> String {
    let mut text = extremes(ctx, live, chart.kind);
    for limit in chart.limits.iter().filter(|limit| !limit.label.is_empty()) {
        let word = match (limit.over, limit.is_least) {
            (false, _) => "keeps",
            (true, true) => "falls short of",
            (true, false) => "is over",
        };
        text.push_str(&format!(", {word} {}", limit.label));
    }
    for slack in &chart.slack {
        text.push_str(&format!(", {}", slack.text));
    }
    text
}
