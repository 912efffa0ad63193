//! What to turn on site: what each setting does to each margin, and the least that brings all limits within.

use std::ops::ControlFlow;

use tautleaf_physics::workbench::belt_work;
use tautleaf_physics::{Door, Outcome, Parameters, Verdict, number};

use crate::assess::{Criteria, Effort, Standing, fails};

use crate::in_order::in_order;
use crate::parallel::cores;
use crate::remedy::{Change, Rounding, remedy, with};
use crate::site::SITE;
use crate::watch::{Stages, Watch};

/// Most limits that are brought back one after the other: one that undoes another ends it.
const MOST_ROUNDS: usize = 12;
/// Halvings in which a change is taken back as far as the limits allow.
const HALVINGS: usize = 7;
/// Doors that the way back of one limit is expected to run, so that it can be said how far it is.
const A_ROUND: f64 = 60.0;

/// What one step of one setting does.
#[derive(Clone, Debug, PartialEq)]
pub struct Effect {
    /// The step.
    pub change: Change,
    /// How much more of each limit's allowed value is left, as a fraction of it; `None`: not judged before or after.
    pub margins: Vec<Option<f64>>,
}

/// What to turn.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// How the door stands as it is: one that does not open and close, or lose power as it is told, is advised nothing.
    pub standing: Standing,
    /// The limits as the door is.
    pub before: Vec<Verdict>,
    /// One step of every setting, down and up.
    pub effects: Vec<Effect>,
    /// The least that brings all within; empty: nothing is over. `None`: no setting does, or it was stopped.
    pub plan: Option<Vec<Change>>,
    /// Whether it was stopped before all was worked out.
    pub stopped: bool,
    /// The limits with it.
    pub after: Vec<Verdict>,
}

impl Advice {
    /// Whether the door as it is does what it is told; else nothing is advised.
    pub fn runs(&self) -> bool {
        !matches!(self.standing, Standing::Unfinished(_))
    }
}

/// Works out what to turn. The plan leaves the margin of the criteria where it can.
///
/// The plan brings back one limit after the other, then takes every change back as far as the limits stay within with as much
/// margin, and rounds it outward to what can be set.
pub fn advise(door: &Door, criteria: &Criteria, watch: &Watch<'_>) -> Advice {
    let assessment = criteria.assess(door, Effort::AsJudged);
    let standing = assessment.standing();
    let runs = !assessment.is_unfinished();
    let before = assessment.verdicts;
    let over = before.iter().filter(|verdict| fails(verdict)).count() as f64;
    let expected = 2.0 * SITE.len() as f64 / cores() as f64;
    let stages = Stages::new(watch, expected + A_ROUND * over);
    let trial = Trial { criteria, stages };
    trial.stages.begin(expected);
    let effects = if runs { trial.effects(door, &before) } else { Vec::new() };
    let plan = if runs { trial.plan(door) } else { None };
    let stopped = trial.stages.is_stopped();
    let after = match plan.as_deref() {
        Some(changes) => with(door, changes).map(|changed| trial.verdicts(&changed)),
        None => None,
    };
    Advice { standing, after: after.unwrap_or_else(|| before.clone()), before, effects, plan, stopped }
}

struct Trial<'a> {
    criteria: &'a Criteria,
    stages: Stages<'a>,
}

impl Trial<'_> {
    fn verdicts(&self, door: &Door) -> Vec<Verdict> {
        self.criteria.assess(door, Effort::AsJudged).verdicts
    }

    fn effects(&self, door: &Door, before: &[Verdict]) -> Vec<Effect> {
        let steps = |(now, values): (f64, [Option<f64>; 2]), key| {
            values.into_iter().flatten().map(move |to| Change { key, from: now, to })
        };
        let changes: Vec<Change> = SITE
            .iter()
            .filter_map(|setting| Some(steps(setting.steps(door)?, setting.key)))
            .flatten()
            .collect();
        let effect = |index: u64| {
            let change = changes[index as usize];
            let after = self.verdicts(&with(door, &[change])?);
            self.stages.step(1.0 / cores() as f64);
            let more = |(a, b): (&Verdict, &Verdict)| Some(b.margin? - a.margin?);
            Some(Effect { change, margins: before.iter().zip(&after).map(more).collect() })
        };
        let mut effects = Vec::new();
        in_order(0..changes.len() as u64, cores(), self.stages.stop(), effect, |_, effect| {
            effects.extend(effect);
            ControlFlow::Continue(())
        });
        effects
    }

    fn plan(&self, door: &Door) -> Option<Vec<Change>> {
        let mut changes: Vec<Change> = Vec::new();
        for _ in 0..MOST_ROUNDS {
            self.stages.begin(A_ROUND);
            if self.stages.is_stopped() {
                return None;
            }
            let changed = with(door, &changes)?;
            let verdicts = self.verdicts(&changed);
            let over: Vec<usize> = (0..verdicts.len()).filter(|&n| fails(&verdicts[n])).collect();
            if over.is_empty() {
                return Some(self.least(door, changes));
            }
            let found = over.into_iter().find_map(|index| remedy(&changed, self.criteria, index))?;
            for change in found.changes {
                match changes.iter_mut().find(|earlier| earlier.key == change.key) {
                    Some(earlier) => earlier.to = change.to,
                    None => changes.push(change),
                }
            }
        }
        None
    }

    /// Takes each change back, the last one first, as far as no limit is over and no more of them are close than are
    /// with all changes whole.
    fn least(&self, door: &Door, mut changes: Vec<Change>) -> Vec<Change> {
        let close = |verdicts: &[Verdict]| {
            let tight = |verdict: &&Verdict| verdict.limit.may_fail() && verdict.outcome != Outcome::Within;
            verdicts.iter().filter(tight).count()
        };
        let Some(whole) = with(door, &changes).map(|door| self.verdicts(&door)) else { return changes };
        let allowed = close(&whole);
        let keeps = |changes: &[Change]| {
            let Some(verdicts) = with(door, changes).map(|door| self.verdicts(&door)) else { return false };
            !verdicts.iter().any(fails) && close(&verdicts) <= allowed
        };
        for n in (0..changes.len()).rev() {
            let Change { from, to, .. } = changes[n];
            let mut attempt = changes.clone();
            let mut at = |value: f64| {
                attempt[n].to = value;
                keeps(&attempt)
            };
            let (mut over, mut within) = (from, to);
            if at(from) {
                within = from;
            } else {
                for _ in 0..HALVINGS {
                    let middle = 0.5 * (over + within);
                    if at(middle) { within = middle } else { over = middle }
                }
            }
            let round = [2, 3].map(|digits| Rounding::outward(within, from).to(digits));
            let quarter = (changes[n].key == "belt.tension").then(|| next_quarter_turn(door, from, within));
            let settable = |value: &f64| at(*value);
            changes[n].to = quarter.into_iter().chain(round).find(settable).unwrap_or(within);
        }
        changes.retain(|change| change.to != change.from);
        changes
    }
}

/// The tension beyond `to` that a whole number of quarter turns of the nut reaches.
fn next_quarter_turn(door: &Door, from: f64, to: f64) -> f64 {
    let turns = belt_work(door).turns_between(from, to);
    let quarters = if turns > 0.0 { (4.0 * turns).ceil() } else { (4.0 * turns).floor() };
    if quarters == 0.0 { to } else { from + (to - from) * quarters / (4.0 * turns) }
}

/// The parameters of a door with the changes of a plan.
pub fn changed(parameters: &Parameters, changes: &[Change]) -> Parameters {
    let mut changed = parameters.clone();
    for change in changes {
        if let Some(number) = number(change.key) {
            number.set(&mut changed, Some(change.to));
        }
    }
    changed
}
