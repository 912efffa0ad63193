//! The figures that a door is spoken of by.

use eframe::egui::{Grid, Label, RichText, Sense, Ui, vec2};
use tautleaf_physics::{Figure, Quantity};
use tautleaf_scenario::UnitSystem;

use crate::context::ViewContext;
use crate::panels::held;
use crate::theme::{is_roomy, size, strong_at};
use crate::words;

/// Which ones, and what they are called here.
const SHOWN: &[(Figure, &str)] = &[
    (Figure::OpeningTime, "Opening time"),
    (Figure::ClosingTime, "Closing time"),
    (Figure::PeakEnergyLeaf, "Peak energy"),
    (Figure::ImpactForce, "Impact force"),
    (Figure::StallForceGreatest, "Stall force"),
    (Figure::PeakCurrent, "Peak current"),
    (Figure::LeastTension, "Least tension"),
    (Figure::SlackTime, "Time slack"),
    (Figure::RatchetingReserve, "Ratcheting"),
    (Figure::GreatestTension, "Most tension"),
    (Figure::RmsCurrent, "RMS current"),
    (Figure::ManualForce, "By hand"),
];

/// Figures side by side.
const COLUMNS: usize = 3;
/// Rows in a low window.
const FEW_ROWS: usize = 3;

/// Draws the figures.
pub fn figures_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let Some(live) = &ctx.state.live else { return };
    held::held_ui(ui, ctx);
    let width = (ui.available_width() - 2.0 * 8.0) / COLUMNS as f32;
    let rows = if is_roomy(ui) { SHOWN.len() } else { FEW_ROWS };
    Grid::new("figures").num_columns(COLUMNS).spacing(vec2(8.0, 8.0)).show(ui, |ui| {
        for (n, (figure, name)) in SHOWN.iter().take(rows * COLUMNS).enumerate() {
            let quantity = words::quantity_shown(*figure);
            let value = live.run.figures.get(*figure);
            let text =
                value.map_or_else(|| "none".to_owned(), |value| words::value(quantity, value, ctx.units()));
            ui.vertical(|ui| {
                ui.set_width(width);
                ui.spacing_mut().item_spacing.y = 1.0;
                ui.label(RichText::new(*name).small().color(ctx.palette.soft));
                let difference = ctx.state.document.held().difference(live, *figure);
                let size = if difference.is_some() { size::HEAD } else { size::FIGURE };
                ui.horizontal(|ui| {
                    ui.spacing_mut().item_spacing.x = 5.0;
                    let text = RichText::new(text).font(strong_at(size)).color(ctx.palette.ink);
                    ui.add(Label::new(text).sense(Sense::hover())).on_hover_ui(|ui| explain(ui, *figure));
                    if let Some(by) = difference {
                        let text = by_how_much(by, value.unwrap_or_default(), quantity, ctx.units());
                        let text = RichText::new(text).small().color(ctx.palette.soft);
                        ui.add(Label::new(text).extend()).on_hover_text("Against the held run");
                    }
                });
            });
            if n % COLUMNS == COLUMNS - 1 {
                ui.end_row();
            }
        }
    });
}

/// `+0.31`, `-12`, `=`: in the unit of the value that it stands beside, to as many decimals.
fn by_how_much(by: f64, value: f64, quantity: Quantity, system: UnitSystem) -> String {
    let shown = |si| words::to_shown(quantity, si, system);
    let beside = words::number(shown(value));
    let decimals = beside.split_once('.').map_or(0, |(_, decimals)| decimals.len().min(4));
    let text = format!("{:+.decimals$}", shown(by));
    if text.contains(|digit| matches!(digit, '1'..='9')) { text } else { "=".to_owned() }
}

fn explain(ui: &mut Ui, figure: Figure) {
    ui.label(RichText::new(figure.label()).strong());
    ui.label(figure.says());
    if figure == Figure::RatchetingReserve {
        ui.label(
            "It says how firmly the belt is seated in the drive pulley. The slack strand holds the teeth down, the \
             pull on a tooth lifts them: towards 0 the belt comes near to jumping a tooth. A tighter belt, a larger \
             pulley or a gentler drive raises it. Compare doors by it; it is not a limit.",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_difference_has_the_decimals_of_what_it_stands_beside() {
        let ampere = |by, value| by_how_much(by, value, Quantity::Current, UnitSystem::Si);
        assert_eq!(ampere(-4.1e-5, 7.84), "=");
        assert_eq!(ampere(0.311, 7.84), "+0.31");
        assert_eq!(ampere(-12.4, 312.0), "-12");
        assert_eq!(ampere(2.0, 0.0), "+2");
    }
}
