//! What to turn on site: what each setting does to each margin, and the least that brings all limits within.

use std::ops::ControlFlow;

use tautleaf_physics::workbench::belt_work;
use tautleaf_physics::{Door, Parameters, Verdict, number};

use crate::assess::{Criteria, Effort, Standing, fails, is_untested};

use crate::in_order::in_order;
use crate::parallel::cores;
use crate::remark::Remark;
use crate::remedy::{Change, Rounding, more_left, remedy, with};
use crate::reserve::Reserve;
use crate::site::SITE;
use crate::spread::{Probability, Spread, Undrawable};
use crate::sure::{MORE_RESERVE, Sure};
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
    /// The least that brings all within, with the reserve left where that can be; empty: nothing is over, and nothing gives more
    /// of the reserve. `None`: no setting brings all within, or it was stopped.
    pub plan: Option<Vec<Change>>,
    /// Whether it was stopped before all was worked out.
    pub stopped: bool,
    /// The limits with it.
    pub after: Vec<Verdict>,
    /// What was to be left of each limit.
    pub reserve: Reserve,
    /// How surely the door with the plan keeps everything; `None`: nobody asked, or there is no plan.
    pub surely: Option<(Sure, Probability)>,
    /// What a run with the plan shows beside its figures, or of the door as it is where there is none.
    pub remarks: Vec<Remark>,
}

impl Advice {
    /// Whether the door as it is does what it is told; else nothing is advised.
    pub fn runs(&self) -> bool {
        !matches!(self.standing, Standing::Unfinished(_))
    }

    /// Limits that the plan keeps with less left than the reserve: no setting gives more without another limit losing its own.
    pub fn lacking(&self) -> impl Iterator<Item = &Verdict> {
        self.after.iter().filter(|verdict| self.reserve.is_lacking(verdict))
    }

    /// The limits that are worth telling, by their place: what a sound door keeps only where this one does not.
    pub fn worth_telling(&self) -> impl Iterator<Item = usize> + '_ {
        let breaks = |n: usize| [&self.before[n], &self.after[n]].iter().any(|verdict| fails(verdict));
        (0..self.before.len()).filter(move |&n| !self.before[n].limit.is_of_sound_door() || breaks(n))
    }

    /// Whether nobody set a limit, and the door is sound.
    pub fn has_nothing_to_hold_to(&self) -> bool {
        self.worth_telling().next().is_none()
    }

    /// Whether anything was over before.
    pub fn was_over(&self) -> bool {
        self.before.iter().any(fails)
    }
}

/// Works out what to turn. The plan leaves the reserve of every limit where it can.
///
/// The plan brings back one limit after the other, then gives those that are kept with less left than the reserve more of it, as
/// long as none loses its own by that; then it takes every change back as far as the limits stay within with as many reserves
/// left, and rounds it outward to what can be set.
///
/// What a sound door keeps counts among the limits, but for how the door stands as it is.
pub fn advise(door: &Door, criteria: &Criteria, reserve: Reserve, watch: &Watch<'_>) -> Advice {
    let of_user = criteria.limits.len();
    let criteria = &criteria.with_soundness();
    let assessment = criteria.assess(door, Effort::AsJudged);
    let standing = Standing::of(door, &assessment.run, &assessment.verdicts[..of_user]);
    let runs = !assessment.is_unfinished();
    let before = assessment.verdicts;
    let over = before.iter().filter(|verdict| fails(verdict)).count() as f64;
    let expected = 2.0 * SITE.len() as f64 / cores() as f64;
    let stages = Stages::new(watch, expected + A_ROUND * over);
    let aimed = criteria.with_margin(reserve.share());
    let trial = Trial { criteria, aimed, reserve, stages };
    trial.stages.begin(expected);
    let effects = if runs { trial.effects(door, &before) } else { Vec::new() };
    let plan = if runs { trial.plan(door) } else { None };
    let stopped = trial.stages.is_stopped();
    let changed = plan.as_deref().and_then(|changes| with(door, changes));
    let after = changed.as_ref().map_or_else(|| before.clone(), |changed| trial.verdicts(changed));
    let remarks = Remark::of(changed.as_ref().unwrap_or(door), criteria, Effort::AsJudged);
    Advice { standing, after, before, effects, plan, stopped, reserve, surely: None, remarks }
}

/// What [`advise`] works out with the least reserve with which drawn doors keep everything as surely as is wanted; where none does,
/// with the one that comes nearest.
///
/// # Errors
/// Every listed spread that cannot be drawn.
pub fn advise_surely(
    door: &Door,
    criteria: &Criteria,
    reserve: Reserve,
    (spreads, wanted): (&[Spread], Sure),
    watch: &Watch<'_>,
) -> Result<Advice, Undrawable> {
    let mut nearest = advise(door, criteria, reserve, watch);
    let mut advice = nearest.clone();
    for more in MORE_RESERVE {
        if more > 0.0 {
            let Some(reserve) = Reserve::of(reserve.share() + more) else { break };
            advice = advise(door, criteria, reserve, watch);
        }
        let Some(planned) = advice.plan.as_deref().and_then(|changes| with(door, changes)) else { break };
        let kept = wanted.count(&planned, criteria, spreads, watch.stop)?;
        advice.surely = Some((wanted, kept));
        if nearest.surely.is_none_or(|(_, nearest)| nearest.times < kept.times) {
            nearest = advice.clone();
        }
        if wanted.is_met(&kept) || advice.stopped {
            break;
        }
    }
    Ok(nearest)
}

struct Trial<'a> {
    criteria: &'a Criteria,
    /// The same, with the reserve as the margin that is wanted.
    aimed: Criteria,
    reserve: Reserve,
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
        // nothing is over with these
        let mut kept = None;
        for _ in 0..MOST_ROUNDS {
            self.stages.begin(A_ROUND);
            if self.stages.is_stopped() {
                return None;
            }
            let changed = with(door, &changes)?;
            let verdicts = self.verdicts(&changed);
            let over: Vec<usize> = (0..verdicts.len()).filter(|&n| fails(&verdicts[n])).collect();
            let found = if over.is_empty() {
                kept = Some(changes.clone());
                self.more_reserve(&changed, &verdicts)
            } else {
                over.into_iter()
                    .find_map(|index| remedy(&changed, &self.aimed, index))
                    .map(|found| found.changes)
            };
            let Some(found) = found else { break };
            for change in found {
                match changes.iter_mut().find(|earlier| earlier.key == change.key) {
                    Some(earlier) => earlier.to = change.to,
                    None => changes.push(change),
                }
            }
        }
        Some(self.least(door, kept?))
    }

    /// How many limits are kept with less left than the reserve.
    fn lacking(&self, verdicts: &[Verdict]) -> usize {
        verdicts.iter().filter(|verdict| self.reserve.is_lacking(verdict)).count()
    }

    /// What gives one limit more of its reserve; `None`: nothing is over and none lacks it, or no setting gives it without
    /// another limit losing its own.
    fn more_reserve(&self, door: &Door, verdicts: &[Verdict]) -> Option<Vec<Change>> {
        let lacking = self.lacking(verdicts);
        let helps = |changes: &[Change]| {
            let Some(verdicts) = with(door, changes).map(|door| self.verdicts(&door)) else { return false };
            !verdicts.iter().any(|verdict| fails(verdict) || is_untested(verdict))
                && self.lacking(&verdicts) < lacking
        };
        let mut short = (0..verdicts.len()).filter(|&n| self.reserve.is_lacking(&verdicts[n]));
        short.find_map(|index| more_left(door, self.criteria, index, self.reserve, &helps))
    }

    /// Takes each change back, the last one first, as far as no limit is over and no more of them lack their reserve
    /// than do with all changes whole.
    fn least(&self, door: &Door, mut changes: Vec<Change>) -> Vec<Change> {
        let Some(whole) = with(door, &changes).map(|door| self.verdicts(&door)) else { return changes };
        let allowed = self.lacking(&whole);
        let keeps = |changes: &[Change]| {
            let Some(verdicts) = with(door, changes).map(|door| self.verdicts(&door)) else { return false };
            !verdicts.iter().any(fails) && self.lacking(&verdicts) <= allowed
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
