//! Settings for a goal: those found beside the present ones, what holds them back, and what more margin costs.

use eframe::egui::{Button, Grid, Label, RichText, ScrollArea, Ui};
use egui_plot::{Line, Points};
use tautleaf_physics::{Figure, Judge, Quantity};
use tautleaf_report::tune::{KEPT_IN, SHOWN, WHAT_IS_TUNED, hits_hard, lacking, likely, over_advice, stands};
use tautleaf_report::words::change_values;
use tautleaf_trials::Trial as Run;
use tautleaf_trials::tune::Goal;

use super::rows::{begin_row, noted, out_of_date, part_head, reserve_row, room};
use crate::action::Action;
use crate::context::ViewContext;
use crate::theme::{size, space, strong_at};
use crate::trials::Trial;
use crate::trials::tuning::{Asked, Settings};
use crate::widgets::{Icon, belt_caution, choice, marks, named, trial_plot};
use crate::words;

/// Width of the settings, beside the figures.
const SETTINGS: f32 = 450.0;
/// Height of the trade-off.
const PLOT: f32 = 180.0;

const GOALS: &[(Goal, &str)] =
    &[(Goal::Fastest, "Shortest"), (Goal::Calmest, "Calmest"), (Goal::Coolest, "Least heat")];
const SURE: &[(Option<f64>, &str)] =
    &[(None, "This door"), (Some(0.9), "90 %"), (Some(0.95), "95 %"), (Some(0.99), "99 %")];

/// Draws it.
pub(super) fn tune_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let asked = ctx.state.trials.tune_asked;
    begin_row(ui, ctx, Trial::Tune, "Tune it", |ui| {
        ui.label(RichText::new("For the cycle that is").color(ctx.palette.soft));
        let now = asked.goal_for(&ctx.state.document.scenario().criteria().limits);
        if let Some(goal) = choice(ui, "Tuned for", now, GOALS) {
            ctx.send(Action::AskTune(Asked { goal: Some(goal), ..asked }));
        }
        ui.add_space(space::ROW);
        ui.label(RichText::new("Limits kept in").color(ctx.palette.soft));
        if let Some(probability) = choice(ui, "Limits kept in", asked.probability, SURE) {
            ctx.send(Action::AskTune(Asked { probability, ..asked }));
        }
        ui.label(RichText::new("of such doors").color(ctx.palette.soft));
    });
    reserve_row(ui, ctx);
    let Some(found) = &ctx.state.trials.tuned.found else { return };
    let taken = found.are_taken(&ctx.state.document);
    if taken {
        noted(ui, ctx, Icon::Within, "The door has these settings now; undo takes them back.");
    } else if !found.made.is_current(&ctx.state.document) {
        out_of_date(ui, ctx);
    }
    ScrollArea::vertical().max_height(room(ui)).auto_shrink([false, true]).show(ui, |ui| {
        ui.add(Label::new(RichText::new(what_came_of_it(found)).strong()).wrap());
        ui.add_space(space::TIGHT);
        ui.horizontal_top(|ui| {
            ui.vertical(|ui| {
                ui.set_width(SETTINGS);
                settings_ui(ui, ctx, found);
                limits_ui(ui, ctx, found);
            });
            ui.add_space(space::PART);
            ui.vertical(|ui| {
                trade_off(ui, ctx, found);
                figures_ui(ui, ctx, found);
            });
        });
        notes(ui, ctx, found);
    });
}

/// What was found, in a sentence.
fn what_came_of_it(found: &Settings) -> String {
    let tuned = &found.tuned;
    let goal = match found.goal {
        Goal::Fastest => "the shortest cycle",
        Goal::Calmest => "the least jerk in no more time",
        Goal::Coolest => "the least RMS current in no more time",
    };
    let mut said = match (tuned.keeps, tuned.changes.is_empty()) {
        (false, true) if found.stopped => {
            "It was stopped before settings were found that keep every limit.".to_owned()
        }
        (_, false) if found.stopped => format!("Stopped: the best that was found until then for {goal}."),
        (true, true) => format!("As they are: nothing better was found for {goal}."),
        (true, false) => format!("Tuned for {goal}: every limit that may fail the door is kept."),
        (false, false) => format!("Tuned for {goal}, but less sure than wanted."),
        (false, true) => {
            "No settings were found that keep every limit: leaf, drive, belt or what is wanted has to change."
                .to_owned()
        }
    };
    if let Some(lacking) = lacking(&found.bench, tuned, found.reserve).filter(|_| tuned.keeps) {
        said.push_str(&format!(" Some are kept {lacking}: no settings were found that leave more."));
    }
    if let Some(over) = over_advice(&found.bench, tuned) {
        said.push(' ');
        said.push_str(&over);
    }
    if let Some(all) = tuned.all.filter(|all| all.of > 0) {
        said.push_str(&format!(" All of them, and no strand slack: {} doors.", likely(&all)));
    }
    said
}

/// The settings that were found beside the present ones, and the button that takes them.
fn settings_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Settings) {
    let changes = &found.tuned.changes;
    if changes.is_empty() {
        return;
    }
    part_head(ui, "Settings");
    Grid::new("settings tuned").num_columns(3).spacing([16.0, 3.0]).striped(true).show(ui, |ui| {
        for head in ["", "as it was", "tuned"] {
            ui.label(RichText::new(head).small().color(ctx.palette.soft));
        }
        ui.end_row();
        for change in changes {
            // rounded so that the text itself keeps the limits
            let (from, to) = change_values(change, ctx.units());
            ui.label(words::name_of(change.key));
            ui.label(RichText::new(words::raised(&from)).color(ctx.palette.soft));
            ui.label(RichText::new(words::raised(&to)).font(strong_at(size::BODY)));
            ui.end_row();
        }
    });
    ui.add_space(space::TIGHT);
    let current = found.made.is_current(&ctx.state.document);
    let button = ui.add_enabled(current, Button::new("Take these settings"));
    if button.on_hover_text("Puts them all into the door in one step; undo takes them back").clicked() {
        ctx.send(Action::TakeTuned);
    }
    ui.add_space(space::TIGHT);
    if changes.iter().any(|change| change.key.ends_with("tension")) {
        belt_caution(ui, ctx.palette);
    }
}

/// How each limit stands with them, and what holds them back.
fn limits_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Settings) {
    let tuned = &found.tuned;
    part_head(ui, "Limits, and what holds it back");
    Grid::new("limits tuned").num_columns(4).spacing([12.0, 3.0]).show(ui, |ui| {
        for (n, limit) in found.bench.criteria.limits.iter().enumerate() {
            if limit.figure.is_none() || limit.judge != Judge::Limit {
                continue;
            }
            let binds = tuned.binding.contains(&n);
            let judged = &tuned.after.judged[n];
            let colour = if judged.kept == Some(false) { ctx.palette.limit } else { ctx.palette.ink };
            ui.label(words::limit_label(limit));
            ui.label(RichText::new(stands(judged)).small().color(colour));
            let word = RichText::new(match (tuned.lacking.contains(&n), binds) {
                (true, _) => "less than asked for",
                (false, true) => "holds it back",
                (false, false) => "",
            });
            ui.label(word.font(strong_at(size::SMALL)).color(ctx.palette.close));
            let kept = tuned.kept.get(n).filter(|kept| kept.of > 0);
            let kept = kept.map_or_else(String::new, |kept| format!("kept in {}", likely(kept)));
            ui.label(RichText::new(kept).small().color(ctx.palette.soft));
            ui.end_row();
        }
    });
    let mut lines = Vec::new();
    if tuned.binding.contains(&found.bench.criteria.limits.len()) {
        lines.push("A strand about to go slack holds it back.".to_owned());
    }
    if !tuned.at_an_end.is_empty() {
        let names: Vec<String> =
            tuned.at_an_end.iter().map(|key| words::name_of(key).to_lowercase()).collect();
        lines.push(format!("At the end of where it is looked for: {}.", names.join(", ")));
    }
    for line in lines {
        ui.add(Label::new(RichText::new(line).small()).wrap());
    }
}

/// What the settings do.
fn figures_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Settings) {
    if found.tuned.changes.is_empty() {
        return;
    }
    part_head(ui, "What they do");
    Grid::new("figures tuned").num_columns(3).spacing([16.0, 2.0]).show(ui, |ui| {
        for head in ["", "as it was", "tuned"] {
            ui.label(RichText::new(head).small().color(ctx.palette.soft));
        }
        ui.end_row();
        for figure in SHOWN.into_iter().filter(|&figure| found.tuned.after.get(figure).is_some()) {
            ui.label(RichText::new(figure.label()).small());
            ui.label(RichText::new(say(ctx, &found.tuned.before, figure)).small().color(ctx.palette.soft));
            ui.label(RichText::new(say(ctx, &found.tuned.after, figure)).font(strong_at(size::SMALL)));
            ui.end_row();
        }
    });
}

fn say(ctx: &ViewContext<'_>, run: &Run, figure: Figure) -> String {
    let value = run.get(figure);
    value.map_or_else(
        || "-".to_owned(),
        |value| words::value(words::quantity_shown(figure), value, ctx.units()),
    )
}

/// Opening and closing time over more margin of energy and force.
fn trade_off(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Settings) {
    let points = &found.tuned.trade_off;
    let timed: Vec<[f64; 2]> =
        points.iter().filter_map(|point| Some([100.0 * point.margin, point.time_s?])).collect();
    if timed.is_empty() {
        return;
    }
    let head = match found.goal {
        Goal::Fastest => "What more margin of energy and force costs",
        _ => "The fastest cycle with more margin of energy and force",
    };
    part_head(ui, head);
    let told = points.iter().map(|point| {
        let time = point.time_s.map_or_else(
            || "none was found".to_owned(),
            |time| words::value(Quantity::Time, time, ctx.units()),
        );
        format!("{:.0} % more: {time}", 100.0 * point.margin)
    });
    let told = told.collect::<Vec<_>>().join(", ");
    let times = || timed.iter().map(|point| point[1]);
    let (least, most) = (times().fold(f64::INFINITY, f64::min), times().fold(0.0, f64::max));
    let edge = (0.25 * (most - least)).max(0.01 * most);
    let right = 100.0 * points.iter().map(|point| point.margin).fold(0.0, f64::max);
    let plot = trial_plot("tune", ("more margin, %", "open and close, s"), PLOT, ctx.palette);
    let plot = plot.x_grid_spacer(|input| marks(input, 4.0)).show(ui, |plot| {
        plot.set_plot_bounds_x(-0.05 * right..=1.05 * right.max(1.0));
        plot.set_plot_bounds_y(least - edge..=most + edge);
        let line = Line::new("time", timed.clone()).color(ctx.palette.door).width(2.0);
        plot.line(line.allow_hover(false));
        let points = Points::new("found", timed.clone()).color(ctx.palette.door).radius(4.0);
        plot.points(points.allow_hover(false));
    });
    named(&plot.response, &format!("{head}: {told}"));
    ui.add(Label::new(RichText::new(format!("{told}.")).small().color(ctx.palette.soft)).wrap());
    ui.add_space(space::ROW);
}

fn notes(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Settings) {
    ui.add_space(space::ROW);
    let counted = found.tuned.all.filter(|all| all.of > 0).map(|_| KEPT_IN);
    let hits_hard = hits_hard(&found.bench, found.goal, found.asked.goal.is_some());
    for note in hits_hard.as_deref().into_iter().chain([WHAT_IS_TUNED]).chain(counted) {
        ui.add(Label::new(RichText::new(note).small().color(ctx.palette.soft)).wrap());
    }
}
