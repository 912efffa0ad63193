//! One whole run of a door.

use crate::contact::{Contact, Place};
use crate::controller::Target;
use crate::door::Door;
use crate::faults_met::faults_met;
use crate::figures::{Figure, Needs};
use crate::force_test;
use crate::limits::Limit;
use crate::parameters::{Obstacle, RunKind};
use crate::plant::{Plant, power};
use crate::reading::{Record, Tested, Totals};
use crate::rear_test;
use crate::run::{Event, FastestPlace, GapForce, GapRange, RearForce, Run, Sample, State};
use crate::sim::{MOST_EVENTS, Setup, Sim};
use crate::travel::{Travel, ticks_until};

/// How long a run goes on after the door has arrived closed, s.
pub const AFTER_CLOSED_S: f64 = 1.0;
/// Gaps of the force test, m (EN 12453 measures at 50, 300 and 500 mm).
pub const DEFAULT_GAPS_M: [f64; 3] = [0.05, 0.3, 0.5];

/// What a run is to do and to keep.
#[derive(Clone, Debug, PartialEq)]
pub struct CycleOptions {
    /// What the door is told.
    pub plan: Plan,
    /// Where it starts.
    pub start: Start,
    /// The force test that goes with it.
    pub force: ForceTest,
    /// Multiplies the sub-steps of a tick, 1 to 1000.
    pub refine: u32,
    /// Whether to keep the samples. Figures are read off them either way.
    pub keep_samples: bool,
    /// Whether to break a beam where the leaf closes fastest, for the stopping distance.
    pub stopping: bool,
    /// Whether to pass over the time in which the door stands still.
    pub skip_standing: bool,
}

impl Default for CycleOptions {
    fn default() -> Self {
        Self {
            plan: Plan::OpenAndClose,
            start: Start::Closed,
            force: ForceTest::none(),
            refine: 1,
            keep_samples: true,
            stopping: false,
            skip_standing: true,
        }
    }
}

/// What the door is told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Plan {
    /// Open, stay open, close: ends when it has stood closed for a second.
    OpenAndClose,
    /// Open: ends when it has opened.
    Open,
    /// Close: ends when it has stood closed for a second.
    Close,
    /// Find both ends at creep speed, the closed one first.
    Learn,
    /// Power off, winding open.
    Off {
        /// For how long, s, at most a day.
        for_s: f64,
    },
}

/// Where a run starts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Start {
    /// At rest, closed.
    Closed,
    /// Every leaf at this opening, belt and drive moving with it.
    At {
        /// Opening of each leaf, m; taken as at the nearer stop where it lies beyond.
        opening_m: f64,
        /// Speed, opening positive, m/s, at most 20 either way.
        speed_m_per_s: f64,
    },
}

/// What to measure against the tester.
#[derive(Clone, Debug, PartialEq)]
pub struct ForceTest {
    /// Clear openings at which the tester stands, m.
    pub gaps_m: Vec<f64>,
    /// Ranges of gaps in each of which the place is looked for at which the opening closes fastest.
    pub ranges: Vec<GapRange>,
    /// Whether the tester stands at those places too, and at 0.8 and 1.25 times as far open where that is in the range.
    pub fastest: bool,
    /// Stall force: closing from rest against it.
    pub stall: bool,
    /// Impact force: forked off the closing run.
    pub impact: bool,
    /// The whole five seconds after touching: residual force and time above 150 N.
    pub whole: bool,
    /// All of it behind the open leaf too, where it is known how far away the next fixed part is.
    pub rear: bool,
}

impl ForceTest {
    /// No force test.
    pub fn none() -> Self {
        Self {
            gaps_m: Vec::new(),
            ranges: Vec::new(),
            fastest: false,
            stall: false,
            impact: false,
            whole: false,
            rear: false,
        }
    }

    /// What these limits need on this door, and no more: the one place that says so.
    ///
    /// `gaps_m`: the gaps of the user, as far as the door is wide enough; `None`: those of the usual test, the upper end of each band
    /// and where the leaf closes fastest within each.
    pub fn for_limits(door: &Door, limits: &[Limit], gaps_m: Option<&[f64]>) -> Self {
        let needs = || limits.iter().filter_map(|limit| limit.figure).map(Figure::needs);
        let stall = needs().any(|needs| matches!(needs, Needs::Stall(_)));
        let whole = needs().any(|needs| matches!(needs, Needs::Whole(_)));
        let impact = whole || needs().any(|needs| matches!(needs, Needs::Impact(_)));
        let rear = needs().any(|needs| matches!(needs, Needs::Rear(_)));
        if !stall && !impact {
            return Self { rear, ..Self::none() };
        }
        let everything = Self { rear, ..Self::everything(door, limits, gaps_m) };
        if !impact {
            // a stall begins at rest: where the leaf is fastest does not matter
            return Self { ranges: Vec::new(), fastest: false, impact, whole, ..everything };
        }
        Self { stall, impact, whole, ..everything }
    }

    /// Stall, impact and residual force at the gaps of [`for_limits`](Self::for_limits), whether or not a limit needs them.
    pub fn everything(door: &Door, limits: &[Limit], gaps_m: Option<&[f64]>) -> Self {
        let ruled = |of_speed: bool| {
            let wanted = move |limit: &&Limit| {
                limit
                    .figure
                    .is_some_and(|figure| figure.is_closing_force() && !(of_speed && figure.is_stall()))
            };
            limits.iter().filter(wanted).flat_map(Limit::ruled_ranges)
        };
        let mut ranges: Vec<GapRange> = Vec::new();
        for range in ruled(true) {
            if !ranges.contains(&range) {
                ranges.push(range);
            }
        }
        if ranges.is_empty() {
            ranges.push(GapRange::WHOLE);
        }
        let ends = ruled(false).map(|range| range.to_m).filter(|to_m| to_m.is_finite());
        let mut gaps: Vec<f64> = match gaps_m {
            Some(gaps) => gaps.to_vec(),
            None => DEFAULT_GAPS_M.into_iter().chain(ends).collect(),
        };
        gaps.retain(|gap| *gap < door.clear_width_m());
        gaps.sort_by(f64::total_cmp);
        gaps.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        Self {
            gaps_m: gaps,
            ranges,
            fastest: gaps_m.is_none(),
            stall: true,
            impact: true,
            whole: true,
            rear: true,
        }
    }

    /// Everything, at these gaps.
    pub fn at(gaps_m: &[f64]) -> Self {
        Self { gaps_m: gaps_m.to_vec(), stall: true, impact: true, whole: true, ..Self::none() }
    }
}

/// Runs a door. Never fails: what does not work out is in the result.
pub fn cycle(door: &Door, options: &CycleOptions) -> Run {
    let ring = door.ring();
    match (ring.bodies, ring.spans.len(), ring.rotor_kg.is_some()) {
        (3, 3, false) => run::<3, 3, 3>(door, options),
        (3, 3, true) => run::<4, 3, 3>(door, options),
        (3, _, false) => run::<4, 5, 3>(door, options),
        (3, _, true) => run::<5, 5, 3>(door, options),
        (_, 4, false) => run::<4, 4, 4>(door, options),
        (_, 4, true) => run::<5, 4, 4>(door, options),
        (_, _, false) => run::<6, 8, 4>(door, options),
        (_, _, true) => run::<7, 8, 4>(door, options),
    }
}

/// A run under way: what it has left behind so far.
pub(crate) struct Progress<const B: usize> {
    pub sim: Sim<B>,
    pub samples: Vec<Sample>,
    pub events: Vec<Event>,
    pub force: Vec<GapForce>,
    pub rear: Vec<RearForce>,
    pub fastest: Vec<FastestPlace>,
    pub finished: bool,
}

fn run<const B: usize, const S: usize, const R: usize>(door: &Door, options: &CycleOptions) -> Run {
    let setup = Setup::<B, S, R>::new(door, options.refine);
    let (opening, speed) = match options.start {
        Start::Closed => (0.0, 0.0),
        Start::At { opening_m, speed_m_per_s } => {
            let (stops, stroke) = (door.parameters().stoppers, door.parameters().leaf.stroke_m);
            let opening = within(opening_m, -stops.behind_closed_m, stroke + stops.behind_open_m);
            (opening, within(speed_m_per_s, -20.0, 20.0))
        }
    };
    let mut options = options.clone();
    if options.plan == Plan::OpenAndClose && door.parameters().timeline.run == RunKind::Learning {
        options.plan = Plan::Learn;
    }
    let options = &options;
    let standing = match options.plan {
        Plan::Off { .. } => State::Off,
        _ => State::Closed,
    };
    let sim = Sim::at(&setup, opening, speed, standing);
    let expected = door.parameters().leaf.stroke_m / door.parameters().closing.speed_m_per_s.max(0.05);
    let mut progress = Progress {
        samples: Vec::with_capacity(((expected * 2.0 + 4.0) / setup.tick_s).min(30_000.0) as usize),
        events: Vec::with_capacity(16),
        force: force_test::at_gaps(&options.force.gaps_m),
        rear: if options.force.rear { rear_test::tests(door) } else { Vec::new() },
        fastest: Vec::new(),
        finished: false,
        sim,
    };
    progress.samples.push(progress.sim.sample(&setup, 0.0));
    let mut stopping = None;
    match options.plan {
        Plan::Learn => progress.sim.learn(&setup),
        Plan::Off { for_s } => stand_off(door, &setup, options, &mut progress, within(for_s, 0.0, 86_400.0)),
        Plan::Open => progress.sim.command(&setup, Target::Open, &mut progress.events),
        Plan::Close => progress.sim.command(&setup, Target::Closed, &mut progress.events),
        Plan::OpenAndClose => progress.sim.command(&setup, Target::Open, &mut progress.events),
    }
    if !matches!(options.plan, Plan::Off { .. }) {
        let mut travel = Travel::new(door, &setup, options, &mut progress);
        travel.run();
        travel.meet_testers();
        stopping = travel.stopping_distance();
    }
    if options.force.stall {
        force_test::stall(door, &setup, options, &mut progress.force, &progress.fastest);
    }

    let Progress { sim, samples, mut events, force, rear, fastest, finished } = progress;
    let met = faults_met(door, &samples);
    if !met.is_empty() {
        events.extend(met.into_iter().take(MOST_EVENTS));
        events.sort_by(|a, b| a.at.t_s.total_cmp(&b.at.t_s));
    }
    let energy = sim.energy(&setup);
    let totals = Totals {
        slack_s: sim.slack_s,
        lift_s: sim.lift_s,
        knock_m_per_s: (Plant::<B, S, R>::MOTOR != 0).then_some(sim.knock_m_per_s),
        drawn_j: sim.work[power::DRAWN],
        standing_current_a: setup.plant.standing_current(sim.winding),
        standing_power_w: sim.standing_power(&setup),
        standing_supply_w: setup.source.behind_w(sim.standing_power(&setup)),
        stopping,
        bus: (!setup.source.is_stiff()).then_some((sim.bus.least, sim.bus.greatest)),
        supply_current: sim.bus.most_current,
        motor_speed: sim.top_motor_speed,
    };
    let tested = Tested { force: &force, rear: options.force.rear.then_some(rear.as_slice()) };
    let figures = Record::new(door, &samples, &events, tested, &energy, &totals).figures();
    Run {
        samples: if options.keep_samples { samples } else { Vec::new() },
        events,
        figures,
        force,
        rear,
        fastest,
        energy,
        substeps: setup.substeps,
        finished,
    }
}

/// Nearest value in a range; what is no number counts as the lower end.
fn within(value: f64, low: f64, high: f64) -> f64 {
    if value.is_nan() { low } else { value.clamp(low, high) }
}

pub(crate) fn contact_with(obstacle: &Obstacle) -> Contact {
    Contact {
        place: Place::ClosingEdge,
        gap: obstacle.gap_m,
        stiffness: obstacle.stiffness_n_per_m,
        mass: obstacle.mass_kg.unwrap_or(f64::INFINITY),
        room: (obstacle.gap_m - obstacle.depth_m).max(0.0),
    }
}

/// Power off: rolls, swings or stands, and may meet the obstacle.
fn stand_off<const B: usize, const S: usize, const R: usize>(
    door: &Door,
    setup: &Setup<B, S, R>,
    options: &CycleOptions,
    progress: &mut Progress<B>,
    for_s: f64,
) {
    let end = (for_s / setup.tick_s).round() as u64;
    if let Some(obstacle) = &door.parameters().obstacle
        && setup.plant.clear_opening(&progress.sim.state).0 > obstacle.gap_m
    {
        progress.sim.put(setup, contact_with(obstacle));
    }
    while progress.sim.tick < end {
        let force = if options.skip_standing && progress.sim.is_parked(setup) {
            let until = progress.sim.tick
                + ticks_until(setup, &progress.sim, f64::INFINITY).min(end - progress.sim.tick);
            progress.sim.stand(setup, until - progress.sim.tick);
            progress.sim.contact_force(setup)
        } else {
            progress.sim.advance(setup, &mut progress.events).greatest
        };
        progress.samples.push(progress.sim.sample(setup, force));
    }
    progress.finished = true;
}
