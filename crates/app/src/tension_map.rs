//! How the bounds of the installed tension move as leaf, ramps and speeds change: why a tension that was right for one
//! leaf is wrong for another.

use tautleaf_physics::{Door, Limit, Number, Parameters, number};
use tautleaf_scenario::{Scenario, limits_of};

use crate::tension_window::{Bound, Singing, bounds_of, singing};

/// Between which factors of its present value each setting is varied, and at how many values.
const FACTORS: (f64, f64) = (0.5, 2.0);
const VALUES: usize = 13;

/// What is varied.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Varied {
    /// Mass of the leaf, of both of a pair.
    Mass,
    /// Acceleration and braking, opening and closing, all by one factor.
    Ramps,
    /// Both set speeds by one factor.
    Speeds,
}

impl Varied {
    /// Every one, in the order in which they are drawn.
    pub const ALL: [Self; 3] = [Self::Mass, Self::Ramps, Self::Speeds];

    fn keys(self) -> &'static [&'static str] {
        match self {
            Self::Mass => &["leaf.mass", "leaf.second_mass"],
            Self::Ramps => {
                &["opening.acceleration", "opening.braking", "closing.acceleration", "closing.braking"]
            }
            Self::Speeds => &["opening.speed", "closing.speed"],
        }
    }
}

/// The bounds with one setting at one factor of its present value.
#[derive(Clone, Debug, PartialEq)]
pub struct At {
    /// The factor.
    pub factor: f64,
    /// The bounds; empty where no tension keeps the belt taut.
    pub bounds: Vec<Bound>,
    /// Tensions at which the door sings.
    pub singing: Vec<Singing>,
}

/// The bounds over each setting.
#[derive(Clone, Debug)]
pub struct TensionMap {
    /// Revision of the document that it belongs to.
    pub revision: u64,
    /// One list for each of [`Varied::ALL`], factors ascending; those at which the door cannot be run are left out.
    pub over: [Vec<At>; 3],
}

impl TensionMap {
    /// Works it out: some dozen runs.
    pub fn of(scenario: &Scenario, revision: u64) -> Self {
        let limits = limits_of(scenario);
        let over = Varied::ALL.map(|varied| {
            let at = |factor| at(&scenario.parameters, &limits, varied, factor);
            factors().filter_map(at).collect()
        });
        Self { revision, over }
    }
}

/// Factors, evenly apart in their logarithm; the middle one is 1.
fn factors() -> impl Iterator<Item = f64> {
    let (low, high) = FACTORS;
    let last = (VALUES - 1) as f64;
    (0..VALUES).map(move |n| low * (high / low).powf(n as f64 / last))
}

fn at(p: &Parameters, limits: &[Limit], varied: Varied, factor: f64) -> Option<At> {
    let mut p = p.clone();
    for number in varied.keys().iter().filter_map(|key| number(key)) {
        scale(&mut p, number, factor);
    }
    let door = Door::try_from(p).ok()?;
    let bounds = bounds_of(&door, limits).unwrap_or_default();
    Some(At { factor, bounds, singing: singing(&door) })
}

fn scale(p: &mut Parameters, number: Number, factor: f64) {
    if let Some(value) = number.get(p) {
        number.set(p, Some(value * factor));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::Live;
    use crate::tension_window::{TensionWindow, ends};

    fn map() -> TensionMap {
        TensionMap::of(&crate::example::scenario(), 7)
    }

    /// The least tension that binds, at each factor.
    fn least(over: &[At]) -> Vec<f64> {
        over.iter().map(|at| ends(&at.bounds).0).collect()
    }

    #[test]
    fn with_nothing_changed_it_is_the_window_of_the_door() {
        let live = Live::of(&crate::example::scenario()).expect("a door");
        let window = TensionWindow::of(&live).expect("a window");
        for over in map().over {
            let middle = &over[VALUES / 2];
            assert_eq!(middle.factor, 1.0);
            let off = |(a, b): (f64, f64)| (a / b - 1.0).abs();
            let (here, there) = (ends(&middle.bounds), window.ends());
            assert!(off((here.0, there.0)) < 1e-9 && off((here.1, there.1)) < 1e-9, "{here:?} and {there:?}");
        }
    }

    /// m a = F: what the belt has to pull, and so what slackens its other strand, grows with mass and ramps.
    #[test]
    fn more_leaf_and_steeper_ramps_ask_for_more_tension() {
        let [mass, ramps, _] = map().over;
        for over in [&mass, &ramps] {
            assert_eq!(over.len(), VALUES);
            let least = least(over);
            assert!(least[VALUES - 1] > 1.3 * least[0], "{least:?}");
        }
    }

    /// T = m' (2 l v / (n p))^2: twice the speed sings at four times the tension.
    #[test]
    fn the_tension_at_which_it_sings_goes_with_the_square_of_the_speed() {
        let [_, _, speeds] = map().over;
        let (slow, as_set) = (&speeds[0], &speeds[VALUES / 2]);
        for (slow, as_set) in slow.singing.iter().zip(&as_set.singing) {
            assert!((4.0 * slow.at_n / as_set.at_n - 1.0).abs() < 1e-9, "{slow:?} and {as_set:?}");
        }
    }
}
