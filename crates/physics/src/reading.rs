//! Reads the figures off a run (PHYSICS of each: DEVELOPERS.md, figures).

use crate::door::Door;
use crate::energy::EnergyBalance;
use crate::figures::{Figure, Figures, Moment};
use crate::jerk;
use crate::manual;
use crate::parameters::{Arrangement, SupplyKind};
use crate::peaks::{self, fastest_closing};
use crate::run::{Event, EventKind, GapForce, Sample, State};
use crate::supply::Extreme;
use crate::thermal;
use crate::timeline;

/// Distance from the end at which a motion counts as done, m.
pub const DONE_M: f64 = 0.005;
/// 2 in: clear opening down to which the closing speed before latch check is taken, m.
pub const LATCH_CHECK_M: f64 = 0.0508;
/// Band within which a leaf counts as settled, m.
pub(crate) const SETTLED_M: f64 = 0.001;

/// A leaf slower than this has come to rest, m/s.
const AT_REST_M_PER_S: f64 = 0.001;

/// What a run knows beside its samples.
pub(crate) struct Totals {
    pub slack_s: f64,
    pub lift_s: f64,
    /// Where the rotor is parted from its pulley, m/s.
    pub knock_m_per_s: Option<f64>,
    pub drawn_j: f64,
    pub standing_current_a: f64,
    pub standing_power_w: f64,
    /// The same at a battery's open-circuit voltage.
    pub standing_supply_w: f64,
    /// How far a leaf goes on after a beam trip at the worst place, and where that is.
    pub stopping: Option<(f64, Moment)>,
    /// Least and greatest voltage of a bus that moves.
    pub bus: Option<(Extreme, Extreme)>,
}

pub(crate) fn read(
    door: &Door,
    samples: &[Sample],
    events: &[Event],
    force: &[GapForce],
    energy: &EnergyBalance,
    totals: &Totals,
) -> Figures {
    let mut figures = Figures::default();
    let phases = Phases::of(samples, events);
    times(door, &phases, events, &mut figures);
    peaks::read(door, samples, &mut figures);
    closing_course(door, &phases, &mut figures);
    let slack = |kind: &EventKind| {
        if let EventKind::SlackEnds { lasted_s, .. } = kind { Some(*lasted_s) } else { None }
    };
    let lift = |kind: &EventKind| {
        if let EventKind::WheelSits { lasted_s, .. } = kind { Some(*lasted_s) } else { None }
    };
    figures.set_at(Figure::SlackTime, Some(totals.slack_s), longest(samples, events, slack));
    figures.set_at(Figure::LiftTime, Some(totals.lift_s), longest(samples, events, lift));
    figures.set(Figure::GearKnock, totals.knock_m_per_s);
    comfort(door, samples, &phases, events, &mut figures);
    electrical(door, samples, events, energy, totals, &mut figures);
    forces(force, &mut figures);
    if let Some((distance, at)) = totals.stopping {
        figures.set_at(Figure::StoppingDistance, Some(distance), Some(at));
    }
    happenings(door, samples, &phases, events, &mut figures);
    figures.set(Figure::ManualForce, manual::opening_force_n(door));
    figures.set(Figure::ManualForceShorted, manual::opening_force_shorted_n(door));
    figures.set(Figure::DriftForce, Some(manual::drift_force_n(door)));
    figures
}

/// The middle of the longest stretch that an event ends, by how long it lasted, s.
fn longest(
    samples: &[Sample],
    events: &[Event],
    lasted: impl Fn(&EventKind) -> Option<f64>,
) -> Option<Moment> {
    let stretches = events.iter().filter_map(|event| Some((lasted(&event.kind)?, event.at.t_s)));
    let (lasted_s, end_s) = stretches.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let middle_s = end_s - lasted_s / 2.0;
    samples.get(samples.partition_point(|sample| sample.t_s < middle_s)).map(moment)
}

fn moment(sample: &Sample) -> Moment {
    Moment { t_s: sample.t_s, clear_opening_m: sample.clear_opening_m }
}

/// The first motion open and the last motion closed, as ranges of samples.
struct Phases<'a> {
    opening: &'a [Sample],
    opening_command: f64,
    closing: &'a [Sample],
    closing_command: f64,
}

impl<'a> Phases<'a> {
    fn of(samples: &'a [Sample], events: &[Event]) -> Self {
        let first = |kind| events.iter().find(|event| event.kind == kind).map(|event| event.at.t_s);
        let last = |kind| events.iter().rev().find(|event| event.kind == kind).map(|event| event.at.t_s);
        let end = samples.last().map_or(0.0, |sample| sample.t_s);
        let after = |t: f64| samples.partition_point(|sample| sample.t_s < t - 1e-9);
        let ended = |from: f64| {
            let stop = |event: &&Event| {
                event.at.t_s > from + 1e-9
                    && matches!(
                        event.kind,
                        EventKind::CommandOpen | EventKind::CommandClose | EventKind::Reversed
                    )
            };
            events.iter().find(stop).map_or(end, |event| event.at.t_s)
        };
        let range = |from: Option<f64>| {
            from.map_or(&samples[..0], |from| {
                let (low, high) = (after(from), after(ended(from) + 2e-9));
                &samples[low.min(high)..high]
            })
        };
        let (opening, closing) = (first(EventKind::CommandOpen), last(EventKind::CommandClose));
        Self {
            opening: range(opening),
            opening_command: opening.unwrap_or(0.0),
            closing: range(closing),
            closing_command: closing.unwrap_or(0.0),
        }
    }
}

/// Interpolated time at which the clear opening first reaches a value, s.
fn crossing(samples: &[Sample], opening_m: f64, rising: bool) -> Option<(f64, Moment)> {
    let sign = if rising { 1.0 } else { -1.0 };
    let beyond = |sample: &Sample| sign * (sample.clear_opening_m - opening_m) >= 0.0;
    let n = samples.iter().position(beyond)?;
    // a motion that begins beyond the mark does not cross it
    let (a, b) = (&samples[n.checked_sub(1)?], &samples[n]);
    let part = (opening_m - a.clear_opening_m) / (b.clear_opening_m - a.clear_opening_m);
    let t_s = a.t_s + part * (b.t_s - a.t_s);
    Some((t_s, Moment { t_s, clear_opening_m: opening_m }))
}

fn times(door: &Door, phases: &Phases<'_>, events: &[Event], figures: &mut Figures) {
    let width = door.clear_width_m();
    let mut set = |figure, found: Option<(f64, Moment)>, command: f64| {
        figures.set_at(figure, found.map(|(t, _)| t - command), found.map(|(_, at)| at));
    };
    set(Figure::OpeningTime, crossing(phases.opening, width - DONE_M, true), phases.opening_command);
    set(Figure::OpeningTime80, crossing(phases.opening, 0.8 * width, true), phases.opening_command);
    set(Figure::ClosingTime, crossing(phases.closing, DONE_M, false), phases.closing_command);
    figures.set(Figure::ClosingLeastTime90, least_time(phases.closing, 0.9 * width));
    let arrived = events.iter().find(|event| event.kind == EventKind::ArrivedOpen);
    let next = arrived.and_then(|arrived| {
        events.iter().find(|event| event.kind == EventKind::CommandClose && event.at.t_s > arrived.at.t_s)
    });
    let held = arrived.zip(next).map(|(from, to)| to.at.t_s - from.at.t_s);
    figures.set_at(Figure::HoldOpen, held, next.map(|next| next.at));
}

/// What a person who walks up finds, how far a leaf goes without power, what a learning run learns.
fn happenings(door: &Door, samples: &[Sample], phases: &Phases<'_>, events: &[Event], figures: &mut Figures) {
    let timeline = &door.parameters().timeline;
    if let Some(after) = timeline::reaches_after_s(timeline).filter(|_| !phases.opening.is_empty()) {
        let reached = phases.opening_command + after;
        let then = samples.partition_point(|sample| sample.t_s < reached);
        // no one is met by a door that is not followed as long as that
        if let (Some(before), Some(sample)) = (samples.get(then.max(1) - 1), samples.get(then)) {
            let gap = sample.t_s - before.t_s;
            let part = if gap > 0.0 { (reached - before.t_s) / gap } else { 0.0 };
            let opening_m = before.clear_opening_m + part * (sample.clear_opening_m - before.clear_opening_m);
            let at = Moment { t_s: reached, clear_opening_m: opening_m };
            figures.set_at(Figure::OpeningAtPerson, Some(opening_m.max(0.0)), Some(at));
        }
        let wide = crossing(phases.opening, timeline.shoulder_width_m, true);
        let waits = wide.map(|(t, _)| (t - reached).max(0.0));
        figures.set_at(Figure::PersonWaits, waits, wide.map(|(_, at)| at));
    }
    let lost = events.iter().find(|event| event.kind == EventKind::PowerLost);
    if let (Some(lost), Some(last)) = (lost, samples.last()) {
        let then = samples.partition_point(|sample| sample.t_s < lost.at.t_s - 1e-9);
        let gone = samples.get(then).map(|from| {
            let way = |n: usize| (last.leaf_position_m[n] - from.leaf_position_m[n]).abs();
            way(0).max(way(1))
        });
        figures.set_at(Figure::CoastDistance, gone, Some(moment(last)));
        let open = crossing(&samples[then..], 0.8 * door.clear_width_m(), true);
        figures.set_at(
            Figure::OpenedWithoutPower,
            open.map(|(t, _)| t - lost.at.t_s),
            open.map(|(_, at)| at),
        );
    }
    let ends: Vec<f64> = events.iter().filter_map(|event| event.kind.end_found()).collect();
    if let [closed, open] = ends[..] {
        figures.set(Figure::LearnedStroke, Some(open - closed));
    }
}

/// Shortest time in which `distance` is covered without a break while closing, s.
///
/// The opening falls monotonically but for overshoot, so two interpolated pointers find every window.
fn least_time(samples: &[Sample], distance_m: f64) -> Option<f64> {
    let mut best: Option<f64> = None;
    let mut first = 0;
    for n in 1..samples.len() {
        let target = samples[n].clear_opening_m + distance_m;
        // the last sample that is still at or above the start of the window
        while first + 1 < n && samples[first + 1].clear_opening_m >= target {
            first += 1;
        }
        let (a, b) = (&samples[first], &samples[first + 1]);
        if a.clear_opening_m < target {
            continue;
        }
        let fall = a.clear_opening_m - b.clear_opening_m;
        let part = if fall > 0.0 { ((a.clear_opening_m - target) / fall).clamp(0.0, 1.0) } else { 1.0 };
        let took = samples[n].t_s - (a.t_s + part * (b.t_s - a.t_s));
        best = Some(best.map_or(took, |best: f64| best.min(took)));
    }
    best
}

/// The sample at which something is greatest.
fn greatest<'a>(
    samples: impl IntoIterator<Item = &'a Sample>,
    value: impl Fn(&Sample) -> f64,
) -> (Option<f64>, Option<Moment>) {
    let best = samples
        .into_iter()
        .map(|sample| (value(sample), sample))
        .reduce(|a, b| if b.0 > a.0 { b } else { a });
    (best.map(|(value, _)| value), best.map(|(_, sample)| moment(sample)))
}

fn closing_course(door: &Door, phases: &Phases<'_>, figures: &mut Figures) {
    figures.set(Figure::AverageEnergyClosing, average_energy(door, phases.closing));
    figures.set(Figure::LatchCheck, latch_check(door, phases.closing));
}

/// Energy with drive at the average speed over the stated stretch (EN 81-20:2020 5.3.6.2.2.1), J.
fn average_energy(door: &Door, closing: &[Sample]) -> Option<f64> {
    let end = if door.parameters().arrangement == Arrangement::BiParting { 0.025 } else { 0.050 };
    let leaves = door.edges() as f64;
    let (from, to) = (door.clear_width_m() - end * leaves, end * leaves);
    let (start, finish) = (crossing(closing, from, false)?.0, crossing(closing, to, false)?.0);
    let speed = (from - to) / leaves / (finish - start);
    Some(0.5 * door.ring().moving_kg() * speed * speed)
}

/// Travel of a leaf before closed over which it goes no faster than 1.2 times its creep speed, m.
fn latch_check(door: &Door, closing: &[Sample]) -> Option<f64> {
    let p = door.parameters();
    let slow = 1.2 * p.closing.creep_speed_m_per_s;
    let closed = closing.iter().any(|sample| sample.clear_opening_m <= DONE_M);
    let last_fast = closing.iter().rposition(|sample| fastest_closing(sample) > slow);
    let from = last_fast.map_or(door.clear_width_m(), |n| closing[n].clear_opening_m);
    closed.then_some((from / door.edges() as f64).max(0.0))
}

fn comfort(door: &Door, samples: &[Sample], phases: &Phases<'_>, events: &[Event], figures: &mut Figures) {
    let tick = door.parameters().controller.tick_s;
    let (mut acceleration, mut peak_jerk) = ((0.0, None), (0.0, None));
    for leaf in 0..door.leaves() {
        let (a, j) = jerk::peaks(samples, leaf, tick);
        if a.0 > acceleration.0 {
            acceleration = a;
        }
        if j.0 > peak_jerk.0 {
            peak_jerk = j;
        }
    }
    figures.set_at(Figure::PeakAcceleration, Some(acceleration.0), acceleration.1);
    figures.set_at(Figure::PeakJerk, Some(peak_jerk.0), peak_jerk.1);

    let Some(arrived) = events.iter().find(|event| event.kind == EventKind::ArrivedOpen) else { return };
    let stroke = door.travel_m();
    let furthest = |sample: &Sample| sample.leaf_position_m.iter().copied().fold(0.0, f64::max) - stroke;
    let (value, at) = greatest(phases.opening, furthest);
    figures.set_at(Figure::OvershootOpen, value.map(|value| value.max(0.0)), at);
    let standing = phases.opening.iter().rev().find(|sample| sample.state == State::Open);
    let at_rest =
        |sample: &&Sample| sample.leaf_speed_m_per_s.iter().all(|speed| speed.abs() < AT_REST_M_PER_S);
    if let Some(rest) = standing.filter(at_rest) {
        let away = |sample: &Sample| {
            let apart = |n: usize| (sample.leaf_position_m[n] - rest.leaf_position_m[n]).abs();
            (0..door.leaves()).map(apart).fold(0.0, f64::max) > SETTLED_M
        };
        let settled =
            phases.opening.iter().rev().find(|sample| away(sample)).map_or(0.0, |sample| sample.t_s);
        figures.set(Figure::SettlingOpen, Some((settled - arrived.at.t_s).max(0.0)));
    }
}

fn electrical(
    door: &Door,
    samples: &[Sample],
    events: &[Event],
    energy: &EnergyBalance,
    totals: &Totals,
    figures: &mut Figures,
) {
    if let Some((least, greatest)) = totals.bus {
        figures.set_at(Figure::LeastBusVoltage, Some(least.volts), least.at);
        figures.set_at(Figure::GreatestBusVoltage, Some(greatest.volts), greatest.at);
    }
    let closed = events.iter().rev().find(|event| event.kind == EventKind::ArrivedClosed);
    let Some(closed) = closed else { return };
    let period = 3600.0 / door.parameters().duty.cycles_per_hour;
    if period < closed.at.t_s {
        return; // the duty asks for more than the door can do
    }
    // What follows the arrival is standing: the rest may be less than what was run of it.
    let rest = period - samples.last().map_or(0.0, |sample| sample.t_s);
    let standing = totals.standing_current_a.powi(2) * rest;
    let square = energy.copper_j / door.derived().resistance_ohm + standing;
    figures.set(Figure::RmsCurrent, Some((square.max(0.0) / period).sqrt()));
    figures.set(Figure::EnergyPerCycle, Some(energy.bus_j + totals.standing_power_w * rest));
    let supply = &door.parameters().supply;
    if let (SupplyKind::Battery, Some(capacity)) = (supply.kind, supply.capacity_a_s) {
        let charge = (energy.supply_j + totals.standing_supply_w * rest) / supply.voltage_v;
        figures.set(Figure::BatteryCycles, (charge > 0.0).then(|| (capacity / charge).floor()));
    }
    warmth(door, samples, square - standing, totals.standing_current_a, period, figures);
    figures.set(Figure::EnergyDrawn, Some(totals.drawn_j + totals.standing_power_w.max(0.0) * rest));
}

/// How warm the motor gets when the period is repeated for hours; `square_a2_s` is of the samples alone.
fn warmth(
    door: &Door,
    samples: &[Sample],
    square_a2_s: f64,
    standing_a: f64,
    period_s: f64,
    figures: &mut Figures,
) {
    let p = door.parameters();
    let losses = thermal::period(samples, p.controller.tick_s, square_a2_s, standing_a, period_s);
    let steady = thermal::steady(p, &losses);
    figures.set_at(Figure::WindingTemperature, Some(steady.winding_c), steady.at);
    figures.set_at(Figure::WindingRise, Some(steady.rise_at_40_k), steady.at);
    let margin = p.motor.insulation.temperature_c() - steady.winding_c;
    figures.set_at(Figure::InsulationMargin, Some(margin), steady.at);
    figures.set(Figure::HousingTemperature, Some(steady.housing_c));
}

fn forces(force: &[GapForce], figures: &mut Figures) {
    let mut worst = |figure, value: fn(&GapForce) -> Option<f64>, gaps: f64| {
        let best = force
            .iter()
            .filter(|gap| gap.gap_m <= gaps)
            .filter_map(|gap| Some((value(gap)?, gap)))
            .reduce(|a, b| if b.0 > a.0 { b } else { a });
        let at =
            best.map(|(_, gap)| Moment { t_s: gap.touched_at_s.unwrap_or(0.0), clear_opening_m: gap.gap_m });
        figures.set_at(figure, best.map(|(value, _)| value), at);
    };
    worst(Figure::StallForce, |gap| gap.stall_force_n, f64::INFINITY);
    worst(Figure::StallForceLast50, |gap| gap.stall_force_n, 0.05 + 1e-9);
    worst(Figure::ImpactForce, |gap| gap.impact_force_n, f64::INFINITY);
    worst(Figure::ForceAfter750, |gap| gap.force_after_750ms_n, f64::INFINITY);
    worst(Figure::ResidualForce, |gap| gap.residual_force_n, f64::INFINITY);
    worst(Figure::TimeAbove150, |gap| gap.time_above_150n_s, f64::INFINITY);
}
