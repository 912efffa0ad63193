//! Opening and closing, with the obstacle in the way and the force test forked off on the way closed.

use crate::contact::Contact;
use crate::course::Course;
use crate::door::Door;
use crate::force_test;
use crate::moment::Moment;
use crate::options::{AFTER_CLOSED_S, CycleOptions, Plan};
use crate::parameters::{Obstacle, Parameters};
use crate::patience::patience;
use crate::progress::Progress;
use crate::reading::phases::DONE_M;
use crate::rear_test;
use crate::run::{Event, EventKind, State};
use crate::sim::{Setup, Sim};
use crate::timeline::{Happenings, WorstPlace};

/// Reversals after which a run is given up.
const MOST_REVERSALS: usize = 6;

/// Longest time to find an end beyond that of twice the stroke, and to roll on without power, s.
const LEARNING_S: f64 = 20.0;
const WITHOUT_POWER_S: f64 = 60.0;

fn slowest_creep(p: &Parameters) -> f64 {
    p.opening.creep_speed_m_per_s.min(p.closing.creep_speed_m_per_s)
}

/// A door on its way, and what still has to happen to it.
pub(crate) struct Travel<'a, const B: usize, const S: usize, const R: usize> {
    door: &'a Door,
    setup: &'a Setup<B, S, R>,
    options: &'a CycleOptions,
    progress: &'a mut Progress<B>,
    /// What is still to be met on the way closed.
    obstacle: Option<Obstacle>,
    /// The way closed, kept for the force test.
    course: Course<B, 1>,
    /// Every way open, kept for the force test behind the leaves.
    way_open: Course<B, { rear_test::MOST }>,
    /// What happens at times of its own.
    happenings: Happenings,
    worst: WorstPlace<B>,
    ends_at: f64,
    reversals: usize,
    /// Events that were looked at.
    seen: usize,
    /// Whether the obstacle was put there or taken away since the last tick.
    obstacle_changed: bool,
}

impl<'a, const B: usize, const S: usize, const R: usize> Travel<'a, B, S, R> {
    pub fn new(
        door: &'a Door,
        setup: &'a Setup<B, S, R>,
        options: &'a CycleOptions,
        progress: &'a mut Progress<B>,
    ) -> Self {
        Self {
            obstacle: door.parameters().obstacle,
            course: Course::new(options.force.impact || !options.force.ranges.is_empty()),
            way_open: Course::new(!progress.rear.is_empty()),
            happenings: Happenings::of(&door.parameters().timeline),
            worst: WorstPlace::NONE,
            obstacle_changed: false,
            seen: progress.events.len(),
            ends_at: f64::INFINITY,
            reversals: 0,
            door,
            setup,
            options,
            progress,
        }
    }

    /// Runs until the door has done what it was told, stands for good, or takes too long.
    pub fn run(&mut self) {
        while !self.is_done() {
            if self.options.skip_standing && self.progress.sim.is_parked(self.setup) {
                let until = self.ends_at.min(self.happenings.next());
                let ticks = ticks_until(self.setup, &self.progress.sim, until);
                if ticks == u64::MAX {
                    return;
                }
                self.progress.sim.stand(self.setup, ticks);
                let force = self.progress.sim.contact_force(self.setup);
                self.progress.samples.push(self.progress.sim.sample(self.setup, force));
                if self.is_done() {
                    return;
                }
            }
            self.tick();
            self.look_at_events();
            if self.takes_too_long() {
                let at = self.progress.sim.moment(self.setup);
                self.progress.events.push(Event { at, kind: EventKind::TimedOut });
                return;
            }
        }
    }

    /// Whether the run has ended, by arrival or by an obstruction that stopped the door for good.
    fn is_done(&mut self) -> bool {
        let sim = &self.progress.sim;
        if sim.time(self.setup) >= self.ends_at - 1e-9 {
            let arrived = |kind| self.progress.events.iter().any(|event| event.kind == kind);
            let plan = self.options.plan;
            self.progress.finished = (plan == Plan::Close
                || arrived(EventKind::ArrivedOpen) && self.was_open())
                && (plan == Plan::Open || arrived(EventKind::ArrivedClosed) && self.is_closed());
            return true;
        }
        let for_good = match sim.controller.state {
            State::Stopped => self.happenings.next() == f64::INFINITY,
            State::Off => ticks_until(self.setup, sim, f64::INFINITY) == u64::MAX,
            _ => false,
        };
        if !for_good || !sim.rests(self.setup) {
            return false;
        }
        let ends = self.progress.events.iter().filter(|event| event.kind.end_found().is_some()).count();
        self.progress.finished = self.options.plan == Plan::Learn && ends == 2 && self.was_open();
        true
    }

    /// Whether the leaves were open, wherever the controller takes them to be: on a soft belt its motor may be there before them.
    fn was_open(&self) -> bool {
        let open_m = self.door.clear_width_m() - DONE_M;
        self.progress.samples.iter().any(|sample| sample.clear_opening_m >= open_m)
    }

    /// Whether they are closed now, the same way.
    fn is_closed(&self) -> bool {
        self.progress.samples.last().is_some_and(|sample| sample.clear_opening_m <= DONE_M)
    }

    fn tick(&mut self) {
        let sim = &mut self.progress.sim;
        let mut changed = false;
        if self.happenings.next() < f64::INFINITY {
            changed = self.happenings.happen(self.setup, sim, &mut self.progress.events);
        }
        let closing = sim.controller.state == State::Closing;
        let opening = sim.controller.state == State::Opening;
        if closing {
            let opening_m = clear_opening(self.setup, sim);
            self.course.begin_tick(sim, [opening_m], changed || self.obstacle_changed);
            self.obstacle_changed = false;
        } else if opening {
            let spaces = rear_test::spaces(self.door, sim);
            self.way_open.begin_tick(sim, spaces.map(|(space_m, _)| space_m), changed);
        }
        let force = sim.advance(self.setup, &mut self.progress.events);
        if closing {
            let (opening_m, rate) = self.setup.plant.clear_opening(&sim.state);
            self.course.end_tick([(opening_m, -rate)]);
        } else if opening {
            self.way_open.end_tick(rear_test::spaces(self.door, sim));
        }
        self.progress.samples.push(sim.sample(self.setup, force.greatest.max(force.late)));
        if self.options.stopping && closing {
            self.worst.look(&self.setup.plant, sim);
        }
        self.obstruct();
    }

    /// Puts the obstacle in the way of a closing door, and takes it away when its time is over.
    fn obstruct(&mut self) {
        let Some(obstacle) = self.obstacle else { return };
        let sim = &mut self.progress.sim;
        let wide_enough = clear_opening(self.setup, sim) > obstacle.gap_m;
        if !sim.contact.is_there() && sim.controller.state == State::Closing && wide_enough {
            sim.put(self.setup, Contact::with(&obstacle));
            self.obstacle_changed = true;
        }
        if sim.touched_at.is_some_and(|touched| sim.time(self.setup) > touched + obstacle.stays_s) {
            sim.put(self.setup, Contact::NONE);
            self.obstacle = None;
            self.obstacle_changed = true;
        }
    }

    /// Finds the fastest place of each range, then lets the leaf meet the tester at each gap, each time from the last tick before it
    /// passed the gap fastest.
    pub fn meet_testers(&mut self) {
        let force = &self.options.force;
        let places =
            force.ranges.iter().filter_map(|&range| self.course.fastest(0, range, self.door.clear_width_m()));
        self.progress.fastest = places.collect();
        if force.fastest {
            force_test::add_fastest(
                &mut self.progress.force,
                &self.progress.fastest,
                self.door.clear_width_m(),
            );
        }
        rear_test::measure(self.door, self.setup, &self.way_open, &mut self.progress.rear);
        if !force.impact {
            return;
        }
        for result in &mut self.progress.force {
            if let Some(before) = self.course.before(self.setup, 0, result.gap_m) {
                let tester = force_test::tester(self.setup, result.gap_m);
                force_test::impact(self.setup, before, tester, force.whole, result);
            }
        }
    }

    fn look_at_events(&mut self) {
        for event in &self.progress.events[self.seen..] {
            match event.kind {
                EventKind::ArrivedClosed => self.ends_at = event.at.t_s + AFTER_CLOSED_S,
                EventKind::ArrivedOpen if self.options.plan == Plan::Open => {
                    self.ends_at = event.at.t_s + AFTER_CLOSED_S;
                }
                EventKind::Reversed => self.reversals += 1,
                _ => {}
            }
        }
        self.seen = self.progress.events.len();
    }

    /// How far a leaf goes on after a beam trip at the worst place, m, and where that is.
    pub fn stopping_distance(&self) -> Option<(f64, Moment)> {
        self.worst.stopping_distance(self.setup, &self.door.parameters().timeline)
    }

    fn takes_too_long(&self) -> bool {
        let sim = &self.progress.sim;
        let state = sim.controller.state;
        let under_way = !matches!(state, State::Open | State::Closed);
        let for_s = sim.time(self.setup) - sim.controller.commanded_at();
        let p = self.door.parameters();
        let motion = if state == State::Closing { &p.closing } else { &p.opening };
        let allowed = match state {
            State::Learning => LEARNING_S + 2.0 * p.leaf.stroke_m / slowest_creep(p),
            State::Off => WITHOUT_POWER_S + patience(p, motion),
            _ => patience(p, motion),
        };
        self.reversals > MOST_REVERSALS || (under_way && for_s > allowed)
    }
}

fn clear_opening<const B: usize, const S: usize, const R: usize>(
    setup: &Setup<B, S, R>,
    sim: &Sim<B>,
) -> f64 {
    setup.plant.clear_opening(&sim.state).0
}

/// Whole ticks that a parked door stands before something changes; at least one.
pub(crate) fn ticks_until<const B: usize, const S: usize, const R: usize>(
    setup: &Setup<B, S, R>,
    sim: &Sim<B>,
    end: f64,
) -> u64 {
    let now = sim.time(setup);
    let change = sim.controller.next_change(&setup.settings).min(setup.plant.next_force_change(now)).min(end);
    let ticks = ((change - now) / setup.tick_s - 1e-6).ceil();
    if ticks.is_finite() { (ticks as u64).max(1) } else { u64::MAX }
}
