//! One sub-step: classic Runge-Kutta, the winding's own decay exact, cut where a body stops, breaks away, or meets something.
//!
//! Where a force jumps, as at a stop with a damper, a step that ended just behind the jump would hold it in its last stage:
//! a sixth of the jump over all of the step, h c v/(6 m) too much braking at a stop. So it ends just before the jump, and
//! the bracket in which the jump lies is a step of its own.

use crate::contact::{Contact, ContactState};
use crate::decay::Decay;
use crate::energy::{POWERS, power};
use crate::hanging::Loads;
use crate::plant::{Continuous, Plant, Rates, Rubbing, Winding};

/// Brackets of an event narrower than this fraction of the sub-step are narrow enough.
const EVENT_WIDTH: f64 = 1e-4;
/// A body slower than this stands, m/s: it would take 30 years to move a millimetre.
const STANDING_M_PER_S: f64 = 1e-12;
/// Cuts of one sub-step after which the rest is taken whole: a body that rattles at rest.
const MOST_CUTS: u32 = 8;

/// Trials of a sub-step after which its event is narrow enough: halving alone takes 14 of them.
const MOST_TRIALS: u32 = 24;
/// An event of which nothing tells at which part of the step it is.
const SOMEWHERE: f64 = f64::NAN;

/// Integrals of the powers since the start, J (and N s for the contact force).
pub(crate) type Work = [f64; POWERS];

/// Something that is met within a sub-step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Met {
    /// How long after the start of the sub-step, s.
    pub after_s: f64,
    /// Speed at that instant, opening positive, m/s.
    pub speed_m_per_s: f64,
    /// Clear opening then, m.
    pub clear_opening_m: f64,
}

/// What a sub-step leaves behind beside the state.
pub(crate) struct Advanced<const B: usize> {
    /// Hanger loads of each leaf at its end, N.
    pub loads: [Loads; B],
    /// Speed at the rim at which rotor and pulley met, if they did, m/s.
    pub knock_m_per_s: Option<f64>,
    /// Where the closing edge met the obstacle, with the rate of the clear opening.
    pub touched: Option<Met>,
    /// Where each leaf met a stop, with its speed.
    pub stopped: [Option<Met>; B],
}

/// Advances `state` by the step of `decay` from time `t` and adds the work done.
#[inline(always)]
pub(crate) fn advance<const B: usize, const S: usize, const R: usize>(
    plant: &Plant<B, S, R>,
    t: f64,
    decay: &Decay,
    state: &mut Continuous<B>,
    winding: Winding,
    contact: &Contact,
    work: &mut Work,
) -> Advanced<B> {
    let mut advanced =
        Advanced { loads: [[0.0; 2]; B], knock_m_per_s: None, touched: None, stopped: [None; B] };
    let (h, mut done, mut cuts) = (decay.h, 0.0, 0);
    // width of the bracket that is still to be crossed, s
    let mut bracket: Option<f64> = None;
    while h - done > 1e-12 {
        let now = t + done;
        let over = bracket.take();
        let left = over.unwrap_or(h - done);
        let mut rubbing = sliding(state);
        let mut first_powers = [0.0; POWERS];
        let first = start(plant, now, state, &mut rubbing, winding, contact, &mut first_powers);
        let step = Start { first: &first, powers: &first_powers, rubbing: &rubbing };
        let rest = if done == 0.0 { *decay } else { plant.decay_over(left) };
        let (whole, _) = trial(plant, now, &rest, state, &step, winding, contact);
        let (mut taken, mut cut_short) = ((left, whole), over.is_some());
        if over.is_none()
            && cuts < MOST_CUTS
            && let Some(part) = events(plant, now, left, state, &whole.state, &rubbing, winding, contact)
        {
            let located = locate(plant, now, left, part, state, &step, winding, contact, whole);
            (taken, bracket) = (located.taken, located.bracket);
            (cuts, cut_short) = (cuts + 1, true);
        }
        let (length, next) = taken;
        // without a cut nothing was met, but for an obstacle that the edge rested on
        if cut_short || cuts == MOST_CUTS || contact.gap > 0.0 {
            note_met(plant, contact, state, &next.state, (done, length), &mut advanced);
        }
        done += length;
        for (sum, part) in work.iter_mut().zip(next.work) {
            *sum += part;
        }
        (*state, advanced.loads) = (next.state, next.loads);
        work[power::EDGE] += contact.stop_at_jamb(&mut state.contact);
        for b in 0..B {
            // A body that would turn round has stopped: whether it stays is decided at the next start.
            let turned = cut_short && state.v[b] * rubbing[b] < 0.0;
            if turned || state.v[b].abs() < STANDING_M_PER_S {
                state.v[b] = 0.0;
            }
        }
    }
    advanced
}

/// Notes what is met between the two ends of a step, which begins `done` after the start of the sub-step and takes `length`.
#[cold]
fn note_met<const B: usize, const S: usize, const R: usize>(
    plant: &Plant<B, S, R>,
    contact: &Contact,
    from: &Continuous<B>,
    to: &Continuous<B>,
    (done, length): (f64, f64),
    advanced: &mut Advanced<B>,
) {
    let along = |part: f64, a: f64, b: f64| a + part * (b - a);
    let met = |part: f64, speeds: (f64, f64)| Met {
        after_s: done + part * length,
        speed_m_per_s: along(part, speeds.0, speeds.1),
        clear_opening_m: along(part, plant.clear_opening(from).0, plant.clear_opening(to).0),
    };
    if plant.has_play() && plant.mesh_depth(from) == 0.0 && plant.mesh_depth(to) != 0.0 {
        let motor = Plant::<B, S, R>::MOTOR;
        advanced.knock_m_per_s = Some((from.v[motor] - from.v[0]).abs());
    }
    for body in plant.leading_bodies() {
        let depth = plant.stopper_depth(to.q[body]);
        if depth > 0.0 && plant.stopper_depth(from.q[body]) == 0.0 && advanced.stopped[body].is_none() {
            let part = 1.0 - (depth / (to.q[body] - from.q[body]).abs()).min(1.0);
            advanced.stopped[body] = Some(met(part, (from.v[body], to.v[body])));
        }
    }
    if contact.gap > 0.0 && advanced.touched.is_none() {
        let (before, after) = (free_overlap(plant, contact, from), free_overlap(plant, contact, to));
        if before <= 0.0 && after > 0.0 {
            let rates = (plant.space(contact, from).1, plant.space(contact, to).1);
            advanced.touched = Some(met(before / (before - after), rates));
        }
    }
}

/// How far the obstacle and the edge, as far as it is still compressed, overlap, m; above zero they push.
fn free_overlap<const B: usize, const S: usize, const R: usize>(
    plant: &Plant<B, S, R>,
    contact: &Contact,
    state: &Continuous<B>,
) -> f64 {
    contact.overlap(plant.space(contact, state).0, &state.contact) - state.contact.z
}

/// How far the edges are from being pressed flat, m, n of them together; below zero they are.
fn left_to_knee<const B: usize, const S: usize, const R: usize>(
    plant: &Plant<B, S, R>,
    contact: &Contact,
    state: &Continuous<B>,
) -> f64 {
    let edge = plant.edge(contact);
    edge.knee() - contact.compression(plant.space(contact, state).0, &state.contact, edge)
}

/// Whether every body is at rest and stays so.
pub(crate) fn at_rest<const B: usize, const S: usize, const R: usize>(
    plant: &Plant<B, S, R>,
    t: f64,
    state: &Continuous<B>,
    winding: Winding,
    contact: &Contact,
) -> bool {
    state.v.iter().all(|&v| v == 0.0) && {
        let rates = plant.rates::<false>(t, state, &[0.0; B], winding, contact, 0.0, &mut [0.0; POWERS]);
        (0..B).all(|b| rates.applied[b].abs() <= rates.bound[b] * (1.0 + 1e-9))
            && rates.contact.z.abs() < 1e-9
            && state.contact.vy == 0.0
    }
}

/// Signs of the sliding speeds; 0 where a body stands.
fn sliding<const B: usize>(state: &Continuous<B>) -> Rubbing<B> {
    state.v.map(|v| {
        if v > 0.0 {
            1.0
        } else if v < 0.0 {
            -1.0
        } else {
            0.0
        }
    })
}

/// Rates at the start of a step. Bodies that stand and are pulled beyond their bound start to slide.
#[inline(always)]
fn start<const B: usize, const S: usize, const R: usize>(
    plant: &Plant<B, S, R>,
    t: f64,
    state: &Continuous<B>,
    rubbing: &mut Rubbing<B>,
    winding: Winding,
    contact: &Contact,
    powers: &mut Work,
) -> Rates<B> {
    let mut rates = plant.rates::<true>(t, state, rubbing, winding, contact, 1.0, powers);
    let mut breaks_away = false;
    for b in 0..B {
        if rubbing[b] == 0.0 && rates.applied[b].abs() > rates.bound[b] {
            rubbing[b] = rates.applied[b].signum();
            breaks_away = true;
        }
    }
    if breaks_away {
        *powers = [0.0; POWERS];
        rates = plant.rates::<true>(t, state, rubbing, winding, contact, 1.0, powers);
    }
    rates
}

/// A step that may or may not be accepted.
#[derive(Clone, Copy)]
struct Trial<const B: usize> {
    state: Continuous<B>,
    work: Work,
    /// Hanger loads at its end, from the last stage.
    loads: [Loads; B],
}

#[inline(always)]
fn moved<const B: usize>(from: &Continuous<B>, rates: &Rates<B>, h: f64, i: f64) -> Continuous<B> {
    Continuous {
        q: std::array::from_fn(|b| from.q[b] + h * rates.v[b]),
        v: std::array::from_fn(|b| from.v[b] + h * rates.a[b]),
        i,
        contact: ContactState {
            z: from.contact.z + h * rates.contact.z,
            y: from.contact.y + h * rates.contact.y,
            vy: from.contact.vy + h * rates.contact.vy,
        },
    }
}

/// What every trial of a step starts from.
struct Start<'a, const B: usize> {
    first: &'a Rates<B>,
    powers: &'a Work,
    rubbing: &'a Rubbing<B>,
}

/// Classic Runge-Kutta of fourth order; the powers are integrated with the same weights. Gives the state of the last stage too.
#[inline(always)]
fn trial<const B: usize, const S: usize, const R: usize>(
    plant: &Plant<B, S, R>,
    t: f64,
    decay: &Decay,
    from: &Continuous<B>,
    start: &Start<'_, B>,
    winding: Winding,
    contact: &Contact,
) -> (Trial<B>, Continuous<B>) {
    let (k1, rubbing, h) = (start.first, start.rubbing, decay.h);
    let (sixth, third) = (h / 6.0, h / 3.0);
    let mut work = start.powers.map(|power| sixth * power);
    let half = t + h / 2.0;
    let mut rates_at = |t: f64, state: &Continuous<B>, weight: f64| {
        plant.rates::<true>(t, state, rubbing, winding, contact, weight, &mut work)
    };
    let i2 = decay.half(from.i, k1.drives_current);
    let k2 = rates_at(half, &moved(from, k1, h / 2.0, i2), third);
    let i3 = decay.half(from.i, k2.drives_current);
    let k3 = rates_at(half, &moved(from, &k2, h / 2.0, i3), third);
    let i4 = decay.half(i2, 2.0 * k3.drives_current - k1.drives_current);
    let last = moved(from, &k3, h, i4);
    let k4 = rates_at(t + h, &last, sixth);
    let mean = |k1: f64, k2: f64, k3: f64, k4: f64| sixth * (k1 + k4) + third * (k2 + k3);
    let mut state = Continuous {
        q: std::array::from_fn(|b| from.q[b] + mean(k1.v[b], k2.v[b], k3.v[b], k4.v[b])),
        v: std::array::from_fn(|b| from.v[b] + mean(k1.a[b], k2.a[b], k3.a[b], k4.a[b])),
        i: decay.whole(from.i, [k1, &k2, &k3, &k4].map(|k| k.drives_current)),
        contact: from.contact,
    };
    if contact.is_there() {
        let (to, k) = (&mut state.contact, [&k1.contact, &k2.contact, &k3.contact, &k4.contact]);
        to.z += mean(k[0].z, k[1].z, k[2].z, k[3].z);
        to.y += mean(k[0].y, k[1].y, k[2].y, k[3].y);
        to.vy += mean(k[0].vy, k[1].vy, k[2].vy, k[3].vy);
    }
    let carried = mean(from.i, i2, i3, i4);
    plant.add_missed_impulse(h, from, &mut state, winding, rubbing, carried, &mut work);
    plant.settle_current(&mut state, winding);
    (Trial { state, work, loads: k4.loads }, last)
}

/// The first event between two states `left` seconds apart, as a guess of the fraction of the step at which it is; `None`:
/// nothing.
#[inline(always)]
#[allow(clippy::too_many_arguments)]
fn events<const B: usize, const S: usize, const R: usize>(
    plant: &Plant<B, S, R>,
    t: f64,
    left: f64,
    from: &Continuous<B>,
    to: &Continuous<B>,
    rubbing: &Rubbing<B>,
    winding: Winding,
    contact: &Contact,
) -> Option<f64> {
    let mut first = jumps(plant, t, left, from, to, contact);
    let mut note = |before: f64, after: f64| first = earlier(first, before, after);
    let mut held = false;
    for b in 0..B {
        if rubbing[b] == 0.0 {
            held = true;
        } else if to.v[b] * rubbing[b] < 0.0 {
            note(from.v[b].abs(), -to.v[b].abs());
        }
    }
    if Plant::<B, S, R>::MOTOR != 0 && plant.mesh_depth(from) != 0.0 && plant.mesh_depth(to) == 0.0 {
        note(SOMEWHERE, SOMEWHERE);
    }
    if contact.gap > 0.0 {
        let (before, after) = (free_overlap(plant, contact, from), free_overlap(plant, contact, to));
        if before < 0.0 && after > 0.0 {
            note(-before, -after);
        }
        let (before, after) = (left_to_knee(plant, contact, from), left_to_knee(plant, contact, to));
        if before * after < 0.0 {
            note(before, after);
        }
    }
    if held {
        let rates = plant.rates::<false>(t + left, to, rubbing, winding, contact, 0.0, &mut [0.0; POWERS]);
        for b in 0..B {
            if rubbing[b] == 0.0 && rates.applied[b].abs() > rates.bound[b] {
                note(SOMEWHERE, SOMEWHERE);
            }
        }
    }
    first
}

/// The same of the events at which a force or a speed jumps.
#[inline(always)]
fn jumps<const B: usize, const S: usize, const R: usize>(
    plant: &Plant<B, S, R>,
    t: f64,
    left: f64,
    from: &Continuous<B>,
    to: &Continuous<B>,
    contact: &Contact,
) -> Option<f64> {
    let mut first: Option<f64> = None;
    let mut note = |before: f64, after: f64| first = earlier(first, before, after);
    if Plant::<B, S, R>::MOTOR != 0 {
        let (before, after) = (plant.mesh_depth(from), plant.mesh_depth(to));
        if (before == 0.0 && after != 0.0) || before * after < 0.0 {
            note(SOMEWHERE, SOMEWHERE);
        }
    }
    for body in plant.leading_bodies() {
        let depth = plant.stopper_depth(to.q[body]);
        if depth > 0.0 && plant.stopper_depth(from.q[body]) == 0.0 {
            note((from.q[body] - to.q[body]).abs() - depth, -depth);
        }
    }
    if plant.kinks_passed(t, from) != plant.kinks_passed(t + left, to) {
        note(SOMEWHERE, SOMEWHERE);
    }
    if contact.gap > 0.0 && contact.mass.is_finite() {
        let room = |state: &ContactState| contact.room - state.y;
        if room(&from.contact) > 0.0 && room(&to.contact) < 0.0 {
            note(room(&from.contact), room(&to.contact));
        }
    }
    first
}

/// The earlier of two events, the second one being where something that runs straight from one value to another is zero, or
/// [`SOMEWHERE`].
fn earlier(first: Option<f64>, before: f64, after: f64) -> Option<f64> {
    let part = before / (before - after);
    Some(first.map_or(part, |first| first.min(part))) // a place goes before none
}

/// The step to an event, and the width of the bracket that is to be crossed next, s, where a force jumps in it.
struct Located<const B: usize> {
    taken: (f64, Trial<B>),
    bracket: Option<f64>,
}

/// Narrows down the first event of a step of `left` seconds. The step found ends just behind it, or just before it where a
/// force jumps: none of its stages has seen the far side then.
#[allow(clippy::too_many_arguments)]
#[cold]
fn locate<const B: usize, const S: usize, const R: usize>(
    plant: &Plant<B, S, R>,
    t: f64,
    left: f64,
    guess: f64,
    from: &Continuous<B>,
    start: &Start<'_, B>,
    winding: Winding,
    contact: &Contact,
    whole: Trial<B>,
) -> Located<B> {
    let (mut low, mut high, mut near, mut far) = (0.0, 1.0, None, whole);
    let mut jumped = jumps(plant, t, left, from, &whole.state, contact).is_some();
    let mut part = guess + EVENT_WIDTH / 2.0;
    for round in 0..MOST_TRIALS {
        if high - low < EVENT_WIDTH {
            break;
        }
        if round % 3 == 2 || part.is_nan() {
            part = (low + high) / 2.0;
        }
        let inside = part.clamp(low + 0.02 * (high - low), high - 0.02 * (high - low));
        let h = inside * left;
        let (next, last) = trial(plant, t, &plant.decay_over(h), from, start, winding, contact);
        let seen = jumps(plant, t, h, from, &last, contact);
        match events(plant, t, h, from, &next.state, start.rubbing, winding, contact).or(seen) {
            Some(within) => {
                (high, far) = (inside, next);
                jumped = seen.is_some() || jumps(plant, t, h, from, &next.state, contact).is_some();
                part = within * inside - EVENT_WIDTH / 4.0;
            }
            None => {
                (low, near) = (inside, Some(next));
                part = if guess.is_nan() { SOMEWHERE } else { part + EVENT_WIDTH / 2.0 };
            }
        }
    }
    match near {
        Some(near) if jumped => Located { taken: (low * left, near), bracket: Some((high - low) * left) },
        _ => Located { taken: (high * left, far), bracket: None },
    }
}

#[cfg(test)]
mod tests;
