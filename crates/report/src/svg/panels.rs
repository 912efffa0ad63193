//! What the three panels show.

use tautleaf_physics::{EventKind, Figure, GapForce, Quantity, Sample};
use tautleaf_scenario::{UnitSystem, units};

use super::draw::{CURVES, Curve, Mark, Panel, WANTED};
use super::limit_lines;
use crate::judged::Judged;
use crate::words;

/// Columns of a panel: more points than that cannot be seen.
const COLUMNS: usize = 880;

/// Speed of each leaf and what the controller wants.
pub(super) fn speed(judged: &Judged<'_>) -> Panel {
    let times = Times::of(judged);
    let per_si = units::to_shown(Quantity::Speed, 1.0, judged.scenario.units);
    let mut curves = vec![
        curve("leaf 1", 0, 3, times.points(judged, |sample| per_si * sample.leaf_speed_m_per_s[0].abs())),
        Curve {
            name: "wanted".to_owned(),
            colour: WANTED,
            width: 2,
            points: times.points(judged, |sample| per_si * sample.wanted_speed_m_per_s.abs()),
        },
    ];
    if judged.door.leaves() > 1 {
        let points = times.points(judged, |sample| per_si * sample.leaf_speed_m_per_s[1].abs());
        curves.insert(1, curve("leaf 2", 1, 2, points));
    }
    Panel {
        y_axis: axis("speed", Quantity::Speed, judged.scenario.units),
        limits: limit_lines::speed(judged, times.close, times.end),
        marks: marks(judged, &[Figure::TopSpeedOpening, Figure::TopSpeedClosing]),
        ..times.panel("Speed of the leaf", curves)
    }
}

/// Kinetic energy of the leaf and of all that moves with it.
pub(super) fn energy(judged: &Judged<'_>) -> Panel {
    let times = Times::of(judged);
    let per_si = units::to_shown(Quantity::Energy, 1.0, judged.scenario.units);
    let mut curves = vec![
        curve("one leaf", 0, 3, times.points(judged, |sample| per_si * sample.energy_leaf_j)),
        curve("with belt and drive", 1, 2, times.points(judged, |sample| per_si * sample.energy_coupled_j)),
    ];
    let mut figures = vec![Figure::PeakEnergyLeaf, Figure::PeakEnergyCoupledClosing];
    if judged.door.leaves() > 1 {
        let points = times.points(judged, |sample| per_si * sample.energy_leaves_j);
        curves.insert(1, curve("all leaves", 2, 2, points));
        figures.insert(1, Figure::PeakEnergyLeaves);
    }
    Panel {
        y_axis: axis("kinetic energy", Quantity::Energy, judged.scenario.units),
        limits: limit_lines::energy(judged, times.close, times.end),
        marks: marks(judged, &figures),
        ..times.panel("Kinetic energy", curves)
    }
}

/// Force at each gap of the force test since touching.
pub(super) fn force(judged: &Judged<'_>) -> Panel {
    let system = judged.scenario.units;
    let per_si = units::to_shown(Quantity::Force, 1.0, system);
    let end = (1.1 * judged.run.force.iter().map(pressed_until).fold(0.0, f64::max)).clamp(0.2, 5.0);
    let mut curves = Vec::new();
    let mut marks = Vec::new();
    for (n, gap) in judged.run.force.iter().enumerate() {
        if gap.force_over_time.is_empty() {
            continue;
        }
        let name = units::show(Quantity::ShortLength, gap.gap_m, system);
        let points: Vec<(f64, f64)> = gap
            .force_over_time
            .iter()
            .filter(|point| point.0 <= end)
            .map(|&(t, force)| (t, per_si * force))
            .collect();
        let stall = gap.stall_force_n.map_or(String::new(), |force| {
            format!(", stall {}", units::show(Quantity::Force, force, system))
        });
        curves.push(Curve {
            name: format!("{name} gap{stall}"),
            colour: CURVES[n % CURVES.len()],
            width: 2,
            points: thinned(&points, 0.0, end),
        });
        if let (Some(force), Some(t)) = (gap.impact_force_n, gap.impact_at_s) {
            marks.push((
                force,
                Mark {
                    at: (t, per_si * force),
                    text: words::figure_value(Figure::ImpactForce, force, system),
                },
            ));
        }
    }
    // one mark, at the worst: the others crowd it
    let worst = marks.into_iter().max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, mark)| mark);
    Panel {
        title: "Closing force".to_owned(),
        x_axis: "time since touching, s".to_owned(),
        y_axis: axis("force", Quantity::Force, system),
        end,
        limits: limit_lines::force(judged, end),
        marks: worst.into_iter().collect(),
        curves,
        phases: Vec::new(),
        nothing: "the closing leaf meets none of the gaps of the force test",
    }
}

/// When the force has gone for good, s.
fn pressed_until(gap: &GapForce) -> f64 {
    gap.force_over_time.iter().rev().find(|point| point.1 > 0.5).map_or(0.0, |point| point.0)
}

/// The time axis of a whole run.
struct Times {
    end: f64,
    close: f64,
    phases: Vec<(f64, f64, &'static str)>,
}

impl Times {
    fn of(judged: &Judged<'_>) -> Self {
        let end = judged.run.samples.last().map_or(1.0, |sample| sample.t_s).max(0.1);
        let mut phases: Vec<(f64, f64, &'static str)> = Vec::new();
        let mut close = end;
        for event in &judged.run.events {
            let name = match event.kind {
                EventKind::CommandOpen => "opening",
                EventKind::ArrivedOpen => "open",
                EventKind::CommandClose => "closing",
                EventKind::ArrivedClosed => "closed",
                EventKind::Reversed => "reversing",
                EventKind::Stopped => "stopped",
                EventKind::PowerLost => "without power",
                _ => continue,
            };
            if event.kind == EventKind::CommandClose {
                close = close.min(event.at.t_s);
            }
            if let Some(last) = phases.last_mut() {
                last.1 = event.at.t_s;
            }
            phases.push((event.at.t_s, end, name));
        }
        Self { end, close, phases }
    }

    fn points(&self, judged: &Judged<'_>, value: impl Fn(&Sample) -> f64) -> Vec<(f64, f64)> {
        let all: Vec<(f64, f64)> =
            judged.run.samples.iter().map(|sample| (sample.t_s, value(sample))).collect();
        thinned(&all, 0.0, self.end)
    }

    fn panel(&self, title: &str, curves: Vec<Curve>) -> Panel {
        Panel {
            title: title.to_owned(),
            x_axis: "time since the command, s".to_owned(),
            end: self.end,
            curves,
            phases: self.phases.clone(),
            ..Panel::default()
        }
    }
}

fn curve(name: &str, colour: usize, width: u32, points: Vec<(f64, f64)>) -> Curve {
    Curve { name: name.to_owned(), colour: CURVES[colour], width, points }
}

fn axis(what: &str, quantity: Quantity, system: UnitSystem) -> String {
    format!("{what}, {}", units::unit(quantity, system))
}

/// Marks at figures that have a moment.
fn marks(judged: &Judged<'_>, figures: &[Figure]) -> Vec<Mark> {
    let system = judged.scenario.units;
    figures
        .iter()
        .filter_map(|&figure| {
            let reading = judged.run.figures.reading(figure)?;
            let height = units::to_shown(figure.quantity(), reading.value, system);
            let text = words::figure_value(figure, reading.value, system);
            Some(Mark { at: (reading.at?.t_s, height), text })
        })
        .collect()
}

/// First, least, greatest and last point of each column: what can be seen of a curve.
fn thinned(points: &[(f64, f64)], from: f64, to: f64) -> Vec<(f64, f64)> {
    let column = |t: f64| ((t - from) / (to - from) * COLUMNS as f64) as i64;
    let mut out: Vec<(f64, f64)> = Vec::new();
    for chunk in points.chunk_by(|a, b| column(a.0) == column(b.0)) {
        let by = |pick: fn(f64, f64) -> bool| {
            (0..chunk.len()).reduce(|a, b| if pick(chunk[b].1, chunk[a].1) { b } else { a }).unwrap_or(0)
        };
        let mut kept = [0, by(|b, a| b < a), by(|b, a| b > a), chunk.len() - 1];
        kept.sort_unstable();
        let mut last = None;
        for index in kept {
            if last != Some(index) {
                out.push(chunk[index]);
                last = Some(index);
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thinned_curve_keeps_every_peak() {
        let points: Vec<(f64, f64)> =
            (0..100_000).map(|n| (n as f64 * 1e-5, if n == 54_321 { 9.0 } else { (n % 7) as f64 })).collect();
        let thin = thinned(&points, 0.0, 1.0);
        assert!(thin.len() <= 4 * (COLUMNS + 1));
        assert!(thin.contains(&points[54_321]));
        assert_eq!((thin.first(), thin.last()), (points.first(), points.last()));
    }
}
