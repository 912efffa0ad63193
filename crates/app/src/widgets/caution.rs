//! Cautions that stand where a number tempts to act.

use eframe::egui::{Label, RichText, Sense, Ui};
use tautleaf_scenario::BELT_WORK;

use crate::theme::Palette;
use crate::widgets::{Icon, icon};

/// In short what has to be done before the belt is touched; the whole of it on hover.
pub fn belt_caution(ui: &mut Ui, palette: &Palette) {
    ui.horizontal(|ui| {
        icon(ui, Icon::Close, palette.close, 13.0);
        let text = "Isolate mains and battery and block the leaf before you touch the belt";
        let text = RichText::new(text).small().color(palette.soft);
        let label = ui.add(Label::new(text).wrap().sense(Sense::hover()));
        label.on_hover_text(BELT_WORK);
    });
    ui.add_space(6.0);
}
