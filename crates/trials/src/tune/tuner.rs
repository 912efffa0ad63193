//! A tuning under way: searches, one beside the other.

use tautleaf_physics::{Door, Judge};

use super::candidate::{self, Candidates, Need};
use super::drawn::Drawn;
use super::expected;
use super::limits_on_hits::is_on_energy_or_force;
use super::minimise::Scored;
use super::search::{Place, better, is_broken, search_from};
use super::tuned::TradeOff;
use super::tuning::{Goal, MARGINS, TuneError, Tuning};
use crate::remedy::Change;
use crate::spread::{Probability, Sampling, Spread};
use crate::trial::Trial;
use crate::watch::Stages;

/// A margin that is short of what is asked for by less is there.
const KEPT: f64 = 2e-3;

/// A tuning under way.
pub(super) struct Tuner<'a> {
    pub candidates: Candidates<'a>,
    /// The door as it is.
    pub before: Trial,
    pub spreads: &'a [Spread],
    pub tuning: &'a Tuning,
    /// Evaluations of a search that begins beside its end.
    pub fewer: usize,
    pub stages: Stages<'a>,
}

/// Settings as they can be set.
pub(super) struct Settled {
    /// Whether the place they were found at has all that was needed.
    pub whole: bool,
    pub changes: Vec<Change>,
    pub door: Door,
    pub after: Trial,
    pub curve: Vec<TradeOff>,
}

impl Tuner<'_> {
    /// The best for a goal that has a need, looked for from a place.
    pub fn search(&self, start: &[f64], need: &Need, most: usize, goal: Goal) -> Place {
        self.search_by(start, most, |x| self.candidates.score(x, need, goal, &self.before))
    }

    pub fn search_by(&self, start: &[f64], most: usize, score: impl Fn(&[f64]) -> Scored) -> Place {
        self.stages.begin(expected::search(most));
        let score = |x: &[f64]| {
            if self.stages.is_stopped() {
                return self.candidates.given_up();
            }
            self.stages.step(1.0);
            score(x)
        };
        search_from(&self.candidates, start, most, score)
    }

    /// The best for the door as it is, and what it has of the need that is asked for.
    pub fn as_it_is(&self, asked: &Need) -> (Place, Need) {
        let (candidates, goal, most) = (&self.candidates, self.tuning.goal, self.tuning.most_evaluations);
        let best = self.search(&candidates.now(), asked, most, goal);
        let best = better(self.search(&best.0, asked, self.fewer, goal), best);
        if !is_broken(&best.1) {
            return (best, asked.clone());
        }
        let none = Need::of(candidates.bench.criteria.limits.len());
        let kept = candidates.score(&best.0, &none, goal, &self.before);
        let mut plain = (best.0, kept);
        if is_broken(&plain.1) {
            plain = better(self.search(&candidates.now(), &none, most, goal), plain);
        }
        if is_broken(&plain.1) {
            return (plain, none);
        }
        let short = |x: &[f64]| candidates.shortage(x, asked, goal, &self.before);
        let nearest = self.search_by(&plain.0, most, short);
        let nearest = better((plain.0.clone(), short(&plain.0)), nearest);
        let had = candidates.had(&nearest.0, asked, goal, &self.before);
        let Some(had) = had.filter(|_| !is_broken(&nearest.1)) else { return (plain, none) };
        let there = (nearest.0.clone(), candidates.score(&nearest.0, &had, goal, &self.before));
        let best = better(self.search(&nearest.0, &had, self.fewer, goal), there);
        if is_broken(&best.1) { (plain, none) } else { (best, had) }
    }

    /// A place as it can be set, and what more margin costs; where no place has what is needed nothing is changed.
    pub fn settle(&self, mut best: Place, need: &Need) -> Result<Settled, TuneError> {
        let (candidates, goal) = (&self.candidates, self.tuning.goal);
        let whole = !is_broken(&best.1);
        let mut curve = if whole { self.trade_off(&best.0, need) } else { Vec::new() };
        if goal == Goal::Fastest {
            // a search for more margin may have found what is faster with no more of it
            for (at, _) in &curve {
                best = better((at.clone(), candidates.score(at, need, goal, &self.before)), best);
            }
        }
        self.stages.begin(expected::SETTING);
        let changes = if whole {
            candidates.settable(&best.0, |changes| {
                self.stages.step(1.0);
                candidates.score_of(changes, need, goal, &self.before)
            })
        } else {
            Vec::new()
        };
        let door = candidates.with(&changes)?;
        let after = candidates.bench.run(&door);
        if let (Goal::Fastest, Some(time)) = (goal, candidate::time_s(&after)) {
            monotone(&mut curve, time);
        }
        let curve = curve.into_iter().map(|(_, point)| point).collect();
        Ok(Settled { whole, changes, door, after, curve })
    }

    /// How likely each limit is kept, and all of them, in doors that the tuning did not see; none where nothing is proposed or
    /// nobody asked.
    pub fn promise(
        &self,
        settled: &Settled,
        nth: u64,
    ) -> Result<(Vec<Probability>, Option<Probability>), TuneError> {
        if self.tuning.probability.is_none() || !settled.whole {
            return Ok((Vec::new(), None));
        }
        let fresh = Tuning { seed: self.tuning.seed.wrapping_add(nth), ..self.tuning.clone() };
        let (candidates, spreads) = (&self.candidates, self.spreads);
        let drawn = Drawn::of(&settled.door, candidates, spreads, &fresh, Sampling::Random, &self.stages)?;
        Ok((drawn.each(), Some(drawn.all())))
    }

    /// The shortest cycle for each margin and where it is, each search beginning where the one before it ended.
    pub fn trade_off(&self, at: &[f64], need: &Need) -> Vec<(Vec<f64>, TradeOff)> {
        let candidates = &self.candidates;
        let limits = &candidates.bench.criteria.limits;
        let concerned: Vec<bool> = limits
            .iter()
            .map(|limit| limit.judge == Judge::Limit && limit.figure.is_some_and(is_on_energy_or_force))
            .collect();
        if !concerned.contains(&true) {
            return Vec::new();
        }
        let mut from = at.to_vec();
        let mut point = |margin: f64| {
            let need = need.with_more(&concerned, margin);
            let (there, scored) = self.search(&from, &need, self.fewer, Goal::Fastest);
            from.clone_from(&there);
            let kept = scored.left.iter().all(|&left| left >= -KEPT);
            let time_s =
                kept.then(|| candidates.trial(&there)).and_then(|trial| candidate::time_s(&trial.ok()?));
            (there, TradeOff { margin, time_s })
        };
        let mut points: Vec<(Vec<f64>, TradeOff)> = MARGINS.into_iter().map(&mut point).collect();
        // settings that leave more margin leave less as well
        for n in (1..points.len()).rev() {
            let both = [points[n - 1].1.time_s, points[n].1.time_s];
            points[n - 1].1.time_s = both.into_iter().flatten().reduce(f64::min);
        }
        points
    }
}

/// The curve begins at what was found, and falls nowhere.
fn monotone(curve: &mut [(Vec<f64>, TradeOff)], found_s: f64) {
    let mut least = found_s;
    for (n, (_, point)) in curve.iter_mut().enumerate() {
        point.time_s = if n == 0 { Some(found_s) } else { point.time_s.map(|time| time.max(least)) };
        least = point.time_s.unwrap_or(least);
    }
}
