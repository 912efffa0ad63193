//! The figures that a door is spoken of by.

use eframe::egui::{Grid, Label, RichText, Sense, Ui, vec2};
use tautleaf_physics::Figure;

use crate::context::ViewContext;
use crate::theme::{size, strong_at};
use crate::words;

/// Which ones, and what they are called here.
const SHOWN: &[(Figure, &str)] = &[
    (Figure::OpeningTime, "Opening time"),
    (Figure::ClosingTime, "Closing time"),
    (Figure::PeakEnergyLeaf, "Peak energy"),
    (Figure::ImpactForce, "Impact force"),
    (Figure::StallForce, "Stall force"),
    (Figure::LeastTension, "Least tension"),
    (Figure::SlackTime, "Time slack"),
    (Figure::PeakCurrent, "Peak current"),
    (Figure::ManualForce, "Manual force"),
];

/// Figures side by side.
const COLUMNS: usize = 3;

/// Draws the figures.
pub fn figures_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let Some(live) = &ctx.state.live else { return };
    let width = (ui.available_width() - 2.0 * 8.0) / COLUMNS as f32;
    Grid::new("figures").num_columns(COLUMNS).spacing(vec2(8.0, 8.0)).show(ui, |ui| {
        for (n, (figure, name)) in SHOWN.iter().enumerate() {
            let quantity = words::quantity_shown(*figure);
            let value = live.run.figures.get(*figure);
            let text =
                value.map_or_else(|| "none".to_owned(), |value| words::value(quantity, value, ctx.units()));
            ui.vertical(|ui| {
                ui.set_width(width);
                ui.spacing_mut().item_spacing.y = 1.0;
                ui.label(RichText::new(*name).small().color(ctx.palette.soft));
                let figure_text = RichText::new(text).font(strong_at(size::FIGURE)).color(ctx.palette.ink);
                ui.add(Label::new(figure_text).sense(Sense::hover())).on_hover_text(figure.says());
            });
            if n % COLUMNS == COLUMNS - 1 {
                ui.end_row();
            }
        }
    });
}
