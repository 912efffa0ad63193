//! The caution that never goes away.

use eframe::egui::{Align, Layout, RichText, Ui};
use tautleaf_scenario::NOT_PROOF;

use crate::action::Action;
use crate::context::ViewContext;
use crate::state::Popup;
use crate::theme::space;
use crate::widgets::link;

/// Draws the caution.
pub fn foot_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    ui.horizontal_centered(|ui| {
        ui.label(RichText::new(NOT_PROOF).small().color(ctx.palette.soft));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if link(ui, "All cautions", ctx.palette).clicked() {
                ctx.send(Action::Show(Popup::Cautions));
            }
            ui.add_space(space::ROW);
            if link(ui, "Keys", ctx.palette).on_hover_text("F1").clicked() {
                ctx.send(Action::Show(Popup::Keys));
            }
        });
    });
}
