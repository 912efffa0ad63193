//! What the door is judged by, over the window: published limits to start from, and the user's own.

mod bands;
mod own;
mod published;
mod ratings;
mod rows;

use eframe::egui::{Align, Layout, ScrollArea, Ui};

use crate::action::Action;
use crate::context::ViewContext;
use crate::panels::large_popup::large_popup;
use crate::state::Popup;
use crate::theme::space;
use crate::widgets::choice;

/// Width of what is published, beside what the user sets.
const PUBLISHED: f32 = 380.0;

/// What it is for, and what it cannot be.
const SAYS: &str = "A published number is a start: the edition adopted where the door hangs, the local code and the \
                    authority decide which limits hold, and whether this door may rely on them.";

/// Draws the popup.
pub fn limits_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    large_popup(ui, ctx, "Limits", SAYS, |ui, room| {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = space::PART;
            column(ui, PUBLISHED, room, "published", |ui| published::published_ui(ui, ctx));
            let rest = ui.available_width();
            let rated = ctx.state.view.popup == Some(Popup::Ratings);
            column(ui, rest, room, if rated { "ratings" } else { "own" }, |ui| {
                which(ui, ctx, rated);
                if rated { ratings::ratings_ui(ui, ctx) } else { own::own_ui(ui, ctx) }
            });
        });
    });
}

/// Limits or ratings: either fits beside what is published, both do not.
fn which(ui: &mut Ui, ctx: &ViewContext<'_>, rated: bool) {
    ui.horizontal(|ui| {
        let names = [(false, "Your own"), (true, "Ratings of drive and belt")];
        if let Some(rated) = choice(ui, "Set here", rated, &names) {
            ctx.send(Action::Show(if rated { Popup::Ratings } else { Popup::Limits }));
        }
    });
    ui.add_space(space::TIGHT);
}

fn column(ui: &mut Ui, width: f32, height: f32, name: &str, add: impl FnOnce(&mut Ui)) {
    ui.allocate_ui_with_layout([width, height].into(), Layout::top_down(Align::Min), |ui| {
        ui.set_width(width);
        ui.spacing_mut().item_spacing.x = space::TIGHT;
        let scroll = ScrollArea::vertical().id_salt(name).max_height(height).auto_shrink([false, false]);
        scroll.show(ui, |ui| {
            ui.set_width(width - space::ROW);
            add(ui);
        });
    });
}
