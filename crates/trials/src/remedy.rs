//! The setting that brings a limit back within, found by running the door again.

use tautleaf_physics::{
    CycleOptions, Door, EventKind, Figure, ForceTest, Limit, Outcome, Parameters, Run, Verdict, cycle, field,
    judge,
};

/// A change of one setting that brings a limit back within.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// Dotted key of the setting.
    pub key: &'static str,
    /// Its value now, SI.
    pub from: f64,
    /// The value that does it, SI.
    pub to: f64,
    /// Keys of limits that were within and would then be over.
    pub breaks: Vec<String>,
}

/// Which way a setting has to go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// To smaller values.
    Down,
    /// To larger values.
    Up,
}

/// Settings that act on a figure, the usual one first, and which way each has to go when the limit is over.
///
/// `opening` says whether the figure was worst on the way open.
pub fn settings_for(figure: Figure, opening: bool) -> &'static [(&'static str, Turn)] {
    use Turn::{Down, Up};
    match figure {
        Figure::OpeningTime | Figure::OpeningTime80 => &[
            ("opening.speed", Up),
            ("opening.acceleration", Up),
            ("opening.current_limit", Up),
            ("opening.braking", Up),
            ("opening.creep_distance", Down),
            ("opening.creep_speed", Up),
        ],
        Figure::ClosingTime => &[
            ("closing.speed", Up),
            ("closing.acceleration", Up),
            ("closing.current_limit", Up),
            ("closing.creep_distance", Down),
            ("closing.creep_speed", Up),
        ],

        Figure::ClosingLeastTime90 | Figure::AverageEnergyClosing => &[("closing.speed", Down)],
        Figure::HoldOpen => &[("controller.hold_open", Up)],
        Figure::TopSpeedOpening => &[("opening.speed", Down)],
        Figure::TopSpeedClosing | Figure::TopSpeedBeforeCheck | Figure::PeakEnergyCoupledClosing => {
            &[("closing.speed", Down)]
        }
        Figure::LatchCheck => &[("closing.creep_distance", Up), ("closing.braking", Down)],
        Figure::PeakEnergyLeaf | Figure::PeakEnergyLeaves | Figure::PeakEnergyCoupled => {
            if opening {
                &[("opening.speed", Down)]
            } else {
                &[("closing.speed", Down)]
            }
        }
        Figure::StallForce | Figure::StallForceLast50 => &[("closing.current_limit", Down)],
        Figure::ImpactForce => &[
            ("closing.speed", Down),
            ("edge.stiffness", Down),
            ("closing.current_limit", Down),
            ("closing.creep_distance", Up),
        ],
        Figure::ForceAfter750 | Figure::ResidualForce => {
            &[("closing.current_limit", Down), ("obstruction.detect", Down)]
        }
        Figure::TimeAbove150 => {
            &[("obstruction.detect", Down), ("closing.current_limit", Down), ("closing.speed", Down)]
        }
        Figure::LeastTension | Figure::SlackTime | Figure::SeatMargin => {
            if opening {
                &[("belt.tension", Up), ("opening.braking", Down), ("opening.acceleration", Down)]
            } else {
                &[("belt.tension", Up), ("closing.braking", Down), ("closing.acceleration", Down)]
            }
        }
        Figure::GreatestTension => &[("belt.tension", Down)],
        Figure::PeakAcceleration | Figure::PeakJerk => {
            if opening {
                &[("opening.acceleration", Down), ("opening.braking", Down)]
            } else {
                &[("closing.acceleration", Down), ("closing.braking", Down)]
            }
        }
        Figure::OvershootOpen | Figure::SettlingOpen => {
            &[("opening.braking", Down), ("opening.creep_speed", Down)]
        }
        Figure::PeakCurrent => {
            if opening {
                &[("opening.acceleration", Down), ("opening.current_limit", Down)]
            } else {
                &[("closing.acceleration", Down), ("closing.current_limit", Down)]
            }
        }
        Figure::RmsCurrent | Figure::EnergyPerCycle | Figure::EnergyDrawn => {
            &[("controller.press_current", Down), ("opening.acceleration", Down), ("opening.speed", Down)]
        }
        Figure::ManualForce => &[("belt.tension", Down), ("seal.brush", Down)],
        Figure::ManualForceShorted => &[("gear.ratio", Down)],
        Figure::DriftForce => &[("rail.slope", Down)],
    }
}

/// Coarse steps from the present value to the end of the usual range.
const COARSE: usize = 8;
/// Bisections between the last value that is over and the first that is within.
const FINE: usize = 7;

/// The setting that brings limit `index` back within, found by running the door again with it; `None`: no single
/// setting does, or the limit is not over. `close` is the margin of [`judge`].
///
/// A setting that puts another limit over is only proposed where no other helps, and says so.
pub fn remedy(
    door: &Door,
    options: &CycleOptions,
    limits: &[Limit],
    index: usize,
    close: f64,
) -> Option<Remedy> {
    let limit = limits.get(index)?;
    let figure = limit.figure?;
    let options = CycleOptions { keep_samples: false, ..options.clone() };
    let before = cycle(door, &options);
    let verdicts = judge(door, &before, limits, close);
    if verdicts[index].outcome != Outcome::Over {
        return None;
    }
    let trial = Trial { door, options: lean(&options, figure), limit, close };
    let mut fallback = None;
    for &(key, turn) in settings_for(figure, is_opening(&before, &verdicts[index])) {
        let Some((from, to)) = trial.search(key, turn) else { continue };
        let breaks = broken(door, &options, limits, close, (key, to), &verdicts);
        let found = Remedy { key, from, to, breaks };
        if found.breaks.is_empty() {
            return Some(found);
        }
        fallback.get_or_insert(found);
    }
    fallback
}

/// Leaves out the parts of the force test that the figure does not come from.
fn lean(options: &CycleOptions, figure: Figure) -> CycleOptions {
    let mut force = options.force.clone();
    force.stall &= matches!(figure, Figure::StallForce | Figure::StallForceLast50);
    force.whole &= matches!(figure, Figure::ForceAfter750 | Figure::ResidualForce | Figure::TimeAbove150);
    force.impact &= force.whole || figure == Figure::ImpactForce;
    if !(force.stall || force.impact) {
        force = ForceTest::none();
    }
    CycleOptions { force, ..options.clone() }
}

/// Whether a figure was worst before the door began to close.
fn is_opening(run: &Run, verdict: &Verdict) -> bool {
    let close = run.events.iter().find(|event| event.kind == EventKind::CommandClose);
    match (verdict.at, close) {
        (Some(at), Some(close)) => at.t_s < close.at.t_s,
        _ => true,
    }
}

/// The door with one setting changed, if it can be.
fn with(door: &Door, (key, value): (&str, f64)) -> Option<Door> {
    let mut parameters: Parameters = door.parameters().clone();
    (field(key)?.set)(&mut parameters, Some(value));
    Door::try_from(parameters).ok()
}

/// Limits that were not over and are with the change.
fn broken(
    door: &Door,
    options: &CycleOptions,
    limits: &[Limit],
    close: f64,
    change: (&str, f64),
    before: &[Verdict],
) -> Vec<String> {
    let Some(changed) = with(door, change) else { return Vec::new() };
    let after = judge(&changed, &cycle(&changed, options), limits, close);
    let newly = |(old, new): &(&Verdict, &Verdict)| {
        matches!(old.outcome, Outcome::Within | Outcome::Close)
            && matches!(new.outcome, Outcome::Over | Outcome::NotJudged)
    };
    before.iter().zip(&after).filter(newly).map(|(_, new)| new.limit.key.clone()).collect()
}

/// One limit, tried with one setting at many values.
struct Trial<'a> {
    door: &'a Door,
    options: CycleOptions,
    limit: &'a Limit,
    close: f64,
}

impl Trial<'_> {
    /// Whether the limit is kept with the setting at this value.
    fn keeps(&self, key: &str, value: f64) -> bool {
        let Some(door) = with(self.door, (key, value)) else { return false };
        let run = cycle(&door, &self.options);
        let verdict = judge(&door, &run, std::slice::from_ref(self.limit), self.close);
        run.finished && matches!(verdict[0].outcome, Outcome::Within | Outcome::Close)
    }

    /// (value now, nearest value that keeps the limit) of a setting turned one way within its usual range.
    fn search(&self, key: &'static str, turn: Turn) -> Option<(f64, f64)> {
        let field = field(key)?;
        let from = (field.get)(self.door.parameters())?;
        let end = if turn == Turn::Up { field.usual.1 } else { field.usual.0 };
        if (turn == Turn::Up && end <= from) || (turn == Turn::Down && end >= from) {
            return None;
        }
        let at = |n: usize| from + (end - from) * n as f64 / COARSE as f64;
        let first = (1..=COARSE).find(|&n| self.keeps(key, at(n)))?;
        let (mut over, mut within) = (at(first - 1), at(first));
        for _ in 0..FINE {
            let middle = (over + within) / 2.0;
            if self.keeps(key, middle) {
                within = middle;
            } else {
                over = middle;
            }
        }
        // a value that can be set on site: the roundest one on the right side of the border
        let candidates = [(over, 2), (over, 3), (within, 3)];
        let round = candidates.map(|(value, digits)| round_towards(value, turn, digits));
        let to = round.into_iter().find(|&value| self.keeps(key, value)).unwrap_or(within);
        Some((from, to))
    }
}

/// Rounds to so many significant digits in the direction of the turn.
fn round_towards(value: f64, turn: Turn, digits: i32) -> f64 {
    if value == 0.0 {
        return value;
    }
    let unit = 10f64.powf(value.abs().log10().floor() - f64::from(digits - 1));
    let steps = value / unit;
    let whole = match turn {
        Turn::Up => (steps - 1e-9).ceil(),
        Turn::Down => (steps + 1e-9).floor(),
    };
    // through text, so that 0.263 is 0.263 and not 0.26300000000000001
    format!("{:.3e}", whole * unit).parse().unwrap_or(value)
}
