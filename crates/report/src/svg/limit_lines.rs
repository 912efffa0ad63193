//! Which limits are lines in which panel.

use tautleaf_physics::{Band, Figure, Outcome, Quantity, Rule, Verdict};
use tautleaf_scenario::units;

use super::draw::LimitLine;
use crate::judged::Judged;
use crate::words;

/// For how long after touching the greatest force counts as impact, s.
const IMPACT_S: f64 = 0.75;

/// Adds a line, unless the same is there.
fn push(lines: &mut Vec<LimitLine>, new: LimitLine) {
    match lines.iter_mut().find(|line| {
        line.label == new.label && line.height == new.height && (line.from, line.to) == (new.from, new.to)
    }) {
        Some(line) => line.over |= new.over,
        None => lines.push(new),
    }
}

/// A line at what a verdict allows.
fn line(judged: &Judged<'_>, verdict: &Verdict, allowed: f64, across: (f64, f64), what: &str) -> LimitLine {
    let quantity = verdict.limit.figure.map_or(Quantity::Number, Figure::quantity);
    let written = units::show_in(quantity, allowed, &verdict.limit.unit);
    let on_axis = units::show(quantity, allowed, judged.scenario.units);
    let shown = if written == on_axis { written } else { format!("{written} = {on_axis}") };
    let advisory = if verdict.limit.judge == tautleaf_physics::Judge::Advisory { " (advisory)" } else { "" };
    let over = verdict.outcome == Outcome::Over;
    let word = if over { ", over" } else { "" };
    LimitLine {
        label: format!("{what} {shown}{advisory}{word}"),
        from: across.0,
        to: across.1,
        height: units::to_shown(quantity, allowed, judged.scenario.units),
        over,
    }
}

/// Limits on speed. `close` is when the door is told to close, `end` the end of the axis.
pub(super) fn speed(judged: &Judged<'_>, close: f64, end: f64) -> Vec<LimitLine> {
    over_time(judged, |figure| match figure {
        Figure::TopSpeedOpening => Some(((0.0, close), "limit")),
        Figure::TopSpeedClosing => Some(((close, end), "limit")),
        Figure::TopSpeedBeforeCheck => Some(((close, end), "limit to latch check")),
        _ => None,
    })
}

/// Limits on kinetic energy.
pub(super) fn energy(judged: &Judged<'_>, close: f64, end: f64) -> Vec<LimitLine> {
    over_time(judged, |figure| match figure {
        Figure::PeakEnergyLeaf => Some(((0.0, end), "limit, one leaf")),
        Figure::PeakEnergyLeafClosing => Some(((close, end), "limit, one leaf")),
        Figure::PeakEnergyLeaves => Some(((0.0, end), "limit, all leaves")),
        Figure::PeakEnergyCoupled => Some(((0.0, end), "limit with drive")),
        Figure::PeakEnergyCoupledClosing => Some(((close, end), "limit with drive")),
        _ => None,
    })
}

fn over_time(
    judged: &Judged<'_>,
    place: impl Fn(Figure) -> Option<((f64, f64), &'static str)>,
) -> Vec<LimitLine> {
    let mut lines = Vec::new();
    for verdict in &judged.verdicts {
        let Some((across, what)) = verdict.limit.figure.and_then(&place) else { continue };
        let Some(allowed) = verdict.allowed else { continue };
        if !words::is_least(&verdict.limit.rule) {
            push(&mut lines, line(judged, verdict, allowed, across, what));
        }
    }
    lines
}

/// Limits on closing force over the time since touching.
pub(super) fn force(judged: &Judged<'_>, end: f64) -> Vec<LimitLine> {
    let impact = (0.0, IMPACT_S.min(end));
    let mut lines = Vec::new();
    for verdict in &judged.verdicts {
        match (verdict.limit.figure, &verdict.limit.rule) {
            (Some(Figure::ImpactForce), Rule::AtMostByGap(bands)) => {
                for (n, band) in bands.iter().enumerate() {
                    let Some(gaps) = gaps_in(judged, bands, n) else { continue };
                    let what = format!("impact limit at {gaps}:");
                    let worst_is_here = verdict.gap_m.is_some_and(|gap| band_of(gap, bands) == Some(n));
                    let outcome = if worst_is_here { verdict.outcome } else { Outcome::Within };
                    let verdict = Verdict { outcome, ..verdict.clone() };
                    push(&mut lines, line(judged, &verdict, band.at_most, impact, &what));
                }
            }
            (Some(Figure::ImpactForce), Rule::AtMost(most)) => {
                push(&mut lines, line(judged, verdict, *most, impact, "impact limit"));
            }
            (Some(Figure::ForceAfter750), Rule::AtMost(most)) if end > IMPACT_S => {
                push(&mut lines, line(judged, verdict, *most, (IMPACT_S, end), "limit past 0.75 s"));
            }
            _ => {}
        }
    }
    lines
}

/// The band that a gap is judged by: the first that holds it.
fn band_of(gap: f64, bands: &[Band]) -> Option<usize> {
    bands.iter().position(|band| gap > band.above_m - 1e-9 && gap <= band.to_m + 1e-9)
}

/// Names of the tested gaps that lie in a band.
fn gaps_in(judged: &Judged<'_>, bands: &[Band], band: usize) -> Option<String> {
    let names: Vec<String> = judged
        .run
        .force
        .iter()
        .filter(|gap| band_of(gap.gap_m, bands) == Some(band))
        .map(|gap| units::show(Quantity::ShortLength, gap.gap_m, judged.scenario.units))
        .collect();
    (!names.is_empty()).then(|| names.join(", "))
}
