//! Buttons.

use eframe::egui::{self, Button, Response, RichText, Ui, WidgetText};

use crate::theme::Palette;

/// A button without an edge until it is pointed at.
pub fn quiet_button(ui: &mut Ui, text: impl Into<WidgetText>, enabled: bool) -> Response {
    quietly(ui, |ui| ui.add_enabled(enabled, Button::new(text)))
}

/// Adds buttons without an edge until they are pointed at.
pub fn quietly<R>(ui: &mut Ui, add: impl FnOnce(&mut Ui) -> R) -> R {
    ui.scope(|ui| {
        let inactive = &mut ui.visuals_mut().widgets.inactive;
        inactive.weak_bg_fill = egui::Color32::TRANSPARENT;
        inactive.bg_stroke = egui::Stroke::NONE;
        add(ui)
    })
    .inner
}

/// Text that can be pressed.
pub fn link(ui: &mut Ui, text: &str, palette: &Palette) -> Response {
    let text = RichText::new(text).color(palette.door).small().underline();
    ui.add(Button::new(text).frame(false)).on_hover_cursor(egui::CursorIcon::PointingHand)
}

/// One of a few: gives the one that was newly chosen. `names` are shown, and read out after `what`.
pub fn choice<T: PartialEq + Copy>(ui: &mut Ui, what: &str, now: T, names: &[(T, &str)]) -> Option<T> {
    let mut chosen = None;
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        for (value, name) in names {
            let response = ui.add(Button::selectable(*value == now, *name));
            let enabled = ui.is_enabled();
            response.widget_info(|| {
                let label = format!("{what}: {name}");
                egui::WidgetInfo::selected(egui::Role::RadioButton, enabled, *value == now, label)
            });
            if response.clicked() && *value != now {
                chosen = Some(*value);
            }
        }
    });
    chosen
}
