//! What the charts show, in the units of the screen. Built when the run, the units or the axis change.

use tautleaf_physics::{EventKind, GapForce, Quantity};
use tautleaf_scenario::UnitSystem;

use crate::axis::Axis;
pub use crate::chart_parts::{Curve, Mark, MarkKind, Slack};
use crate::courses::travel_curves;
use crate::curves::{parts_over, parts_under, within};
use crate::force_curves::{force_curves, while_touching};
pub use crate::kind::{Kind, Look};
use crate::limit_lines::{LimitLine, limit_lines};
use crate::live::Live;
use crate::marks;
use crate::scales::Scales;
use crate::words;

/// Room above the highest curve.
const HEADROOM: f64 = 1.16;
/// A limit further above the curves than this is named, not drawn: it would press the curves flat.
const FAR_ABOVE: f64 = 2.2;

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
    /// What lies beyond a limit: `[x, lower edge, upper edge]`.
    pub over: Vec<Vec<[f64; 3]>>,
    /// Worst points, peaks, and what happened.
    pub marks: Vec<Mark>,
    /// Where a strand is slack, or a wheel off the rail.
    pub slack: Vec<Slack>,
    /// Greatest value that is drawn.
    pub top: f64,
    /// Least value that is drawn, 0 or less but for temperatures.
    pub bottom: f64,
}

/// The charts on one axis.
#[derive(Clone, Debug, Default)]
pub struct Charts {
    /// Those that are shown, from top to bottom.
    pub charts: Vec<Chart>,
    /// Range of the axis that they share.
    pub range: (f64, f64),
    /// The whole of that axis, which may be more than is looked at.
    pub whole: (f64, f64),
    /// Unit of that axis.
    pub axis_unit: String,
    /// Ways between commands: name, from, to; over time only.
    pub phases: Vec<(&'static str, f64, f64)>,
}

impl Charts {
    /// Builds charts of a run.
    pub fn of(live: &Live, system: UnitSystem, axis: Axis, kinds: &[Kind]) -> Self {
        Self::closer(live, system, (axis, None), kinds)
    }

    /// The same over a part of the axis, with all the points that the run has there.
    pub fn closer(
        live: &Live,
        system: UnitSystem,
        (axis, zoom): (Axis, Option<(f64, f64)>),
        kinds: &[Kind],
    ) -> Self {
        let metre = words::to_shown(Quantity::Length, 1.0, system);
        let end = live.run.samples.last().map_or(1.0, |sample| sample.t_s);
        let touches = |gap: &GapForce| Some(gap.touched_at_s? + while_touching(gap).last()?.0);
        let last_force = live.run.force.iter().filter_map(touches).fold(0.0, f64::max);
        let close = live.run.samples.get(live.closing_from()).map_or(end, |sample| sample.t_s);
        let (whole, axis_unit, phases) = match axis {
            Axis::Time => {
                let phases = phases(live, end);
                ((0.0, 1.03 * end.max(last_force)), words::unit(Quantity::Time, system), phases)
            }
            Axis::Opening => {
                ((0.0, live.door.clear_width_m() * metre), words::unit(Quantity::Length, system), Vec::new())
            }
        };
        let range = zoom.and_then(|zoom| part_of(whole, zoom)).unwrap_or(whole);
        let scales = Scales { live, system, axis, part: range, is_closer: range != whole, metre };
        let chart = |kind| chart(&scales, kind, close, whole);
        let charts = kinds.iter().copied().map(chart).collect();
        let shown = |(name, from, to): (&'static str, f64, f64)| {
            let (from, to) = (from.max(range.0), to.min(range.1));
            (from < to).then_some((name, from, to))
        };
        Self { charts, range, whole, axis_unit, phases: phases.into_iter().filter_map(shown).collect() }
    }
}

/// What the door does between commands, over time: name, from and to, s.
fn phases(live: &Live, end: f64) -> Vec<(&'static str, f64, f64)> {
    let begins = |event: &tautleaf_physics::Event| match event.kind {
        EventKind::CommandOpen => Some(("opening and open", event.at.t_s)),
        EventKind::Reversed => Some(("opening again", event.at.t_s)),
        EventKind::CommandClose => Some(("closing", event.at.t_s)),
        _ => None,
    };
    let mut begun: Vec<(&'static str, f64)> = live.run.events.iter().filter_map(begins).collect();
    if begun.is_empty() {
        begun.push(("opening and open", 0.0));
    }
    let ends = begun.iter().skip(1).map(|(_, at)| *at).chain([end]).collect::<Vec<_>>();
    begun.into_iter().zip(ends).map(|((name, from), to)| (name, from, to)).collect()
}

/// The part of an axis that can be looked at: not beyond its ends, and not so little that nothing is to be seen.
fn part_of(whole: (f64, f64), (from, to): (f64, f64)) -> Option<(f64, f64)> {
    const LEAST: f64 = 0.002;
    let (from, to) = (from.max(whole.0), to.min(whole.1));
    let length = whole.1 - whole.0;
    let is_part = to - from < 0.999 * length;
    (to - from >= LEAST * length && is_part).then_some((from, to))
}

fn chart(scales: &Scales<'_>, kind: Kind, close: f64, range: (f64, f64)) -> Chart {
    let mut curves = match kind {
        Kind::Force => force_curves(scales),
        _ => travel_curves(scales, kind, range),
    };
    let (from, to) = scales.part;
    if scales.is_closer {
        curves.iter_mut().for_each(|curve| curve.points = within(&curve.points, scales.part));
    }
    let mut marks = marks::of(scales, kind);
    marks.retain(|mark| (from..=to).contains(&mark.at.x));
    let heights = curves.iter().flat_map(|curve| &curve.points).chain(marks.iter().map(|mark| &mark.at));
    let (lowest, peak) = heights.fold((0.0f64, 0.0f64), |(low, high), at| (low.min(at.y), high.max(at.y)));
    let (limits, far): (Vec<_>, Vec<_>) = limit_lines(scales, kind, close, range)
        .into_iter()
        .filter_map(|line| line.over_part(scales.part))
        .partition(|line| line.lowest() <= FAR_ABOVE * peak.max(f64::MIN_POSITIVE));
    let mut over = Vec::new();
    for line in &limits {
        let beyond = if line.is_least { parts_under } else { parts_over };
        for curve in &curves {
            let same_gap = line.gap.is_none() || curve.gap == line.gap;
            if curve.judged_by.contains(&line.figure) && same_gap {
                over.extend(beyond(&curve.points, &line.points));
            }
        }
    }
    let highest = limits.iter().map(LimitLine::lowest).fold(peak, f64::max);
    let (top, bottom) = match kind {
        // a temperature has no zero to stand on
        Kind::Winding => {
            let heights = curves.iter().flat_map(|curve| &curve.points).map(|at| at.y);
            let least = heights.fold(highest, f64::min);
            let room = (HEADROOM - 1.0) * (highest - least).max(1.0);
            (highest + room, least - room)
        }
        _ if highest > 0.0 || lowest < 0.0 => (highest.max(-0.1 * lowest) * HEADROOM, lowest * HEADROOM),
        _ => (1.0, 0.0),
    };
    Chart {
        kind,
        unit: kind.unit(scales.system),
        curves,
        far_limits: far.into_iter().map(|line| line.label).collect(),
        limits,
        over,
        marks,
        slack: match kind {
            Kind::Tension => shown(marks::slack(scales), scales.part),
            Kind::Hanger => shown(marks::lifted(scales), scales.part),
            _ => Vec::new(),
        },
        top,
        bottom,
    }
}

/// Stretches that reach into a part of the axis.
fn shown(mut stretches: Vec<Slack>, (from, to): (f64, f64)) -> Vec<Slack> {
    stretches.retain(|slack| slack.across.0 < to && slack.across.1 > from);
    stretches
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Looked at closer, a chart has more of the run's points there, and the same heights.
    #[test]
    fn looked_at_closer_a_curve_has_more_points_and_the_same_heights() {
        let live = Live::of(&crate::example::scenario()).expect("a door");
        let over = |zoom| {
            let charts = Charts::closer(&live, UnitSystem::Si, (Axis::Time, zoom), &[Kind::Tension]);
            (charts.range, charts.charts[0].curves.last().expect("a strand").clone())
        };
        let ((_, whole), (range, part)) = (over(None), over(Some((10.5, 10.9))));
        assert_eq!(range, (10.5, 10.9));
        let inside = |curve: &Curve| curve.points.iter().filter(|at| (10.5..=10.9).contains(&at.x)).count();
        assert!(inside(&part) > 4 * inside(&whole), "{} and {}", inside(&part), inside(&whole));
        let peak = |curve: &Curve| {
            let there = curve.points.iter().filter(|at| (10.5..=10.9).contains(&at.x));
            there.map(|at| at.y).fold(0.0, f64::max)
        };
        // thinned out, a point that lies within 1/500 of the height of the one before may be left out
        assert!((peak(&part) / peak(&whole) - 1.0).abs() < 0.004, "{} and {}", peak(&part), peak(&whole));
        assert_eq!(over(Some((-1.0, 100.0))).0, over(None).0, "no more than there is");
    }
}
