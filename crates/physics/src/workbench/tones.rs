//! Tones: what makes them, what answers, and where along the travel the two meet.
//!
//! ```text
//! makes    f = v x (1/p meshing; 1/(2 pi r) a pulley; 1/(pi D) a roller; N/(2 pi r) the rotor, times its teeth,
//!          poles, bars)
//! answers  n (c^2 - v^2)/(2 l(x) c), n = 1, 2, c = sqrt(T_0/m') a strand;  axial modes, eigenvalues of M^-1 K(x)
//! along    v(x) = min(sqrt(2 a s), v_set, sqrt(v_creep^2 + 2 a_brake max(0, d - d_creep)))            (eq. 32)
//! ```
//!
//! An answer that is damped by zeta rises within n swings to 1 - exp(-2 pi zeta n). While both tones stay within zeta
//! of each other over a stretch s of travel, the source makes s times its swings a metre: enough of them, and the
//! door sings there; fewer, and it only sounds in passing.

use std::f64::consts::PI;

use crate::belt;
use crate::door::Door;
use crate::modes;
use crate::parameters::Motion;

/// Damping of a tone, and how near two tones have to be to meet (judgement).
pub const TONE_DAMPING: f64 = 0.03;
/// Swings after which a tone has risen to 95 %: 3/(2 pi zeta).
pub const SWINGS_TO_SING: f64 = 3.0 / (2.0 * PI * TONE_DAMPING);
/// Tones of a strand that are looked at: the first and its octave.
const ORDERS: [u32; 2] = [1, 2];
/// Places along the travel at which tones are compared.
const PLACES: usize = 4000;

/// What makes a tone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Maker {
    /// Teeth of the belt coming into the pulley.
    Meshing,
    /// A turn of the drive pulley.
    DrivePulley,
    /// A turn of the return pulley, where it is not as large as the drive pulley.
    ReturnPulley,
    /// A turn of a hanger roller.
    Roller,
    /// A turn of the rotor.
    Rotor,
    /// Teeth of the gear at the rotor.
    Gear,
    /// Pole pairs of the motor.
    Poles,
    /// Six steps of commutation for each pole pair.
    Commutation,
    /// Bars of the commutator, twice where their number is odd (textbook, from memory).
    Bars,
}

/// One of them, with its swings for each metre of belt: a tone of this times the speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// What makes it.
    pub maker: Maker,
    /// Swings a metre.
    pub per_m: f64,
}

/// What answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// A strand, across: which one, and which of its tones.
    Strand {
        /// Span of the ring.
        span: usize,
        /// 1 the first tone, 2 its octave.
        order: u32,
    },
    /// The loop along itself: which mode, lowest first.
    Axial(usize),
}

/// An answer with its tone at rest, door closed and open, Hz.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Answering {
    /// What answers.
    pub answer: Answer,
    /// Door closed, Hz.
    pub closed_hz: f64,
    /// Door open, Hz.
    pub open_hz: f64,
}

/// Where a tone that is made and one that answers meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meeting {
    /// What makes it.
    pub source: Source,
    /// What answers.
    pub answer: Answer,
    /// On the way open.
    pub opening: bool,
    /// Openings of the leaf between which the tones are within 3 %, m, in the order of travel.
    pub stretch_m: (f64, f64),
    /// Opening at which they are nearest, m.
    pub at_m: f64,
    /// Speed there, m/s.
    pub speed_m_per_s: f64,
    /// The tone there, Hz.
    pub tone_hz: f64,
    /// Swings over the stretch.
    pub swings: f64,
}

impl Meeting {
    /// Whether it lasts long enough to rise to 95 %.
    pub fn sings(&self) -> bool {
        self.swings >= SWINGS_TO_SING
    }
}

/// Every tone of a door.
#[derive(Clone, Debug, PartialEq)]
pub struct Tones {
    /// What makes tones.
    pub sources: Vec<Source>,
    /// What answers.
    pub answers: Vec<Answering>,
    /// Where they meet, the longest first.
    pub meetings: Vec<Meeting>,
}

/// Works out the tones of a door at its installed tension.
pub fn tones(door: &Door) -> Tones {
    let sources = sources(door);
    let modes_at = |x: f64| {
        let mesh = door.parameters().gear.mesh_stiffness_n_per_m;
        modes::axial_modes_hz(door.ring(), mesh, &vec![x; door.leaves()])
    };
    let stroke = door.travel_m();
    let (closed, open) = (modes_at(0.0), modes_at(stroke));
    let answers: Vec<Answer> = (0..door.ring().bodies)
        .flat_map(|span| ORDERS.map(|order| Answer::Strand { span, order }))
        .chain((0..closed.len()).map(Answer::Axial))
        .collect();
    let mut meetings = Vec::new();
    for opening in [true, false] {
        let way = way(door, opening);
        let modes: Vec<Vec<f64>> = way.iter().map(|place| modes_at(place.x)).collect();
        for &answer in &answers {
            let tone: Vec<f64> =
                way.iter().zip(&modes).map(|(place, modes)| tone_hz(door, answer, place, modes)).collect();
            for &source in &sources {
                meet(&way, &tone, source, |stretch| meetings.push(stretch.told(source, answer, opening)));
            }
        }
    }
    meetings.sort_by(|a, b| b.swings.total_cmp(&a.swings));
    let at_rest = |answer, x, modes: &[f64]| tone_hz(door, answer, &Place { x, v: 0.0 }, modes);
    let answering = |answer| Answering {
        answer,
        closed_hz: at_rest(answer, 0.0, &closed),
        open_hz: at_rest(answer, stroke, &open),
    };
    Tones { sources, answers: answers.into_iter().map(answering).collect(), meetings }
}

fn sources(door: &Door) -> Vec<Source> {
    let (p, radius) = (door.parameters(), door.ring().radius_m);
    let turn = 1.0 / (2.0 * PI * radius);
    let rotor = p.gear.ratio * turn;
    let mut sources = Vec::new();
    let mut add = |maker, per_m| sources.push(Source { maker, per_m });
    add(Maker::DrivePulley, turn);
    if let Some(back) = p.pulleys.return_radius_m.filter(|back| (back / radius - 1.0).abs() > 1e-9) {
        add(Maker::ReturnPulley, 1.0 / (2.0 * PI * back));
    }
    add(Maker::Roller, 1.0 / (PI * p.rollers.diameter_m));
    add(Maker::Rotor, rotor);
    add(Maker::Meshing, 1.0 / p.belt.pitch_m);
    if let Some(teeth) = p.gear.rotor_teeth {
        add(Maker::Gear, teeth * rotor);
    }
    if let Some(pairs) = p.motor.pole_pairs {
        add(Maker::Poles, pairs * rotor);
        add(Maker::Commutation, 6.0 * pairs * rotor);
    }
    if let Some(bars) = p.motor.commutator_bars {
        let ripples = if bars % 2.0 == 0.0 { bars } else { 2.0 * bars };
        add(Maker::Bars, ripples * rotor);
    }
    sources
}

/// One place of the travel.
struct Place {
    /// Opening of each leaf, m.
    x: f64,
    /// Speed wanted there, m/s.
    v: f64,
}

/// The travel that the settings ask for, in the order of travel.
fn way(door: &Door, opening: bool) -> Vec<Place> {
    let p = door.parameters();
    let (stroke, motion) = (door.travel_m(), if opening { &p.opening } else { &p.closing });
    (0..=PLACES)
        .map(|n| {
            let at = |n: usize| stroke * n as f64 / PLACES as f64;
            let (gone, left) = (at(n), at(PLACES - n));
            let x = if opening { gone } else { left };
            Place { x, v: wanted_speed(motion, gone, left) }
        })
        .filter(|place| place.v > 0.0)
        .collect()
}

fn wanted_speed(motion: &Motion, gone: f64, left: f64) -> f64 {
    let rising = (2.0 * motion.acceleration_m_per_s2 * gone).sqrt();
    let beyond = (left - motion.creep_distance_m).max(0.0);
    let falling = (motion.creep_speed_m_per_s.powi(2) + 2.0 * motion.braking_m_per_s2 * beyond).sqrt();
    rising.min(falling).min(motion.speed_m_per_s)
}

fn tone_hz(door: &Door, answer: Answer, place: &Place, modes: &[f64]) -> f64 {
    match answer {
        Answer::Axial(mode) => modes.get(mode).copied().unwrap_or(0.0),
        Answer::Strand { span, order } => {
            let ring = door.ring();
            let length = ring.spans[span].length_m(&vec![place.x; ring.leaves.len()]);
            let tension = door.parameters().belt.tension_n;
            if tension <= 0.0 {
                return 0.0;
            }
            let first = belt::running_span_tone_hz(length, tension, ring.belt_mass_kg_per_m, place.v);
            f64::from(order) * first.max(0.0)
        }
    }
}

/// A stretch of the travel over which two tones are near each other.
struct Stretch {
    from: f64,
    to: f64,
    nearest: (f64, f64, f64),
    length: f64,
}

impl Stretch {
    fn told(self, source: Source, answer: Answer, opening: bool) -> Meeting {
        let (_, at_m, speed_m_per_s) = self.nearest;
        Meeting {
            source,
            answer,
            opening,
            stretch_m: (self.from, self.to),
            at_m,
            speed_m_per_s,
            tone_hz: source.per_m * speed_m_per_s,
            swings: source.per_m * self.length,
        }
    }
}

/// Finds every stretch on which the source is within zeta of the answer, also those between two places.
fn meet(way: &[Place], tone: &[f64], source: Source, mut found: impl FnMut(Stretch)) {
    // how far the source is from the answer, as a share of it
    let off: Vec<f64> = way
        .iter()
        .zip(tone)
        .map(|(place, tone)| if *tone > 0.0 { source.per_m * place.v / tone - 1.0 } else { f64::INFINITY })
        .collect();
    let mut open: Option<Stretch> = None;
    for n in 1..way.len() {
        let (a, b) = (&way[n - 1], &way[n]);
        let share = near_share(off[n - 1], off[n]);
        if share <= 0.0 {
            open.take().into_iter().for_each(&mut found);
            continue;
        }
        let (near, place) =
            if off[n - 1].abs() <= off[n].abs() { (off[n - 1].abs(), a) } else { (off[n].abs(), b) };
        let stretch = open.get_or_insert(Stretch {
            from: a.x,
            to: b.x,
            nearest: (near, place.x, place.v),
            length: 0.0,
        });
        stretch.to = b.x;
        stretch.length += share * (b.x - a.x).abs();
        if near < stretch.nearest.0 {
            stretch.nearest = (near, place.x, place.v);
        }
    }
    open.into_iter().for_each(found);
}

/// Share of a step from `a` to `b`, along which the difference runs straight, that lies within zeta of nothing.
fn near_share(a: f64, b: f64) -> f64 {
    if !(a.is_finite() && b.is_finite()) {
        return 0.0;
    }
    let (low, high) = (a.min(b), a.max(b));
    if high - low < 1e-12 {
        return if low.abs() <= TONE_DAMPING { 1.0 } else { 0.0 };
    }
    ((high.min(TONE_DAMPING) - low.max(-TONE_DAMPING)) / (high - low)).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parameters::Parameters;

    fn of(change: impl FnOnce(&mut Parameters)) -> (Door, Tones) {
        let mut p = Parameters::default();
        change(&mut p);
        let door = Door::try_from(p).unwrap();
        let tones = tones(&door);
        (door, tones)
    }

    fn meshing(tones: &Tones, answer: Answer, opening: bool) -> Vec<Meeting> {
        let mine =
            |m: &&Meeting| m.source.maker == Maker::Meshing && m.answer == answer && m.opening == opening;
        tones.meetings.iter().filter(mine).copied().collect()
    }

    /// v/p = sqrt(T/m')/(2 C): at that closing speed the strand that no leaf moves answers over the whole steady travel,
    /// 200 swings for each metre of it.
    #[test]
    fn a_door_sings_all_the_way_where_meshing_meets_the_strand_that_no_leaf_moves() {
        let (door, _) = of(|_| ());
        let speed = 0.005 * belt::span_tone_hz(1, 2.4, 250.0, door.ring().belt_mass_kg_per_m);
        let (_, tones) = of(|p| {
            p.closing.speed_m_per_s = speed;
            p.closing.creep_speed_m_per_s = 0.5 * speed;
        });
        let met = meshing(&tones, Answer::Strand { span: 2, order: 1 }, false);
        let longest = met.first().expect("they meet");
        assert!(longest.sings() && longest.swings > 200.0 * 0.9, "{longest:?}");
        assert!((longest.speed_m_per_s / speed - 1.0).abs() < 1e-9);
    }

    /// A strand whose length runs with the leaf: f p = v gives l = c p/(2 v), 3 % either way of which is passed.
    #[test]
    fn a_strand_that_the_leaf_moves_sounds_only_where_its_length_fits() {
        let (door, tones) = of(|p| p.closing.speed_m_per_s = 0.3);
        let wave = (250.0 / door.ring().belt_mass_kg_per_m).sqrt();
        let length = (wave - 0.09 / wave) * 0.005 / (2.0 * 0.3);
        let met = meshing(&tones, Answer::Strand { span: 0, order: 1 }, false);
        let at_speed = met.iter().find(|m| (m.speed_m_per_s - 0.3).abs() < 1e-9).expect("they meet");
        assert!((at_speed.at_m - (length - 0.3)).abs() < 0.001, "{at_speed:?} {length}");
        // from l/(1 + zeta) to l/(1 - zeta): 0.06 l to first order
        assert!((at_speed.swings - 200.0 * 0.06 * length).abs() < 0.2, "{at_speed:?}");
        assert!(!at_speed.sings());
    }

    /// Whatever the speeds, a meeting is where the two tones are equal to 3 %.
    #[test]
    fn meetings_are_where_two_tones_are_within_three_percent() {
        let (door, tones) = of(|p| {
            p.motor.pole_pairs = Some(4.0);
            p.gear.rotor_teeth = Some(1.0);
        });
        assert!(!tones.meetings.is_empty());
        for met in &tones.meetings {
            let modes = modes::axial_modes_hz(door.ring(), None, &[met.at_m]);
            let place = Place { x: met.at_m, v: met.speed_m_per_s };
            let answer = tone_hz(&door, met.answer, &place, &modes);
            // between two places of a steep start the nearest place may lie beside the stretch
            assert!((met.tone_hz / answer - 1.0).abs() < 0.5, "{met:?} {answer}");
            assert!(met.swings >= 0.0 && met.swings <= met.source.per_m * 1.0 + 1e-9);
            if met.sings() {
                assert!((met.tone_hz / answer - 1.0).abs() <= TONE_DAMPING + 1e-9, "{met:?} {answer}");
            }
        }
    }

    #[test]
    fn a_slack_belt_has_no_tone_across_and_keeps_those_along() {
        let (_, tones) = of(|p| p.belt.tension_n = 0.0);
        let across = |a: &&Answering| matches!(a.answer, Answer::Strand { .. });
        assert!(tones.answers.iter().filter(across).all(|a| a.closed_hz == 0.0));
        assert!(tones.answers.iter().any(|a| matches!(a.answer, Answer::Axial(_)) && a.closed_hz > 1.0));
        assert!(tones.meetings.iter().all(|m| matches!(m.answer, Answer::Axial(_))));
    }

    /// Odd bars pass the brushes one side at a time.
    #[test]
    fn sources_follow_the_speed_by_pitch_radius_and_ratio() {
        let (door, tones) = of(|p| {
            p.motor.commutator_bars = Some(7.0);
            p.gear.rotor_teeth = Some(2.0);
        });
        let per_m = |maker| tones.sources.iter().find(|s| s.maker == maker).map(|s| s.per_m).unwrap();
        let rotor = 15.0 / (2.0 * PI * door.ring().radius_m);
        assert!((per_m(Maker::Meshing) - 200.0).abs() < 1e-9);
        assert!((per_m(Maker::Gear) - 2.0 * rotor).abs() < 1e-9);
        assert!((per_m(Maker::Bars) - 14.0 * rotor).abs() < 1e-9);
        assert!((per_m(Maker::Roller) - 1.0 / (PI * 0.03)).abs() < 1e-9);
    }
}
