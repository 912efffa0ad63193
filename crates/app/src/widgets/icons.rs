//! Signs, drawn, so that none depends on a typeface. Each outcome has a shape of its own beside its colour.

use eframe::egui::{
    self, Color32, Pos2, Rect, Response, Role, Sense, Shape, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, vec2,
};
use tautleaf_physics::Outcome;

use crate::theme::Palette;

/// A sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Icon {
    /// A ring with a tick.
    Within,
    /// A triangle.
    Close,
    /// A filled square on its corner, with a bar.
    Over,
    /// A ring with a dash.
    NotJudged,
    /// An arrow that runs back.
    Reset,
    /// A half-filled disc.
    Contrast,
    /// A triangle that points on.
    Play,
    /// Three dots.
    More,
    /// A cross.
    Clear,
    /// Two bars.
    Pause,
    /// A bar and a triangle that points back.
    StepBack,
    /// A triangle that points on, and a bar.
    StepOn,
    /// Two pulleys and a taut belt.
    Mark,
}

/// Sign and colour of an outcome.
pub fn outcome_icon(outcome: Outcome, palette: &Palette) -> (Icon, Color32) {
    match outcome {
        Outcome::Within => (Icon::Within, palette.door),
        Outcome::Close => (Icon::Close, palette.close),
        Outcome::Over => (Icon::Over, palette.limit),
        Outcome::NotJudged => (Icon::NotJudged, palette.soft),
    }
}

/// Draws a sign as part of a line. It says nothing to a screen reader: the words beside it do.
pub fn icon(ui: &mut Ui, icon: Icon, colour: Color32, size: f32) -> Response {
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(size), Sense::hover());
    icon_at(ui.painter(), rect, icon, colour, ui.visuals().panel_fill);
    response
}

/// A sign that can be pressed.
pub fn icon_button(ui: &mut Ui, sign: Icon, name: &str, size: f32) -> Response {
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(size), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), name));
    let visuals = *ui.style().interact(&response);
    if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, visuals.corner_radius, visuals.weak_bg_fill);
    }
    let colour = if response.hovered() { visuals.fg_stroke.color } else { ui.visuals().weak_text_color() };
    icon_at(ui.painter(), rect.shrink(size * 0.18), sign, colour, ui.visuals().panel_fill);
    response.on_hover_text(name)
}

/// Draws a sign into a square. `ground` is the colour behind it.
pub fn icon_at(painter: &egui::Painter, rect: Rect, icon: Icon, colour: Color32, ground: Color32) {
    let size = rect.width();
    let at = |x: f32, y: f32| rect.min + vec2(x * size, y * size);
    let stroke = Stroke::new((size * 0.115).max(1.1), colour);
    let line = |points: Vec<Pos2>, stroke: Stroke| painter.add(Shape::line(points, stroke));
    match icon {
        Icon::Within => {
            painter.circle_stroke(rect.center(), size * 0.43, stroke);
            line(vec![at(0.29, 0.52), at(0.44, 0.67), at(0.72, 0.36)], stroke);
        }
        Icon::Close => {
            painter.add(Shape::closed_line(vec![at(0.5, 0.09), at(0.96, 0.88), at(0.04, 0.88)], stroke));
            line(vec![at(0.5, 0.38), at(0.5, 0.6)], stroke);
            painter.circle_filled(at(0.5, 0.745), size * 0.06, colour);
        }
        Icon::Over => {
            let corners = vec![at(0.5, 0.0), at(1.0, 0.5), at(0.5, 1.0), at(0.0, 0.5)];
            painter.add(Shape::convex_polygon(corners, colour, Stroke::NONE));
            let bar = Stroke::new((size * 0.14).max(1.3), ground);
            line(vec![at(0.5, 0.25), at(0.5, 0.56)], bar);
            painter.circle_filled(at(0.5, 0.72), size * 0.08, ground);
        }
        Icon::NotJudged => {
            painter.circle_stroke(rect.center(), size * 0.43, Stroke::new(stroke.width * 0.8, colour));
            line(vec![at(0.32, 0.5), at(0.68, 0.5)], stroke);
        }
        Icon::Reset => {
            let arc = |n: i32| {
                let angle = (-150.0 + 270.0 * n as f32 / 24.0).to_radians();
                rect.center() + size * 0.38 * vec2(angle.cos(), angle.sin())
            };
            line((0..=24).map(arc).collect(), stroke);
            let tip = arc(0);
            let arrow = vec![
                tip + size * vec2(-0.02, 0.2),
                tip + size * vec2(-0.16, -0.12),
                tip + size * vec2(0.2, -0.02),
            ];
            painter.add(Shape::convex_polygon(arrow, colour, Stroke::NONE));
        }
        Icon::Contrast => {
            painter.circle_stroke(rect.center(), size * 0.42, stroke);
            let half = |n: i32| {
                let angle = (90.0 + 180.0 * n as f32 / 16.0).to_radians();
                rect.center() + size * 0.42 * vec2(angle.cos(), angle.sin())
            };
            painter.add(Shape::convex_polygon((0..=16).map(half).collect(), colour, Stroke::NONE));
        }
        Icon::Play => {
            let corners = vec![at(0.2, 0.08), at(0.92, 0.5), at(0.2, 0.92)];
            painter.add(Shape::convex_polygon(corners, colour, Stroke::NONE));
        }
        Icon::More => {
            for x in [0.1, 0.5, 0.9] {
                painter.circle_filled(at(x, 0.5), size * 0.11, colour);
            }
        }
        Icon::Clear => {
            line(vec![at(0.2, 0.2), at(0.8, 0.8)], stroke);
            line(vec![at(0.8, 0.2), at(0.2, 0.8)], stroke);
        }
        Icon::Pause => {
            for x in [0.18, 0.6] {
                painter.rect_filled(Rect::from_min_max(at(x, 0.1), at(x + 0.22, 0.9)), 1.0, colour);
            }
        }
        Icon::StepBack | Icon::StepOn => {
            let x = |x: f32| if icon == Icon::StepOn { x } else { 1.0 - x };
            let corners = vec![at(x(0.18), 0.15), at(x(0.68), 0.5), at(x(0.18), 0.85)];
            painter.add(Shape::convex_polygon(corners, colour, Stroke::NONE));
            line(vec![at(x(0.8), 0.15), at(x(0.8), 0.85)], stroke);
        }
        Icon::Mark => {
            // A belt around two pulleys, a leaf hung from its lower strand.
            let loop_ = Rect::from_min_max(at(0.02, 0.2), at(0.98, 0.5));
            let thin = Stroke::new(size * 0.075, colour);
            painter.rect_stroke(loop_, size * 0.15, thin, StrokeKind::Middle);
            for x in [0.17, 0.83] {
                painter.circle_filled(at(x, 0.35), size * 0.06, colour);
            }
            painter.rect_filled(Rect::from_min_max(at(0.3, 0.5), at(0.62, 0.92)), size * 0.03, colour);
        }
    }
}
