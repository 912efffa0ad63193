//! Rows that every trial has: its button, what is to be left of each limit, notes, heads; and the room for the rest.

use eframe::egui::{Button, Label, RichText, Ui};
use tautleaf_trials::Reserve;

use crate::action::Action;
use crate::context::ViewContext;
use crate::theme::{size, space, strong_at};
use crate::trials::Trial;
use crate::widgets::{Icon, choice, icon, progress_row};

/// Height of the foot.
const FOOT: f32 = 30.0;

/// Height that is left for what was found, above the foot.
pub(super) fn room(ui: &Ui) -> f32 {
    (ui.available_height() - FOOT - space::ROW).max(80.0)
}

/// The button that begins a trial, or how far it is and the one that stops it. What stands beside the button, and why the
/// trial could not begin.
pub(super) fn begin_row(
    ui: &mut Ui,
    ctx: &ViewContext<'_>,
    trial: Trial,
    name: &str,
    beside: impl FnOnce(&mut Ui),
) {
    let trials = &ctx.state.trials;
    ui.horizontal(|ui| match trials.going(trial) {
        Some(progress) => {
            if progress_row(ui, progress, ctx.palette) {
                ctx.send(Action::Stop(trial));
            }
        }
        None => {
            let possible = ctx.state.refused.is_empty();
            let button = ui.add_enabled(possible, Button::new(name));
            let button = button.on_disabled_hover_text("This door cannot be run: close this to see why.");
            if button.clicked() {
                ctx.send(Action::Begin(trial));
            }
            beside(ui);
        }
    });
    if let Some(why) = trials.refused(trial) {
        ui.add_space(space::TIGHT);
        noted(ui, ctx, Icon::Over, why);
    }
    ui.add_space(space::ROW);
}

/// Shares of each limit that can be asked to be left.
const RESERVES: &[(f64, &str)] =
    &[(0.0, "nothing"), (0.05, "5 %"), (0.1, "10 %"), (0.15, "15 %"), (0.2, "20 %")];

/// What is to be left of each limit by whatever is proposed.
pub(super) fn reserve_row(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let now = ctx.state.trials.reserve_of(&ctx.state.document);
    ui.horizontal(|ui| {
        ui.label(RichText::new("To be left of each limit").small());
        let near = RESERVES.iter().map(|(share, _)| *share).find(|share| (share - now.share()).abs() < 1e-9);
        let chosen = choice(ui, "To be left of each limit", near.unwrap_or(now.share()), RESERVES);
        if let Some(reserve) = chosen.and_then(Reserve::of) {
            ctx.send(Action::AskReserve(reserve));
        }
    });
    ui.add_space(space::TIGHT);
}

/// That a result belongs to a door that was changed since.
pub(super) fn out_of_date(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let text =
        "The door has changed since: run it again before you take anything from it, or undo the change.";
    noted(ui, ctx, Icon::Close, text);
}

/// A sentence with a sign before it.
pub(super) fn noted(ui: &mut Ui, ctx: &ViewContext<'_>, sign: Icon, text: &str) {
    let colour = match sign {
        Icon::Over => ctx.palette.limit,
        Icon::Within => ctx.palette.door,
        _ => ctx.palette.close,
    };
    ui.horizontal(|ui| {
        icon(ui, sign, colour, 14.0);
        ui.add(Label::new(RichText::new(text).color(ctx.palette.ink)).wrap());
    });
}

/// The head of a part of what was found.
pub(super) fn part_head(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(strong_at(size::HEAD)));
    ui.add_space(2.0);
}
