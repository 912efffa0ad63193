//! The settings that a goal asks for, with every limit kept as surely as is wanted.

mod candidate;
mod expected;
mod minimise;

use std::ops::ControlFlow;

use tautleaf_physics::parameters::RunKind;
use tautleaf_physics::{Door, Figure, Judge, Problems};

use crate::in_order::in_order;
use crate::remedy::Change;
use crate::spread::{Probability, Sampling, Spread, SpreadProblem, Study, inputs_of};
use crate::trial::{Bench, Ended, Trial};
use crate::watch::{Stages, Watch};
use candidate::{Candidates, Hard, Kept, Need};
use minimise::{Scored, minimise, polish};

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
    /// Settings that were taken as far as they are looked for: they hold it back too.
    pub at_an_end: Vec<&'static str>,
    /// The limits that hold it back, by their place in the list; one more than there are: a slack strand.
    pub binding: Vec<usize>,
    /// How likely each limit is kept, by doors that the tuning did not see, of none where no door judged it or it fails no
    /// door; empty: that was not asked for.
    pub kept: Vec<Probability>,
    /// How likely all of them are, and no strand goes slack.
    pub all: Option<Probability>,
    /// What more margin of energy and force costs the fastest cycle in time.
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
    /// It is told to learn its travel or loses power: such a run has no opening and closing time to be tuned.
    #[error(
        "this run has no opening and closing time: take timeline.run and timeline.power_lost out of the door file to tune it"
    )]
    NoCycle,
    /// These limits, by their keys, cannot be judged at the gaps of the force test that the door file lists.
    #[error(
        "{} cannot be judged at the gaps in limits.gaps: leave them out, then each band is tested where the leaf is fastest",
        .0.join(" and ")
    )]
    Untested(Vec<String>),
    /// With its settings changed, something that is listed to spread cannot be drawn.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Spread(Vec<SpreadProblem>),
}

/// Doors that are drawn to see how likely limits are kept, where nobody says how many.
pub const USUAL_RUNS: u64 = 400;
/// Evaluations of one coarse search.
pub const MOST_EVALUATIONS: usize = 260;
/// First steps of a coarse and of a fine search, of the unit cube.
const COARSE: f64 = 0.2;
const FINE: f64 = 0.04;
/// Places on the way from a start that breaks a limit to the calmest settings.
const CALMER: u32 = 12;
/// Places strewn over the cube where no calmer settings keep every limit.
const STREWN: u32 = 64;
/// Of those how many a search begins at.
const BEGINS: usize = 2;
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
/// again (sequential optimisation and reliability assessment, Du and Chen 2004). Where that does not come to it, drawn doors
/// that break a limit have to keep it too, more of them each time (constraint generation). In the end fresh doors are drawn.
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
    let mut need = Need::of(bench.criteria.limits.len());
    // a search that begins beside its end needs fewer
    let fewer = (tuning.most_evaluations / 3).max(1);
    let stages = Stages::new(watch, expected::all(tuning, fewer));
    let search = |start: &[f64], need: &Need, most: usize, goal: Goal| {
        stages.begin(expected::search(most));
        let score = |x: &[f64]| {
            if stages.is_stopped() {
                return candidates.given_up();
            }
            stages.step(1.0);
            candidates.score(x, need, goal, &before)
        };
        search_from(&candidates, start, most, score)
    };
    let mut best = search(&candidates.now(), &need, tuning.most_evaluations, tuning.goal);
    best = better(search(&best.0, &need, fewer, tuning.goal), best);
    if let Some(probability) = tuning.probability {
        // a little more than is wanted, so that other draws find it too
        let aimed = probability + 0.3 * (1.0 - probability);
        let mut short = 1.0 - aimed;
        // the surest place so far: a round that fails, or that is stopped, takes nothing away from it
        let mut surest = Surest { share: -1.0, place: best.clone(), need: need.clone() };
        for _ in 0..ROUNDS {
            let drawn =
                draw(&candidates.door(&best.0)?, &candidates, spreads, tuning, Sampling::Sobol, &stages)?;
            surest.see(&drawn, tuning.runs, &best, &need);
            if surest.share >= aimed || stages.is_stopped() {
                break;
            }
            need = drawn.need(&candidates.row(&candidates.trial(&best.0)?), short);
            best = search(&best.0, &need, fewer, tuning.goal);
            short *= 0.6;
        }
        // where margins jump, as where some doors no longer brake in time, doors that break a limit are tuned along
        let mut hard = Hard { spreads, seed: tuning.seed, threads: tuning.threads, indices: Vec::new() };
        for round in 0..=ROUNDS {
            let drawn =
                draw(&candidates.door(&best.0)?, &candidates, spreads, tuning, Sampling::Sobol, &stages)?;
            surest.see(&drawn, tuning.runs, &best, &need);
            if surest.share >= aimed || stages.is_stopped() || round == ROUNDS {
                break;
            }
            let more = drawn.hard(aimed);
            hard.indices
                .extend(more.into_iter().filter(|index| !hard.indices.contains(index)).collect::<Vec<_>>());
            candidates.beside(hard.clone());
            need = Need::of(bench.criteria.limits.len());
            best = search(&best.0, &need, fewer, tuning.goal);
        }
        (best, need) = (surest.place, surest.need);
    }
    let whole = !is_broken(&best.1);
    let mut curve = if whole { trade_off(&candidates, &best.0, &need, fewer, &search) } else { Vec::new() };
    if tuning.goal == Goal::Fastest {
        // a search for more margin may have found what is faster with no more of it
        for (at, _) in &curve {
            best = better((at.clone(), candidates.score(at, &need, tuning.goal, &before)), best);
        }
    }
    // where no place keeps every limit there is nothing to propose
    stages.begin(expected::SETTING);
    let changes = if whole {
        candidates.settable(&best.0, |changes| {
            stages.step(1.0);
            candidates.score_of(changes, &need, tuning.goal, &before)
        })
    } else {
        Vec::new()
    };
    let tuned = candidates.with(&changes)?;
    let after = candidates.bench.run(&tuned);
    if let (Goal::Fastest, Some(time)) = (tuning.goal, candidate::time_s(&after)) {
        monotone(&mut curve, time);
    }
    let (kept, all) = match tuning.probability {
        Some(_) if whole => {
            let fresh = Tuning { seed: tuning.seed.wrapping_add(1), ..tuning.clone() };
            let drawn = draw(&tuned, &candidates, spreads, &fresh, Sampling::Random, &stages)?;
            (drawn.each(), Some(drawn.all()))
        }
        _ => (Vec::new(), None),
    };
    let wanted = tuning.probability.unwrap_or(0.0);
    // a count that was stopped proves nothing
    let counted = |all: &Probability| all.of == tuning.runs && all.share().unwrap_or(0.0) >= wanted;
    let likely = all.as_ref().is_none_or(counted);
    Ok(Tuned {
        keeps: whole && likely && candidates.keeps(&after, &before),
        at_an_end: candidates.at_an_end(&changes),
        binding: candidates.binding(&after, &need),
        trade_off: curve.into_iter().map(|(_, point)| point).collect(),
        cycles: candidates.cycles(),
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

/// The place that keeps the limits in the greatest share of drawn doors, of those that keep them as the door is.
struct Surest {
    share: f64,
    place: Place,
    need: Need,
}

impl Surest {
    fn see(&mut self, drawn: &Drawn, runs: u64, place: &Place, need: &Need) {
        // of all that were to be drawn: a draw that was stopped does not count for more
        let share = drawn.all().times as f64 / runs.max(1) as f64;
        let first = self.share < 0.0;
        if first || (!is_broken(&place.1) && (share > self.share || is_broken(&self.place.1))) {
            *self = Self { share, place: place.clone(), need: need.clone() };
        }
    }
}

/// The best that is found from a place.
fn search_from(
    candidates: &Candidates<'_>,
    start: &[f64],
    most: usize,
    score: impl Fn(&[f64]) -> Scored + Copy,
) -> Place {
    // from the first place that keeps every limit, on the way from here to the calmest
    let calmer = |n: u32| candidates.calmer(start, f64::from(n) / f64::from(CALMER));
    let begin = (0..CALMER).map(calmer).find(|x| !is_broken(&score(x)));
    let begins = begin.map_or_else(|| least_broken(start, score), |x| vec![x]);
    let found = begins.iter().map(|x| descend(x, most, score)).reduce(better);
    found.unwrap_or_else(|| (start.to_vec(), score(start)))
}

/// Down from one place: coarse, again from where that came to as long as it helps, then fine.
fn descend(start: &[f64], most: usize, score: impl Fn(&[f64]) -> Scored + Copy) -> Place {
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
}

/// Where to begin if no calmer settings keep every limit: at the start, and at those of the places strewn over the cube that
/// break least.
fn least_broken(start: &[f64], score: impl Fn(&[f64]) -> Scored) -> Vec<Vec<f64>> {
    let mut strewn: Vec<(f64, Vec<f64>)> =
        (0..STREWN).map(|n| evenly_strewn(n, start.len())).map(|x| (score(&x).broken(), x)).collect();
    strewn.sort_by(|a, b| a.0.total_cmp(&b.0));
    let tried = strewn.into_iter().take(BEGINS).map(|(_, x)| x);
    [start.to_vec()].into_iter().chain(tried).collect()
}

/// Place n of so many strewn evenly over the unit cube (scrambled Sobol points, Burley 2020).
fn evenly_strewn(n: u32, axes: usize) -> Vec<f64> {
    (0..axes as u32).map(|axis| f64::from(sobol_burley::sample(n, axis, 0))).collect()
}

/// A place of the unit cube and what it is worth.
type Place = (Vec<f64>, Scored);

fn is_broken(scored: &Scored) -> bool {
    scored.left.iter().any(|&left| left < 0.0)
}

fn better(a: Place, b: Place) -> Place {
    match (is_broken(&a.1), is_broken(&b.1)) {
        (true, false) => b,
        (false, true) => a,
        _ if a.1.cost <= b.1.cost => a,
        _ => b,
    }
}

/// The shortest cycle for each margin and where it is, each search beginning where the one before it ended.
fn trade_off(
    candidates: &Candidates<'_>,
    at: &[f64],
    need: &Need,
    fewer: usize,
    search: &impl Fn(&[f64], &Need, usize, Goal) -> Place,
) -> Vec<(Vec<f64>, TradeOff)> {
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
        let (there, scored) = search(&from, &need, fewer, Goal::Fastest);
        from.clone_from(&there);
        let kept = scored.left.iter().all(|&left| left >= -KEPT);
        let time_s = kept.then(|| candidates.trial(&there)).and_then(|trial| candidate::time_s(&trial.ok()?));
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

/// Whether a figure is an energy of the leaves or a force of the force test.
pub fn is_on_energy_or_force(figure: Figure) -> bool {
    use Figure::{
        PeakEnergyCoupled, PeakEnergyCoupledClosing, PeakEnergyLeaf, PeakEnergyLeafClosing,
        PeakEnergyLeafCoupledClosing, PeakEnergyLeaves,
    };
    figure.is_of_force_test()
        || matches!(figure, PeakEnergyLeaf | PeakEnergyLeaves | PeakEnergyCoupled | PeakEnergyCoupledClosing)
        || matches!(figure, PeakEnergyLeafClosing | PeakEnergyLeafCoupledClosing)
}

/// The curve begins at what was found, and falls nowhere.
fn monotone(curve: &mut [(Vec<f64>, TradeOff)], found_s: f64) {
    let mut least = found_s;
    for (n, (_, point)) in curve.iter_mut().enumerate() {
        point.time_s = if n == 0 { Some(found_s) } else { point.time_s.map(|time| time.max(least)) };
        least = point.time_s.unwrap_or(least);
    }
}

/// Doors that were drawn, one row a door.
struct Drawn {
    /// Each limit, last the slack strand.
    rows: Vec<Vec<Kept>>,
}

fn draw(
    door: &Door,
    candidates: &Candidates<'_>,
    spreads: &[Spread],
    tuning: &Tuning,
    sampling: Sampling,
    stages: &Stages<'_>,
) -> Result<Drawn, TuneError> {
    let inputs = inputs_of(door, spreads).map_err(TuneError::Spread)?;
    let study = Study::new(door, inputs, candidates.bench.clone(), tuning.seed, sampling);
    let mut rows = Vec::new();
    candidates.count(tuning.runs);
    stages.begin(expected::draws(tuning));
    let at_a_time = 1.0 / tuning.threads.max(1) as f64;
    let run = |index| {
        stages.step(at_a_time);
        study.row(index).trial
    };
    in_order(0..tuning.runs, tuning.threads, stages.stop(), run, |_, trial| {
        rows.push(candidates.row(&trial));
        ControlFlow::Continue(())
    });
    Ok(Drawn { rows })
}

impl Drawn {
    /// Whether some door judged this; what none judges is not counted, what others judge and one does not, it breaks.
    fn is_judged(&self, n: usize) -> bool {
        self.rows.iter().any(|row| row[n].0.is_some())
    }

    fn columns(&self) -> usize {
        self.rows.first().map_or(0, Vec::len)
    }

    /// All limits, and no strand slack.
    fn all(&self) -> Probability {
        let judged: Vec<usize> = (0..self.columns()).filter(|&n| self.is_judged(n)).collect();
        let whole = |row: &&Vec<Kept>| judged.iter().all(|&n| row[n].0 == Some(true));
        Probability::counted(self.rows.iter().filter(whole).count() as u64, self.rows.len() as u64)
    }

    /// Each limit.
    fn each(&self) -> Vec<Probability> {
        let kept = |n: usize| self.rows.iter().filter(|row| row[n].0 == Some(true)).count() as u64;
        let of = |n: usize| if self.is_judged(n) { self.rows.len() as u64 } else { 0 };
        (0..self.columns().saturating_sub(1)).map(|n| Probability::counted(kept(n), of(n))).collect()
    }

    /// Doors that have to be brought back for this share to keep everything: of the easiest that would do, the hardest and
    /// the one in the middle.
    fn hard(&self, share: f64) -> Vec<u64> {
        let judged: Vec<usize> = (0..self.columns()).filter(|&n| self.is_judged(n)).collect();
        let broken = |row: &[Kept]| {
            let by = |&n: &usize| match row[n] {
                (Some(true), _) => 0.0,
                (_, margin) => margin.map_or(1.0, |margin| (-margin).max(1e-9)),
            };
            judged.iter().map(by).sum::<f64>()
        };
        let doors = self.rows.iter().enumerate().map(|(index, row)| (broken(row), index as u64));
        let mut over: Vec<(f64, u64)> = doors.filter(|(broken, _)| *broken > 0.0).collect();
        over.sort_by(|a, b| a.0.total_cmp(&b.0));
        let allowed = ((1.0 - share) * self.rows.len() as f64) as usize;
        over.truncate(over.len().saturating_sub(allowed));
        let mut hard: Vec<u64> =
            over.last().into_iter().chain(over.get(over.len() / 2)).map(|o| o.1).collect();
        hard.dedup();
        hard
    }

    /// What the door's own margins have to be, so that drawn ones are broken in no more than this share of doors.
    fn need(&self, own: &[Kept], share: f64) -> Need {
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
