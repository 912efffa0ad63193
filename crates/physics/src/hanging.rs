//! How a leaf hangs: what each of its two hangers carries, and what that does to its rolling resistance.
//!
//! Leading hanger L towards the closing edge, trailing hanger T, s_h apart; centre of gravity e towards the closing
//! edge. Forces on the leaf are positive when opening: belt F at z_c above the rail, every other force X at its depth
//! z below, the centre of gravity at z_g (eq. 14):
//!
//! ```text
//! dN = (F z_c + m a z_g - sum X z)/s_h      N_T = m g (1/2 - e/s_h) + dN      N_L = m g (1/2 + e/s_h) - dN
//! ```
//!
//! Negative: the wheel has left the rail and the anti-lift roller carries |N|; rolling resistance follows |N|. On an
//! uneven rail each hanger also feels -N z'. Unequal hangers lean the leaf by dh/s_h: what hangs below swings towards
//! the higher one, the centre of gravity by z_g dh/s_h.

use crate::belt::G;
use crate::door::Door;
use crate::parameters::{Arrangement, Hanger, Parameters};
use crate::rail::Track;
use crate::ring::RingLeaf;

/// Loads of the two hangers, leading and trailing, N.
pub(crate) type Loads = [f64; 2];

/// What a leaf hangs by.
#[derive(Clone, Debug)]
pub(crate) struct Hanging {
    mass: f64,
    inverse_spacing: f64,
    /// z_c, m.
    pub belt_height: f64,
    /// z_g, m.
    pub gravity_depth: f64,
    /// Static loads on a level rail, N.
    at_rest: Loads,
    /// Moment of the weight on a sloping rail, N m.
    slope_moment: f64,
    tracks: [Track; 2],
    even: bool,
}

/// A leaf at one instant, friction of the rollers left out.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pushed {
    /// Position, m.
    pub x: f64,
    /// Sum of the forces along the rail, N.
    pub force: f64,
    /// F z_c - sum X z, N m.
    pub moment: f64,
    /// Rolling resistance over load.
    pub rolling: f64,
    /// -1 or +1 against its sliding, 0 held.
    pub rubbing: f64,
    /// Mass that is accelerated, belt included, kg.
    pub inertia: f64,
    /// One over that, 1/kg.
    pub inverse_inertia: f64,
}

/// What the hangers make of it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Carried {
    /// Acceleration, m/s2; 0 where the leaf is held.
    pub acceleration: f64,
    pub loads: Loads,
    /// Rolling resistance, without its sign, N.
    pub rolling: f64,
    /// Force of the uneven rail, N.
    pub rail: f64,
}

impl Hanging {
    /// Leaf `number` of a door, from 1.
    pub fn new(p: &Parameters, number: usize, leaf: &RingLeaf) -> Self {
        let (mass, opens) = (leaf.mass_kg, leaf.uphill);
        // leaves in one plane share their rail, a slow leaf has its own
        let edges = if p.arrangement == Arrangement::BiParting { 2 } else { 1 };
        let shares = if leaf.ratio < 1.0 { number..=number } else { 1..=edges };
        let spacing = p.leaf.hanger_spacing_m.unwrap_or(f64::NAN);
        let gravity_depth = p.leaf.gravity_depth_m.unwrap_or(f64::NAN);
        let lean = p.leaf.hanger_height_difference_m / spacing;
        let offset = p.leaf.gravity_offset_m - gravity_depth * lean;
        let middle = p.leaf.width_m / 2.0;
        let track = |from_edge: f64, hanger| {
            let place = (opens * from_edge, opens);
            Track::new(&p.faults, p.rollers.diameter_m, place, (number, hanger), shares.clone())
        };
        let tracks =
            [track(middle - spacing / 2.0, Hanger::Leading), track(middle + spacing / 2.0, Hanger::Trailing)];
        let weight = mass * G;
        Self {
            mass,
            inverse_spacing: 1.0 / spacing,
            belt_height: p.leaf.belt_height_m,
            gravity_depth,
            at_rest: [weight * (0.5 + offset / spacing), weight * (0.5 - offset / spacing)],
            even: tracks.iter().all(Track::is_even),
            tracks,
            slope_moment: opens * weight * p.rail.slope * gravity_depth,
        }
    }

    /// Rail and roller of the leading and the trailing wheel.
    pub fn tracks(&self) -> &[Track; 2] {
        &self.tracks
    }

    /// Loads at rest, held at the rail, N.
    pub fn standing_loads(&self) -> Loads {
        self.standing_loads_under(0.0)
    }

    /// The same under forces that are held at the rail, by their moment -sum X z, N m.
    pub fn standing_loads_under(&self, moment: f64) -> Loads {
        self.loads(self.slope_moment + moment, 0.0)
    }

    /// Whether the rail is straight and the wheels are round.
    pub fn is_even(&self) -> bool {
        self.even
    }

    /// Counts the kinks of the rail that lie behind the two wheels.
    pub fn kinks_passed(&self, x: f64) -> i64 {
        self.tracks.iter().map(|track| track.kinks_passed(x)).sum()
    }

    /// Loads under a moment F z_c - sum X z and an acceleration, N.
    #[inline(always)]
    pub fn loads(&self, moment: f64, acceleration: f64) -> Loads {
        let shift = (moment + self.mass * acceleration * self.gravity_depth) * self.inverse_spacing;
        [self.at_rest[0] - shift, self.at_rest[1] + shift]
    }

    /// Openings of the leaf at which the rail is steepest under a wheel, m, beyond its travel too.
    pub fn steepest_at(&self) -> impl Iterator<Item = f64> + '_ {
        self.tracks.iter().flat_map(Track::steepest_at)
    }

    /// Rise of the rail under the two wheels.
    pub fn rises(&self, x: f64) -> [f64; 2] {
        [self.tracks[0].rise(x), self.tracks[1].rise(x)]
    }

    /// Acceleration and loads together: each depends on the other.
    ///
    /// With the signs of N known all is linear in a: N_T = n_T + b a, N_L = n_L - b a, b = m z_g/s_h,
    ///
    /// ```text
    /// M a = A - rub c (|N_L| + |N_T|) - N_L z'_L - N_T z'_T
    /// ```
    #[inline(always)]
    pub fn carry(&self, pushed: &Pushed) -> Carried {
        if self.even {
            let weight = self.at_rest[0] + self.at_rest[1];
            let rolling = pushed.rolling * weight;
            let acceleration = if pushed.rubbing == 0.0 {
                0.0
            } else {
                (pushed.force - pushed.rubbing * rolling) * pushed.inverse_inertia
            };
            let loads = self.loads(pushed.moment, acceleration);
            if loads[0] >= 0.0 && loads[1] >= 0.0 {
                return Carried { acceleration, loads, rolling, rail: 0.0 };
            }
        }
        self.carry_unevenly(pushed)
    }

    #[cold]
    fn carry_unevenly(&self, pushed: &Pushed) -> Carried {
        let rises = if self.even { [0.0; 2] } else { self.rises(pushed.x) };
        let still = self.loads(pushed.moment, 0.0);
        let lever = self.mass * self.gravity_depth * self.inverse_spacing;
        let mut signs = still.map(f64::signum);
        let mut carried = Carried { acceleration: 0.0, loads: still, rolling: 0.0, rail: 0.0 };
        for _ in 0..4 {
            // each wheel's share of the resistance for a newton that it carries
            let resist = [0, 1].map(|wheel| pushed.rubbing * pushed.rolling * signs[wheel] + rises[wheel]);
            if pushed.rubbing != 0.0 {
                let inertia = pushed.inertia + lever * (resist[1] - resist[0]);
                let force = pushed.force - resist[0] * still[0] - resist[1] * still[1];
                carried.acceleration = force / inertia.max(0.1 * pushed.inertia);
            }
            carried.loads = self.loads(pushed.moment, carried.acceleration);
            let found = carried.loads.map(f64::signum);
            if found == signs {
                break;
            }
            signs = found;
        }
        carried.rolling = pushed.rolling * (carried.loads[0].abs() + carried.loads[1].abs());
        carried.rail = -carried.loads[0] * rises[0] - carried.loads[1] * rises[1];
        if pushed.rubbing != 0.0 {
            // where the signs chatter, what is booked is still what accelerates
            let force = pushed.force + carried.rail - pushed.rubbing * carried.rolling;
            carried.acceleration = force / pushed.inertia;
        }
        carried
    }
}

/// Height of the two wheels of a leaf (from 0) above where they are with the door closed, leading and trailing, with
/// the leaf at each of these places, m.
pub fn wheel_heights(door: &Door, leaf: usize, places_m: &[f64]) -> [Vec<f64>; 2] {
    let Some(hung) = door.ring().leaves.get(leaf) else { return [Vec::new(), Vec::new()] };
    let slope = hung.uphill * door.parameters().rail.slope;
    let tracks = Hanging::new(door.parameters(), leaf + 1, hung).tracks;
    tracks.map(|track| places_m.iter().map(|&x| track.height(x) + slope * x).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Door;

    /// 100 kg, s_h 0.8, z_g 1.1, z_c 0.05 m, a 1 m/s2, F 100 N, no guide drag: 143.75 N shifts on 490 N a hanger (derived,
    /// moments about the rail).
    #[test]
    fn acceleration_and_belt_shift_load_to_the_trailing_hanger() {
        let mut p = Parameters::default();
        p.leaf.mass_kg = 100.0;
        p.leaf.hanger_spacing_m = Some(0.8);
        p.leaf.gravity_depth_m = Some(1.1);
        let door = Door::try_from(p).unwrap();
        let hanging = Hanging::new(door.parameters(), 1, &door.ring().leaves[0]);
        let [leading, trailing] = hanging.loads(100.0 * 0.05, 1.0);
        assert!((trailing - (490.3325 + 143.75)).abs() < 1e-9, "{trailing}");
        assert!((leading - (490.3325 - 143.75)).abs() < 1e-9, "{leading}");
    }

    /// The trailing hanger 2 mm higher on 0.9 m moves the centre of gravity by 1.1 m x 2/900 away from the closing edge.
    #[test]
    fn a_leaf_that_leans_loads_the_lower_hanger_less_than_the_higher() {
        let mut p = Parameters::default();
        p.leaf.hanger_height_difference_m = 0.002;
        let door = Door::try_from(p).unwrap();
        let [leading, trailing] = Hanging::new(door.parameters(), 1, &door.ring().leaves[0]).loads(0.0, 0.0);
        let weight = 80.0 * G;
        let moved = 1.1 * 0.002 / 0.9;
        assert!((trailing - leading - weight * 2.0 * moved / 0.9).abs() < 1e-9);
        assert!((trailing + leading - weight).abs() < 1e-9);
    }

    /// A wheel that has lifted presses on the anti-lift roller: rolling resistance is c (|N_L| + |N_T|) > c m g.
    #[test]
    fn a_lifted_wheel_rubs_on_the_other_side() {
        let door = Door::try_from(Parameters::default()).unwrap();
        let hanging = Hanging::new(door.parameters(), 1, &door.ring().leaves[0]);
        let pushed = Pushed {
            x: 0.3,
            force: 600.0,
            moment: 200.0,
            rolling: 0.02,
            rubbing: 1.0,
            inertia: 81.0,
            inverse_inertia: 1.0 / 81.0,
        };
        let carried = hanging.carry(&pushed);
        assert!(carried.loads[0] < 0.0, "{:?}", carried.loads);
        let sum = carried.loads[0].abs() + carried.loads[1].abs();
        assert!((carried.rolling - 0.02 * sum).abs() < 1e-9);
        assert!((81.0 * carried.acceleration - (600.0 - carried.rolling)).abs() < 1e-6);
        let again = hanging.loads(200.0, carried.acceleration);
        assert!((again[0] - carried.loads[0]).abs() < 1e-6);
    }
}
