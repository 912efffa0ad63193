//! What happens to a door while it runs: power is lost, a beam is broken, someone comes once more.

use crate::controller::{Controller, Target};
use crate::moment::Moment;
use crate::parameters::{BeamAction, PowerLost, Timeline};
use crate::plant::Plant;
use crate::run::{Event, EventKind, State};
use crate::sim::{Setup, Sim};

/// Longest that a leaf is followed after a beam trip, s.
pub(crate) const LONGEST_STOP_S: f64 = 10.0;
/// A leaf that has gone no further for so long has stopped or turned round, s: longer than it swings on its belt.
const NO_FURTHER_S: f64 = 0.3;
/// The worst place for a beam trip is where the leaf closes fastest, to this part of its speed.
const FASTER_BY: f64 = 1.02;

/// Something that happens at a time of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Happening {
    PowerLost,
    BeamBroken,
    /// The controller acts on the beam, a sensor delay later.
    BeamActs,
    OpenAgain,
}

/// What is still to happen, the next last.
#[derive(Clone, Debug)]
pub(crate) struct Happenings {
    pending: Vec<(f64, Happening)>,
    delay_s: f64,
    beam: BeamAction,
    winding: PowerLost,
}

impl Happenings {
    pub fn of(timeline: &Timeline) -> Self {
        let times = [
            (timeline.power_lost_s, Happening::PowerLost),
            (timeline.beam_broken_s, Happening::BeamBroken),
            (timeline.open_again_s, Happening::OpenAgain),
        ];
        let mut pending: Vec<(f64, Happening)> =
            times.into_iter().filter_map(|(at, what)| Some((at?, what))).collect();
        pending.sort_by(|a, b| b.0.total_cmp(&a.0));
        Self {
            pending,
            delay_s: timeline.sensor_delay_s,
            beam: timeline.beam_action,
            winding: timeline.power_lost_winding,
        }
    }

    /// When something happens next, s; infinite: nothing more.
    pub fn next(&self) -> f64 {
        self.pending.last().map_or(f64::INFINITY, |&(at, _)| at)
    }

    /// Lets everything happen whose time has come; whether anything did.
    pub fn happen<const B: usize, const S: usize, const R: usize>(
        &mut self,
        setup: &Setup<B, S, R>,
        sim: &mut Sim<B>,
        log: &mut Vec<Event>,
    ) -> bool {
        let mut any = false;
        while let Some(&(at, what)) = self.pending.last() {
            let now = sim.time(setup);
            if now + 1e-9 < at {
                break;
            }
            any = true;
            self.pending.pop();
            if sim.controller.state == State::Off {
                continue; // without power nothing else happens
            }
            let here = sim.moment(setup);
            match what {
                Happening::PowerLost => {
                    log.push(Event { at: here, kind: EventKind::PowerLost });
                    sim.controller.power_off(self.winding == PowerLost::Shorted);
                }
                Happening::BeamBroken => {
                    log.push(Event { at: here, kind: EventKind::BeamBroken });
                    let acts = (at + self.delay_s, Happening::BeamActs);
                    let place = self.pending.partition_point(|&(later, _)| later > acts.0);
                    self.pending.insert(place, acts);
                }
                Happening::BeamActs => match sim.controller.state {
                    State::Closing => act_on_beam(&mut sim.controller, self.beam, now, here, log),
                    State::Open => sim.controller.hold_from(now),
                    _ => {}
                },
                Happening::OpenAgain => match sim.controller.state {
                    State::Open => sim.controller.hold_from(now),
                    State::Closing | State::Stopped => {
                        sim.command(setup, Target::Open, log);
                    }
                    _ => {}
                },
            }
        }
        any
    }
}

fn act_on_beam(controller: &mut Controller, action: BeamAction, t: f64, at: Moment, log: &mut Vec<Event>) {
    match action {
        BeamAction::Reopen => {
            controller.command(t, Target::Open, State::Reversing);
            log.push(Event { at, kind: EventKind::Reversed });
        }
        BeamAction::Stop => {
            controller.stop();
            log.push(Event { at, kind: EventKind::Stopped });
        }
    }
}

/// The run where it closes fastest, kept for a beam trip.
#[derive(Clone, Copy, Debug)]
pub(crate) struct WorstPlace<const B: usize> {
    fastest: f64,
    sim: Option<Sim<B>>,
}

impl<const B: usize> WorstPlace<B> {
    pub const NONE: Self = Self { fastest: 0.0, sim: None };

    pub fn look<const S: usize, const R: usize>(&mut self, plant: &Plant<B, S, R>, sim: &Sim<B>) {
        let speed = -plant.clear_opening(&sim.state).1;
        if speed > FASTER_BY * self.fastest && sim.controller.state == State::Closing {
            (self.fastest, self.sim) = (speed, Some(*sim));
        }
    }

    /// Breaks the beam there: how far a leaf goes until it rests or turns round, m, and where that began.
    pub fn stopping_distance<const S: usize, const R: usize>(
        self,
        setup: &Setup<B, S, R>,
        timeline: &Timeline,
    ) -> Option<(f64, Moment)> {
        let mut sim = self.sim?;
        let (start, from) = (sim.moment(setup), sim.state.q);
        let mut log = Vec::new();
        let acts_at = start.t_s + timeline.sensor_delay_s;
        let (mut acted, mut furthest, mut since) = (false, 0.0, start.t_s);
        while sim.time(setup) < start.t_s + LONGEST_STOP_S {
            if !acted && sim.time(setup) + 1e-9 >= acts_at {
                let (now, here) = (sim.time(setup), sim.moment(setup));
                act_on_beam(&mut sim.controller, timeline.beam_action, now, here, &mut log);
                acted = true;
            }
            sim.advance(setup, &mut log);
            let gone = setup.plant.leading_bodies().map(|body| from[body] - sim.state.q[body]);
            let gone = gone.fold(0.0, f64::max);
            if gone > furthest {
                (furthest, since) = (gone, sim.time(setup));
            }
            if acted && sim.time(setup) > since + NO_FURTHER_S {
                break;
            }
        }
        Some((furthest, start))
    }
}

/// How long after the command someone who walks up reaches the leaf, s.
pub(crate) fn reaches_after_s(timeline: &Timeline) -> Option<f64> {
    let walk = timeline.activation_depth_m? / timeline.person_speed_m_per_s;
    Some((walk - timeline.sensor_delay_s).max(0.0))
}
