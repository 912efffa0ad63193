//! Between which installed tensions a belt works: the picture that says why tension matters.
//!
//! Installed tension lies in every strand alike, and what leaf and drive pull comes on top of it:
//! `T_i(t) = T_0 + p_i(t)`, as long as no strand is slack. So one run without slack tells the bounds of `T_0`:
//!
//! ```text
//! slack           T_0 > -min p                   the strand that gives way still pulls
//! ratcheting reserve 1   T_0 > max(|p_a - p_b|/z - min(p_a, p_b))        z teeth in mesh, strands a and b at the drive
//! strain          T_0 < 0.004 EA - max p         the strand that takes the pull stays below the allowable strain
//! shaft load      T_0 < (F - max(p_a + p_b)) / 2  the two strands of a pulley stay below the limit F on its shaft
//! ```
//!
//! Bearing drag grows a little with tension, and with it the pull: the bounds are good to some per cent.

use tautleaf_physics::workbench::{BeltWork, belt_work};
use tautleaf_physics::{CycleOptions, Door, Figure, Limit, Quantity, Rule, Run, Sample, belt, cycle};
use tautleaf_scenario::UnitSystem;

use crate::live::Live;
use crate::words;

/// Higher tones than this are faint.
const LOW_TONES: u32 = 3;

/// Which way a bound holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The tension has to be more.
    Lower,
    /// The tension has to be less.
    Upper,
}

/// One bound of the installed tension.
#[derive(Clone, Debug, PartialEq)]
pub struct Bound {
    /// The tension, N.
    pub at_n: f64,
    /// Which way it holds.
    pub side: Side,
    /// What happens beyond it: `slack`.
    pub name: String,
    /// Why, in a sentence.
    pub why: &'static str,
    /// Whether it is a matter of fact or of a limit; what is not calibrated only advises.
    pub binds: bool,
}

/// A tension at which the door sings while it travels at a set speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Singing {
    /// The tension, N.
    pub at_n: f64,
    /// Which tone of the strand, from 1.
    pub order: u32,
    /// At which set speed, m/s.
    pub speed_m_per_s: f64,
}

/// The bounds, and where the door is between them.
#[derive(Clone, Debug, PartialEq)]
pub struct TensionWindow {
    /// Installed tension, N.
    pub now_n: f64,
    /// The bounds, lower ones first, each kind from left to right.
    pub bounds: Vec<Bound>,
    /// The belt at the workbench: how to get to the wanted tension, and what the drive could do to it.
    pub work: BeltWork,
    /// Load on a pulley's shaft at rest and at most, N.
    pub shaft_load_n: (f64, f64),
    /// First tone of the strands at rest with the door closed, lowest and highest, Hz.
    pub tones_hz: (f64, f64),
    /// Tensions at which a low tone of the strand between the pulleys meets the teeth at a set speed: the door sings.
    pub singing: Vec<Singing>,
    /// Frequency of the teeth coming into mesh at the faster of the two set speeds, Hz.
    pub meshing_hz: f64,
}

impl TensionWindow {
    /// The window of a door that was run. If its belt goes slack it is run once more, tight.
    pub fn of(live: &Live) -> Option<Self> {
        let now_n = live.door.parameters().belt.tension_n;
        let pulls = pulls(&live.door, &live.run)?;
        let tones = &live.door.derived().strand_tones_closed_hz;
        let fold = |pick: fn(f64, f64) -> f64| tones.iter().copied().reduce(pick).unwrap_or(0.0);
        let parameters = live.door.parameters();
        let fastest = parameters.opening.speed_m_per_s.max(parameters.closing.speed_m_per_s);
        Some(Self {
            now_n,
            bounds: bounds(&live.door, &live.criteria.limits, &pulls),
            work: belt_work(&live.door),
            shaft_load_n: (2.0 * now_n, 2.0 * now_n + pulls.shaft),
            singing: singing(&live.door),
            tones_hz: (fold(f64::min), fold(f64::max)),
            meshing_hz: fastest / parameters.belt.pitch_m,
        })
    }

    /// The nearest binding bounds below and above.
    pub fn ends(&self) -> (f64, f64) {
        ends(&self.bounds)
    }

    /// How the present tension stands, in words.
    pub fn standing(&self, system: UnitSystem) -> String {
        let say = |newtons: f64| words::value(Quantity::Force, newtons, system);
        let (low, high) = self.ends();
        match () {
            () if low >= high => {
                "No tension keeps every bound: pull less, or take a stronger belt.".to_owned()
            }
            () if self.now_n < low => format!("{} is too loose: at least {}.", say(self.now_n), say(low)),
            () if self.now_n > high => format!("{} is too tight: at most {}.", say(self.now_n), say(high)),
            () => format!("{} lies between {} and {}.", say(self.now_n), say(low), say(high)),
        }
    }
}

/// The nearest binding bounds below and above, N.
pub fn ends(bounds: &[Bound]) -> (f64, f64) {
    let of = |side: Side| bounds.iter().filter(move |bound| bound.side == side && bound.binds);
    let low = of(Side::Lower).map(|bound| bound.at_n).fold(0.0, f64::max);
    let high = of(Side::Upper).map(|bound| bound.at_n).fold(f64::INFINITY, f64::min);
    (low, high)
}

/// f_n = n/(2 l) sqrt(T/m') = v/p, so T = m' (2 l v/(n p))^2: for the strand that keeps its length, the three lowest
/// tones and both set speeds. Of a pair no strand does.
pub fn singing(door: &Door) -> Vec<Singing> {
    let parameters = door.parameters();
    let mut first_belt = door.ring().spans.iter().take(door.ring().bodies);
    let Some(strand) = first_belt.find(|span| span.grows_with.is_none()) else {
        return Vec::new();
    };
    let speeds = [parameters.opening.speed_m_per_s, parameters.closing.speed_m_per_s];
    let at = |speed: f64, order: u32| {
        let wave = 2.0 * strand.closed_length_m * speed / (parameters.belt.pitch_m * f64::from(order));
        Singing { at_n: door.ring().belt_mass_kg_per_m * wave * wave, order, speed_m_per_s: speed }
    };
    speeds.into_iter().flat_map(|speed| (1..=LOW_TONES).map(move |order| at(speed, order))).collect()
}

/// Between which installed tensions the belt of a door works; `None` where no tension keeps it taut.
pub fn bounds_of(door: &Door, limits: &[Limit]) -> Option<Vec<Bound>> {
    let run = cycle(door, &CycleOptions::default());
    Some(bounds(door, limits, &pulls(door, &run)?))
}

/// What leaf and drive add to the installed tension. If the belt goes slack the door is run once more, tight.
fn pulls(door: &Door, run: &Run) -> Option<Pulls> {
    // Of the first belt: the second one of a telescopic door has a tension of its own.
    let spans = door.ring().bodies;
    let is_taut = |sample: &Sample| sample.tension_n[..spans].iter().all(|tension| *tension > 0.0);
    let taut = |run: &Run| run.samples.iter().all(is_taut);
    if taut(run) {
        return Pulls::of(door, door.parameters().belt.tension_n, &run.samples);
    }
    let (installed, run) = tight(door)?;
    taut(&run).then_some(())?;
    Pulls::of(door, installed, &run.samples)
}

/// The same door with its belt at the allowable tension.
fn tight(door: &Door) -> Option<(f64, Run)> {
    let installed = door.derived().allowable_tension_n;
    let mut parameters = door.given().clone();
    parameters.belt.tension_n = installed;
    let door = Door::try_from(parameters).ok()?;
    Some((installed, cycle(&door, &CycleOptions::default())))
}

/// What leaf and drive add to the installed tension over a run, N.
struct Pulls {
    least: f64,
    greatest: f64,
    /// Installed tension at which the ratcheting reserve is 1.
    seat: f64,
    /// Most that both strands at a pulley carry together, less twice the installed tension.
    shaft: f64,
}

impl Pulls {
    fn of(door: &Door, installed: f64, samples: &[Sample]) -> Option<Self> {
        let spans = door.ring().bodies;
        let (teeth, back) = (door.derived().teeth_in_mesh, door.ring().return_body);
        let nothing = f64::NEG_INFINITY;
        let mut pulls = Self { least: f64::INFINITY, greatest: nothing, seat: nothing, shaft: nothing };
        for sample in samples {
            let tension = &sample.tension_n[..spans];
            for strand in tension {
                pulls.least = pulls.least.min(strand - installed);
                pulls.greatest = pulls.greatest.max(strand - installed);
            }
            let (ahead, behind) = (tension[0] - installed, tension[spans - 1] - installed);
            pulls.seat = pulls.seat.max((ahead - behind).abs() / teeth - ahead.min(behind));
            let there = tension[back - 1] + tension[back] - 2.0 * installed;
            pulls.shaft = pulls.shaft.max(ahead + behind).max(there);
        }
        pulls.least.is_finite().then_some(pulls)
    }
}

fn bounds(door: &Door, limits: &[Limit], pulls: &Pulls) -> Vec<Bound> {
    let slack = -pulls.least;
    let strained = belt::ALLOWABLE_STRAIN * door.ring().ea_n - pulls.greatest;
    let bound = |at_n, side, name: &str, why, binds| Bound { at_n, side, name: name.to_owned(), why, binds };
    let mut bounds = vec![
        bound(
            slack,
            Side::Lower,
            "slack",
            "Below it a strand gives way when the leaf is accelerated or braked: the door jerks.",
            true,
        ),
        bound(
            pulls.seat,
            Side::Lower,
            "ratcheting reserve 1",
            "Below it the slack strand holds less than one tooth in mesh pulls. Not calibrated: no published \
             torque of tooth jump exists.",
            false,
        ),
    ];
    bounds.extend(limits.iter().filter_map(|limit| limited(limit, pulls)));
    bounds.push(bound(
        strained,
        Side::Upper,
        "0.4 % strain",
        "Above it the strand that takes the pull is stretched by more than makers' tables allow for usual cords.",
        true,
    ));
    bounds.sort_by(|a, b| {
        (a.side == Side::Upper, a.at_n)
            .partial_cmp(&(b.side == Side::Upper, b.at_n))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    bounds
}

/// A limit of the user on strand tension, as one on the installed tension.
fn limited(limit: &Limit, pulls: &Pulls) -> Option<Bound> {
    let (at_n, side, name) = match (limit.figure?, &limit.rule) {
        (Figure::LeastTension, Rule::AtLeast(least)) => (least - pulls.least, Side::Lower, "your limit"),
        (Figure::GreatestTension, Rule::AtMost(most)) => (most - pulls.greatest, Side::Upper, "your limit"),
        (Figure::ShaftLoad, Rule::AtMost(most)) => ((most - pulls.shaft) / 2.0, Side::Upper, "shaft load"),
        _ => return None,
    };
    let why =
        "From a limit of your own: the tension of the strands, or the load that a pulley's shaft bears.";
    Some(Bound { at_n, side, name: name.to_owned(), why, binds: true })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn live_at(tension_n: f64) -> Live {
        let mut scenario = crate::example::scenario();
        scenario.parameters.belt.tension_n = tension_n;
        Live::of(&scenario).expect("a door")
    }

    fn slack_bound(live: &Live) -> f64 {
        let window = TensionWindow::of(live).expect("a window");
        window.bounds.iter().find(|bound| bound.name == "slack").expect("it is always there").at_n
    }

    /// The bound is worked out from one run; here the door is run on both sides of it.
    #[test]
    fn a_belt_goes_slack_just_below_its_bound_and_not_above() {
        let bound = slack_bound(&live_at(300.0));
        let slack = |factor: f64| live_at(factor * bound).run.figures.get(Figure::SlackTime).unwrap_or(0.0);
        assert!(bound > 50.0, "{bound}");
        assert!(slack(0.95) > 0.0, "slack at 0.95 of {bound} N");
        assert_eq!(slack(1.05), 0.0, "not slack at 1.05 of {bound} N");
    }

    #[test]
    fn the_bound_is_the_same_however_loose_the_belt_is_now() {
        let (from_taut, from_slack) = (slack_bound(&live_at(300.0)), slack_bound(&live_at(30.0)));
        assert!((from_slack / from_taut - 1.0).abs() < 0.05, "{from_taut} and {from_slack}");
    }

    /// At the bound the figure itself has to be 1.
    #[test]
    fn the_seat_margin_is_one_at_its_bound() {
        let window = TensionWindow::of(&live_at(300.0)).expect("a window");
        let at = window
            .bounds
            .iter()
            .find(|bound| bound.name == "ratcheting reserve 1")
            .expect("always there")
            .at_n;
        let margin = live_at(at).run.figures.get(Figure::RatchetingReserve).expect("a figure");
        assert!((margin - 1.0).abs() < 0.3, "{margin} at {at} N");
    }

    /// The tone of the strand at that tension, by the formula of the belt, is the frequency of the teeth.
    #[test]
    fn where_the_door_sings_the_strand_and_the_teeth_have_one_frequency() {
        let live = live_at(300.0);
        let window = TensionWindow::of(&live).expect("a window");
        assert_eq!(window.singing.len(), 6);
        for singing in &window.singing {
            let strand = live.door.ring().spans.last().expect("spans").closed_length_m;
            let mass = live.door.ring().belt_mass_kg_per_m;
            let tone = belt::span_tone_hz(singing.order, strand, singing.at_n, mass);
            let teeth = singing.speed_m_per_s / live.door.parameters().belt.pitch_m;
            assert!((tone / teeth - 1.0).abs() < 1e-12, "{tone} and {teeth} Hz");
        }
    }

    #[test]
    fn a_heavier_leaf_narrows_the_window_from_below() {
        let mut scenario = crate::example::scenario();
        scenario.parameters.leaf.mass_kg = 150.0;
        let heavy = Live::of(&scenario).expect("a door");
        assert!(slack_bound(&heavy) > slack_bound(&live_at(300.0)));
    }
}
