//! The user's limits as lines in the charts.

use egui_plot::PlotPoint;
use tautleaf_physics::{Band, Figure, GapForce, LATCH_CHECK_M, Outcome, Rule, Verdict};

use crate::axis::Axis;
use crate::curves::height_at;
use crate::kind::Kind;
use crate::scales::Scales;
use crate::words;

/// For how long after touching the greatest force counts as impact, s.
const IMPACT_S: f64 = 0.75;

/// One limit in a chart.
#[derive(Clone, Debug)]
pub struct LimitLine {
    /// The figure that it judges.
    pub figure: Figure,
    /// Its key in a door file, if one number says it all and it can be dragged.
    pub key: Option<String>,
    /// What it says: `limit 0.25 m/s`.
    pub label: String,
    /// Its course, from left to right.
    pub points: Vec<PlotPoint>,
    /// Whether the door is over it.
    pub over: bool,
    /// Whether the curves have to stay above it.
    pub is_least: bool,
    /// The only gap of the force test that it holds for.
    pub gap: Option<usize>,
}

impl LimitLine {
    /// Whether it limits stall force, which has points of its own.
    pub fn is_stall(&self) -> bool {
        self.figure.is_stall()
    }

    /// What of it lies over a part of the axis; `None`: nothing.
    pub fn over_part(mut self, (from, to): (f64, f64)) -> Option<Self> {
        let (first, last) = (*self.points.first()?, *self.points.last()?);
        let (low, high) = (first.x.max(from), last.x.min(to));
        let ends = [low, high].map(|x| height_at(&self.points, x).map(|y| PlotPoint::new(x, y)));
        let [Some(first), Some(last)] = ends else { return None };
        let between = self.points.iter().filter(|at| low < at.x && at.x < high);
        self.points = [first].into_iter().chain(between.copied()).chain([last]).collect();
        (low < high).then_some(self)
    }

    /// Its lowest height.
    pub fn lowest(&self) -> f64 {
        self.points.iter().map(|point| point.y).fold(f64::INFINITY, f64::min)
    }
}

/// The chart that shows a figure, if one does.
pub fn chart_of(figure: Figure) -> Option<Kind> {
    use Figure::*;
    match figure {
        TopSpeedOpening | TopSpeedClosing | TopSpeedBeforeCheck => Some(Kind::Speed),
        PeakEnergyLeaf | PeakEnergyLeaves | PeakEnergyCoupled | PeakEnergyCoupledClosing => {
            Some(Kind::Energy)
        }
        PeakEnergyLeafClosing => Some(Kind::Energy),
        ImpactForce | StallForceGreatest | StallForceLast50 => Some(Kind::Force),
        LeastTension | GreatestTension => Some(Kind::Tension),
        LeastHangerLoad | GreatestHangerLoad => Some(Kind::Hanger),
        PeakCurrent => Some(Kind::Current),
        PeakAcceleration => Some(Kind::Acceleration),
        PeakJerk => Some(Kind::Jerk),
        WindingTemperature => Some(Kind::Winding),
        _ => None,
    }
}

/// The limits of one chart. `close` is when the door is told to close, s.
pub(crate) fn limit_lines(scales: &Scales<'_>, kind: Kind, close: f64, range: (f64, f64)) -> Vec<LimitLine> {
    let mut lines: Vec<LimitLine> = Vec::new();
    for verdict in &scales.live.verdicts {
        let Some(figure) = verdict.limit.figure.filter(|figure| chart_of(*figure) == Some(kind)) else {
            continue;
        };
        if figure.is_stall() && scales.axis == Axis::Time {
            continue; // the force test of stall is no part of the cycle
        }
        let new = match (&verdict.limit.rule, verdict.allowed) {
            (Rule::AtMostByGap(bands), _) => by_gap(scales, verdict, figure, bands),
            (Rule::AtMost(_) | Rule::ClosingSpeedByWeight, Some(allowed)) => {
                let across = across(scales, figure, close, range);
                let line = line(scales, verdict, figure, allowed, across);
                {
                    use Figure::{PeakAcceleration, PeakCurrent, PeakJerk};
                    with_mirror(line, matches!(figure, PeakCurrent | PeakAcceleration | PeakJerk))
                }
            }
            (Rule::AtLeast(_), Some(allowed)) => {
                vec![LimitLine { is_least: true, ..line(scales, verdict, figure, allowed, range) }]
            }
            _ => Vec::new(),
        };
        for line in new {
            // Two presets often ask for the same: one line says it.
            let same = |other: &&mut LimitLine| other.points == line.points && other.label == line.label;
            match lines.iter_mut().find(same) {
                Some(other) => other.over |= line.over,
                None => lines.push(line),
            }
        }
    }
    lines
}

/// A limit on a size, whatever its sign, is a line above and one below.
fn with_mirror(line: LimitLine, either_sign: bool) -> Vec<LimitLine> {
    let mut lines = vec![line];
    if either_sign {
        let mut below = LimitLine { is_least: true, label: String::new(), key: None, ..lines[0].clone() };
        below.points.iter_mut().for_each(|point| point.y = -point.y);
        lines.push(below);
    }
    lines
}

/// From where to where on the axis a figure is judged.
fn across(scales: &Scales<'_>, figure: Figure, close: f64, range: (f64, f64)) -> (f64, f64) {
    use Figure::*;
    match (scales.axis, figure) {
        (Axis::Time, TopSpeedOpening) => (range.0, close),
        (Axis::Time, TopSpeedClosing | TopSpeedBeforeCheck | PeakEnergyCoupledClosing | ImpactForce) => {
            (close, range.1)
        }
        (Axis::Time, PeakEnergyLeafClosing) => (close, range.1),
        (Axis::Opening, TopSpeedBeforeCheck) => (scales.place(0.0, LATCH_CHECK_M).min(range.1), range.1),
        _ => range,
    }
}

fn line(
    scales: &Scales<'_>,
    verdict: &Verdict,
    figure: Figure,
    allowed: f64,
    (from, to): (f64, f64),
) -> LimitLine {
    let quantity = figure.quantity();
    let height = words::to_shown(quantity, allowed, scales.system);
    let word = match figure {
        Figure::StallForceGreatest | Figure::StallForceLast50 => "stall limit",
        Figure::ImpactForce => "impact limit",
        Figure::PeakEnergyCoupled | Figure::PeakEnergyCoupledClosing => "limit with drive",
        Figure::PeakEnergyLeaves if scales.live.door.leaves() > 1 => "limit, all leaves",
        Figure::TopSpeedOpening => "opening limit",
        Figure::TopSpeedClosing => "closing limit",
        Figure::TopSpeedBeforeCheck => "limit to latch check",
        Figure::LeastTension | Figure::LeastHangerLoad => "at least",
        Figure::GreatestTension | Figure::GreatestHangerLoad => "at most",
        _ => "limit",
    };
    LimitLine {
        figure,
        label: format!("{word} {}", words::value(quantity, allowed, scales.system)),
        points: vec![PlotPoint::new(from, height), PlotPoint::new(to, height)],
        // a rating is not dragged: it is of the drive, not of whoever looks
        key: (matches!(verdict.limit.rule, Rule::AtMost(_) | Rule::AtLeast(_)) && !verdict.limit.is_rating())
            .then(|| verdict.limit.key.clone()),
        over: verdict.outcome == Outcome::Over,
        is_least: false,
        gap: None,
    }
}

/// Over the opening a staircase of bands; over time a piece at each gap, for as long as the impact lasts.
fn by_gap(scales: &Scales<'_>, verdict: &Verdict, figure: Figure, bands: &[Band]) -> Vec<LimitLine> {
    let width = scales.live.door.clear_width_m();
    let force = &scales.live.run.force;
    let exceeds = |band: &Band, gap: &GapForce| gap.impact_force_n.is_some_and(|force| force > band.at_most);
    match scales.axis {
        Axis::Opening => {
            let pieces = bands.iter().filter(|band| band.above_m < width).map(|band| {
                let across = (scales.place(0.0, band.above_m), scales.place(0.0, band.to_m.min(width)));
                let over = force.iter().any(|gap| band.holds(gap.gap_m) && exceeds(band, gap));
                LimitLine { over, ..line(scales, verdict, figure, band.at_most, across) }
            });
            pieces.collect()
        }
        // From left to right: the name stands behind the last piece.
        Axis::Time => {
            let pieces = force.iter().enumerate().filter_map(|(n, gap)| {
                let touched = gap.touched_at_s?;
                let band = bands.iter().find(|band| band.holds(gap.gap_m))?;
                let piece = line(scales, verdict, figure, band.at_most, (touched, touched + IMPACT_S));
                let label = piece.label.replace("impact limit", "limit");
                Some(LimitLine { gap: Some(n), label, over: exceeds(band, gap), ..piece })
            });
            let mut pieces: Vec<LimitLine> = pieces.collect();
            pieces.sort_by(|a, b| a.points[0].x.total_cmp(&b.points[0].x));
            pieces
        }
    }
}
