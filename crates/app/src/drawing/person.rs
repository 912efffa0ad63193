//! Whoever walks up to the door, or stands in it.

use eframe::egui::{Align2, Painter, Rect, Shape, Stroke, StrokeKind, pos2, vec2};
use tautleaf_physics::{Door, Quantity, Sample};
use tautleaf_scenario::UnitSystem;

use crate::drawing::paint::Scale;
use crate::theme::{Palette, plain_at, size, strong_at};
use crate::words;

/// Height of a grown person over the width of the shoulders.
const TALL: f32 = 3.4;
/// How far behind the door a person is drawn no more, m.
const PAST_M: f64 = 1.0;

/// A person at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Person {
    /// Middle of the doorway, m.
    pub at_m: f64,
    /// Width of the shoulders, m.
    pub width_m: f64,
    /// What is said: how far away, or what they do.
    pub says: String,
    /// Whether the door keeps them waiting.
    pub waits: bool,
}

impl Person {
    /// Whoever is there at a sample.
    pub fn at(door: &Door, sample: &Sample, system: UnitSystem) -> Option<Self> {
        let timeline = &door.parameters().timeline;
        let pair = door.edges() > 1;
        let at_m = if pair { 0.0 } else { door.clear_width_m() / 2.0 };
        let width_m = timeline.shoulder_width_m;
        let person = |says: String, waits| Some(Self { at_m, width_m, says, waits });
        if let Some(depth) = timeline.activation_depth_m {
            let away = depth - timeline.person_speed_m_per_s * (sample.t_s + timeline.sensor_delay_s);
            if away > 0.0 {
                return person(format!("{} away", words::value(Quantity::Length, away, system)), false);
            }
            let opens = sample.wanted_speed_m_per_s >= 0.0;
            if sample.clear_opening_m < width_m && opens {
                return person("waits".to_owned(), true);
            }
            if away > -PAST_M {
                return person("walks through".to_owned(), false);
            }
        }
        let stands = timeline.presence_until_s.is_some_and(|until| sample.t_s < until);
        (stands && sample.clear_opening_m >= width_m).then(|| person("in the doorway".to_owned(), false))?
    }

    /// Paints head and shoulders down to the floor, and what is said above.
    pub fn paint(&self, painter: &Painter, scale: &Scale, palette: &Palette) {
        let (left, right) =
            (scale.x(self.at_m - self.width_m / 2.0), scale.x(self.at_m + self.width_m / 2.0));
        let width = right - left;
        let room = scale.floor() - scale.leaf_top() - 4.0;
        let tall = (TALL * width).min(room);
        let (colour, fill) =
            if self.waits { (palette.limit, palette.limit_wash) } else { (palette.ink, palette.raised) };
        let stroke = Stroke::new(1.6, colour);
        let head = (0.15 * tall).min(0.3 * width);
        let round = (0.3 * width).min(16.0);
        let top = scale.floor() - tall;
        let middle = (left + right) / 2.0;
        let body = Rect::from_min_max(pos2(left, top + 2.0 * head), pos2(right, scale.floor()));
        painter.add(Shape::rect_filled(body, round, fill.gamma_multiply(0.5)));
        painter.rect_stroke(body, round, stroke, StrokeKind::Inside);
        painter.circle(pos2(middle, top + head), head, fill, stroke);
        let font = if self.waits { strong_at(size::SMALL) } else { plain_at(size::SMALL) };
        let galley = painter.layout_no_wrap(self.says.clone(), font, colour);
        let feet = pos2(middle, scale.floor() - 4.0);
        let ground = Align2::CENTER_BOTTOM.anchor_size(feet, galley.size());
        painter.rect_filled(ground.expand2(vec2(3.0, 1.0)), 2.0, palette.page);
        painter.galley(ground.min, galley, colour);
    }
}

#[cfg(test)]
mod tests {
    use tautleaf_physics::{CycleOptions, Parameters, cycle};

    use super::*;

    /// 1 m at 1 m/s less what the sensor takes: just before the person is 0.1 m away, and has to wait where the door
    /// is not open as wide as the shoulders.
    #[test]
    fn whoever_walks_up_comes_nearer_waits_and_walks_through() {
        let mut p = Parameters::default();
        p.timeline.activation_depth_m = Some(1.0);
        p.timeline.person_speed_m_per_s = 1.0;
        p.timeline.sensor_delay_s = 0.1;
        p.timeline.shoulder_width_m = 0.6;
        let door = Door::try_from(p).expect("a door");
        let run = cycle(&door, &CycleOptions::default());
        let at = |t: f64| {
            let sample = run.samples.iter().find(|sample| sample.t_s >= t).expect("a sample");
            (Person::at(&door, sample, UnitSystem::Si), sample.clear_opening_m)
        };
        assert_eq!(at(0.8).0.expect("there").says, "0.100 m away");
        let (there, opening_m) = at(1.0);
        assert!(opening_m < 0.6 && there.expect("there").waits);
        let (there, opening_m) = at(1.8);
        assert!(opening_m > 0.6 && !there.expect("there").waits);
        assert_eq!(at(3.5).0, None);
    }
}
