//! What a chart is made of: curves, marks, and where a strand is slack.

use egui_plot::PlotPoint;
use tautleaf_physics::Figure;

use crate::kind::Look;

/// One curve.
#[derive(Clone, Debug)]
pub struct Curve {
    /// Its name in the legend; a curve with the same name and look is not listed twice.
    pub name: String,
    /// How it is drawn.
    pub look: Look,
    /// Its points.
    pub points: Vec<PlotPoint>,
    /// The figures whose limits it must stay under.
    pub judged_by: &'static [Figure],
    /// The gap of the force test that it belongs to.
    pub gap: Option<usize>,
}

impl Curve {
    /// Its height at a place on the axis, between its points; `None` where no line is drawn.
    pub fn at(&self, x: f64) -> Option<f64> {
        if !self.look.is_line() {
            return None;
        }
        let pair = self.points.windows(2).find(|pair| {
            let (low, high) = (pair[0].x.min(pair[1].x), pair[0].x.max(pair[1].x));
            (low..=high).contains(&x) && high > low
        })?;
        let part = (x - pair[0].x) / (pair[1].x - pair[0].x);
        Some(pair[0].y + part * (pair[1].y - pair[0].y))
    }
}

/// What a mark says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkKind {
    /// A peak.
    Peak,
    /// The worst point of what is over a limit.
    Over,
    /// Something that happened.
    Event,
}

/// A point with a word or its value beside it.
#[derive(Clone, Debug)]
pub struct Mark {
    /// Where.
    pub at: PlotPoint,
    /// Its value in words, or what happened.
    pub text: String,
    /// What it says.
    pub kind: MarkKind,
}

/// A stretch of the axis in which a strand is slack, or a wheel off the rail.
#[derive(Clone, Debug, PartialEq)]
pub struct Slack {
    /// Its ends on the axis.
    pub across: (f64, f64),
    /// What it says, where there is room.
    pub text: String,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Between (0, 2) and (1, 4) lies (0.25, 2.5), whichever way the curve runs; beyond its ends lies nothing.
    #[test]
    fn a_curve_is_read_between_its_points_and_nowhere_else() {
        let mut points = vec![PlotPoint::new(0.0, 2.0), PlotPoint::new(1.0, 4.0)];
        for _ in 0..2 {
            let curve = Curve {
                name: String::new(),
                look: Look::Main,
                points: points.clone(),
                judged_by: &[],
                gap: None,
            };
            assert_eq!(curve.at(0.25), Some(2.5));
            assert_eq!(curve.at(1.5), None);
            points.reverse();
        }
    }
}
