//! Settings that keep every limit as surely as is wanted, in doors drawn from what is never known on site.

use tautleaf_physics::Door;

use super::candidate::{Hard, Need};
use super::drawn::Drawn;
use super::expected::{RELAXED, ROUNDS};
use super::search::{Place, is_broken};
use super::tuner::Tuner;
use super::tuning::TuneError;
use crate::spread::Sampling;

/// What relaxing them has to be worth, as a part of the cost, for it to go on.
const WORTH: f64 = 0.003;

/// The place that keeps the limits in the greatest share of drawn doors, of those that keep them as the door is.
pub(super) struct Surest {
    share: f64,
    pub place: Place,
    pub need: Need,
    /// Place and need before the margins were relaxed, where they were.
    pub before_relaxing: Option<(Place, Need)>,
}

impl Surest {
    fn see(&mut self, share: f64, place: &Place, need: &Need) {
        let first = self.share < 0.0;
        if first || (!is_broken(&place.1) && (share > self.share || is_broken(&self.place.1))) {
            (self.share, self.place, self.need) = (share, place.clone(), need.clone());
        }
    }
}

impl Tuner<'_> {
    /// The best that keeps every limit in this share of doors, from the best of the door as it is.
    ///
    /// By as much as the drawn margins fall short of the door's own, in that share of doors, its own have to be greater, and the
    /// goal is looked for again (sequential optimisation and reliability assessment, Du and Chen 2004). Each limit for itself in
    /// that share is more than all together need where the same doors break several of them: so the margins are relaxed again as
    /// far as the drawn doors allow. Where that does not come to it, drawn doors that break a limit have to keep it too, more of
    /// them each time (constraint generation).
    pub(super) fn surely(&self, probability: f64, best: Place, floor: &Need) -> Result<Surest, TuneError> {
        let (candidates, tuning) = (&self.candidates, self.tuning);
        // a little more than is wanted, so that other draws find it too
        let aimed = probability + 0.3 * (1.0 - probability);
        let mut short = 1.0 - aimed;
        let (mut best, mut need) = (best, floor.clone());
        // the surest place so far: a round that fails, or that is stopped, takes nothing away from it
        let mut surest =
            Surest { share: -1.0, place: best.clone(), need: need.clone(), before_relaxing: None };
        for _ in 0..ROUNDS {
            let drawn = self.drawn(&candidates.door(&best.0)?)?;
            surest.see(drawn.share_of(tuning.runs), &best, &need);
            if surest.share >= aimed || self.stages.is_stopped() {
                break;
            }
            need = floor.at_least(&drawn.need(&candidates.row(&candidates.trial(&best.0)?), short));
            best = self.search(&best.0, &need, self.fewer, tuning.goal);
            short *= 0.6;
        }
        if surest.share >= aimed {
            return self.relaxed(surest, floor, aimed);
        }
        // where margins jump, as where some doors no longer brake in time, doors that break a limit are tuned along
        let (seed, threads) = (tuning.seed, tuning.threads);
        let mut hard = Hard { spreads: self.spreads, seed, threads, indices: Vec::new() };
        for round in 0..=ROUNDS {
            let drawn = self.drawn(&candidates.door(&best.0)?)?;
            surest.see(drawn.share_of(tuning.runs), &best, &need);
            if surest.share >= aimed || self.stages.is_stopped() || round == ROUNDS {
                break;
            }
            let more: Vec<u64> =
                drawn.hard(aimed).into_iter().filter(|index| !hard.indices.contains(index)).collect();
            hard.indices.extend(more);
            candidates.beside(hard.clone());
            need = floor.clone();
            best = self.search(&best.0, &need, self.fewer, tuning.goal);
        }
        Ok(surest)
    }

    /// The margins that sureness needs, taken back as far as the drawn doors stay as sure as is aimed at.
    fn relaxed(&self, surest: Surest, floor: &Need, aimed: f64) -> Result<Surest, TuneError> {
        let strict = surest.need.clone();
        let (mut enough, mut too_few) = (1.0, 0.0);
        let mut found = surest;
        for _ in 0..RELAXED {
            if self.stages.is_stopped() || is_broken(&found.place.1) || strict == *floor {
                break;
            }
            let part = f64::midpoint(enough, too_few);
            let need = floor.towards(&strict, part);
            let place = self.search(&found.place.0, &need, self.fewer, self.tuning.goal);
            if is_broken(&place.1) || place.1.cost > (1.0 - WORTH) * found.place.1.cost {
                break;
            }
            let share = self.drawn(&self.candidates.door(&place.0)?)?.share_of(self.tuning.runs);
            if share < aimed {
                too_few = part;
                continue;
            }
            enough = part;
            let before = found.before_relaxing.take().unwrap_or((found.place, found.need));
            found = Surest { share, place, need, before_relaxing: Some(before) };
        }
        Ok(found)
    }

    fn drawn(&self, door: &Door) -> Result<Drawn, TuneError> {
        Drawn::of(door, &self.candidates, self.spreads, self.tuning, Sampling::Sobol, &self.stages)
    }
}
