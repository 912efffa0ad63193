//! What the large popups have in common: their size, a title, a sentence and the way out.

use eframe::egui::{Align, Label, Layout, RichText, Ui};

use crate::action::Action;
use crate::context::ViewContext;
use crate::theme::{size, space, strong_at};

/// Width of a large popup.
pub const WIDTH: f32 = 940.0;
/// What the window keeps above and below it, and its most height.
const AROUND: f32 = 100.0;
const MOST_HEIGHT: f32 = 720.0;
/// Height of the foot.
const FOOT: f32 = 40.0;

/// Draws it around `add`, which gets the height that is left to it.
pub fn large_popup(
    ui: &mut Ui,
    ctx: &ViewContext<'_>,
    title: &str,
    says: &str,
    add: impl FnOnce(&mut Ui, f32),
) {
    let height = ui.input(|input| input.content_rect().height()) - AROUND;
    ui.set_height(height.min(MOST_HEIGHT));
    ui.label(RichText::new(title).font(strong_at(size::TITLE)));
    ui.add(Label::new(RichText::new(says).small().color(ctx.palette.soft)).wrap());
    ui.add_space(space::ROW);
    let room = (ui.available_height() - FOOT).max(80.0);
    add(ui, room);
    ui.with_layout(Layout::bottom_up(Align::Min), |ui| {
        if ui.button("Close").clicked() {
            ctx.send(Action::HidePopup);
        }
    });
}
