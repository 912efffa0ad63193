//! Many cycles of the door, over the window: one trial at a time, with the way to the others.

mod advise;
mod chart_limits;
mod choose;
mod kept_words;
mod rows;
mod spread;
mod sweep;
mod sweep_chart;
mod sweep_map;
mod tune;

use eframe::egui::{Align, Button, Label, Layout, RichText, Ui};
use tautleaf_scenario::NOT_PROOF;

use crate::action::Action;
use crate::context::ViewContext;
use crate::state::Popup;
use crate::theme::{size, space, strong_at};
use crate::trials::Trial;
use crate::widgets::choice;

pub use choose::choose_button;

/// Width of the popup, and what the window keeps above and below it.
pub const WIDTH: f32 = 940.0;
const AROUND: f32 = 100.0;
/// Most height of the popup.
const MOST_HEIGHT: f32 = 780.0;

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
