//! Force against the tester as curves: over time at each gap, over the opening the peaks.

use egui_plot::PlotPoint;
use tautleaf_physics::{Figure, GapForce};

use crate::axis::Axis;
use crate::chart_parts::Curve;
use crate::curves::thin;
use crate::kind::{Kind, Look};
use crate::scales::Scales;

/// A force greater than another by this factor is told apart on a chart.
const WORSE: f64 = 1.01;

/// Force over time up to the moment at which the leaf lets go.
pub(crate) fn while_touching(gap: &GapForce) -> &[(f64, f64)] {
    let last = gap.force_over_time.iter().rposition(|&(_, force)| force > 0.0);
    last.map_or(&[], |last| &gap.force_over_time[..(last + 2).min(gap.force_over_time.len())])
}

/// When the greatest force of a gap was reached, s.
pub(crate) fn peak_at(gap: &GapForce) -> Option<f64> {
    Some(gap.touched_at_s? + gap.impact_at_s?)
}

/// Whether a gap is shown over time: those that were asked for, and the worst one of the others where it is worse than those.
pub(crate) fn is_shown_over_time(force: &[GapForce], gap: &GapForce) -> bool {
    let impact = |gap: &GapForce| gap.impact_force_n.unwrap_or(0.0);
    let any = force.iter().map(impact).fold(0.0, f64::max);
    let asked = force.iter().filter(|gap| gap.asked).map(impact).fold(0.0, f64::max);
    gap.asked || (impact(gap) == any && any > WORSE * asked)
}

/// The curves of the chart.
pub(crate) fn force_curves(scales: &Scales<'_>) -> Vec<Curve> {
    match scales.axis {
        Axis::Time => over_time(scales),
        Axis::Opening => over_opening(scales),
    }
}

fn over_time(scales: &Scales<'_>) -> Vec<Curve> {
    let shown = Kind::Force.drawn(scales.system);
    let at_gap = |(n, gap): (usize, &GapForce)| {
        let touched = gap.touched_at_s?;
        let point = |&(since, force): &(f64, f64)| PlotPoint::new(touched + since, shown(force));
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
    let force = &scales.live.run.force;
    force.iter().enumerate().filter(|(_, gap)| is_shown_over_time(force, gap)).filter_map(at_gap).collect()
}

fn over_opening(scales: &Scales<'_>) -> Vec<Curve> {
    let shown = Kind::Force.drawn(scales.system);
    let force = &scales.live.run.force;
    let points = |gaps: &[GapForce], value: fn(&GapForce) -> Option<f64>| {
        let point = |gap: &GapForce| Some(PlotPoint::new(scales.place(0.0, gap.gap_m), shown(value(gap)?)));
        gaps.iter().filter_map(point).collect::<Vec<_>>()
    };
    let curve = |name: &str, look, points, judged_by| Curve {
        name: name.to_owned(),
        look,
        points,
        judged_by,
        gap: None,
    };
    let stall = points(force, GapForce::stall_force_greatest_n);
    let impact = points(scales.live.profile(), |gap| gap.impact_force_n);
    let tested = points(force, |gap| gap.impact_force_n);
    let mut curves = Vec::new();
    if let Some(whole) = &scales.live.whole_profile {
        let residual = points(whole, |gap| gap.residual_force_n);
        let stalled = points(whole, GapForce::stall_force_greatest_n);
        curves.push(curve("residual", Look::Thin, residual, &[Figure::ResidualForce]));
        curves.push(curve("stall", Look::Second, stalled, &[Figure::StallForceGreatest]));
    }
    curves.extend([
        curve("stall, tested gaps", Look::Diamonds, stall, &[Figure::StallForceGreatest]),
        curve("impact", Look::Main, impact, &[Figure::ImpactForce]),
        curve("impact, tested gaps", Look::Circles, tested, &[]),
    ]);
    curves
}
