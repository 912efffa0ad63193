//! Height profile of the rail, as the rollers feel it.
//!
//! z(s) is the height of a wheel's centre over the straight rail, s the place along the rail from the closing edge of
//! the closed leaf, positive where leaf 1 opens. A wheel of radius R rounds what it rolls over (eq. 15):
//!
//! ```text
//! sag     z = -(h/2)(1 - cos(2 pi u)),  u = (s - at)/length in 0..1
//! step up over at:    z' = -(s - at)/sqrt(R^2 - (s - at)^2)  for  at - c < s < at,   c = sqrt(2 R |h| - h^2)
//! step down           the same for  at < s < at + c
//! bump                the same for  at - c < s < at + c
//! flat    the same twice over the chord 2 c, first falling, then rising, once every pi D of rolled distance
//! ```

use std::f64::consts::{PI, TAU};

use crate::parameters::{Fault, FaultKind, Hanger};

/// Half the chord by which a wheel of this radius bridges a corner or flat of this height, sqrt(2 R |h| - h^2), m.
pub(crate) fn half_chord_m(radius_m: f64, height_m: f64) -> f64 {
    (2.0 * radius_m * height_m.abs() - height_m * height_m).max(0.0).sqrt()
}

/// Rail and roller of one wheel.
#[derive(Clone, Debug)]
pub(crate) struct Track {
    faults: Vec<Piece>,
    radius: f64,
    /// s of the wheel with its leaf closed, and +1, or -1 for a leaf that opens towards negative s.
    closed_s: f64,
    sign: f64,
}

#[derive(Clone, Copy, Debug)]
struct Piece {
    /// Place in the list of the door, from 0.
    index: usize,
    kind: FaultKind,
    at: f64,
    height: f64,
    length: f64,
    /// Half the chord over which the wheel rounds it, m.
    reach: f64,
}

impl Track {
    /// The track of one wheel: `closed_s` its place along the rail with the leaf closed, `sign` the way that its
    /// leaf opens, `leaf` and `hanger` which wheel it is, `shares` which leaves run on the same rail.
    pub fn new(
        faults: &[Fault],
        diameter_m: f64,
        (closed_s, sign): (f64, f64),
        (leaf, hanger): (usize, Hanger),
        shares: std::ops::RangeInclusive<usize>,
    ) -> Self {
        let radius = diameter_m / 2.0;
        let here = |fault: &&Fault| match fault.kind {
            FaultKind::Flat => fault.leaf == leaf && fault.hanger == hanger,
            _ => shares.contains(&fault.leaf),
        };
        let piece = |(index, fault): (usize, &Fault)| {
            let height = fault.height_m;
            let reach = half_chord_m(radius, height);
            Piece { index, kind: fault.kind, at: fault.at_m, height, length: fault.length_m, reach }
        };
        Self {
            faults: faults.iter().enumerate().filter(|(_, fault)| here(fault)).map(piece).collect(),
            radius,
            closed_s,
            sign,
        }
    }

    /// The step or bump over whose place the wheel rolls while its leaf goes from one opening to another, by its place in
    /// the list of the door.
    pub fn passed(&self, from_x: f64, to_x: f64) -> Option<usize> {
        let (a, b) = (self.closed_s + self.sign * from_x, self.closed_s + self.sign * to_x);
        let local = |fault: &&Piece| matches!(fault.kind, FaultKind::Step | FaultKind::Bump);
        let between = |fault: &&Piece| (a < fault.at) != (b < fault.at);
        self.faults.iter().filter(local).find(between).map(|fault| fault.index)
    }

    /// Whether the rail is straight and the wheel round.
    pub fn is_even(&self) -> bool {
        self.faults.is_empty()
    }

    /// dz/dx of the wheel with its leaf at x: rise for each metre of opening.
    pub fn rise(&self, x: f64) -> f64 {
        let s = self.closed_s + self.sign * x;
        let rises = self.faults.iter().map(|fault| match fault.kind {
            FaultKind::Sag => self.sign * fault.sag(s),
            FaultKind::Flat => self.flat(fault, x),
            FaultKind::Step | FaultKind::Bump => self.sign * self.rounded(fault, s),
        });
        rises.sum()
    }

    /// Height of the wheel with its leaf at x, against the leaf at 0, m: the integral of its rise.
    pub fn height(&self, x: f64) -> f64 {
        self.above(x) - self.above(0.0)
    }

    fn above(&self, x: f64) -> f64 {
        let s = self.closed_s + self.sign * x;
        let round = |d: f64| (self.radius * self.radius - d * d).max(0.0).sqrt();
        let of = |fault: &Piece| {
            let (d, reach) = (s - fault.at, fault.reach);
            match fault.kind {
                FaultKind::Sag => {
                    let u = (d / fault.length).clamp(0.0, 1.0);
                    -0.5 * fault.height * (1.0 - (TAU * u).cos())
                }
                FaultKind::Bump => round(d.clamp(-reach, reach)) - round(reach),
                FaultKind::Step if fault.height > 0.0 => round(d.clamp(-reach, 0.0)) - round(reach),
                FaultKind::Step => round(d.clamp(0.0, reach)) - round(0.0),
                FaultKind::Flat => {
                    let along = (x - fault.at).rem_euclid(TAU * self.radius).min(2.0 * reach);
                    round(along.min(2.0 * reach - along)) - round(0.0)
                }
            }
        };
        self.faults.iter().map(of).sum()
    }

    /// Counts the kinks of the profile that lie behind the wheel: it changes where one is passed.
    pub fn kinks_passed(&self, x: f64) -> i64 {
        let s = self.closed_s + self.sign * x;
        let behind = |edges: &[f64]| edges.iter().filter(|&&edge| edge <= s).count() as i64;
        let of = |fault: &Piece| match fault.kind {
            FaultKind::Sag => 0,
            FaultKind::Bump => behind(&[fault.at - fault.reach, fault.at + fault.reach]),
            FaultKind::Step if fault.height > 0.0 => behind(&[fault.at - fault.reach, fault.at]),
            FaultKind::Step => behind(&[fault.at, fault.at + fault.reach]),
            FaultKind::Flat => {
                let turn = TAU * self.radius;
                let turns = ((x - fault.at) / turn).floor();
                let along = x - fault.at - turns * turn;
                let edges = [fault.reach, 2.0 * fault.reach];
                3 * turns as i64 + edges.iter().filter(|&&edge| edge <= along).count() as i64
            }
        };
        self.faults.iter().map(of).sum()
    }

    /// Openings of the leaf at which a fault is steepest, m, beyond its travel too; of a flat, those of its first turn.
    pub fn steepest_at(&self) -> Vec<f64> {
        let within = 1e-9;
        let mut places = Vec::new();
        for fault in &self.faults {
            let edge = fault.reach - within;
            let along_the_rail = match fault.kind {
                FaultKind::Sag => [0.25, 0.75].map(|part| fault.at + part * fault.length),
                FaultKind::Step | FaultKind::Bump => [fault.at - edge, fault.at + edge],
                FaultKind::Flat => {
                    let first = fault.at.rem_euclid(TAU * self.radius) + fault.reach;
                    places.extend([first - within, first + within]);
                    continue;
                }
            };
            places.extend(along_the_rail.map(|s| self.sign * (s - self.closed_s)));
        }
        places
    }

    /// Slope of the wheel's path over a corner at distance d ahead: -(s - at)/sqrt(R^2 - (s - at)^2).
    fn arc(&self, from_corner: f64) -> f64 {
        -from_corner / (self.radius * self.radius - from_corner * from_corner).sqrt()
    }

    fn rounded(&self, fault: &Piece, s: f64) -> f64 {
        let d = s - fault.at;
        let (low, high) = match (fault.kind, fault.height > 0.0) {
            (FaultKind::Bump, _) => (-fault.reach, fault.reach),
            (_, true) => (-fault.reach, 0.0),
            (_, false) => (0.0, fault.reach),
        };
        if d > low && d < high { self.arc(d) } else { 0.0 }
    }

    fn flat(&self, fault: &Piece, x: f64) -> f64 {
        let along = (x - fault.at).rem_euclid(TAU * self.radius);
        let chord = 2.0 * fault.reach;
        if along < fault.reach {
            self.arc(along)
        } else if along < chord {
            self.arc(along - chord)
        } else {
            0.0
        }
    }
}

impl Piece {
    fn sag(&self, s: f64) -> f64 {
        let u = (s - self.at) / self.length;
        if (0.0..1.0).contains(&u) { -PI * self.height / self.length * (TAU * u).sin() } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn track(kind: FaultKind, height_m: f64) -> Track {
        let fault = Fault { kind, height_m, at_m: 0.5, ..Fault::default() };
        Track::new(&[fault], 0.03, (0.0, 1.0), (1, Hanger::Leading), 1..=2)
    }

    /// What a wheel climbs over a whole fault is the integral of its slope: h over a step, nothing over the others.
    #[test]
    fn the_slope_of_every_fault_adds_up_to_its_height() {
        for (kind, height, climbed) in [
            (FaultKind::Step, 0.0003, 0.0003),
            (FaultKind::Step, -0.0005, -0.0005),
            (FaultKind::Bump, 0.001, 0.0),
            (FaultKind::Sag, 0.002, 0.0),
        ] {
            let track = track(kind, height);
            let steps = 2_000_000;
            let ds = 1.5 / f64::from(steps);
            let sum: f64 = (0..steps).map(|n| track.rise((f64::from(n) + 0.5) * ds) * ds).sum();
            assert!((sum - climbed).abs() < 1e-7, "{kind:?} {height}: {sum}");
        }
    }

    /// A flat comes round once a turn, pi D, and drops the wheel by its depth in the middle of the chord.
    /// The height is the integral of the rise, by the midpoints of steps of 10 um: 3 % of it at the corner of a step,
    /// where the rise jumps to c/(R - h).
    #[test]
    fn the_height_of_every_fault_is_the_integral_of_its_rise() {
        for (kind, height) in [
            (FaultKind::Sag, 2e-3),
            (FaultKind::Step, 4e-4),
            (FaultKind::Step, -4e-4),
            (FaultKind::Bump, 4e-4),
            (FaultKind::Flat, 3e-4),
        ] {
            let track = track(kind, height);
            let (dx, mut climbed) = (1e-5, 0.0);
            for n in 0..120_000 {
                climbed += track.rise((f64::from(n) + 0.5) * dx) * dx;
                let x = f64::from(n + 1) * dx;
                let off = (track.height(x) - climbed).abs();
                assert!(off < 0.03 * height.abs(), "{kind:?} {x}: {off}");
            }
        }
    }

    #[test]
    fn a_flat_roller_knocks_once_a_turn() {
        let track = track(FaultKind::Flat, 0.0002);
        let turn = PI * 0.03;
        let reach = (2.0_f64 * 0.015 * 0.0002 - 0.0002 * 0.0002).sqrt();
        let steps = 100_000;
        let ds = reach / f64::from(steps);
        let fallen: f64 = (0..steps).map(|n| track.rise(0.5 + (f64::from(n) + 0.5) * ds) * ds).sum();
        assert!((fallen + 0.0002).abs() < 1e-9, "{fallen}");
        assert!((track.rise(0.5 + 1.5 * reach) - track.rise(0.5 + turn + 1.5 * reach)).abs() < 1e-9);
        assert_eq!(track.rise(0.5 + turn / 2.0), 0.0);
        assert_eq!(track.kinks_passed(0.5 + 2.5 * turn) - track.kinks_passed(0.5 + 0.5 * turn), 6);
    }

    /// The other leaf of a pair goes down where the first goes up.
    #[test]
    fn a_leaf_that_opens_the_other_way_feels_the_opposite_slope() {
        let fault = Fault { kind: FaultKind::Sag, at_m: -1.0, height_m: 0.003, ..Fault::default() };
        let one = Track::new(std::slice::from_ref(&fault), 0.03, (0.0, 1.0), (1, Hanger::Leading), 1..=2);
        let two = Track::new(&[fault], 0.03, (0.0, -1.0), (2, Hanger::Leading), 1..=2);
        assert_eq!(one.rise(-0.8), -two.rise(0.8));
        assert_ne!(two.rise(0.8), 0.0);
    }
}
