//! A door with its settings somewhere between their ends, and what it is worth.

use std::cell::{Cell, RefCell};

use tautleaf_physics::workbench::belt_work;
use tautleaf_physics::{Door, Figure, Judge, Limit, Problems, number};

use crate::assess::Effort;

use super::minimise::Scored;
use super::tuning::Goal;
use crate::parallel::on_threads;
use crate::remedy::{Change, Rounding, with};
use crate::reserve::Reserve;
use crate::spread::{Sampling, Spread, Study, inputs_of};
use crate::trial::{Bench, Ended, Trial};

/// Settings that are tuned.
const KEYS: [&str; 10] = [
    "opening.speed",
    "opening.acceleration",
    "opening.braking",
    "opening.current_limit",
    "closing.speed",
    "closing.acceleration",
    "closing.braking",
    "closing.current_limit",
    "belt.tension",
    "telescope.tension",
];
/// How far from its present value a setting is looked for, either way.
const FACTOR: f64 = 4.0;
/// The same for speeds and currents, which matter more for each part of them.
const SMALLER_FACTOR: f64 = 2.0;
/// A strand that carries less than this goes slack next time, N.
const TAUT_N: f64 = 1.0;
/// What a newton of the slackest strand is worth as a margin.
const TAUT_SCALE_N: f64 = 100.0;
/// A limit with less margin beyond its need than this holds the tuning back.
const BINDING: f64 = 0.02;
/// What all settings that are put back or rounded may cost together, as a part of the cost.
const NEXT_TO_NOTHING: f64 = 0.002;
/// By how much a drawn door breaks a limit at least that it does not keep.
const BARELY: f64 = 1e-6;
/// What is left of a limit that is kept and has no margin, as nothing slack of none that may be: more than any reserve.
const KEPT_WHOLLY: f64 = 1.0;
/// What a need that a place just has is made less by, so that rounding leaves it there.
const A_LITTLE: f64 = 1e-4;
/// Margins closer than this are equal.
const ROUNDING: f64 = 1e-8;
/// A setting this near to the end of its range is at it.
const AT_AN_END: f64 = 0.01;

/// What the door's own margins have to be.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// One a limit, last the slack strand.
    margins: Vec<f64>,
    /// Share of the installed tension that the slackest strand has to carry.
    taut: f64,
}

impl Need {
    /// Nothing beyond the limits themselves.
    pub fn of(limits: usize) -> Self {
        Self { margins: vec![0.0; limits + 1], taut: 0.0 }
    }

    /// The reserve of each limit; of the strand that goes slack first it is a share of the installed tension.
    pub fn reserve(reserve: Reserve, limits: &[Limit]) -> Self {
        let asked = limits.iter().map(|limit| reserve.asked_of(limit));
        Self { margins: asked.chain([0.0]).collect(), taut: reserve.share() }
    }

    /// The same, and no less than these margins.
    pub fn at_least(&self, margins: &[f64]) -> Self {
        let both = self.margins.iter().zip(margins).map(|(a, b)| a.max(*b));
        Self { margins: both.collect(), taut: self.taut }
    }

    /// This part of the way from here to another need.
    pub fn towards(&self, other: &Self, part: f64) -> Self {
        let between = self.margins.iter().zip(&other.margins).map(|(a, b)| a + part * (b - a));
        Self { margins: between.collect(), taut: self.taut + part * (other.taut - self.taut) }
    }

    /// More of it for some limits.
    pub fn with_more(&self, limits: &[bool], margin: f64) -> Self {
        let more = |(n, need): (usize, &f64)| need + if limits.get(n) == Some(&true) { margin } else { 0.0 };
        Self { margins: self.margins.iter().enumerate().map(more).collect(), taut: self.taut }
    }

    /// What a door with this installed tension has to have left of each limit, last of the slack strand.
    fn margins(&self, installed_n: f64) -> Vec<f64> {
        let mut margins = self.margins.clone();
        if let Some(slack) = margins.last_mut() {
            *slack = slack.max((self.taut * installed_n - TAUT_N) / TAUT_SCALE_N);
        }
        margins
    }
}

/// The lower of the installed tensions of a door's belts, N.
fn installed_n(door: &Door) -> f64 {
    let p = door.parameters();
    p.telescope.as_ref().map_or(p.belt.tension_n, |telescope| telescope.tension_n.min(p.belt.tension_n))
}

/// Whether a door keeps a limit, if it was judged, and what is left of it.
pub type Kept = (Option<bool>, Option<f64>);

/// Drawn doors that have to keep every limit too, whatever the settings.
#[derive(Clone, Debug)]
pub struct Hard<'a> {
    /// The listed spreads, and the seed of the draws.
    pub spreads: &'a [Spread],
    pub seed: u64,
    /// Threads.
    pub threads: usize,
    /// Which draws they are.
    pub indices: Vec<u64>,
}

/// Doors that differ in their settings.
pub struct Candidates<'a> {
    door: &'a Door,
    /// How each is run and judged.
    pub bench: Bench,
    /// Key, lower and upper end of each setting, SI.
    axes: Vec<(&'static str, f64, f64)>,
    cycles: Cell<u64>,
    hard: RefCell<Option<Hard<'a>>>,
}

impl<'a> Candidates<'a> {
    /// Between the ends of what is usual, no further than four times from where they are, speeds and currents twice; a
    /// belt no tighter than its cords bear.
    pub fn new(door: &'a Door, bench: &Bench) -> Self {
        let axis = |key: &'static str| {
            let number = number(key)?;
            let now = number.get(door.parameters()).filter(|now| *now > 0.0)?;
            let fine = key.ends_with("speed") || key.ends_with("current_limit");
            let factor = if fine { SMALLER_FACTOR } else { FACTOR };
            let (low, high) = (number.usual.0.max(now / factor), number.usual.1.min(now * factor));
            let high = high.min(bears_n(door, key));
            (low > 0.0 && high > low).then_some((key, low, high))
        };
        // what is only advised holds nothing back: it is measured in the end
        let bench = Bench { effort: Effort::MayFail, ..bench.clone() };
        let axes = KEYS.into_iter().filter_map(axis).collect();
        Self { door, bench, axes, cycles: Cell::new(0), hard: RefCell::new(None) }
    }

    /// From now on these drawn doors count as well as the door itself.
    pub fn beside(&self, hard: Hard<'a>) {
        *self.hard.borrow_mut() = Some(hard);
    }

    /// What each hard door keeps with the settings of a door; `None`: it cannot be drawn.
    fn hard_rows(&self, door: &Door) -> Option<Vec<Vec<Kept>>> {
        let hard = self.hard.borrow();
        let Some(hard) = hard.as_ref() else { return Some(Vec::new()) };
        let inputs = inputs_of(door, hard.spreads).ok()?;
        let study = Study::new(door, inputs, self.bench.clone(), hard.seed, Sampling::Sobol);
        self.count(hard.indices.len() as u64);
        let bench = &self.bench;
        let trials =
            on_threads(hard.indices.len(), hard.threads, |n| bench.trial(study.drawn(hard.indices[n]).0));
        Some(trials.iter().map(|trial| self.row(trial)).collect())
    }

    /// Where the settings are now, each as a part of its range.
    pub fn now(&self) -> Vec<f64> {
        let part = |&(key, low, high): &(&str, f64, f64)| {
            let now = number(key).and_then(|number| number.get(self.door.parameters())).unwrap_or(low);
            ((now / low).ln() / (high / low).ln()).clamp(0.0, 1.0)
        };
        self.axes.iter().map(part).collect()
    }

    /// A place this part of the way to slow and soft, the belt to tight.
    pub fn calmer(&self, at: &[f64], part: f64) -> Vec<f64> {
        let calmer = |(&x, axis): (&f64, &(&str, f64, f64))| match axis.0 {
            "belt.tension" | "telescope.tension" => x + part * (1.0 - x),
            _ => x * (1.0 - part),
        };
        at.iter().zip(&self.axes).map(calmer).collect()
    }

    fn value(&self, n: usize, x: f64) -> f64 {
        let (_, low, high) = self.axes[n];
        low * (high / low).powf(x.clamp(0.0, 1.0))
    }

    fn changes(&self, at: &[f64]) -> Vec<Change> {
        let change = |(n, &x): (usize, &f64)| {
            let key = self.axes[n].0;
            let from = number(key)?.get(self.door.parameters())?;
            Some(Change { key, from, to: self.value(n, x) })
        };
        at.iter().enumerate().filter_map(change).collect()
    }

    /// The door at a place.
    ///
    /// # Errors
    /// Why it cannot be built.
    pub fn door(&self, at: &[f64]) -> Result<Door, Problems> {
        self.with(&self.changes(at))
    }

    /// The door with these changes.
    ///
    /// # Errors
    /// Why it cannot be built.
    pub fn with(&self, changes: &[Change]) -> Result<Door, Problems> {
        Door::try_from(crate::advise::changed(self.door.given(), changes))
    }

    /// The door at a place, run.
    ///
    /// # Errors
    /// Why it cannot be built.
    pub fn trial(&self, at: &[f64]) -> Result<Trial, Problems> {
        let door = self.door(at)?;
        self.count(1);
        Ok(self.bench.run(&door))
    }

    /// Each limit that may fail a door, last the slack strand. A door that does not do what it is told keeps none, and a limit
    /// that was not tested where it matters is not kept.
    pub fn row(&self, trial: &Trial) -> Vec<Kept> {
        let done = trial.ended == Ended::Done;
        let limits = self.bench.criteria.limits.iter().zip(&trial.judged).map(|(limit, judged)| {
            match (limit.judge, done) {
                (Judge::Advisory, _) => (None, None),
                (Judge::Limit, true) if judged.untested => (Some(false), None),
                (Judge::Limit, true) => (judged.kept, judged.margin),
                (Judge::Limit, false) => (Some(false), None),
            }
        });
        let least = trial.get(Figure::LeastTension).filter(|_| done);
        let taut = least.map(|least| (least - TAUT_N) / TAUT_SCALE_N);
        limits.chain([(Some(taut.is_some_and(|taut| taut >= 0.0)), taut)]).collect()
    }

    /// Whether a trial keeps every limit that the door as it is was judged by, and every strand taut.
    pub fn keeps(&self, trial: &Trial, before: &Trial) -> bool {
        let kept = |(now, then): (&Kept, &Kept)| now.0.unwrap_or(then.0.is_none());
        self.row(trial).iter().zip(&self.row(before)).all(kept)
    }

    /// What a trial has left of each limit that may fail a door, last of the slack strand; negative: it is not kept.
    fn left(&self, trial: &Trial, before: &Trial) -> Vec<f64> {
        let left = |(now, then): (Kept, Kept)| match now {
            (_, Some(margin)) => margin,
            // kept or not, with no margin to tell
            (Some(true), None) => KEPT_WHOLLY,
            (Some(false), None) => -1.0,
            // judged as the door is and no longer: not kept
            (None, None) if then.0.is_some() => -1.0,
            (None, None) => KEPT_WHOLLY,
        };
        self.row(trial).into_iter().zip(self.row(before)).map(left).collect()
    }

    /// How far a place is from having a need, with every limit kept: the cost is the sum of the squares of what each is short
    /// of, as parts of what it needs.
    pub fn shortage(&self, at: &[f64], need: &Need, goal: Goal, before: &Trial) -> Scored {
        let kept = self.score(at, &Need::of(self.bench.criteria.limits.len()), goal, before);
        let Ok(door) = self.door(at) else { return self.given_up() };
        let short = |(need, left): (f64, &f64)| {
            if need > 0.0 { ((need - left) / need).max(0.0).powi(2) } else { 0.0 }
        };
        let cost = need.margins(installed_n(&door)).into_iter().zip(&kept.left).map(short).sum();
        Scored { cost, left: kept.left }
    }

    /// As much of a need as a place has.
    pub fn had(&self, at: &[f64], need: &Need, goal: Goal, before: &Trial) -> Option<Need> {
        let kept = self.score(at, &Need::of(self.bench.criteria.limits.len()), goal, before);
        let tension_n = installed_n(&self.door(at).ok()?);
        let had = |(need, left): (&f64, &f64)| need.min(left - A_LITTLE).max(0.0);
        let margins: Vec<f64> = need.margins.iter().zip(&kept.left).map(had).collect();
        let slackest_n = TAUT_N + TAUT_SCALE_N * kept.left.get(need.margins.len() - 1)?;
        Some(Need { margins, taut: need.taut.min(slackest_n / tension_n - A_LITTLE).max(0.0) })
    }

    /// The limits that a door keeps with less left than a need, by their place; one more than there are: the slack strand.
    pub fn lacking(&self, door: &Door, trial: &Trial, need: &Need) -> Vec<usize> {
        let row = self.row(trial);
        let margins = need.margins(installed_n(door));
        let lacks = |n: &usize| {
            let (kept, left) = row[*n];
            kept == Some(true) && left.is_some_and(|left| left < margins[*n] - ROUNDING)
        };
        (0..row.len()).filter(lacks).collect()
    }

    /// What a place is worth.
    pub fn score(&self, at: &[f64], need: &Need, goal: Goal, before: &Trial) -> Scored {
        self.score_of(&self.changes(at), need, goal, before)
    }

    /// What changes are worth.
    pub fn score_of(&self, changes: &[Change], need: &Need, goal: Goal, before: &Trial) -> Scored {
        let Some(door) = with(self.door, changes) else { return self.given_up() };
        self.count(1);
        let trial = self.bench.run(&door);
        let sum =
            |trial: &Trial| -> Option<f64> { goal.figures().iter().map(|&figure| trial.get(figure)).sum() };
        let base = sum(before).filter(|base| *base > 0.0).unwrap_or(1.0);
        let Some(cost) = sum(&trial).filter(|_| trial.ended == Ended::Done) else { return self.given_up() };
        let mut left: Vec<f64> = self.left(&trial, before);
        for (left, need) in left.iter_mut().zip(need.margins(installed_n(&door))) {
            *left -= need;
        }
        let Some(hard) = self.hard_rows(&door) else { return self.given_up() };
        for row in hard {
            for (left, kept) in left.iter_mut().zip(row) {
                let theirs = match kept {
                    (Some(false), margin) => margin.map_or(-1.0, |margin| margin.min(-BARELY)),
                    (_, margin) => margin.unwrap_or(1.0),
                };
                *left = left.min(theirs);
            }
        }
        left.push(match (goal, time_s(before), time_s(&trial)) {
            (Goal::Fastest, ..) | (_, None, _) => 1.0,
            (_, Some(before), Some(now)) => (before - now) / before,
            (_, Some(_), None) => -1.0,
        });
        Scored { cost: cost / base, left }
    }

    /// What a door is worth that cannot be run.
    pub fn given_up(&self) -> Scored {
        Scored { cost: 10.0, left: vec![-1.0; self.bench.criteria.limits.len() + 2] }
    }

    /// The changes at a place as they can be set, worked on one after the other, the belt first: put back where that costs
    /// next to nothing, else rounded, to the calm side where that keeps what was found.
    pub fn settable(&self, at: &[f64], score: impl Fn(&[Change]) -> Scored) -> Vec<Change> {
        let mut changes = self.changes(at);
        changes.sort_by_key(|change| !change.key.ends_with("tension"));
        let found = score(&changes);
        let (broken, dearest) = (found.broken().max(1e-9), found.cost * (1.0 + NEXT_TO_NOTHING));
        for n in 0..changes.len() {
            let Change { key, from, to } = changes[n];
            let mut places = vec![from];
            match key {
                // the second belt is tightened by feel: its number is rounded like any other
                "belt.tension" => places.extend(self.quarter_turns(from, to)),
                _ => places.extend([f64::INFINITY, 0.0].map(|away| Rounding::outward(to, away).to(3))),
            }
            let does = |place: &f64| {
                let mut attempt = changes.clone();
                attempt[n].to = *place;
                let there = score(&attempt);
                there.broken() <= broken && there.cost <= dearest
            };
            changes[n].to = places.into_iter().find(does).unwrap_or(to);
        }
        changes.retain(|change| change.to != change.from);
        changes.sort_by_key(|change| KEYS.iter().position(|key| *key == change.key));
        changes
    }

    /// Tensions around `to` that whole quarter turns of the nut reach, the tighter one first.
    fn quarter_turns(&self, from: f64, to: f64) -> Vec<f64> {
        let work = belt_work(self.door);
        let (quarters, turns_per_n) = (4.0 * work.turns_between(from, to), work.turns_between(0.0, 1.0));
        let at = |quarters: f64| from + quarters / (4.0 * turns_per_n);
        if turns_per_n > 0.0 { vec![at(quarters.ceil()), at(quarters.floor())] } else { Vec::new() }
    }

    /// Settings that were taken to an end of where they were looked for.
    pub fn at_an_end(&self, changes: &[Change]) -> Vec<&'static str> {
        let is_at_end = |change: &&Change| {
            let axis = self.axes.iter().find(|axis| axis.0 == change.key);
            axis.is_some_and(|&(_, low, high)| {
                let end = if change.to > change.from { high } else { low };
                (change.to / end - 1.0).abs() < AT_AN_END
            })
        };
        changes.iter().filter(is_at_end).map(|change| change.key).collect()
    }

    /// The limits that have next to nothing left of what they need; their number: a slack strand.
    pub fn binding(&self, door: &Door, trial: &Trial, need: &Need) -> Vec<usize> {
        let (row, needs) = (self.row(trial), need.margins(installed_n(door)));
        let holds = |n: &usize| row[*n].1.is_some_and(|margin| margin - needs[*n] < BINDING);
        (0..row.len()).filter(holds).collect()
    }

    /// Counts cycles.
    pub fn count(&self, cycles: u64) {
        self.cycles.set(self.cycles.get() + cycles);
    }

    /// How many were run.
    pub fn cycles(&self) -> u64 {
        self.cycles.get()
    }
}

/// What the cords of the belt of a tension bear, N; no end for other settings.
fn bears_n(door: &Door, key: &str) -> f64 {
    let (p, work) = (door.parameters(), belt_work(door));
    match (key, &p.telescope) {
        ("belt.tension", _) => work.allowable_n,
        ("telescope.tension", Some(telescope)) => work.allowable_n * telescope.belt_width_m / p.belt.width_m,
        _ => f64::INFINITY,
    }
}

/// Opening and closing time together, s.
pub fn time_s(trial: &Trial) -> Option<f64> {
    Some(trial.get(Figure::OpeningTime)? + trial.get(Figure::ClosingTime)?)
}
