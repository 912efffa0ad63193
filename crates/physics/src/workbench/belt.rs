//! The belt: how long it is ordered or cut, how far it is tightened, how that sounds, what it and its clamp bear.
//!
//! ```text
//! run        exact two-pulley length at the axis distance C, nothing stretched
//! take-up    T l/(2 EA), l the pitch length: also the belt that lies on the pulleys stretches once it has run
//! endless    z = round((run - 2 take-up)/p)         cut  floor((run - gap)/p) - cut short, loop = cut + gap
//! tone       f = sqrt(T/m')/(2 l) and back  T = m' (2 l f)^2                                  (eq. 30)
//! ```

use crate::belt;
use crate::door::Door;
use crate::parameters::Turn;

use super::statics::{AtFullPull, at_full_braking, at_full_pull};

/// Teeth in each side of a clamp from which it is as strong as the belt: published guidance for linear belt drives.
pub const FULL_STRENGTH_TEETH: f64 = 7.0;
/// Lowest tone that is heard, Hz (textbook).
pub const HEARD_FROM_HZ: f64 = 20.0;
/// Length below which a strand is stiffer than a string and too short for a hand, m (judgement).
pub const SHORTEST_PLUCKED_M: f64 = 0.2;
/// Sag, as a share of the span, from which a strand is no string any more.
const SAG: f64 = 0.02;
/// Tone that is easiest to hear and to count, Hz, and the range that is good enough (judgement).
const CLEAR_HZ: (f64, f64, f64) = (30.0, 60.0, 150.0);

/// A belt that comes as a closed loop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EndlessBelt {
    /// Teeth of the loop.
    pub teeth: f64,
    /// Its pitch length, m.
    pub length_m: f64,
    /// Axis distance at which it just touches, m.
    pub touching_m: f64,
    /// Axis distance at the wanted tension, m.
    pub tensioned_m: f64,
}

/// A belt that is cut to length and clamped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OpenBelt {
    /// Teeth of the cut piece.
    pub teeth: f64,
    /// Its length, m.
    pub length_m: f64,
    /// Axis distance at which the clamped loop just touches, m.
    pub touching_m: f64,
    /// Axis distance at the wanted tension, m.
    pub tensioned_m: f64,
    /// Tension that it would have with the axes where the door file has them, N; 0: it hangs loose there.
    pub tension_as_drawn_n: f64,
}

/// What the clamp holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clamp {
    /// Teeth in each side.
    pub teeth: f64,
    /// Share of the belt's strength: teeth over seven, at most 1 (judgement below seven).
    pub strength: f64,
    /// That share of the allowable tension, N.
    pub holds_n: f64,
}

/// Whether a strand can be plucked and heard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pluck {
    /// It can.
    Well,
    /// It can where it hangs free: it has no clamp of its own and runs past the leaf.
    PastTheLeaf,
    /// Its tone is too low to hear.
    TooLow,
    /// It is too short to pluck, and stiffer than a string.
    TooShort,
    /// It sags, or carries nothing: no clear tone.
    Sags,
}

/// One strand with the leaf in one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strand {
    /// Which strand, as in the ring: span i lies ahead of body i.
    pub span: usize,
    /// Opening of each leaf, m.
    pub leaf_at_m: f64,
    /// Free length, m.
    pub length_m: f64,
    /// Its first tone at the wanted tension, Hz.
    pub tone_hz: f64,
    /// Whether it can be plucked.
    pub pluck: Pluck,
}

/// The belt at one tension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Adjusted {
    /// Tension, N.
    pub tension_n: f64,
    /// Stretch over length.
    pub strain: f64,
    /// How far the adjuster has moved the pulley from just touching, m.
    pub take_up_m: f64,
    /// Turns of its nut from just touching.
    pub turns: f64,
    /// Load on each pulley shaft at rest, N.
    pub shaft_load_n: f64,
    /// Tone of the strand to pluck, Hz; `None`: there is none.
    pub tone_hz: Option<f64>,
}

/// What a tone says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heard {
    /// The strand it is taken to come from.
    pub strand: Strand,
    /// Tension that sounds so, N.
    pub tension_n: f64,
    /// Turns of the nut from there to the wanted tension; negative: loosen.
    pub turns: f64,
}

/// Everything about the belt at the workbench.
#[derive(Clone, Debug, PartialEq)]
pub struct BeltWork {
    /// Run that just touches both pulleys at the axis distance of the door file, m.
    pub run_m: f64,
    /// The same in pitches.
    pub run_pitches: f64,
    /// A closed loop for this door.
    pub endless: EndlessBelt,
    /// A piece to cut; `None`: with this clamp nothing is left, or it does not reach round the pulleys.
    pub open: Option<OpenBelt>,
    /// At the wanted tension.
    pub wanted: Adjusted,
    /// Looser and tighter, least first, the wanted one among them.
    pub steps: Vec<Adjusted>,
    /// Which way the nut tightens.
    pub tightens: Turn,
    /// Strands with the door closed, then open.
    pub strands: Vec<Strand>,
    /// The strand to pluck and where to put the leaf for it; `None`: none sounds clearly.
    pub to_pluck: Option<Strand>,
    /// About what makers' tables allow, 0.4 % strain, N.
    pub allowable_n: f64,
    /// The clamp.
    pub clamp: Clamp,
    /// What the drive adds at full pull.
    pub full_pull: AtFullPull,
    /// What it holds when it brakes or turns round at full current; `None`: the gear locks.
    pub full_braking: Option<AtFullPull>,
    mass_kg_per_m: f64,
    turns_per_n: f64,
}

impl BeltWork {
    /// Pulling and, where the gear does not lock, braking at full current.
    pub fn at_full_current(&self) -> impl Iterator<Item = &AtFullPull> {
        std::iter::once(&self.full_pull).chain(&self.full_braking)
    }

    /// Tightest strand at full current, whichever way is worse, N.
    pub fn tightest_n(&self) -> f64 {
        self.at_full_current().map(|pull| pull.tightest_n(self.wanted.tension_n)).fold(0.0, f64::max)
    }

    /// Greatest load on a pulley shaft at full current, N.
    pub fn shaft_load_n(&self) -> f64 {
        self.at_full_current().map(|pull| pull.shaft_load_n(self.wanted.tension_n)).fold(0.0, f64::max)
    }

    /// Least ratcheting reserve at full current; `None` for a drive without pull. Uncalibrated.
    pub fn ratcheting_reserve(&self) -> Option<f64> {
        self.at_full_current()
            .filter_map(|pull| pull.ratcheting_reserve(self.wanted.tension_n))
            .reduce(f64::min)
    }

    /// Turns of the nut from one tension to another, N; negative: loosen.
    pub fn turns_between(&self, from_n: f64, to_n: f64) -> f64 {
        (to_n - from_n) * self.turns_per_n
    }

    /// Tension of a strand that sounds with this tone, T = m' (2 l f)^2, and what to turn.
    pub fn heard(&self, strand: Strand, tone_hz: f64) -> Heard {
        let tension_n = belt::tension_of_tone_n(strand.length_m, tone_hz, self.mass_kg_per_m);
        Heard { strand, tension_n, turns: (self.wanted.tension_n - tension_n) * self.turns_per_n }
    }
}

/// Works out the belt of a door.
pub fn belt_work(door: &Door) -> BeltWork {
    let (p, ring) = (door.parameters(), door.ring());
    let bench = &p.workbench;
    let centre = p.belt.centre_distance_m.unwrap_or(f64::NAN);
    let (drive, back) = (2.0 * ring.radius_m, 2.0 * p.pulleys.return_radius_m.unwrap_or(ring.radius_m));
    let (small, large) = (drive.min(back), drive.max(back));
    let run_m = belt::two_pulley_length(small, large, centre);
    let pitch = p.belt.pitch_m;
    let wanted_n = bench.wanted_tension_n.unwrap_or(p.belt.tension_n);
    let take_up = |tension: f64| belt::take_up_m(tension, run_m, ring.ea_n);
    let full_pull = at_full_pull(door);
    let to_pluck = to_pluck(door, wanted_n);
    let adjusted = |tension_n: f64| Adjusted {
        tension_n,
        strain: tension_n / ring.ea_n,
        take_up_m: take_up(tension_n),
        turns: take_up(tension_n) / bench.thread_pitch_m,
        shaft_load_n: 2.0 * tension_n,
        tone_hz: to_pluck
            .map(|strand| belt::span_tone_hz(1, strand.length_m, tension_n, ring.belt_mass_kg_per_m)),
    };
    let strength = (bench.clamp_teeth / FULL_STRENGTH_TEETH).min(1.0);
    let allowable_n = door.derived().allowable_tension_n;
    BeltWork {
        run_m,
        run_pitches: run_m / pitch,
        endless: endless(run_m, 2.0 * take_up(wanted_n), pitch, (small, large)),
        open: open(door, run_m, take_up(wanted_n), (small, large)),
        wanted: adjusted(wanted_n),
        steps: [0.5, 0.75, 1.0, 1.25, 1.5].map(|share| adjusted(share * wanted_n)).to_vec(),
        tightens: bench.tightens,
        strands: [0.0, p.leaf.stroke_m]
            .into_iter()
            .flat_map(|at| (0..ring.bodies).map(move |span| (span, at)))
            .map(|(span, at)| strand(door, span, at, wanted_n))
            .collect(),
        to_pluck,
        allowable_n,
        clamp: Clamp { teeth: bench.clamp_teeth, strength, holds_n: strength * allowable_n },
        full_pull,
        full_braking: at_full_braking(door),
        mass_kg_per_m: ring.belt_mass_kg_per_m,
        turns_per_n: take_up(1.0) / bench.thread_pitch_m,
    }
}

fn endless(run_m: f64, stretch_m: f64, pitch: f64, (small, large): (f64, f64)) -> EndlessBelt {
    // longer than once round the larger pulley, which may have just so many teeth
    let least = (std::f64::consts::PI * large / pitch + 1e-9).floor() + 1.0;
    let teeth = ((run_m - stretch_m) / pitch).round().max(least);
    let length_m = teeth * pitch;
    let centre = |length| belt::two_pulley_centre(small, large, length).unwrap_or(f64::NAN);
    EndlessBelt {
        teeth,
        length_m,
        touching_m: centre(length_m),
        tensioned_m: centre(length_m) + stretch_m / 2.0,
    }
}

fn open(door: &Door, run_m: f64, take_up_m: f64, (small, large): (f64, f64)) -> Option<OpenBelt> {
    let (p, ring) = (door.parameters(), door.ring());
    let bench = &p.workbench;
    let pitch = p.belt.pitch_m;
    let whole = ((run_m - bench.clamp_gap_m) / pitch + 1e-9).floor();
    let teeth = whole - bench.cut_short;
    if teeth < 2.0 * bench.clamp_teeth {
        return None;
    }
    let loop_m = teeth * pitch + bench.clamp_gap_m;
    let touching_m = belt::two_pulley_centre(small, large, loop_m)?;
    Some(OpenBelt {
        teeth,
        length_m: teeth * pitch,
        touching_m,
        tensioned_m: touching_m + take_up_m,
        tension_as_drawn_n: (ring.ea_n * (run_m - loop_m) / loop_m).max(0.0),
    })
}

fn strand(door: &Door, span: usize, leaf_at_m: f64, tension_n: f64) -> Strand {
    let ring = door.ring();
    let length_m = ring.spans[span].length_m(&vec![leaf_at_m; ring.leaves.len()]);
    let tone_hz = belt::span_tone_hz(1, length_m, tension_n, ring.belt_mass_kg_per_m);
    let pluck = if tension_n < belt::sag_tension_n(ring.belt_mass_kg_per_m, length_m, SAG) {
        Pluck::Sags
    } else if length_m < SHORTEST_PLUCKED_M {
        Pluck::TooShort
    } else if tone_hz < HEARD_FROM_HZ {
        Pluck::TooLow
    } else if ring.spans[span].grows_with.is_none() {
        Pluck::PastTheLeaf
    } else {
        Pluck::Well
    };
    Strand { span, leaf_at_m, length_m, tone_hz, pluck }
}

/// The strand with the clearest tone: with the door closed or open if one is clear there, else with the leaf between.
fn to_pluck(door: &Door, tension_n: f64) -> Option<Strand> {
    const PLACES: u32 = 20;
    let stroke = door.parameters().leaf.stroke_m;
    let between = (1..PLACES).map(|n| stroke * f64::from(n) / f64::from(PLACES)).collect();
    let (low, clear, high) = CLEAR_HZ;
    let best = |places: Vec<f64>| {
        let strands = places
            .into_iter()
            .flat_map(|at| (0..door.ring().bodies).map(move |span| strand(door, span, at, tension_n)));
        let off = |strand: &Strand| (strand.tone_hz / clear).ln().abs();
        strands
            .filter(|strand| strand.pluck == Pluck::Well)
            .reduce(|a, b| if off(&b) < off(&a) { b } else { a })
    };
    let at_the_ends = best(vec![0.0, stroke]);
    match at_the_ends {
        Some(strand) if (low..=high).contains(&strand.tone_hz) => Some(strand),
        _ => best(between).or(at_the_ends),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parameters::{Arrangement, Parameters};

    fn work(change: impl FnOnce(&mut Parameters)) -> BeltWork {
        let mut p = Parameters::default();
        change(&mut p);
        belt_work(&Door::try_from(p).unwrap())
    }

    /// Axes 2.4 m apart, two pulleys of 30 teeth, pitch 5 mm: 2 x 2400 + 30 x 5 = 4950 mm, 990 pitches.
    #[test]
    fn equal_pulleys_take_twice_the_axis_distance_and_their_teeth() {
        let work = work(|_| ());
        assert!((work.run_m - 4.95).abs() < 1e-12 && (work.run_pitches - 990.0).abs() < 1e-9);
        let open = work.open.unwrap();
        assert_eq!(open.teeth, 989.0);
        // a pitch less shortens each of two strands by half a pitch
        assert!((open.touching_m - 2.3975).abs() < 1e-9, "{}", open.touching_m);
        // EA 330 kN on a stretch of 5 mm in 4945 mm
        assert!((open.tension_as_drawn_n - 330e3 * 5.0 / 4945.0).abs() < 1e-6);
    }

    /// Of all whole loops the endless belt comes nearest to the axis distance of the file once it is tight.
    #[test]
    fn an_endless_belt_is_tight_within_a_quarter_pitch_of_the_drawn_axes() {
        for n in 0..50 {
            let centre = 1.9 + 0.0137 * f64::from(n);
            let work = work(|p| {
                p.belt.centre_distance_m = Some(centre);
                p.pulleys.return_radius_m = Some(0.03);
            });
            assert_eq!(work.endless.teeth.fract(), 0.0);
            // pulleys that differ by a few millimetres: length goes with twice the distance
            assert!((work.endless.tensioned_m - centre).abs() <= 0.00125 + 1e-6, "{centre}");
            assert!(work.endless.tensioned_m > work.endless.touching_m);
        }
    }

    /// T l/(2 EA) = 250 x 4.95/(2 x 330 kN) = 1.875 mm; on a thread of 1.25 mm 1.5 turns.
    #[test]
    fn turns_are_take_up_over_thread_pitch() {
        let work = work(|p| p.workbench.thread_pitch_m = 0.00125);
        assert!((work.wanted.take_up_m - 0.001875).abs() < 1e-12);
        assert!((work.wanted.turns - 1.5).abs() < 1e-9);
    }

    /// f = sqrt(T/m')/(2 l) there, T = m' (2 l f)^2 back.
    #[test]
    fn a_tone_leads_back_to_the_tension_that_gave_it() {
        for arrangement in [Arrangement::Away, Arrangement::Towards, Arrangement::BiParting] {
            let work = work(|p| p.arrangement = arrangement);
            for strand in &work.strands {
                let heard = work.heard(*strand, strand.tone_hz);
                assert!((heard.tension_n / 250.0 - 1.0).abs() < 1e-12 && heard.turns.abs() < 1e-9);
                // half the tone is a quarter of the tension: three quarters of the turns are missing
                let loose = work.heard(*strand, strand.tone_hz / 2.0);
                assert!((loose.turns - 0.75 * work.wanted.turns).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn a_clamp_of_seven_teeth_is_as_strong_as_the_belt_and_one_of_three_is_weaker() {
        let clamp = |teeth| work(|p| p.workbench.clamp_teeth = teeth).clamp;
        assert_eq!(clamp(7.0).holds_n, 0.004 * 330e3);
        assert_eq!(clamp(9.0).holds_n, clamp(7.0).holds_n);
        assert!((clamp(3.0).holds_n / clamp(7.0).holds_n - 3.0 / 7.0).abs() < 1e-12);
    }

    #[test]
    fn what_cannot_be_heard_or_plucked_is_not_recommended() {
        let work = work(|p| p.belt.clamp_m = 0.1);
        assert!(
            work.strands.iter().any(|s| s.pluck == Pluck::TooShort)
                && work.strands.iter().any(|s| s.pluck == Pluck::TooLow)
        );
        let to_pluck = work.to_pluck.unwrap();
        assert!(to_pluck.tone_hz > 30.0 && to_pluck.length_m > SHORTEST_PLUCKED_M, "{to_pluck:?}");
    }

    #[test]
    fn a_belt_without_tension_has_no_tone_and_no_turns() {
        let work = work(|p| p.workbench.wanted_tension_n = Some(0.0));
        assert_eq!(work.to_pluck, None);
        assert!(work.strands.iter().all(|strand| strand.pluck == Pluck::Sags));
        assert_eq!(work.wanted.turns, 0.0);
    }

    #[test]
    fn a_gap_wider_than_the_run_leaves_nothing_to_cut() {
        assert_eq!(work(|p| p.workbench.clamp_gap_m = 4.94).open, None);
    }

    /// Ratcheting reserve 1: the slack strand carries what one tooth in mesh pulls.
    #[test]
    fn the_seat_margin_is_one_at_the_tension_that_it_names() {
        let pull = work(|_| ()).full_pull;
        assert!((pull.ratcheting_reserve(pull.seated_from_n).unwrap() - 1.0).abs() < 1e-9);
    }
}
