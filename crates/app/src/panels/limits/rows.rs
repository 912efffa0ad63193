//! What both columns of limits are set with: heads, the width of names, why something typed does not count.

use eframe::egui::{Id, Label, RichText, Ui};

use crate::context::ViewContext;
use crate::theme::{size, strong_at};
use crate::widgets::{Icon, icon};

/// Width of a name.
pub(super) const NAME: f32 = 192.0;

/// The head of a part.
pub(super) fn head(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(strong_at(size::HEAD)));
    ui.add_space(2.0);
}

/// Why what was typed last does not count, until something else is typed.
pub(super) fn refusal() -> Id {
    Id::unique("limit that was refused")
}

pub(super) fn refuse(ui: &Ui, problem: String) {
    ui.data_mut(|data| data.insert_temp(refusal(), problem));
}

/// Draws why something typed does not count.
pub(super) fn reason(ui: &mut Ui, ctx: &ViewContext<'_>, problem: &str) {
    ui.horizontal_top(|ui| {
        icon(ui, Icon::Over, ctx.palette.limit, 14.0);
        ui.add(Label::new(RichText::new(problem).small().color(ctx.palette.ink)).wrap());
    });
}
