//! The line above a chart: what it shows, in which unit, by which lines, and a value.

use eframe::egui::{
    Align, CursorIcon, Label, Layout, Painter, Popup, Rect, RichText, Sense, Shape, Stroke, TextStyle,
    TextWrapMode, Ui, WidgetText, pos2, vec2,
};

use crate::axis::Axis;
use crate::chart_files::Format;
use crate::charts::{Chart, Curve, Kind, Look};
use crate::theme::{Palette, size, strong_at};
use crate::widgets::{Icon, icon_button};

/// Strands that lie on one another are still told apart.
pub(super) const STRAND_WIDTHS: [f32; 4] = [2.0, 2.0, 1.5, 1.5];

/// What is to become of the chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// Copy it to the clipboard.
    Copy(Format),
    /// Save it in a file.
    Save(Format),
    /// Go to its peak.
    Peak,
}

fn export_menu(ui: &mut Ui) -> Option<Wish> {
    let mut wish = None;
    ui.set_min_width(120.0);
    for format in Format::ALL {
        if ui.button(format!("Copy as {}", format.name().0)).clicked() {
            wish = Some(Wish::Copy(format));
        }
    }
    ui.separator();
    for format in Format::ALL {
        if ui.button(format!("Save as {}", format.name().0)).clicked() {
            wish = Some(Wish::Save(format));
        }
    }
    if wish.is_some() {
        ui.close();
    }
    wish
}

/// Draws the line. `readout` stands at its end. Gives what is to become of the chart.
pub(super) fn chart_header(
    ui: &mut Ui,
    chart: &Chart,
    readout: &str,
    axis: Axis,
    palette: &Palette,
) -> Option<Wish> {
    let mut wish = None;
    ui.horizontal(|ui| {
        ui.set_height(20.0);
        ui.label(RichText::new(chart.kind.title()).font(strong_at(size::HEAD)));
        let closing_only = matches!(chart.kind, Kind::Tension | Kind::Hanger) && axis == Axis::Opening;
        let unit = if closing_only { format!("{}, closing", chart.unit) } else { chart.unit.clone() };
        ui.label(RichText::new(unit).color(palette.soft));
        ui.add_space(6.0);
        let mut listed: Vec<(&str, Look)> = Vec::new();
        for curve in chart.curves.iter().rev() {
            let entry = (curve.name.as_str(), curve.look);
            // What is only there to compare with has its name beside its line.
            // Points of the force test lie on the curves of the same name.
            let stall = |other: &Curve| other.name == "stall";
            let on_curve =
                curve.look == Look::Circles || curve.look == Look::Diamonds && chart.curves.iter().any(stall);
            let is_named = curve.look == Look::Reference || on_curve;
            if !is_named && !listed.contains(&entry) && !curve.points.is_empty() {
                listed.push(entry);
            }
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.spacing_mut().item_spacing.x = 5.0;
            let name = format!("Copy or save {}", chart.kind.title().to_lowercase());
            let button = icon_button(ui, Icon::More, &name, 18.0);
            Popup::menu(&button).show(|ui| wish = export_menu(ui));
            let said = ui.add(Label::new(RichText::new(readout).color(palette.ink)).sense(Sense::click()));
            let said =
                said.on_hover_text("Click: goes to its peak").on_hover_cursor(CursorIcon::PointingHand);
            if said.clicked() {
                wish = Some(Wish::Peak);
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                for n in 0..listed.len() {
                    let (name, look) = listed[n];
                    let text = RichText::new(name).small().color(palette.soft);
                    let galley = WidgetText::from(text).into_galley(
                        ui,
                        Some(TextWrapMode::Extend),
                        f32::INFINITY,
                        TextStyle::Small,
                    );
                    // What has no room is told on hover.
                    let more = if n + 1 < listed.len() { MORE } else { 0.0 };
                    if ui.available_width()
                        < galley.size().x + 18.0 + 2.0 * ui.spacing().item_spacing.x + more
                    {
                        further(ui, &listed[n..], palette);
                        break;
                    }
                    let (rect, _) = ui.allocate_exact_size(vec2(18.0, 12.0), Sense::hover());
                    sample(ui.painter(), rect, look, palette);
                    ui.label(galley);
                }
                if let Some(far) = chart.far_limits.first() {
                    ui.label(RichText::new(format!("{far}: far above")).small().color(palette.limit));
                }
            });
        });
    });
    wish
}

/// Room for how many curves have none.
const MORE: f32 = 22.0;

/// The curves that the legend has no room for.
fn further(ui: &mut Ui, listed: &[(&str, Look)], palette: &Palette) {
    let text = RichText::new(format!("+{}", listed.len())).small().color(palette.soft);
    ui.label(text).on_hover_ui(|ui| {
        for (name, look) in listed {
            ui.horizontal(|ui| {
                let (rect, _) = ui.allocate_exact_size(vec2(18.0, 12.0), Sense::hover());
                sample(ui.painter(), rect, *look, palette);
                ui.label(*name);
            });
        }
    });
}

/// A piece of the curve for the legend.
fn sample(painter: &Painter, rect: Rect, look: Look, palette: &Palette) {
    let (left, right, y) = (rect.left(), rect.right(), rect.center().y);
    let ends = [pos2(left, y), pos2(right, y)];
    match look {
        Look::Main => {
            painter.line_segment(ends, Stroke::new(2.0, palette.door));
        }
        Look::Second => {
            painter.line_segment(ends, Stroke::new(1.3, palette.second));
        }
        Look::Thin => {
            painter.line_segment(ends, Stroke::new(1.2, palette.door));
        }
        Look::Dashed => {
            painter.extend(Shape::dashed_line(&ends, Stroke::new(1.5, palette.door), 4.0, 3.0));
        }
        Look::Strand(n) => {
            let width = STRAND_WIDTHS[n % 4];
            let stroke = Stroke::new(width, palette.strands[n % palette.strands.len()]);
            if n % 2 == 0 {
                painter.line_segment(ends, stroke);
            } else {
                painter.extend(Shape::dashed_line(&ends, stroke, 4.0, 3.0));
            }
        }
        Look::Reference => {}
        Look::Diamonds => {
            let c = rect.center();
            let corners = [vec2(0.0, -5.0), vec2(5.0, 0.0), vec2(0.0, 5.0), vec2(-5.0, 0.0)];
            painter.add(Shape::convex_polygon(corners.map(|d| c + d).to_vec(), palette.second, Stroke::NONE));
        }
        Look::Circles => {
            painter.circle_filled(rect.center(), 3.6, palette.door);
        }
    }
}
