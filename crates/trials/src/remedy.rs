//! The setting that brings a limit back within, found by running the door again.

use tautleaf_physics::{Door, EventKind, Outcome, Parameters, Run, Setting, Turn, Verdict, number};

use crate::assess::{Criteria, Effort};
use crate::reserve::Reserve;

/// A change that brings a limit back within.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// What to turn: one setting, or both where the limit holds on the way open and on the way closed.
    pub changes: Vec<Change>,
    /// Keys of limits that were within and would then be over.
    pub breaks: Vec<String>,
    /// Keys of limits that are over and would then be further over.
    pub worsens: Vec<String>,
}

/// A setting and its new value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// Dotted key of the setting.
    pub key: &'static str,
    /// Its value now, SI.
    pub from: f64,
    /// The value that does it, SI.
    pub to: f64,
}

/// Coarse steps from the present value to the end of the usual range.
const COARSE: usize = 8;
/// Bisections between the last value that is over and the first that is within.
const FINE: usize = 7;
/// Share of the way to the end of the usual range that is not worth leaving: a play of a hundredth is no play.
const NEXT_TO_NOTHING: f64 = 0.02;

/// What to turn to bring limit `index` back within, found by running the door again with it; `None`: no setting
/// within its usual range does, or the limit is not over.
///
/// What a sound door keeps is a limit like others here, too.
///
/// A value that leaves the wanted margin is preferred to one that is just within. One that puts another limit
/// over is only proposed where no other helps, and says so.
pub fn remedy(door: &Door, criteria: &Criteria, index: usize) -> Option<Remedy> {
    let criteria = &criteria.with_soundness();
    let limit = criteria.limits.get(index)?;
    let figure = limit.figure?;
    let before = criteria.assess(door, Effort::AsJudged);
    let verdicts = &before.verdicts;
    if verdicts[index].outcome != Outcome::Over {
        return None;
    }
    let mut fallback = None;
    for margin in [criteria.close_margin, 0.0] {
        let trial = Trial { door, criteria: criteria.only(limit).with_margin(margin) };
        let opening = is_opening(&before.run, &verdicts[index]);
        for &setting in figure.levers().where_worst(opening) {
            let Some(changes) = trial.search(setting) else { continue };
            let (breaks, worsens) = spoiled(door, criteria, &changes, verdicts);
            let found = Remedy { changes, breaks, worsens };
            if found.breaks.is_empty() {
                return Some(found);
            }
            fallback.get_or_insert(found);
        }
    }
    fallback
}

/// What to turn so that limit `index`, which is kept, has its reserve left; the first lever that does and that `helps` says yes
/// to. `None`: no setting within its usual range does.
pub(crate) fn more_left(
    door: &Door,
    criteria: &Criteria,
    index: usize,
    reserve: Reserve,
    helps: &dyn Fn(&[Change]) -> bool,
) -> Option<Vec<Change>> {
    let limit = criteria.limits.get(index)?;
    let before = criteria.assess(door, Effort::AsJudged);
    let trial = Trial { door, criteria: criteria.only(limit).with_margin(reserve.asked_of(limit)) };
    let opening = is_opening(&before.run, &before.verdicts[index]);
    let levers = limit.figure?.levers().where_worst(opening).iter();
    levers.filter_map(|&setting| trial.search(setting)).find(|changes| helps(changes))
}

/// Whether a figure was worst before the door began to close.
fn is_opening(run: &Run, verdict: &Verdict) -> bool {
    let close = run.events.iter().find(|event| event.kind == EventKind::CommandClose);
    match (verdict.at, close) {
        (Some(at), Some(close)) => at.t_s < close.at.t_s,
        _ => true,
    }
}

/// The door with settings changed, if it can be.
pub(crate) fn with(door: &Door, changes: &[Change]) -> Option<Door> {
    let mut parameters: Parameters = door.given().clone();
    for change in changes {
        if !number(change.key)?.set(&mut parameters, Some(change.to)) {
            return None;
        }
    }
    Door::try_from(parameters).ok()
}

/// Margin, as a fraction of what is allowed, that a limit which is over anyway may lose unsaid.
const UNSAID: f64 = 0.005;

/// Limits that were not over and are with the change; and those that were, and are further over.
fn spoiled(
    door: &Door,
    criteria: &Criteria,
    changes: &[Change],
    before: &[Verdict],
) -> (Vec<String>, Vec<String>) {
    let Some(changed) = with(door, changes) else { return Default::default() };
    let after = criteria.assess(&changed, Effort::AsJudged).verdicts;
    let newly = |(old, new): &(&Verdict, &Verdict)| {
        matches!(old.outcome, Outcome::Within | Outcome::Close)
            && matches!(new.outcome, Outcome::Over | Outcome::NotJudged)
    };
    let further = |(old, new): &(&Verdict, &Verdict)| {
        let lost = old.margin.zip(new.margin).map_or(0.0, |(old, new)| old - new);
        old.outcome == Outcome::Over && new.outcome == Outcome::Over && lost > UNSAID
    };
    let keys = |of: &dyn Fn(&(&Verdict, &Verdict)) -> bool| {
        before.iter().zip(&after).filter(|pair| of(pair)).map(|(_, new)| new.limit.key.clone()).collect()
    };
    (keys(&newly), keys(&further))
}

/// One limit, tried with one setting at many values.
struct Trial<'a> {
    door: &'a Door,
    /// The limit, with the margin that has to be left.
    criteria: Criteria,
}

impl Trial<'_> {
    /// Whether the limit is kept, with the margin, after these changes.
    fn keeps(&self, changes: &[Change]) -> bool {
        let Some(door) = with(self.door, changes) else { return false };
        // one that does not finish is not judged
        self.criteria.assess(&door, Effort::AsJudged).verdicts[0].outcome == Outcome::Within
    }

    /// The least change of a setting within its usual range that keeps the limit.
    fn search(&self, setting: Setting) -> Option<Vec<Change>> {
        let (from, end, turn) = self.range(setting)?;
        let keeps = |value: f64| self.keeps(&self.changes(setting, value));
        let at = |n: usize| from + (end - from) * n as f64 / COARSE as f64;
        let first = (1..=COARSE).find(|&n| keeps(at(n)))?;
        let (mut over, mut within) = (at(first - 1), at(first));
        for _ in 0..FINE {
            let middle = (over + within) / 2.0;
            if keeps(middle) {
                within = middle;
            } else {
                over = middle;
            }
        }
        // next to nothing of what there was: take away all of it
        if (within - end).abs() < NEXT_TO_NOTHING * (from - end).abs() && keeps(end) {
            return Some(self.changes(setting, end));
        }
        // a value that can be set on site: the roundest one on the right side of the border
        let candidates = [(over, 2), (over, 3), (within, 3)];
        let round = candidates.map(|(value, digits)| round_towards(value, turn, digits));
        let to = round.into_iter().find(|&value| keeps(value)).unwrap_or(within);
        Some(self.changes(setting, to))
    }

    /// Where a search begins and ends, and which way it goes; `None`: there is no way to go.
    fn range(&self, setting: Setting) -> Option<(f64, f64, Turn)> {
        let (keys, turn) = match &setting {
            Setting::One(key, turn) => (std::slice::from_ref(key), *turn),
            Setting::Cap(keys) => (*keys, Turn::Down),
        };
        let numbers = || keys.iter().filter_map(|key| number(key));
        let now = numbers().filter_map(|number| number.get(self.door.parameters())).reduce(f64::max)?;
        let end = match turn {
            // hangers go no further apart than the ends of the leaf allow
            Turn::Up if keys == ["leaf.hanger_spacing"] => {
                let p = self.door.parameters();
                p.leaf.width_m - 2.0 * p.workbench.hanger_end_least_m
            }
            Turn::Up => numbers().map(|number| number.usual.1).reduce(f64::max)?,
            Turn::Down => numbers().map(|number| number.usual.0).reduce(f64::max)?,
        };
        let goes = if turn == Turn::Up { end > now } else { end < now };
        goes.then_some((now, end, turn))
    }

    /// What turning a setting to this value changes.
    fn changes(&self, setting: Setting, to: f64) -> Vec<Change> {
        let now = |key: &str| number(key).and_then(|number| number.get(self.door.parameters()));
        let change = |key| now(key).map(|from| Change { key, from, to });
        match setting {
            Setting::One(key, _) => change(key).into_iter().collect(),
            Setting::Cap(keys) => {
                keys.iter().filter_map(|&key| change(key)).filter(|change| change.from > to).collect()
            }
        }
    }
}

/// Rounds a value away from another one, so that what was reached stays reached.
pub(crate) struct Rounding {
    value: f64,
    turn: Turn,
}

impl Rounding {
    /// Away from `from`.
    pub fn outward(value: f64, from: f64) -> Self {
        Self { value, turn: if value > from { Turn::Up } else { Turn::Down } }
    }

    /// To so many significant digits.
    pub fn to(&self, digits: i32) -> f64 {
        round_towards(self.value, self.turn, digits)
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
