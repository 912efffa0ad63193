//! The force test: stall, impact and residual force against a tester in the clear opening.
//!
//! The impact runs leave the closing run at the last tick before they touch; they do not start anew.

use crate::contact::{Contact, Place};
use crate::controller::Target;
use crate::door::Door;
use crate::manual;
use crate::options::CycleOptions;
use crate::run::{Event, EventKind, FastestPlace, GapForce, State};
use crate::sim::{Setup, Sim};
use crate::tester_force::{IMPACT_S, TickForce, WHOLE_S};

/// Mean over the last part of that time is the residual force, s.
pub(crate) const RESIDUAL_S: f64 = 0.05;
/// Time for which a stalled leaf is watched, and window of the mean, s.
pub(crate) const STALL_S: f64 = 2.0;
pub(crate) const STALL_MEAN_S: f64 = 0.05;

/// Nothing measured yet, at these gaps, the narrowest first.
pub(crate) fn at_gaps(gaps_m: &[f64]) -> Vec<GapForce> {
    let mut force: Vec<GapForce> =
        gaps_m.iter().map(|&gap_m| GapForce { gap_m, asked: true, ..GapForce::default() }).collect();
    force.sort_by(|a, b| a.gap_m.total_cmp(&b.gap_m));
    force
}

/// Shares of the way open to the fastest place of a range at which the tester stands too.
const AROUND_THE_FASTEST: [f64; 3] = [1.0, 0.8, 1.25];
/// Gaps of one range that are nearer to each other than this are one, m: a leaf is hardly any faster there.
const SAME_GAP_M: f64 = 1e-3;

/// Puts the tester at the fastest place of each range and around it, where it does not stand yet.
pub(crate) fn add_fastest(force: &mut Vec<GapForce>, fastest: &[FastestPlace], widest_m: f64) {
    for place in fastest {
        for gap_m in AROUND_THE_FASTEST.map(|share| share * place.gap_m) {
            let same =
                |known: &GapForce| (known.gap_m - gap_m).abs() < SAME_GAP_M && place.range.holds(known.gap_m);
            let new = !force.iter().any(same);
            if new && place.range.holds(gap_m) && gap_m < widest_m {
                force.push(GapForce { gap_m, ..GapForce::default() });
            }
        }
    }
    force.sort_by(|a, b| a.gap_m.total_cmp(&b.gap_m));
}

/// The tester in the clear opening.
pub(crate) fn tester<const B: usize, const S: usize, const R: usize>(
    setup: &Setup<B, S, R>,
    gap_m: f64,
) -> Contact {
    Contact { gap: gap_m, stiffness: setup.tester_n_per_m, ..Contact::NONE }
}

/// Lets a leaf on its way run against the tester from the tick before it touches.
pub(crate) fn impact<const B: usize, const S: usize, const R: usize>(
    setup: &Setup<B, S, R>,
    mut sim: Sim<B>,
    tester: Contact,
    whole: bool,
    result: &mut GapForce,
) {
    let (space, rate) = setup.plant.space(&tester, &sim.state);
    if space <= tester.gap || rate >= 0.0 {
        return; // there never was as much space as that
    }
    let on_its_way = sim.controller.state;
    let blind_until = sim.controller.commanded_at() + setup.blind_s;
    sim.touched_at = None;
    sim.put(setup, tester);
    let mut events: Vec<Event> = Vec::new();
    let mut ticks: Vec<(f64, TickForce)> = Vec::new();
    let until = if whole { WHOLE_S } else { IMPACT_S };
    loop {
        let force = sim.advance(setup, &mut events);
        let now = sim.time(setup);
        let Some(touched) = sim.touched_at else {
            if sim.controller.state != on_its_way || ticks.len() > 1000 {
                return; // it stopped just before
            }
            ticks.push((now, force));
            continue;
        };
        ticks.push((now, force));
        let since = now - touched;
        if since >= until {
            break;
        }
        if is_over(setup, &sim, touched + until) {
            break;
        }
    }
    let Some(touched) = sim.touched_at else { return };
    let still_touching = sim.is_touching();
    summarise(setup, result, &ticks, touched, until, still_touching);
    let pressed_m = ticks.iter().map(|(_, force)| force.pressed_m).fold(0.0, f64::max);
    let share = pressed_m / setup.plant.edge(&tester).knee();
    result.edge_travel_used = (tester.place == Place::ClosingEdge && share.is_finite()).then_some(share);
    result.within_blind_time = touched < blind_until;
    for event in &events {
        match event.kind {
            EventKind::Touched { closing_speed_m_per_s } if result.touch_speed_m_per_s.is_none() => {
                result.touch_speed_m_per_s = Some(closing_speed_m_per_s);
            }
            EventKind::Reversed | EventKind::Stopped if result.acts_after_s.is_none() => {
                result.acts_after_s = Some(event.at.t_s - touched);
            }
            _ => {}
        }
    }
    if !whole {
        (result.residual_force_n, result.time_above_150n_s, result.force_after_750ms_n) = (None, None, None);
    }
}

/// Whether nothing can change the result any more before `end`: the leaf is clear, on its way open or open, and
/// will not be told to close before, or everything is at rest for good.
///
/// A listed force may move a leaf that nothing else moves, so with any of them the whole time is run.
fn is_over<const B: usize, const S: usize, const R: usize>(
    setup: &Setup<B, S, R>,
    sim: &Sim<B>,
    end: f64,
) -> bool {
    if setup.plant.has_listed_forces() {
        return false;
    }
    let clear = !sim.is_touching() && sim.state.contact.z.abs() < 1e-9;
    let going_away = clear && setup.plant.space(&sim.contact, &sim.state).1 >= 0.0;
    if sim.contact.place != Place::ClosingEdge {
        // on an even rail a leaf that is on its way closed gets there, and nobody opens it again
        let closes = sim.controller.state == State::Reversing && !sim.controller.is_opening();
        let there = sim.controller.state == State::Closed;
        return (there || closes && setup.plant.is_even()) && going_away;
    }
    match sim.controller.state {
        State::Open => going_away && sim.controller.next_change(&setup.settings) > end,
        State::Reversing => {
            going_away && sim.controller.is_opening() && sim.time(setup) + setup.hold_open_s > end
        }
        State::Stopped | State::Closed => sim.is_parked(setup),
        _ => false,
    }
}

/// Part of a tick that ends at `now` and lies between two times, as a fraction of the tick.
fn overlap(now: f64, tick_s: f64, from: f64, to: f64) -> f64 {
    ((now.min(to) - (now - tick_s).max(from)) / tick_s).clamp(0.0, 1.0)
}

fn summarise<const B: usize, const S: usize, const R: usize>(
    setup: &Setup<B, S, R>,
    result: &mut GapForce,
    ticks: &[(f64, TickForce)],
    touched: f64,
    until: f64,
    still_touching: bool,
) {
    let standing = ticks.last().filter(|_| still_touching).map_or(0.0, |(_, force)| force.mean);
    let end = ticks.last().map_or(touched, |&(now, _)| now);
    let (mut greatest, mut at, mut above, mut late, mut residual) = (0.0, touched, 0.0, 0.0_f64, 0.0);
    result.force_over_time.clear();
    for &(now, force) in ticks {
        let since = now - touched;
        if since < 0.0 {
            continue;
        }
        if force.greatest > greatest {
            (greatest, at) = (force.greatest, force.greatest_at);
        }
        late = late.max(force.late);
        above +=
            force.above_150 * overlap(since, setup.tick_s, 0.0, until).max(f64::from(since < setup.tick_s));
        let share = overlap(since, setup.tick_s, WHOLE_S - RESIDUAL_S, WHOLE_S);
        residual += force.mean * share * setup.tick_s / RESIDUAL_S;
        result.force_over_time.push((since, force.mean));
    }
    // A leaf at rest against the tester pushes on with what it pushes now.
    let rest = (touched + until - end).max(0.0);
    if standing > 0.0 && rest > setup.tick_s {
        above += if standing > 150.0 { rest } else { 0.0 };
        late = late.max(standing);
        residual += standing * rest.min(RESIDUAL_S) / RESIDUAL_S;
        result.force_over_time.push((until, standing));
    }
    result.touched_at_s = Some(touched);
    result.impact_force_n = Some(greatest);
    result.impact_at_s = Some(at - touched);
    result.force_after_750ms_n = Some(late);
    result.residual_force_n = Some(residual);
    result.time_above_150n_s = Some(above);
}

/// The three stall forces at each gap: the edge rests on the tester, closing is commanded, nothing reacts.
///
/// They do not depend on how fast the leaf comes: they are measured at the gaps that were asked for, and at the fastest place of a
/// range only where none of those lies in it.
pub(crate) fn stall<const B: usize, const S: usize, const R: usize>(
    door: &Door,
    setup: &Setup<B, S, R>,
    options: &CycleOptions,
    force: &mut [GapForce],
    fastest: &[FastestPlace],
) {
    let setup = setup.without_reaction();
    let gaps_m = &options.force.gaps_m;
    let bare = |place: &&FastestPlace| gaps_m.iter().all(|gap_m| !place.range.holds(*gap_m));
    let bare = fastest.iter().filter(bare).map(|place| place.gap_m);
    let asked: Vec<f64> = gaps_m.iter().copied().chain(bare).collect();
    for result in force.iter_mut() {
        let within = result.gap_m.is_finite() && (0.0..door.clear_width_m()).contains(&result.gap_m);
        if !within || asked.iter().all(|gap_m| (gap_m - result.gap_m).abs() > SAME_GAP_M) {
            continue;
        }
        let opening_m = result.gap_m / door.edges() as f64;
        let (first, settled) = stall_at(&setup, opening_m, tester(&setup, result.gap_m), Target::Closed);
        result.stall_force_n = Some(first);
        result.stall_force_settled_n = Some(settled);
        result.stall_force_slow_n = Some(manual::stall_force_slow_n(door, result.gap_m));
    }
}

/// First swing, the greatest 50 ms mean within 2 s, and settled, the mean from 4.95 to 5.00 s, N, of a leaf that stands at the tester
/// and is told to go where it is in the way.
pub(crate) fn stall_at<const B: usize, const S: usize, const R: usize>(
    setup: &Setup<B, S, R>,
    opening_m: f64,
    tester: Contact,
    target: Target,
) -> (f64, f64) {
    let mut sim = Sim::at(setup, opening_m, 0.0, State::Closed);
    sim.put(setup, tester);
    sim.command(setup, target, &mut Vec::new());
    let window = (STALL_MEAN_S / setup.tick_s).round().max(1.0) as usize;
    let swing = (STALL_S / setup.tick_s).round() as usize;
    let ticks = (WHOLE_S / setup.tick_s).round() as usize;
    let mut means: Vec<f64> = Vec::with_capacity(swing);
    let mut events = Vec::new();
    for _ in 0..ticks {
        means.push(sim.advance(setup, &mut events).mean);
        let steady = sim.controller.pushes_steadily(&setup.settings) && !setup.plant.has_listed_forces();
        if steady && sim.rests(setup) {
            // it pushes on with what it pushes now
            means.extend(std::iter::repeat_n(means[means.len() - 1], window));
            break;
        }
    }
    let mean = |last: usize| means[last.saturating_sub(window)..last].iter().sum::<f64>() / window as f64;
    let mut sum: f64 = means.iter().take(window).sum();
    let mut greatest = sum;
    for n in window..means.len().min(swing) {
        sum += means[n] - means[n - window];
        greatest = greatest.max(sum);
    }
    (greatest / window as f64, mean(means.len()))
}
