//! The settings that a goal asks for, with every limit kept as surely as is wanted.

mod candidate;
mod drawn;
mod expected;
mod limits_on_hits;
mod minimise;
mod search;
mod sure;
mod tuned;
mod tuner;
mod tuning;

use tautleaf_physics::Door;
use tautleaf_physics::parameters::RunKind;

use crate::remark::Remark;
use crate::spread::{Probability, Spread};
use crate::trial::{Bench, Ended, Trial};
use crate::watch::{Stages, Watch};
use candidate::{Candidates, Need};
use tuner::{Settled, Tuner};

pub use limits_on_hits::{bounds_a_hit, is_on_energy_or_force};
pub use tuned::{TradeOff, Tuned};
pub use tuning::{Goal, MOST_EVALUATIONS, TuneError, Tuning, USUAL_RUNS};

/// Tunes the settings of a door. `spreads` are the listed spreads of its file.
///
/// First the door as it is: the goal with the reserve of every limit left. Where no settings leave it, as much of it as there can
/// be: the place that keeps every limit and is short of the least, the sum of squares of what each limit is short of; what that
/// place has is what the goal is then looked for with. For a probability the door is drawn many times (`sure`). In the end
/// fresh doors are drawn.
///
/// # Errors
/// Why it cannot be built, or what spreads cannot be drawn; of a door that was read from a file both can as it is.
pub fn tune(
    door: &Door,
    bench: &Bench,
    spreads: &[Spread],
    tuning: &Tuning,
    watch: &Watch<'_>,
) -> Result<Tuned, TuneError> {
    let timeline = &door.parameters().timeline;
    if timeline.run == RunKind::Learning || timeline.power_lost_s.is_some() {
        return Err(TuneError::NoCycle);
    }
    let candidates = Candidates::new(door, bench);
    let before = candidates.bench.run(door);
    let untested = untested(&candidates.bench, &before);
    if !untested.is_empty() {
        return Err(TuneError::Untested(untested));
    }
    // a search that begins beside its end needs fewer
    let fewer = (tuning.most_evaluations / 3).max(1);
    let stages = Stages::new(watch, expected::all(tuning, fewer));
    let tuner = Tuner { candidates, before, spreads, tuning, fewer, stages };
    let asked = Need::reserve(tuning.reserve, &bench.criteria.limits);
    let (mut best, floor) = tuner.as_it_is(&asked);
    let mut need = floor.clone();
    // where the margins that sureness needs were relaxed: what was found before that
    let mut surer = None;
    if let Some(probability) = tuning.probability {
        let surest = tuner.surely(probability, best, &floor)?;
        (best, need) = (surest.place, surest.need);
        surer = surest.before_relaxing;
    }
    let mut settled = tuner.settle(best, &need)?;
    let wanted = tuning.probability.unwrap_or(0.0);
    let (mut kept, mut all) = tuner.promise(&settled, 1)?;
    // a count that was stopped proves nothing
    let counted = |all: &Probability| all.of == tuning.runs && all.share().unwrap_or(0.0) >= wanted;
    if let Some((place, before_relaxing)) = surer.filter(|_| !all.as_ref().is_none_or(counted)) {
        need = before_relaxing;
        settled = tuner.settle(place, &need)?;
        (kept, all) = tuner.promise(&settled, 2)?;
    }
    let Settled { whole, changes, door: tuned, after, curve } = settled;
    let likely = all.as_ref().is_none_or(counted);
    let candidates = &tuner.candidates;
    Ok(Tuned {
        keeps: whole && likely && candidates.keeps(&after, &tuner.before),
        at_an_end: candidates.at_an_end(&changes),
        binding: candidates.binding(&tuned, &after, &need),
        lacking: candidates.lacking(&tuned, &after, &asked),
        trade_off: curve,
        cycles: candidates.cycles(),
        remarks: Remark::of(&tuned, &bench.criteria, bench.effort),
        changes,
        before: bench.run(door),
        after: bench.run(&tuned),
        kept,
        all,
    })
}

/// Keys of the limits that gaps of the user leave untested on a door that opens and closes.
fn untested(bench: &Bench, trial: &Trial) -> Vec<String> {
    let asked = bench.criteria.gaps_m.is_some() && trial.ended == Ended::Done;
    let limits = bench.criteria.limits.iter().zip(&trial.judged);
    limits.filter(|(_, judged)| asked && judged.untested).map(|(limit, _)| limit.key.clone()).collect()
}
