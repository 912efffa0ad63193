//! What to turn on site: the least that brings every limit back, and what one step of each setting does.

use eframe::egui::{Button, Color32, Grid, Label, RichText, Role, ScrollArea, Sense, Ui, WidgetInfo};
use tautleaf_physics::{Judge, Outcome, Verdict};
use tautleaf_report::{
    in_site_words, lacking_with_the_plan, more_margin, nothing_to_turn, turned_for_the_reserve, worth_showing,
};
use tautleaf_scenario::LEAF_WORK;
use tautleaf_trials::{Change, Effect};

use super::rows::{begin_row, out_of_date, part_head, reserve_row, room};
use crate::action::Action;
use crate::context::ViewContext;
use crate::theme::{plain_at, size, space, strong_at};
use crate::trials::Trial;
use crate::trials::advising::Advised;
use crate::widgets::{belt_caution, icon, outcome_icon};
use crate::words;

/// Draws it.
pub(super) fn advise_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    begin_row(ui, ctx, Trial::Advise, "Work it out", |_| ());
    reserve_row(ui, ctx);
    let Some(found) = &ctx.state.trials.advice.found else { return };
    let current = found.made.is_current(&ctx.state.document);
    if !current {
        out_of_date(ui, ctx);
    }
    ScrollArea::vertical().max_height(room(ui)).auto_shrink([false, true]).show(ui, |ui| {
        plan_ui(ui, ctx, found, current);
        limits_ui(ui, ctx, found);
        effects_ui(ui, ctx, found, current);
    });
}

/// A change in the words of whoever makes it.
fn say(ctx: &ViewContext<'_>, found: &Advised, change: &Change) -> String {
    words::raised(&in_site_words(change, &found.door, ctx.units()))
}

/// Has a button try changes, one step to undo.
fn tries(
    ui: &mut Ui,
    ctx: &ViewContext<'_>,
    button: Button<'_>,
    spoken: &str,
    current: bool,
    changes: &[Change],
) {
    let button = ui.add_enabled(current, button);
    button.widget_info(|| WidgetInfo::labeled(Role::Button, current, spoken));
    if button.on_hover_text("Sets it in the door; undo takes it back").clicked() {
        ctx.send(Action::Turn(changes.to_vec()));
    }
}

/// The least that brings every limit back.
fn plan_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Advised, current: bool) {
    part_head(ui, "The least that brings every limit back");
    let advice = &found.advice;
    let said = |text: &str| text.to_owned();
    let none = match &advice.plan {
        _ if !advice.runs() => said("The door does not open and close as it is: mend that first."),
        _ if advice.has_nothing_to_hold_to() => {
            said("No limits are set: name some in section [limits] of the door file.")
        }
        None if advice.stopped => said("It was stopped before that was worked out."),
        None => said(
            "No setting within its usual range brings every limit back: leaf, drive, belt or what is wanted has to change.",
        ),
        Some(plan) if plan.is_empty() && advice.standing.fails() => said(
            "Nothing was found to turn, but not every limit was tested where the leaf is fastest: clear the gaps under Limits.",
        ),
        Some(plan) if plan.is_empty() => nothing_to_turn(advice),
        Some(_) if !advice.was_over() => turned_for_the_reserve(advice),
        Some(_) => String::new(),
    };
    if !none.is_empty() {
        ui.add(Label::new(none).wrap());
    }
    let plan = advice.plan.as_deref().unwrap_or_default();
    for (n, change) in plan.iter().enumerate() {
        ui.horizontal(|ui| {
            ui.label(RichText::new(format!("{}", n + 1)).font(strong_at(size::BODY)).color(ctx.palette.door));
            ui.label(say(ctx, found, change));
        });
    }
    if let Some(lacking) = lacking_with_the_plan(advice).filter(|_| !plan.is_empty()) {
        ui.add(Label::new(RichText::new(lacking).small()).wrap());
    }
    if !plan.is_empty() {
        ui.horizontal(|ui| {
            let name = if plan.len() > 1 { "Try all of it" } else { "Try it" };
            let spoken = "Try the least that brings every limit back";
            tries(ui, ctx, Button::new(name), spoken, current, plan);
            if plan.len() > 1 {
                let together = "These belong together: each is taken back as far as the others allow.";
                ui.label(RichText::new(together).small().color(ctx.palette.soft));
            }
        });
    }
    cautions(ui, ctx, found);
    ui.add_space(space::ROW);
}

/// What has to be done before the belt or the hangers are touched.
fn cautions(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Advised) {
    let (_, effects) = worth_showing(&found.advice);
    let changes = || {
        let plan = found.advice.plan.iter().flatten();
        plan.chain(effects.iter().map(|effect| &effect.change))
    };
    ui.add_space(space::TIGHT);
    if changes().any(|change| change.key.ends_with("tension")) {
        belt_caution(ui, ctx.palette);
    }
    if changes().any(|change| change.key.starts_with("leaf.hanger")) {
        ui.add(Label::new(RichText::new(LEAF_WORK).small().color(ctx.palette.soft)).wrap());
    }
}

/// Each limit as the door is, and as it would be.
fn limits_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Advised) {
    let advice = &found.advice;
    if advice.has_nothing_to_hold_to() {
        return;
    }
    part_head(ui, "Limits");
    let planned = advice.plan.as_ref().is_some_and(|plan| !plan.is_empty());
    Grid::new("limits advised on").num_columns(5).min_col_width(12.0).spacing([14.0, 3.0]).show(ui, |ui| {
        for n in advice.worth_telling() {
            let (before, after) = (&advice.before[n], &advice.after[n]);
            ui.label(RichText::new(format!("{}", n + 1)).font(strong_at(size::SMALL)));
            let advisory = if before.limit.judge == Judge::Advisory { ", advisory" } else { "" };
            ui.label(format!("{}{advisory}", words::limit_label(&before.limit)));
            ui.label(RichText::new(words::of_allowed(before, ctx.units())).small().color(ctx.palette.soft));
            stands(ui, ctx, before, "");
            if planned && before.value != after.value {
                stands(ui, ctx, after, "then ");
            }
            ui.end_row();
        }
    });
    ui.add_space(space::ROW);
}

/// What became of a limit, as a sign and in words.
fn stands(ui: &mut Ui, ctx: &ViewContext<'_>, verdict: &Verdict, before: &str) {
    let (sign, colour) = outcome_icon(verdict.outcome, ctx.palette);
    ui.horizontal(|ui| {
        icon(ui, sign, colour, 12.0);
        let colour = if verdict.outcome == Outcome::Within { ctx.palette.ink } else { colour };
        ui.label(RichText::new(format!("{before}{}", words::judged(verdict))).small().color(colour));
    });
}

/// What one step of each setting does to the margins.
fn effects_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Advised, current: bool) {
    let (columns, effects) = worth_showing(&found.advice);
    if effects.is_empty() {
        return;
    }
    part_head(ui, "What one step of each setting does to the margin of each limit");
    let text = "A margin is what is left of the allowed value: +10 % means a tenth of it more, +20 x twenty times it.";
    ui.label(RichText::new(text).small().color(ctx.palette.soft));
    ui.add_space(space::TIGHT);
    let grid = Grid::new("effects").num_columns(columns.len() + 2).spacing([12.0, 3.0]).striped(true);
    grid.show(ui, |ui| {
        ui.label("");
        ui.label(RichText::new("One step").small().color(ctx.palette.soft));
        for &n in &columns {
            let label = words::limit_label(&found.advice.before[n].limit);
            let head = RichText::new(format!("{}", n + 1)).font(strong_at(size::SMALL));
            ui.add(Label::new(head).sense(Sense::hover())).on_hover_text(label);
        }
        ui.end_row();
        for effect in effects {
            effect_row(ui, ctx, found, (effect, &columns), current);
        }
    });
}

fn effect_row(
    ui: &mut Ui,
    ctx: &ViewContext<'_>,
    found: &Advised,
    (effect, columns): (&Effect, &[usize]),
    current: bool,
) {
    let said = say(ctx, found, &effect.change);
    let button = Button::new(RichText::new("Try").font(plain_at(size::SMALL))).small();
    tries(ui, ctx, button, &format!("Try {said}"), current, &[effect.change]);
    ui.label(RichText::new(&said).small());
    for &n in columns {
        let more = effect.margins[n];
        let label = words::limit_label(&found.advice.before[n].limit);
        let text = more_margin(more);
        let cell =
            Label::new(RichText::new(&text).small().color(colour(ctx, more, &text))).sense(Sense::hover());
        ui.add(cell).on_hover_text(format!("{label}: {text}"));
    }
    ui.end_row();
}

/// The sign says it too.
fn colour(ctx: &ViewContext<'_>, more: Option<f64>, text: &str) -> Color32 {
    match more {
        Some(more) if text.len() > 1 && more < 0.0 => ctx.palette.limit,
        Some(_) if text.len() > 1 => ctx.palette.door,
        _ => ctx.palette.soft,
    }
}
