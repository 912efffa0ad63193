//! How much of a limit is used up, as a bar.

use eframe::egui::{Painter, Rect, Shape, Stroke, pos2, vec2};
use tautleaf_physics::{Outcome, Verdict};

use crate::theme::Palette;
use crate::widgets::outcome_icon;
use crate::words;

/// Part of the bar's width at which the limit stands: beyond it is room for what is over.
const LIMIT_AT: f32 = 0.72;

/// Draws the bar. The tick is the limit; what is over lies beyond it and is hatched.
pub fn margin_bar(painter: &Painter, rect: Rect, verdict: &Verdict, palette: &Palette) {
    let tick = rect.left() + LIMIT_AT * rect.width();
    let rail = Rect::from_center_size(rect.center(), vec2(rect.width(), 5.0));
    painter.rect_filled(rail, 2.5, palette.rail);
    if let Some(used) = used(verdict) {
        let end = (rect.left() + used * LIMIT_AT * rect.width()).clamp(rect.left() + 2.0, rect.right());
        let (_, colour) = outcome_icon(verdict.outcome, palette);
        let upto = |x: f32| Rect::from_min_max(rail.min, pos2(x, rail.max.y));
        painter.rect_filled(upto(end.min(tick)), 2.5, colour);
        if verdict.outcome == Outcome::Over {
            hatch(
                painter,
                Rect::from_min_max(pos2(tick, rect.top()), pos2(end.max(tick + 4.0), rect.bottom())),
                palette,
            );
        }
    }
    painter.vline(tick, rect.y_range(), Stroke::new(1.6, palette.ink));
}

/// Fraction of the limit that is used; for an at-least limit the inverse, so that more is always worse.
fn used(verdict: &Verdict) -> Option<f32> {
    let (value, allowed) = (verdict.value?, verdict.allowed?);
    let fraction = if words::is_least(&verdict.limit.rule) { allowed / value } else { value / allowed };
    fraction.is_finite().then_some(fraction as f32)
}

fn hatch(painter: &Painter, rect: Rect, palette: &Palette) {
    painter.rect_filled(rect, 1.0, palette.limit_wash);
    let painter = painter.with_clip_rect(rect.intersect(painter.clip_rect()));
    let stroke = Stroke::new(1.4, palette.limit);
    let mut x = rect.left() - rect.height();
    while x < rect.right() {
        let (from, to) = (pos2(x, rect.bottom()), pos2(x + rect.height(), rect.top()));
        painter.add(Shape::line_segment([from, to], stroke));
        x += 4.5;
    }
    painter.rect_stroke(rect, 1.0, Stroke::new(1.0, palette.limit), eframe::egui::StrokeKind::Inside);
}
