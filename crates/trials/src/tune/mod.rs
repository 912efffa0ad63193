//! The settings that a goal asks for, with every limit kept as surely as is wanted.

mod candidate;
mod drawn;
mod expected;
mod minimise;
mod search;
mod sure;

use tautleaf_physics::parameters::RunKind;
use tautleaf_physics::{Door, Figure, Judge, Limit, Problems};

use crate::remark::Remark;
use crate::remedy::Change;
use crate::reserve::Reserve;
use crate::spread::{Probability, Sampling, Spread, Undrawable};
use crate::trial::{Bench, Ended, Trial};
use crate::watch::{Stages, Watch};
use candidate::{Candidates, Need};
use drawn::Drawn;
use minimise::Scored;
use search::{Place, better, is_broken, search_from};

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

    /// What a door is tuned for where nobody says: the shortest cycle only if some limit says how hard it may hit.
    pub fn first(limits: &[Limit]) -> Self {
        if limits.iter().any(bounds_a_hit) { Self::Fastest } else { Self::Calmest }
    }

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
    /// What is to be left of every limit, and of the installed tension in the slackest strand.
    pub reserve: Reserve,
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
    /// The limits that are kept with less left than the reserve, by their place in the list; one more than there are: the
    /// slackest strand. No settings were found that leave more of one and not less of another.
    pub lacking: Vec<usize>,
    /// How likely each limit is kept, by doors that the tuning did not see, of none where no door judged it or it fails no
    /// door; empty: that was not asked for.
    pub kept: Vec<Probability>,
    /// How likely all of them are, and no strand goes slack.
    pub all: Option<Probability>,
    /// What more margin of energy and force costs the fastest cycle in time.
    pub trade_off: Vec<TradeOff>,
    /// What a run with the changes shows beside its figures.
    pub remarks: Vec<Remark>,
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
    #[error(transparent)]
    Spread(#[from] Undrawable),
}

/// Doors that are drawn to see how likely limits are kept, where nobody says how many.
pub const USUAL_RUNS: u64 = 400;
/// Evaluations of one coarse search.
pub const MOST_EVALUATIONS: usize = 260;
/// A margin that is short of what is asked for by less is there.
const KEPT: f64 = 2e-3;
/// Margins of the trade-off.
const MARGINS: [f64; 4] = [0.0, 0.1, 0.2, 0.3];

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

/// A tuning under way.
struct Tuner<'a> {
    candidates: Candidates<'a>,
    /// The door as it is.
    before: Trial,
    spreads: &'a [Spread],
    tuning: &'a Tuning,
    /// Evaluations of a search that begins beside its end.
    fewer: usize,
    stages: Stages<'a>,
}

/// Settings as they can be set.
struct Settled {
    /// Whether the place they were found at has all that was needed.
    whole: bool,
    changes: Vec<Change>,
    door: Door,
    after: Trial,
    curve: Vec<TradeOff>,
}

impl Tuner<'_> {
    /// The best for a goal that has a need, looked for from a place.
    fn search(&self, start: &[f64], need: &Need, most: usize, goal: Goal) -> Place {
        self.search_by(start, most, |x| self.candidates.score(x, need, goal, &self.before))
    }

    fn search_by(&self, start: &[f64], most: usize, score: impl Fn(&[f64]) -> Scored) -> Place {
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
    fn as_it_is(&self, asked: &Need) -> (Place, Need) {
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
    fn settle(&self, mut best: Place, need: &Need) -> Result<Settled, TuneError> {
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
    fn promise(
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
    fn trade_off(&self, at: &[f64], need: &Need) -> Vec<(Vec<f64>, TradeOff)> {
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

/// Keys of the limits that gaps of the user leave untested on a door that opens and closes.
fn untested(bench: &Bench, trial: &Trial) -> Vec<String> {
    let asked = bench.criteria.gaps_m.is_some() && trial.ended == Ended::Done;
    let limits = bench.criteria.limits.iter().zip(&trial.judged);
    limits.filter(|(_, judged)| asked && judged.untested).map(|(limit, _)| limit.key.clone()).collect()
}

/// Whether a limit that may fail a door bounds how hard the moving leaf may hit: an energy, an impact force or a closing speed. A
/// limit on the stall force bounds the push of a leaf that stands.
pub fn bounds_a_hit(limit: &Limit) -> bool {
    use Figure::{
        AverageEnergyClosing, ImpactForce, PeakEnergyCoupled, PeakEnergyCoupledClosing, PeakEnergyLeaf,
    };
    use Figure::{PeakEnergyLeaves, TopSpeedBeforeCheck, TopSpeedClosing};
    let figure = limit.figure.filter(|_| limit.may_fail());
    figure.is_some_and(|figure| {
        matches!(
            figure,
            AverageEnergyClosing
                | ImpactForce
                | PeakEnergyCoupled
                | PeakEnergyCoupledClosing
                | PeakEnergyLeaf
                | PeakEnergyLeaves
                | TopSpeedBeforeCheck
                | TopSpeedClosing
        )
    })
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
