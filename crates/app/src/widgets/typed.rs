//! A field to type into, with its name before it.

use eframe::egui::{RichText, TextEdit, Ui};

use crate::theme::Palette;

/// Draws name and field; what stands in it once that has changed.
pub fn typed(ui: &mut Ui, name: &str, text: &str, width: f32, palette: &Palette) -> Option<String> {
    let mut now = text.to_owned();
    let label = ui.label(RichText::new(name).color(palette.soft));
    let field = ui.add(TextEdit::singleline(&mut now).desired_width(width)).labelled_by(label.id);
    field.changed().then_some(now)
}
