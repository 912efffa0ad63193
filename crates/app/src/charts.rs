//! What the three charts show, in the units of the screen. Built when the run, the units or the axis change.

use egui_plot::PlotPoint;
use tautleaf_physics::{Figure, GapForce, Outcome, Quantity};
use tautleaf_scenario::UnitSystem;
use tautleaf_scenario::units;

use crate::courses::travel_curves;
use crate::curves::{parts_over, thin};
use crate::limit_lines::{LimitLine, limit_lines};
use crate::live::Live;
use crate::state::Axis;
use crate::words;

/// Room above the highest curve.
const HEADROOM: f64 = 1.16;
/// A limit further above the curves than this is named, not drawn: it would press the curves flat.
const FAR_ABOVE: f64 = 2.2;

/// Which chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Speed of the leaf.
    Speed,
    /// Kinetic energy.
    Energy,
    /// Force against the tester.
    Force,
}

impl Kind {
    /// Quantity of its height.
    pub fn quantity(self) -> Quantity {
        match self {
            Kind::Speed => Quantity::Speed,
            Kind::Energy => Quantity::Energy,
            Kind::Force => Quantity::Force,
        }
    }

    /// Its name.
    pub fn title(self) -> &'static str {
        match self {
            Kind::Speed => "Speed",
            Kind::Energy => "Kinetic energy",
            Kind::Force => "Closing force",
        }
    }
}

/// How a curve is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// What the chart is about.
    Main,
    /// A second thing beside it.
    Second,
    /// A sum of several main things.
    Thin,
    /// The same on the way open, where the chart is about the way closed.
    Dashed,
    /// Single points, diamonds.
    Diamonds,
    /// Single points, circles.
    Circles,
}

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
    /// Its value at a place on the axis, between its points; `None` where no line is drawn.
    pub fn at(&self, x: f64) -> Option<f64> {
        if matches!(self.look, Look::Diamonds | Look::Circles) {
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

/// A point with its value beside it.
#[derive(Clone, Debug)]
pub struct Mark {
    /// Where.
    pub at: PlotPoint,
    /// Its value in words.
    pub text: String,
    /// Whether it is over a limit.
    pub over: bool,
}

/// One chart.
#[derive(Clone, Debug)]
pub struct Chart {
    /// Which one.
    pub kind: Kind,
    /// Unit of its height.
    pub unit: String,
    /// Curves, the most important last, so that it lies on top.
    pub curves: Vec<Curve>,
    /// Limits.
    pub limits: Vec<LimitLine>,
    /// Limits too far above to be drawn.
    pub far_limits: Vec<String>,
    /// What lies over a limit: `[x, limit, curve]`.
    pub over: Vec<Vec<[f64; 3]>>,
    /// Worst points and peaks.
    pub marks: Vec<Mark>,
    /// Greatest value that is drawn.
    pub top: f64,
}

/// The three charts on one axis.
#[derive(Clone, Debug, Default)]
pub struct Charts {
    /// Speed, kinetic energy, closing force.
    pub charts: Vec<Chart>,
    /// Range of the axis that they share.
    pub range: (f64, f64),
    /// Unit of that axis.
    pub axis_unit: String,
    /// Ways between commands: name, from, to; over time only.
    pub phases: Vec<(&'static str, f64, f64)>,
}

/// What turns values in SI into heights and places.
pub(crate) struct Scales<'a> {
    pub live: &'a Live,
    pub system: UnitSystem,
    pub axis: Axis,
    metre: f64,
}

impl Scales<'_> {
    /// Place of a moment on the axis.
    pub(crate) fn place(&self, t_s: f64, opening_m: f64) -> f64 {
        match self.axis {
            Axis::Time => t_s,
            Axis::Opening => opening_m * self.metre,
        }
    }

    /// What one SI unit of a quantity is on the screen. None of the chart's quantities has an offset.
    pub(crate) fn per_si(&self, quantity: Quantity) -> f64 {
        units::to_shown(quantity, 1.0, self.system)
    }
}

impl Charts {
    /// Builds the charts of a run.
    pub fn of(live: &Live, system: UnitSystem, axis: Axis) -> Self {
        let metre = units::to_shown(Quantity::Length, 1.0, system);
        let scales = Scales { live, system, axis, metre };
        let end = live.run.samples.last().map_or(1.0, |sample| sample.t_s);
        let touches = |gap: &GapForce| Some(gap.touched_at_s? + while_touching(gap).last()?.0);
        let last_force = live.run.force.iter().filter_map(touches).fold(0.0, f64::max);
        let close = live.run.samples.get(live.closing_from()).map_or(end, |sample| sample.t_s);
        let (range, axis_unit, phases) = match axis {
            Axis::Time => {
                let phases = vec![("opening and open", 0.0, close), ("closing", close, end)];
                ((0.0, 1.03 * end.max(last_force)), words::unit(Quantity::Time, system), phases)
            }
            Axis::Opening => {
                ((0.0, live.door.clear_width_m() * metre), words::unit(Quantity::Length, system), Vec::new())
            }
        };
        let chart = |kind| chart(&scales, kind, close, range);
        let charts = [Kind::Speed, Kind::Energy, Kind::Force].map(chart).to_vec();
        Self { charts, range, axis_unit, phases }
    }
}

fn chart(scales: &Scales<'_>, kind: Kind, close: f64, range: (f64, f64)) -> Chart {
    let curves = match kind {
        Kind::Speed | Kind::Energy => travel_curves(scales, kind),
        Kind::Force => force_curves(scales),
    };
    let marks = marks(scales, kind);
    let heights = curves.iter().flat_map(|curve| &curve.points).map(|point| point.y);
    let peak = heights.chain(marks.iter().map(|mark| mark.at.y)).fold(0.0, f64::max);
    let (limits, far): (Vec<_>, Vec<_>) = limit_lines(scales, kind, close, range)
        .into_iter()
        .partition(|line| line.lowest() <= FAR_ABOVE * peak.max(f64::MIN_POSITIVE));
    let mut over = Vec::new();
    for line in &limits {
        for curve in &curves {
            let same_gap = line.gap.is_none() || curve.gap == line.gap;
            if curve.judged_by.contains(&line.figure) && same_gap {
                over.extend(parts_over(&curve.points, &line.points));
            }
        }
    }
    let highest = limits.iter().map(LimitLine::lowest).fold(peak, f64::max);
    Chart {
        kind,
        unit: words::unit(kind.quantity(), scales.system),
        curves,
        far_limits: far.into_iter().map(|line| line.label).collect(),
        limits,
        over,
        marks,
        top: if highest > 0.0 { highest * HEADROOM } else { 1.0 },
    }
}

/// Force over time up to the moment at which the leaf lets go.
fn while_touching(gap: &GapForce) -> &[(f64, f64)] {
    let last = gap.force_over_time.iter().rposition(|&(_, force)| force > 0.0);
    last.map_or(&[], |last| &gap.force_over_time[..(last + 2).min(gap.force_over_time.len())])
}

/// Force against the tester: over time at each gap, over the opening the peaks.
fn force_curves(scales: &Scales<'_>) -> Vec<Curve> {
    let unit = scales.per_si(Quantity::Force);
    let force = &scales.live.run.force;
    if scales.axis == Axis::Time {
        let at_gap = |(n, gap): (usize, &GapForce)| {
            let touched = gap.touched_at_s?;
            let point = |&(since, force): &(f64, f64)| PlotPoint::new(touched + since, force * unit);
            let mut points = vec![PlotPoint::new(touched, 0.0)];
            points.extend(while_touching(gap).iter().map(point));
            Some(Curve {
                name: "against the tester at each gap".to_owned(),
                look: Look::Main,
                points: thin(points),
                judged_by: &[Figure::ImpactForce],
                gap: Some(n),
            })
        };
        return force.iter().enumerate().filter_map(at_gap).collect();
    }
    let points = |gaps: &[GapForce], value: fn(&GapForce) -> Option<f64>| {
        let point = |gap: &GapForce| Some(PlotPoint::new(scales.place(0.0, gap.gap_m), value(gap)? * unit));
        gaps.iter().filter_map(point).collect::<Vec<_>>()
    };
    let curve = |name: &str, look, points, judged_by| Curve {
        name: name.to_owned(),
        look,
        points,
        judged_by,
        gap: None,
    };
    vec![
        curve(
            "stall, tested gaps",
            Look::Diamonds,
            points(force, |gap| gap.stall_force_n),
            &[Figure::StallForce],
        ),
        curve(
            "impact over the travel",
            Look::Main,
            points(scales.live.profile(), |gap| gap.impact_force_n),
            &[Figure::ImpactForce],
        ),
        curve("impact, tested gaps", Look::Circles, points(force, |gap| gap.impact_force_n), &[]),
    ]
}

/// Worst points of what is over a limit, and the peaks of the force test.
fn marks(scales: &Scales<'_>, kind: Kind) -> Vec<Mark> {
    let live = scales.live;
    let unit = scales.per_si(kind.quantity());
    let say = |value: f64| words::value(kind.quantity(), value, scales.system);
    let mut marks: Vec<Mark> = Vec::new();
    for verdict in &live.verdicts {
        let drawn = verdict.limit.figure.and_then(crate::limit_lines::chart_of);
        let (Some(value), Some(at)) = (verdict.value, verdict.at) else { continue };
        if verdict.outcome != Outcome::Over || drawn != Some(kind) || is_stall(verdict.limit.figure, scales) {
            continue;
        }
        let impact = verdict.gap_m.and_then(|gap_m| live.run.force.iter().find(|gap| gap.gap_m == gap_m));
        let t_s = impact.and_then(peak_at).unwrap_or(at.t_s);
        let at = PlotPoint::new(scales.place(t_s, at.clear_opening_m), value * unit);
        if marks.iter().all(|mark| mark.at != at) {
            marks.push(Mark { at, text: say(value), over: true });
        }
    }
    if kind == Kind::Force && scales.axis == Axis::Time {
        for gap in &live.run.force {
            let (Some(peak_at), Some(force)) = (peak_at(gap), gap.impact_force_n) else { continue };
            let at = PlotPoint::new(peak_at, force * unit);
            let where_ = words::place(gap.gap_m, scales.system);
            let text = format!("{} at {where_}", say(force));
            match marks.iter_mut().find(|mark| mark.at == at) {
                Some(mark) => mark.text = text,
                None => marks.push(Mark { at, text, over: false }),
            }
        }
    }
    marks.sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
    marks
}

/// When the greatest force of a gap was reached, s.
fn peak_at(gap: &GapForce) -> Option<f64> {
    Some(gap.touched_at_s? + gap.impact_at_s?)
}

/// Stall force has no place on the axis of time.
fn is_stall(figure: Option<Figure>, scales: &Scales<'_>) -> bool {
    scales.axis == Axis::Time && matches!(figure, Some(Figure::StallForce | Figure::StallForceLast50))
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
