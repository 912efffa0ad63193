//! How sure the door keeps its limits: likelihoods, how a figure spreads, and what that depends on.

use eframe::egui::{
    Button, CollapsingHeader, ComboBox, Grid, Label, RichText, Role, ScrollArea, Sense, Ui, WidgetInfo,
};
use egui_plot::{Bar, BarChart, LineStyle, VLine};
use tautleaf_physics::{Figure, Judge, Limit};
use tautleaf_report::probability::share_and_interval;
use tautleaf_report::spread::{all_kept, judged_limits, notes, shape_in_words, signed_rank, what_matters};
use tautleaf_trials::spread::{LimitFindings, Statistics};

use super::chart_limits::{limits_near, titled};
use super::rows::{begin_row, noted, out_of_date, part_head, room};
use crate::action::Action;
use crate::context::ViewContext;
use crate::theme::{is_roomy, size, space, strong_at};
use crate::trials::Trial;
use crate::trials::spreading::{Asked, Spread};
use crate::widgets::{Icon, named, trial_plot, typed};
use crate::words;

/// Width of the likelihoods, beside the figure.
const LIKELIHOODS: f32 = 440.0;
/// Height of the figure, in a low and in a high window.
const PLOT: (f32, f32) = (190.0, 300.0);
/// Percentiles that are told: 5, 50 and 95 %.
const TOLD: [(usize, &str); 3] = [(1, "5 %"), (3, "median"), (5, "95 %")];

/// Draws it.
pub(super) fn spread_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let asked = &ctx.state.trials.spread_asked;
    begin_row(ui, ctx, Trial::Spread, "Draw doors", |ui| {
        if let Some(runs) = typed(ui, "Runs", &asked.runs, 80.0, ctx.palette) {
            ctx.send(Action::AskSpread(Asked { runs, ..asked.clone() }));
        }
        if let Some(seed) = typed(ui, "Seed", &asked.seed, 60.0, ctx.palette) {
            ctx.send(Action::AskSpread(Asked { seed, ..asked.clone() }));
        }
    });
    let Some(found) = &ctx.state.trials.spread.found else { return };
    if !found.made.is_current(&ctx.state.document) {
        out_of_date(ui, ctx);
    }
    let done = found.findings.trials;
    if done < found.wanted {
        noted(
            ui,
            ctx,
            Icon::Close,
            &format!("Stopped after {done} of {} runs; those are kept.", found.wanted),
        );
    }
    if done == 0 {
        return;
    }
    ScrollArea::vertical().max_height(room(ui)).auto_shrink([false, true]).show(ui, |ui| {
        ui.add(Label::new(RichText::new(all_kept(&found.study, &found.findings)).strong()).wrap());
        ui.add_space(space::ROW);
        ui.horizontal_top(|ui| {
            ui.vertical(|ui| {
                ui.set_width(LIKELIHOODS);
                likelihoods(ui, ctx, found);
            });
            ui.add_space(space::PART);
            ui.vertical(|ui| figure_ui(ui, ctx, found));
        });
        inputs(ui, ctx, found);
        for note in notes(&found.study, &found.findings) {
            ui.add(Label::new(RichText::new(note).small().color(ctx.palette.soft)).wrap());
        }
    });
}

/// How likely each limit is kept.
fn likelihoods(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Spread) {
    part_head(ui, "How likely each limit is kept");
    Grid::new("likelihoods").num_columns(4).spacing([12.0, 3.0]).striped(true).show(ui, |ui| {
        ui.label("");
        for head in ["kept", "95 % sure", "margin, median"] {
            ui.label(RichText::new(head).small().color(ctx.palette.soft));
        }
        ui.end_row();
        for (limit, of_limit) in judged_limits(&found.study, &found.findings) {
            likelihood(ui, ctx, found, (limit, of_limit));
        }
    });
    ui.add_space(space::ROW);
}

fn likelihood(
    ui: &mut Ui,
    ctx: &ViewContext<'_>,
    found: &Spread,
    (limit, of_limit): (&Limit, &LimitFindings),
) {
    let advisory = if limit.judge == Judge::Advisory { ", advisory" } else { "" };
    let label = format!("{}{advisory}", words::limit_label(limit));
    let figure = limit.figure.filter(|figure| found.figures().any(|one| one == *figure));
    match figure {
        Some(figure) => {
            let shown = ctx.state.trials.spread_shown == Some(figure);
            let button = ui.add(Button::selectable(shown, RichText::new(&label).small()));
            button.widget_info(|| {
                WidgetInfo::selected(Role::RadioButton, true, shown, format!("Look at {label}"))
            });
            if button.on_hover_text("Shows how it spreads").clicked() {
                ctx.send(Action::ShowSpreadOf(figure));
            }
        }
        None => {
            ui.label(RichText::new(&label).small());
        }
    }
    let [share, interval] = share_and_interval(&of_limit.kept);
    let colour = if of_limit.kept.times < of_limit.kept.of { ctx.palette.limit } else { ctx.palette.ink };
    ui.label(RichText::new(share).font(strong_at(size::SMALL)).color(colour));
    ui.label(RichText::new(interval).small().color(ctx.palette.soft));
    let median = of_limit.margin.as_ref().map(|margin| 100.0 * margin.percentiles[TOLD[1].0]);
    let median = median.map_or("-".to_owned(), |percent| format!("{percent:.0} %"));
    ui.label(RichText::new(median).small().color(ctx.palette.soft));
    ui.end_row();
}

/// How one figure spreads.
fn figure_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Spread) {
    let shown = ctx.state.trials.spread_shown;
    let of = |figure: Figure| found.findings.figures.iter().find(|(one, _)| *one == figure);
    let Some((figure, statistics)) = shown.and_then(of) else {
        ui.label("No figure differs from run to run.");
        return;
    };
    ui.horizontal(|ui| {
        ui.label(RichText::new("How it spreads").font(strong_at(size::HEAD)));
        let list = ComboBox::from_id_salt("figure that spreads").width(220.0).selected_text(figure.label());
        let list = list.show_ui(ui, |ui| {
            for other in found.figures() {
                if ui.selectable_label(other == *figure, other.label()).clicked() {
                    ctx.send(Action::ShowSpreadOf(other));
                }
            }
        });
        let says = format!("Figure: {}", figure.label());
        list.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, &says));
    });
    histogram(ui, ctx, found, (*figure, statistics));
    let told = percentiles(ctx, *figure, statistics);
    ui.add(Label::new(RichText::new(told).small().color(ctx.palette.ink)).wrap());
    ui.add_space(space::TIGHT);
    matters_ui(ui, ctx, found, statistics);
}

/// `5 % 2.31 s, median 2.45 s, 95 % 2.60 s`.
fn percentiles(ctx: &ViewContext<'_>, figure: Figure, statistics: &Statistics) -> String {
    let say = |value| words::value(words::quantity_shown(figure), value, ctx.units());
    let one = |&(n, name): &(usize, &str)| format!("{name} {}", say(statistics.percentiles[n]));
    let told: Vec<String> = TOLD.iter().map(one).collect();
    format!("{}; least {}, greatest {}", told.join(", "), say(statistics.least), say(statistics.greatest))
}

/// The runs in each part of the range, with the percentiles, and the limit where it lies near.
fn histogram(
    ui: &mut Ui,
    ctx: &ViewContext<'_>,
    found: &Spread,
    (figure, statistics): (Figure, &Statistics),
) {
    let quantity = words::quantity_shown(figure);
    let shown = |si| words::to_shown(quantity, si, ctx.units());
    let (low, high) = (shown(statistics.least), shown(statistics.greatest));
    let part = (high - low) / statistics.histogram.len() as f64;
    let percent = |&count: &u64| 100.0 * count as f64 / statistics.count as f64;
    let bar = |(n, count): (usize, &u64)| {
        Bar::new(low + (n as f64 + 0.5) * part, percent(count)).width(0.92 * part)
    };
    let bars: Vec<Bar> = statistics.histogram.iter().enumerate().map(bar).collect();
    let top = 1.12 * statistics.histogram.iter().map(percent).fold(0.0, f64::max);
    let limits = limits_near(&found.study.bench.criteria.limits, figure, shown, (low, high));
    let left = limits.iter().copied().fold(low, f64::min) - part;
    let right = limits.iter().copied().fold(high, f64::max) + part;
    let unit = words::unit(quantity, ctx.units());
    let across = titled(figure.label(), &unit);
    let height = if is_roomy(ui) { PLOT.1 } else { PLOT.0 };
    let plot = trial_plot("spread", (&across, "% of runs"), height, ctx.palette);
    let plot = plot.show(ui, |plot| {
        plot.set_plot_bounds_x(left..=right);
        plot.set_plot_bounds_y(0.0..=top);
        plot.bar_chart(BarChart::new("runs", bars).color(ctx.palette.door).allow_hover(false));
        for (n, name) in TOLD {
            let line = VLine::new(name, shown(statistics.percentiles[n])).color(ctx.palette.ink);
            plot.vline(line.width(1.2).style(LineStyle::Dashed { length: 4.0 }).allow_hover(false));
        }
        for (n, at) in limits.iter().enumerate() {
            let line = VLine::new(format!("limit {n}"), *at).color(ctx.palette.limit);
            plot.vline(line.width(2.0).allow_hover(false));
        }
    });
    let beyond = if limits.is_empty() { "" } else { "; the limit is drawn" };
    named(&plot.response, &format!("{}: {}{beyond}", figure.label(), percentiles(ctx, figure, statistics)));
    let key = if limits.is_empty() {
        "Dashed: 5 %, median and 95 % of the runs."
    } else {
        "Dashed: 5 %, median and 95 % of the runs. Solid: the limit."
    };
    ui.label(RichText::new(key).small().color(ctx.palette.soft));
}

/// Which inputs a figure depends on.
fn matters_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Spread, statistics: &Statistics) {
    part_head(ui, "What it depends on");
    let matters = what_matters(statistics);
    if matters.is_empty() {
        ui.label("On nothing that could be told from chance in so many runs.");
        return;
    }
    Grid::new("what matters").num_columns(3).spacing([14.0, 2.0]).show(ui, |ui| {
        for one in &matters {
            let input = &found.study.inputs[one.input];
            let name = Label::new(words::name_of(&input.settable.key())).sense(Sense::hover());
            ui.add(name).on_hover_text(input.source);
            let rank =
                one.rank.map_or_else(String::new, |rank| format!("rank correlation {}", signed_rank(rank)));
            let share =
                one.share.map_or_else(String::new, |share| format!("{:.0} % of its variance", 100.0 * share));
            for text in [rank, share] {
                ui.label(RichText::new(text).small().color(ctx.palette.soft));
            }
            ui.end_row();
        }
    });
    ui.add_space(space::TIGHT);
}

/// What spreads, and how, folded.
fn inputs(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Spread) {
    let head = format!("What spreads ({})", found.study.inputs.len());
    CollapsingHeader::new(RichText::new(head).small()).id_salt("what spreads").show(ui, |ui| {
        for input in &found.study.inputs {
            let by = if input.by_default {
                format!("by default: {}", input.source)
            } else {
                "as the file says".to_owned()
            };
            let (name, shape) = (words::name_of(&input.settable.key()), shape_in_words(input, ctx.units()));
            ui.add(Label::new(RichText::new(format!("{name}: {shape}; {by}")).small()).wrap());
        }
    });
    ui.add_space(space::TIGHT);
}
