//! The settings that a goal asks for, with every limit kept as surely as is wanted.

mod candidate;
mod minimise;

use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};

use tautleaf_physics::{Door, Figure, Judge, Problems};

use crate::remedy::Change;
use crate::spread::{Probability, Sampling, Spread, SpreadProblem, Study, inputs_of};
use crate::trial::{Bench, Trial};
use candidate::{Candidates, Need};
use minimise::{minimise, polish};

/// What the settings are tuned for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goal {
    /// Opening and closing together in the shortest time.
    Fastest,
    /// The least peak of jerk, in no more time than now.
    Calmest,
    /// The least RMS current, in no more time than now.
    Coolest,
}

impl Goal {
    /// Every goal, with its word.
    pub const WORDS: &'static [(&'static str, Self)] =
        &[("fastest", Self::Fastest), ("calmest", Self::Calmest), ("coolest", Self::Coolest)];

    /// The figures whose sum is to be least.
    pub fn figures(self) -> &'static [Figure] {
        match self {
            Self::Fastest => &[Figure::OpeningTime, Figure::ClosingTime],
            Self::Calmest => &[Figure::PeakJerk],
            Self::Coolest => &[Figure::RmsCurrent],
        }
    }
}

/// How it is tuned.
#[derive(Clone, Debug)]
pub struct Tuning {
    /// What for.
    pub goal: Goal,
    /// How likely all limits together are to be kept, of what is never known on site; `None`: the door as it is counts.
    pub probability: Option<f64>,
    /// Doors that are drawn to see how likely that is.
    pub runs: u64,
    /// Seed of the draws.
    pub seed: u64,
    /// Threads.
    pub threads: usize,
    /// About how many cycles the first search may take; [`MOST_EVALUATIONS`] finds what there is.
    pub most_evaluations: usize,
}

/// Settings that were found.
#[derive(Clone, Debug)]
pub struct Tuned {
    /// What to set.
    pub changes: Vec<Change>,
    /// The door as it is.
    pub before: Trial,
    /// The door with the changes.
    pub after: Trial,
    /// Whether it keeps every limit, as surely as was wanted.
    pub keeps: bool,
    /// The limits that hold it back, by their place in the list; one more than there are: a slack strand.
    pub binding: Vec<usize>,
    /// How likely each limit is kept, by doors that the tuning did not see; empty: that was not asked for.
    pub kept: Vec<Probability>,
    /// How likely all of them are, and no strand goes slack.
    pub all: Option<Probability>,
    /// What more margin of energy and force costs in time.
    pub trade_off: Vec<TradeOff>,
    /// Cycles that were run.
    pub cycles: u64,
}

/// The shortest cycle with more margin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TradeOff {
    /// Margin of every limit on energy and force beyond what is needed, fraction of what is allowed.
    pub margin: f64,
    /// Opening and closing time together, s; `None`: no setting gives that margin.
    pub time_s: Option<f64>,
}

/// Why a door cannot be tuned.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TuneError {
    /// It cannot be built.
    #[error(transparent)]
    Door(#[from] Problems),
    /// With its settings changed, something that is listed to spread cannot be drawn.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Spread(Vec<SpreadProblem>),
}

/// Evaluations of one coarse search.
pub const MOST_EVALUATIONS: usize = 260;
/// First steps of a coarse and of a fine search, of the unit cube.
const COARSE: f64 = 0.2;
const FINE: f64 = 0.04;
/// Places on the way from a start that breaks a limit to the calmest settings.
const CALMER: u32 = 12;
/// How often a coarse search begins anew, and by which part of the cost one has to help for the next.
const AGAIN: usize = 4;
const HELPS: f64 = 0.003;
/// How often the margins that sureness needs are worked out anew.
const ROUNDS: usize = 4;
/// A margin that is short of what is asked for by less is there.
const KEPT: f64 = 2e-3;
/// Margins of the trade-off.
const MARGINS: [f64; 4] = [0.0, 0.1, 0.2, 0.3];

/// Tunes the settings of a door. `spreads` are the listed spreads of its file.
///
/// First the door as it is: the goal under all limits. For a probability it is drawn many times; by as much as the drawn
/// margins fall short of the door's own, in that share of doors, its own have to be greater, and the goal is looked for
/// again (sequential optimisation and reliability assessment, Du and Chen 2004). In the end fresh doors are drawn.
///
/// # Errors
/// Why it cannot be built, or what spreads cannot be drawn; of a door that was read from a file both can as it is.
pub fn tune(
    door: &Door,
    bench: &Bench,
    spreads: &[Spread],
    tuning: &Tuning,
    stop: &AtomicBool,
) -> Result<Tuned, TuneError> {
    let candidates = Candidates::new(door, bench);
    let before = candidates.bench.run(door);
    let mut need = Need::of(bench.limits.len());
    // a search that begins beside its end needs fewer
    let fewer = (tuning.most_evaluations / 3).max(1);
    let search = |start: &[f64], need: &Need, most: usize, goal: Goal| {
        let score = |x: &[f64]| {
            if stop.load(Ordering::Relaxed) {
                return candidates.given_up();
            }
            candidates.score(x, need, goal, &before)
        };
        // from the first place that keeps every limit, on the way from here to the calmest
        let calmer = |n: u32| candidates.calmer(start, f64::from(n) / f64::from(CALMER));
        let begin = (0..CALMER).map(calmer).find(|x| !is_broken(&score(x)));
        let start = begin.as_deref().unwrap_or(start);
        // coarse, again from where that came to as long as it helps, then fine
        let mut best = minimise(start, COARSE, most, score);
        for _ in 0..AGAIN {
            let before = best.1.clone();
            best = better(minimise(&best.0, COARSE, most / 2, score), best);
            if best.1.cost > (1.0 - HELPS) * before.cost && !is_broken(&before) {
                break;
            }
        }
        let fine = better(minimise(&best.0, FINE, most / 2, score), best);
        let polished = polish(&fine.0, &fine.1, most / 2, score);
        better(minimise(&polished.0, FINE, most / 3, score), polished)
    };
    let (mut at, mut scored) = search(&candidates.now(), &need, tuning.most_evaluations, tuning.goal);
    if let Some(probability) = tuning.probability {
        // a little more than is wanted, so that other draws find it too
        let aimed = probability + 0.3 * (1.0 - probability);
        let mut short = 1.0 - aimed;
        for _ in 0..ROUNDS {
            let drawn = draw(&candidates.door(&at)?, &candidates, spreads, tuning, Sampling::Sobol, stop)?;
            if drawn.share_keeping_all() >= aimed || stop.load(Ordering::Relaxed) {
                break;
            }
            need = drawn.need(&candidates.row(&candidates.trial(&at)?), short);
            (at, scored) = search(&at, &need, fewer, tuning.goal);
            short *= 0.6;
        }
    }
    let changes = candidates.settable(&at, &need, &scored);
    let tuned = candidates.with(&changes)?;
    let after = candidates.bench.run(&tuned);
    let (kept, all) = match tuning.probability {
        None => (Vec::new(), None),
        Some(_) => {
            let fresh = Tuning { seed: tuning.seed.wrapping_add(1), ..tuning.clone() };
            let drawn = draw(&tuned, &candidates, spreads, &fresh, Sampling::Random, stop)?;
            (drawn.each(), Some(drawn.all()))
        }
    };
    let wanted = tuning.probability.unwrap_or(0.0);
    let likely = all.is_none_or(|all| all.share().unwrap_or(0.0) >= wanted);
    Ok(Tuned {
        keeps: likely && candidates.keeps(&after),
        binding: candidates.binding(&after, &need),
        trade_off: trade_off(&candidates, &at, &need, fewer, &search),
        cycles: candidates.cycles(),
        changes,
        before,
        after,
        kept,
        all,
    })
}

fn is_broken(scored: &minimise::Scored) -> bool {
    scored.left.iter().any(|&left| left < 0.0)
}

fn better(a: (Vec<f64>, minimise::Scored), b: (Vec<f64>, minimise::Scored)) -> (Vec<f64>, minimise::Scored) {
    match (is_broken(&a.1), is_broken(&b.1)) {
        (true, false) => b,
        (false, true) => a,
        _ if a.1.cost <= b.1.cost => a,
        _ => b,
    }
}

/// The shortest cycle for each margin, each search beginning where the one before it ended.
fn trade_off(
    candidates: &Candidates<'_>,
    at: &[f64],
    need: &Need,
    fewer: usize,
    search: &impl Fn(&[f64], &Need, usize, Goal) -> (Vec<f64>, minimise::Scored),
) -> Vec<TradeOff> {
    let on_energy_or_force = |figure: Figure| {
        figure.is_closing_force()
            || matches!(
                figure,
                Figure::PeakEnergyLeaf
                    | Figure::PeakEnergyLeaves
                    | Figure::PeakEnergyCoupled
                    | Figure::PeakEnergyCoupledClosing
            )
    };
    let limits = &candidates.bench.limits;
    let concerned: Vec<bool> = limits
        .iter()
        .map(|limit| limit.judge == Judge::Limit && limit.figure.is_some_and(on_energy_or_force))
        .collect();
    if !concerned.contains(&true) {
        return Vec::new();
    }
    let mut from = at.to_vec();
    let mut point = |margin: f64| {
        let need = need.with_more(&concerned, margin);
        let (there, scored) = search(&from, &need, fewer, Goal::Fastest);
        from.clone_from(&there);
        let kept = scored.left.iter().all(|&left| left >= -KEPT);
        let time_s = kept.then(|| candidates.trial(&there)).and_then(|trial| candidate::time_s(&trial.ok()?));
        TradeOff { margin, time_s }
    };
    let mut points: Vec<TradeOff> = MARGINS.into_iter().map(&mut point).collect();
    // with no more margin than is needed there is what was found
    let found = candidates.trial(at).ok().filter(|trial| candidates.keeps(trial));
    if let (Some(first), Some(time)) = (points.first_mut(), found.as_ref().and_then(candidate::time_s)) {
        first.time_s = Some(first.time_s.map_or(time, |searched| searched.min(time)));
    }
    // settings that leave more margin leave less as well
    for n in (1..points.len()).rev() {
        let both = [points[n - 1].time_s, points[n].time_s];
        points[n - 1].time_s = both.into_iter().flatten().reduce(f64::min);
    }
    points
}

/// Margins of doors that were drawn, one row a door.
struct Drawn {
    /// Whether each limit was kept, and by how much; last: the slack strand.
    rows: Vec<Vec<(bool, Option<f64>)>>,
}

fn draw(
    door: &Door,
    candidates: &Candidates<'_>,
    spreads: &[Spread],
    tuning: &Tuning,
    sampling: Sampling,
    stop: &AtomicBool,
) -> Result<Drawn, TuneError> {
    let inputs = inputs_of(door, spreads).map_err(TuneError::Spread)?;
    let study = Study::new(door, inputs, candidates.bench.clone(), tuning.seed, sampling);
    let mut rows = Vec::new();
    candidates.count(tuning.runs);
    study.run(0..tuning.runs, tuning.threads, stop, |row| {
        rows.push(candidates.row(&row.trial));
        ControlFlow::Continue(())
    });
    Ok(Drawn { rows })
}

impl Drawn {
    fn keeping_all(&self) -> u64 {
        self.rows.iter().filter(|row| row.iter().all(|(kept, _)| *kept)).count() as u64
    }

    fn share_keeping_all(&self) -> f64 {
        self.keeping_all() as f64 / self.rows.len().max(1) as f64
    }

    fn all(&self) -> Probability {
        Probability::counted(self.keeping_all(), self.rows.len() as u64)
    }

    /// Of each limit.
    fn each(&self) -> Vec<Probability> {
        let limits = self.rows.first().map_or(0, |row| row.len().saturating_sub(1));
        let kept = |n: usize| self.rows.iter().filter(|row| row[n].0).count() as u64;
        (0..limits).map(|n| Probability::counted(kept(n), self.rows.len() as u64)).collect()
    }

    /// What the door's own margins have to be, so that drawn ones are broken in no more than this share of doors.
    fn need(&self, own: &[(bool, Option<f64>)], share: f64) -> Need {
        let short = |n: usize| {
            let mut margins: Vec<f64> = self.rows.iter().filter_map(|row| row[n].1).collect();
            margins.sort_by(f64::total_cmp);
            let place = (share * margins.len() as f64).floor() as usize;
            let low = margins.get(place.min(margins.len().saturating_sub(1)))?;
            Some((own[n].1? - low).max(0.0))
        };
        Need::new((0..own.len()).map(|n| short(n).unwrap_or(0.0)).collect())
    }
}
