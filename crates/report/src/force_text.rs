//! The force test by gap, for a terminal.

use tautleaf_physics::parameters::ObstructionAction;
use tautleaf_physics::{Figure, GapForce, Quantity, RearForce, Verdict};
use tautleaf_scenario::{UnitSystem, units};

use crate::columns::{Side, aligned};
use crate::judged::Judged;
use crate::palette::{Palette, paint};
use crate::words;

/// Columns of a curve drawn in characters.
const CURVE_COLUMNS: usize = 64;
/// Heights of one character, lowest first.
pub(crate) const HEIGHTS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

/// One row for each gap, under two rows of headings.
pub(crate) fn table(judged: &Judged<'_>, palette: &Palette) -> Vec<String> {
    let system = judged.scenario.units;
    let unit = |quantity| units::unit(quantity, system).to_owned();
    let (force, speed) = (unit(Quantity::Force), unit(Quantity::Speed));
    let (short, time) = (unit(Quantity::ShortTime), unit(Quantity::Time));
    let head = [
        "gap",
        "speed",
        "stall",
        "settled",
        "slow",
        "impact",
        "after",
        "late",
        "residual",
        ">150 N",
        // what the controller does about it
        match judged.door.parameters().obstruction.action {
            ObstructionAction::Reverse => "reverses",
            ObstructionAction::Stop => "stops",
        },
    ];
    let symbols = [
        String::new(),
        speed,
        force.clone(),
        force.clone(),
        force.clone(),
        force.clone(),
        short,
        force.clone(),
        force,
        time.clone(),
        time,
    ];
    let mut rows = vec![head.map(str::to_owned).to_vec(), symbols.to_vec()];
    let shown = |gap_m| units::show(Quantity::ShortLength, gap_m, system);
    rows.extend(judged.run.force.iter().map(|gap| row(shown(gap.gap_m), gap, system)));
    for RearForce { leaf, test } in &judged.run.rear {
        rows.push(row(format!("behind leaf {leaf}, {}", shown(test.gap_m)), test, system));
    }
    let mut sides = [Side::Right; 11];
    sides[0] = Side::Left;
    let mut lines = aligned(&rows, &sides);
    for head in lines.iter_mut().take(2) {
        *head = paint(palette.faint, head);
    }
    lines
}

fn row(name: String, gap: &GapForce, system: UnitSystem) -> Vec<String> {
    let shown = |quantity, value: Option<f64>, places| {
        value
            .filter(|value| value.is_finite())
            .map_or("-".to_owned(), |value| words::decimals(units::to_shown(quantity, value, system), places))
    };
    let force = |value| shown(Quantity::Force, value, if system == UnitSystem::Us { 1 } else { 0 });
    let speed_places = if system == UnitSystem::Us { 2 } else { 3 };
    vec![
        name,
        shown(Quantity::Speed, gap.touch_speed_m_per_s, speed_places),
        force(gap.stall_force_n),
        force(gap.stall_force_settled_n),
        force(gap.stall_force_slow_n),
        force(gap.impact_force_n),
        shown(Quantity::ShortTime, gap.impact_at_s, 0),
        force(gap.force_after_750ms_n),
        force(gap.residual_force_n),
        shown(Quantity::Time, gap.time_above_150n_s, 3),
        shown(Quantity::Time, gap.acts_after_s, 3),
    ]
}

/// What is particular about each gap, in sentences.
pub(crate) fn notes(judged: &Judged<'_>) -> Vec<String> {
    let blind =
        units::show(Quantity::Time, judged.door.parameters().obstruction.blind_s, judged.scenario.units);
    let mut notes = Vec::new();
    for gap in &judged.run.force {
        let name = units::show(Quantity::ShortLength, gap.gap_m, judged.scenario.units);
        if gap.touched_at_s.is_none() {
            notes.push(format!("{name} gap: the closing leaf never meets it at speed"));
        } else if gap.within_blind_time {
            notes.push(format!("{name} gap: met within the first {blind} of a command, acted on late"));
        } else if gap.acts_after_s.is_none() {
            notes.push(format!("{name} gap: the controller does not act on it within 5 s"));
        }
    }
    notes.extend(pressed_flat(judged));
    notes.extend(unjudged_impact(judged));
    notes
}

/// Where the closing edge is pressed flat, if anywhere.
fn pressed_flat(judged: &Judged<'_>) -> Option<String> {
    let tested = || judged.run.force.iter().filter_map(|gap| gap.edge_travel_used);
    let (flat, all) = (tested().filter(|used| *used > 1.0).count(), tested().count());
    let from = judged.run.figures.get(Figure::EdgeFlatSpeed).map_or_else(String::new, |speed| {
        format!(", as from about {} on", units::show(Quantity::Speed, speed, judged.scenario.units))
    });
    (flat > 0).then(|| format!("The closing edge is pressed flat at {flat} of {all} gaps{from}"))
}

/// The impact force where no limit judges it: a number that is easily passed over.
fn unjudged_impact(judged: &Judged<'_>) -> Option<String> {
    let is_judged =
        |verdict: &Verdict| verdict.limit.figure == Some(Figure::ImpactForce) && verdict.value.is_some();
    if judged.verdicts.iter().any(is_judged) {
        return None;
    }
    let of_gap = |gap: &GapForce| gap.impact_force_n.map(|force| (force, gap.gap_m));
    let (force, gap) =
        judged.run.force.iter().filter_map(of_gap).reduce(|a, b| if b.0 > a.0 { b } else { a })?;
    let system = judged.scenario.units;
    Some(format!(
        "No limit judges the impact force: it is greatest at the {} gap, {}",
        units::show(Quantity::ShortLength, gap, system),
        units::show(Quantity::Force, force, system)
    ))
}

/// Force over time since touching, one line of characters for each gap, all to one scale.
pub(crate) fn curves(judged: &Judged<'_>, palette: &Palette) -> Vec<String> {
    let system = judged.scenario.units;
    let gaps: Vec<&GapForce> =
        judged.run.force.iter().filter(|gap| !gap.force_over_time.is_empty()).collect();
    let end = gaps.iter().map(|gap| still_pressed_s(gap)).fold(0.0, f64::max).min(5.0);
    let top = gaps.iter().flat_map(|gap| gap.force_over_time.iter()).map(|point| point.1).fold(0.0, f64::max);
    if end <= 0.0 || top <= 0.0 || !top.is_finite() {
        return Vec::new();
    }
    let rows: Vec<Vec<String>> = gaps
        .iter()
        .map(|gap| {
            vec![units::show(Quantity::ShortLength, gap.gap_m, system), curve(&gap.force_over_time, end, top)]
        })
        .collect();
    let title = format!(
        "Force over time since touching: {} s across, {} high",
        words::decimals(end, 2),
        units::show(Quantity::Force, top, system)
    );
    let mut lines = vec![paint(palette.heading, &title)];
    lines.extend(aligned(&rows, &[Side::Left, Side::Left]).into_iter().map(|line| format!("  {line}")));
    lines
}

/// When the force has gone for good, s.
fn still_pressed_s(gap: &GapForce) -> f64 {
    gap.force_over_time.iter().rev().find(|point| point.1 > 0.5).map_or(0.0, |point| point.0)
}

/// One character for each stretch of time: the greatest force in it.
fn curve(points: &[(f64, f64)], end: f64, top: f64) -> String {
    let mut greatest = [0.0f64; CURVE_COLUMNS];
    let column = |t: f64| ((t / end * CURVE_COLUMNS as f64) as usize).min(CURVE_COLUMNS - 1);
    for &(t, force) in points.iter().filter(|point| point.0 <= end) {
        let cell = &mut greatest[column(t)];
        *cell = cell.max(force);
    }
    let character = |force: &f64| {
        if *force < 0.5 {
            return ' ';
        }
        let height = (force / top * HEIGHTS.len() as f64).ceil() as usize;
        HEIGHTS[height.clamp(1, HEIGHTS.len()) - 1]
    };
    greatest.iter().map(character).collect::<String>().trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_shows_the_peak_of_each_stretch() {
        let points: Vec<(f64, f64)> =
            (0..640).map(|n| (n as f64 / 640.0, if n == 5 { 100.0 } else { 50.0 })).collect();
        let drawn: Vec<char> = curve(&points, 1.0, 100.0).chars().collect();
        assert_eq!(drawn.len(), CURVE_COLUMNS);
        assert_eq!(drawn[0], '█');
        assert!(drawn[1..].iter().all(|&c| c == '▄'));
    }
}
