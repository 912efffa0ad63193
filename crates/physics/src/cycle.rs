//! One whole run of a door.

use crate::contact::Contact;
use crate::controller::Target;
use crate::door::Door;
use crate::energy::power;
use crate::faults_met::faults_met;
use crate::figures::Figures;
use crate::force_test;
use crate::options::{CycleOptions, Plan, Start};
use crate::parameters::RunKind;
use crate::plant::Plant;
use crate::progress::Progress;
use crate::reading::gathered::{Tested, Totals};
use crate::reading::record::Record;
use crate::rear_test;
use crate::result::Run;
use crate::run::State;
use crate::sim::{MOST_EVENTS, Setup, Sim};
use crate::travel::{Travel, ticks_until};

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
    let figures = Figures::of(&Record::new(door, &samples, &events, tested, &energy, &totals));
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
        progress.sim.put(setup, Contact::with(obstacle));
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
