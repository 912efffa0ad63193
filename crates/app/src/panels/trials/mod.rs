//! Many cycles of the door, over the window: one trial at a time, with the way to the others.

mod advise;
mod choose;
mod spread;
mod sweep;
mod sweep_chart;
mod sweep_map;
mod tune;

use eframe::egui::{Align, Button, Label, Layout, RichText, Ui};
use tautleaf_physics::{Figure, Limit, Rule};
use tautleaf_scenario::NOT_PROOF;
use tautleaf_trials::Reserve;

use crate::action::Action;
use crate::context::ViewContext;
use crate::state::Popup;
use crate::theme::{size, space, strong_at};
use crate::trials::Trial;
use crate::widgets::{Icon, choice, icon, progress_row};

pub use choose::choose_button;

/// Width of the popup, and what the window keeps above and below it.
pub const WIDTH: f32 = 940.0;
const AROUND: f32 = 100.0;
/// Most height of the popup.
const MOST_HEIGHT: f32 = 780.0;
/// How far a limit may lie from what is drawn, over the height or width of that.
const NEAR: f64 = 2.0;
/// Height of the foot.
const FOOT: f32 = 30.0;

/// The way in, in the bar across the top.
pub fn trials_menu(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let menu = ui.menu_button(menu_name(ctx), |ui| {
        ui.set_min_width(200.0);
        for trial in Trial::ALL {
            let keys = ui.format_shortcut(&trial.shortcut());
            let button = ui.add(Button::new(trial.name()).shortcut_text(keys));
            if button.on_hover_text(trial.says()).clicked() {
                ctx.send(Action::Show(Popup::Trial(trial)));
                ui.close();
            }
        }
    });
    menu.response.on_hover_text("Many cycles of this door: what to turn, which drive, how sure, and more");
}

/// How far the first one is that is under way, so that it is not forgotten while the popup is closed.
fn menu_name(ctx: &ViewContext<'_>) -> String {
    let going = Trial::ALL.into_iter().find_map(|trial| ctx.state.trials.going(trial));
    going.map_or_else(|| "Trials".to_owned(), |going| format!("Trials: {:.0} %", 100.0 * going.share()))
}

/// Draws the popup.
pub fn trial_ui(ui: &mut Ui, ctx: &ViewContext<'_>, trial: Trial) {
    let height = ui.input(|input| input.content_rect().height()) - AROUND;
    ui.set_height(height.min(MOST_HEIGHT));
    head(ui, ctx, trial);
    match trial {
        Trial::Advise => advise::advise_ui(ui, ctx),
        Trial::Tune => tune::tune_ui(ui, ctx),
        Trial::Choose => choose::choose_ui(ui, ctx),
        Trial::Spread => spread::spread_ui(ui, ctx),
        Trial::Sweep => sweep::sweep_ui(ui, ctx),
    }
    foot(ui, ctx);
}

fn head(ui: &mut Ui, ctx: &ViewContext<'_>, trial: Trial) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("Trials").font(strong_at(size::TITLE)));
        ui.add_space(space::PART);
        let names = Trial::ALL.map(|trial| (trial, trial.name()));
        if let Some(other) = choice(ui, "Trial", trial, &names) {
            ctx.send(Action::Show(Popup::Trial(other)));
        }
    });
    ui.add_space(space::TIGHT);
    ui.add(Label::new(RichText::new(trial.says()).small().color(ctx.palette.soft)).wrap());
    ui.add_space(space::ROW);
}

fn foot(ui: &mut Ui, ctx: &ViewContext<'_>) {
    ui.with_layout(Layout::bottom_up(Align::Min), |ui| {
        ui.horizontal(|ui| {
            if ui.button("Close").clicked() {
                ctx.send(Action::HidePopup);
            }
            ui.label(RichText::new(NOT_PROOF).small().color(ctx.palette.soft));
        });
    });
}

/// Height that is left for what was found, above the foot.
fn room(ui: &Ui) -> f32 {
    (ui.available_height() - FOOT - space::ROW).max(80.0)
}

/// The button that begins a trial, or how far it is and the one that stops it. What stands beside the button, and why the
/// trial could not begin.
fn begin_row(ui: &mut Ui, ctx: &ViewContext<'_>, trial: Trial, name: &str, beside: impl FnOnce(&mut Ui)) {
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
fn reserve_row(ui: &mut Ui, ctx: &ViewContext<'_>) {
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
fn out_of_date(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let text =
        "The door has changed since: run it again before you take anything from it, or undo the change.";
    noted(ui, ctx, Icon::Close, text);
}

/// A sentence with a sign before it.
fn noted(ui: &mut Ui, ctx: &ViewContext<'_>, sign: Icon, text: &str) {
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
fn part_head(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(strong_at(size::HEAD)));
    ui.add_space(2.0);
}

/// A name and its unit, where it has one.
fn titled(name: &str, unit: &str) -> String {
    if unit.is_empty() { name.to_owned() } else { format!("{name}, {unit}") }
}

/// What the limits on a figure allow, where that is one number, as shown, and so near to what is drawn that it does not
/// press it together.
fn limits_near(
    limits: &[Limit],
    figure: Figure,
    shown: impl Fn(f64) -> f64,
    (low, high): (f64, f64),
) -> Vec<f64> {
    let reach = NEAR * (high - low);
    let allowed =
        limits.iter().filter(|limit| limit.figure == Some(figure)).filter_map(|limit| match limit.rule {
            Rule::AtMost(value) | Rule::AtLeast(value) => Some(shown(value)),
            _ => None,
        });
    allowed.filter(|at| (low - reach..=high + reach).contains(at)).collect()
}
