//! One sub-step: classic Runge-Kutta, the winding's own decay exact, cut where a body stops, breaks away, or meets something.

use crate::contact::{Contact, ContactState};
use crate::decay::Decay;
use crate::hanging::Loads;
use crate::plant::{Continuous, POWERS, Plant, Rates, Rubbing, Winding, power};

/// Brackets of an event narrower than this fraction of the sub-step are narrow enough.
const EVENT_WIDTH: f64 = 1e-4;
/// A body slower than this stands, m/s: it would take 30 years to move a millimetre.
const STANDING_M_PER_S: f64 = 1e-12;
/// Cuts of one sub-step after which the rest is taken whole: a body that rattles at rest.
const MOST_CUTS: u32 = 8;

/// Integrals of the powers since the start, J (and N s for the contact force).
pub(crate) type Work = [f64; POWERS];

/// What a sub-step leaves behind beside the state.
pub(crate) struct Advanced<const B: usize> {
    /// Hanger loads of each leaf at its end, N.
    pub loads: [Loads; B],
    /// Speed at the rim at which rotor and pulley met, if they did, m/s.
    pub knock_m_per_s: Option<f64>,
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
    let mut advanced = Advanced { loads: [[0.0; 2]; B], knock_m_per_s: None };
    let (h, mut done) = (decay.h, 0.0);
    for cut in 0..=MOST_CUTS {
        let now = t + done;
        let left = h - done;
        if left <= 1e-12 {
            return advanced;
        }
        let mut rubbing = sliding(state);
        let mut first_powers = [0.0; POWERS];
        let first = start(plant, now, state, &mut rubbing, winding, contact, &mut first_powers);
        let step = Start { first: &first, powers: &first_powers, rubbing: &rubbing };
        let rest = if cut == 0 { *decay } else { plant.decay_over(left) };
        let whole = trial(plant, now, &rest, state, &step, winding, contact);
        let happened = events(plant, now + left, state, &whole.state, &rubbing, winding, contact);
        let cut_short = happened.is_some() && cut < MOST_CUTS;
        let taken = match happened {
            None => (left, whole),
            Some(_) if cut == MOST_CUTS => (left, whole),
            Some(part) => locate(plant, now, left, part, state, &step, winding, contact, whole),
        };
        done += taken.0;
        for (sum, part) in work.iter_mut().zip(taken.1.work) {
            *sum += part;
        }
        if plant.has_play() && plant.mesh_depth(state) == 0.0 && plant.mesh_depth(&taken.1.state) != 0.0 {
            let motor = Plant::<B, S, R>::MOTOR;
            advanced.knock_m_per_s = Some((taken.1.state.v[motor] - taken.1.state.v[0]).abs());
        }
        (*state, advanced.loads) = (taken.1.state, taken.1.loads);
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

/// Classic Runge-Kutta of fourth order; the powers are integrated with the same weights.
#[inline(always)]
fn trial<const B: usize, const S: usize, const R: usize>(
    plant: &Plant<B, S, R>,
    t: f64,
    decay: &Decay,
    from: &Continuous<B>,
    start: &Start<'_, B>,
    winding: Winding,
    contact: &Contact,
) -> Trial<B> {
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
    let k4 = rates_at(t + h, &moved(from, &k3, h, i4), sixth);
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
    Trial { state, work, loads: k4.loads }
}

/// The first event between two states, as a guess of the fraction of the step at which it is; `None`: nothing.
#[inline(always)]
fn events<const B: usize, const S: usize, const R: usize>(
    plant: &Plant<B, S, R>,
    t: f64,
    from: &Continuous<B>,
    to: &Continuous<B>,
    rubbing: &Rubbing<B>,
    winding: Winding,
    contact: &Contact,
) -> Option<f64> {
    let mut first: Option<f64> = None;
    let mut note = |before: f64, after: f64| {
        let part = before / (before - after);
        first = Some(first.map_or(part, |first| first.min(part)));
    };
    let mut held = false;
    for b in 0..B {
        if rubbing[b] == 0.0 {
            held = true;
        } else if to.v[b] * rubbing[b] < 0.0 {
            note(from.v[b].abs(), -to.v[b].abs());
        }
    }
    if Plant::<B, S, R>::MOTOR != 0 {
        let (before, after) = (plant.mesh_depth(from), plant.mesh_depth(to));
        if (before == 0.0) != (after == 0.0) || before * after < 0.0 {
            note(1.0, -1.0);
        }
    }
    for body in plant.leading_bodies() {
        if plant.stopper_depth(to.q[body]) > 0.0 && plant.stopper_depth(from.q[body]) == 0.0 {
            note(
                (from.q[body] - to.q[body]).abs() - plant.stopper_depth(to.q[body]),
                -plant.stopper_depth(to.q[body]),
            );
        }
    }
    if plant.kinks_passed(from) != plant.kinks_passed(to) {
        note(1.0, -1.0);
    }
    if contact.gap > 0.0 {
        let before = contact.overlap(plant.clear_opening(from).0, &from.contact) - from.contact.z;
        let after = contact.overlap(plant.clear_opening(to).0, &to.contact) - to.contact.z;
        if before < 0.0 && after > 0.0 {
            note(-before, -after);
        }
        let room = |state: &ContactState| contact.room - state.y;
        if contact.mass.is_finite() && room(&from.contact) > 0.0 && room(&to.contact) < 0.0 {
            note(room(&from.contact), room(&to.contact));
        }
    }
    if held {
        let rates = plant.rates::<false>(t, to, rubbing, winding, contact, 0.0, &mut [0.0; POWERS]);
        for b in 0..B {
            if rubbing[b] == 0.0 && rates.applied[b].abs() > rates.bound[b] {
                note(1.0, -1.0);
            }
        }
    }
    first
}

/// Narrows down the first event of a step of `left` seconds; returns the step that ends just behind it.
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
) -> (f64, Trial<B>) {
    let (mut low, mut high, mut best) = (0.0, 1.0, whole);
    let mut part = guess + EVENT_WIDTH / 2.0;
    for round in 0..12 {
        if high - low < EVENT_WIDTH {
            break;
        }
        let inside = part.clamp(low + 0.02 * (high - low), high - 0.02 * (high - low));
        let h = inside * left;
        let next = trial(plant, t, &plant.decay_over(h), from, start, winding, contact);
        match events(plant, t + h, from, &next.state, start.rubbing, winding, contact) {
            Some(within) => {
                (high, best) = (inside, next);
                part = if round % 3 == 2 { (low + high) / 2.0 } else { within * inside - EVENT_WIDTH / 4.0 };
            }
            None => {
                low = inside;
                part = if round % 3 == 2 { (low + high) / 2.0 } else { part + EVENT_WIDTH / 2.0 };
            }
        }
    }
    (high * left, best)
}
