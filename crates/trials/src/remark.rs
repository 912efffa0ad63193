//! What a run shows beside its figures: a strand that goes slack, a stop that is met too fast, a leaf that is stuck.
//!
//! A remark is serious where a sound door would not have it and no limit of the user says how much of it is allowed: choosing,
//! tuning, the map and advice hold to that as to a limit.

use tautleaf_physics::parameters::Hanger;
use tautleaf_physics::workbench::{Answer, Meeting, tones};
use tautleaf_physics::{
    Band, CycleOptions, Door, Event, EventKind, Figure, GapForce, Moment, Outcome, Rule, Run, SlackTime,
    Verdict, slack_times,
};

use crate::assess::{Criteria, Effort};
use crate::sound::{SLOWED_DOWN, broken, is_balance_open};

/// A jolt of this is felt: what a leaf does at a joint beyond its usual ramps, m/s2. Judgement.
const FELT_M_PER_S2: f64 = 1.0;

/// One thing that is worth a word about a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Remark {
    /// What it is.
    pub kind: RemarkKind,
    /// Whether a sound door does not have it, and no limit of the user's judges it.
    pub serious: bool,
    /// The moment that it speaks of.
    pub at: Option<Moment>,
}

impl Remark {
    /// Everything worth a word about a door that is run for its limits.
    pub fn of(door: &Door, criteria: &Criteria, effort: Effort) -> Vec<Self> {
        let options = CycleOptions { keep_samples: false, ..criteria.options(door, effort) };
        let assessment = criteria.assess_with(door, &options);
        remarks(door, &assessment.run, &assessment.verdicts, &[])
    }
}

/// What is remarked, with its numbers, SI.
#[derive(Clone, Debug, PartialEq)]
pub enum RemarkKind {
    /// A strand goes slack: the longest time, how often any does, and whether the longest ends in a jerk.
    Slack {
        /// The longest time.
        longest: SlackTime,
        /// How often a strand goes slack.
        times: usize,
        /// Whether the strand of it snaps tight within the run.
        snaps: bool,
    },
    /// A leaf meets a stop faster than it creeps.
    StopMetFast {
        /// At this speed, m/s.
        speed_m_per_s: f64,
    },
    /// The cords are pulled by more than they may be.
    CordsOverstressed {
        /// Greatest tension, N.
        tension_n: f64,
        /// Allowable tension, N.
        allowable_n: f64,
    },
    /// A wheel jolts the leaf on an uneven rail.
    Jolt {
        /// Leaf, from 1.
        leaf: usize,
        /// Which of its wheels.
        hanger: Hanger,
        /// What it rolls over: place in the list of faults.
        fault: usize,
        /// Acceleration of the leaf, m/s2.
        acceleration_m_per_s2: f64,
        /// How often any wheel rolls over any fault.
        crossings: usize,
    },
    /// A wheel leaves the rail.
    WheelLifts {
        /// Leaf, from 1.
        leaf: usize,
        /// Which of its wheels.
        hanger: Hanger,
        /// How often any does.
        times: usize,
        /// For how long some wheel is off the rail in all, s.
        lasts_s: f64,
    },
    /// The impact is over what is allowed where nobody tests.
    ImpactBetweenGaps {
        /// Impact force there, N.
        force_n: f64,
        /// Allowed there, N.
        allowed_n: f64,
        /// Clear opening, m.
        gap_m: f64,
    },
    /// What the drive makes and what the belt answers with are one tone for long.
    Sings(Meeting),
    /// The controller takes something for an obstruction.
    Obstructed {
        /// Whether something was there.
        touched: bool,
        /// How often.
        times: usize,
    },
    /// The run was given up.
    GivenUp,
    /// The balance of energy is open by more than is promised: the numbers may be off by as much.
    BalanceOpen {
        /// Share of all energy that is missing.
        share: f64,
    },
}

impl RemarkKind {
    /// Its name in data.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Slack { .. } => "strand-slack",
            Self::StopMetFast { .. } => "stop-met-fast",
            Self::CordsOverstressed { .. } => "cords-overstressed",
            Self::Jolt { .. } => "rail-jolt",
            Self::WheelLifts { .. } => "wheel-lifts",
            Self::ImpactBetweenGaps { .. } => "impact-between-gaps",
            Self::Sings(_) => "sings",
            Self::Obstructed { .. } => "obstruction-noticed",
            Self::GivenUp => "given-up",
            Self::BalanceOpen { .. } => "balance-open",
        }
    }
}

/// Everything worth a word about a run with its verdicts. `profile` is the impact force where the whole travel was tested.
pub fn remarks(door: &Door, run: &Run, verdicts: &[Verdict], profile: &[GapForce]) -> Vec<Remark> {
    let broken = broken(door, run, verdicts);
    let is_broken = |figure| broken.iter().any(|verdict| verdict.limit.figure == Some(figure));
    let mut found = Vec::new();
    let mut say = |serious, at, kind| found.push(Remark { kind, serious, at });
    if let Some((longest, times, snaps)) = longest_slack(run) {
        say(is_broken(Figure::SlackTime), Some(longest.to), RemarkKind::Slack { longest, times, snaps });
    }
    for (at, speed_m_per_s) in stops_met_fast(door, &run.events) {
        say(is_broken(Figure::StopSpeed), Some(at), RemarkKind::StopMetFast { speed_m_per_s });
    }
    let cords = broken.iter().find(|verdict| verdict.limit.figure == Some(Figure::GreatestTension));
    if let Some((verdict, (tension_n, allowable_n))) = cords.and_then(|v| Some((v, v.value.zip(v.allowed)?)))
    {
        say(true, verdict.at, RemarkKind::CordsOverstressed { tension_n, allowable_n });
    }
    if let Some((at, kind)) = jolt(&run.events) {
        say(false, Some(at), kind);
    }
    if let Some((at, kind)) = lift(run) {
        say(is_broken(Figure::LiftTime), Some(at), kind);
    }
    if let Some(kind) = between_gaps(verdicts, profile) {
        say(true, None, kind);
    }
    if let Some(meeting) = tones(door).meetings.into_iter().find(|meeting| is_heard(door, meeting)) {
        say(false, None, RemarkKind::Sings(meeting));
    }
    if is_balance_open(run) {
        say(true, None, RemarkKind::BalanceOpen { share: run.energy.relative_residual() });
    }
    if let Some((at, kind)) = obstruction(&run.events) {
        say(false, Some(at), kind);
    }
    if let Some(event) = run.events.iter().find(|event| event.kind == EventKind::TimedOut) {
        say(false, Some(event.at), RemarkKind::GivenUp);
    }
    found
}

/// The longest time in which a strand is slack, how often one is, and whether that strand snaps tight.
fn longest_slack(run: &Run) -> Option<(SlackTime, usize, bool)> {
    let end =
        run.samples.last().map(|sample| Moment { t_s: sample.t_s, clear_opening_m: sample.clear_opening_m });
    let end = end.or(run.events.last().map(|event| event.at))?;
    let all = slack_times(&run.events, end);
    let longest = *all.iter().max_by(|a, b| a.lasts_s().total_cmp(&b.lasts_s()))?;
    Some((longest, all.len(), longest.ends))
}

/// Stops that were met faster than a creeping leaf would: when, and at which speed, m/s.
pub fn stops_met_fast(door: &Door, events: &[Event]) -> Vec<(Moment, f64)> {
    let parameters = door.parameters();
    let met = |event: &Event| {
        let EventKind::StopHit { speed_m_per_s, .. } = event.kind else { return None };
        let way = if speed_m_per_s < 0.0 { parameters.closing } else { parameters.opening };
        let speed = speed_m_per_s.abs();
        (speed > SLOWED_DOWN * way.creep_speed_m_per_s).then_some((event.at, speed))
    };
    events.iter().filter_map(met).collect()
}

/// The hardest jolt of a wheel on its rail that is felt.
pub fn hardest_jolt(events: &[Event]) -> Option<&Event> {
    let jolt = |event: &&Event| match event.kind {
        EventKind::FaultPassed { acceleration_m_per_s2, .. } => acceleration_m_per_s2,
        _ => 0.0,
    };
    let hardest = events.iter().max_by(|a, b| jolt(a).total_cmp(&jolt(b)))?;
    (jolt(&hardest) >= FELT_M_PER_S2).then_some(hardest)
}

fn jolt(events: &[Event]) -> Option<(Moment, RemarkKind)> {
    let Event { at, kind } = hardest_jolt(events)?;
    let EventKind::FaultPassed { leaf, hanger, fault, acceleration_m_per_s2 } = *kind else { return None };
    let crossings = events.iter().filter(|event| matches!(event.kind, EventKind::FaultPassed { .. })).count();
    Some((*at, RemarkKind::Jolt { leaf, hanger, fault, acceleration_m_per_s2, crossings }))
}

/// Wheels that leave the rail, said once, where the lift is worst.
fn lift(run: &Run) -> Option<(Moment, RemarkKind)> {
    let lifts = run.events.iter().filter(|event| matches!(event.kind, EventKind::WheelLifts { .. }));
    let first = lifts.clone().next()?;
    let EventKind::WheelLifts { leaf, hanger } = first.kind else { return None };
    let lasts_s = run.figures.get(Figure::LiftTime)?;
    let at = run.figures.reading(Figure::LiftTime).and_then(|reading| reading.at);
    Some((at.unwrap_or(first.at), RemarkKind::WheelLifts { leaf, hanger, times: lifts.count(), lasts_s }))
}

/// Between the gaps of the force test the impact may be over a limit that every tested gap keeps.
fn between_gaps(verdicts: &[Verdict], profile: &[GapForce]) -> Option<RemarkKind> {
    let of_impact = |verdict: &&Verdict| {
        verdict.limit.figure == Some(Figure::ImpactForce) && verdict.outcome != Outcome::Over
    };
    let at_most = |rule: &Rule, gap_m: f64| match rule {
        Rule::AtMost(most) => Some(*most),
        Rule::AtMostByGap(bands) => {
            bands.iter().find(|band: &&Band| band.holds(gap_m)).map(|band| band.at_most)
        }
        _ => None,
    };
    let rules = || verdicts.iter().filter(of_impact).map(|verdict| &verdict.limit.rule);
    let over = profile.iter().filter_map(|gap| {
        let (force_n, gap_m) = (gap.impact_force_n?, gap.gap_m);
        let allowed_n = rules().filter_map(|rule| at_most(rule, gap_m)).fold(f64::INFINITY, f64::min);
        (force_n > allowed_n).then_some((force_n, allowed_n, gap_m))
    });
    let (force_n, allowed_n, gap_m) = over.max_by(|a, b| (a.0 / a.1).total_cmp(&(b.0 / b.1)))?;
    Some(RemarkKind::ImpactBetweenGaps { force_n, allowed_n, gap_m })
}

/// Part of the travel over which a tone has to last to be worth a word. Judgement.
const SUNG_FOR_LONG: f64 = 0.5;

/// Whether one strand sings over a good part of the travel. The loop along itself is left out: the speed control damps it.
fn is_heard(door: &Door, meeting: &Meeting) -> bool {
    let (from, to) = meeting.stretch_m;
    let strand = matches!(meeting.answer, Answer::Strand { .. });
    strand && meeting.sings() && (to - from).abs() >= SUNG_FOR_LONG * door.travel_m()
}

fn obstruction(events: &[Event]) -> Option<(Moment, RemarkKind)> {
    let noticed = events.iter().filter(|event| event.kind == EventKind::ObstructionNoticed);
    let first = noticed.clone().next()?;
    let touched = events.iter().any(|event| matches!(event.kind, EventKind::Touched { .. }));
    Some((first.at, RemarkKind::Obstructed { touched, times: noticed.count() }))
}
