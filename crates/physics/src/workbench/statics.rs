//! Strands of a door that stands or speeds up under the full pull of its drive.

use crate::door::Door;
use crate::modes;
use crate::ring::Ring;

/// What the drive can do to the belt at the current limit, at the worst of its ways and of closed and open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtFullPull {
    /// Pull at the rim, after the gear, of the stronger direction, N.
    pub pull_n: f64,
    /// Tension below which a strand goes slack, N.
    pub slack_below_n: f64,
    /// Tension at which the ratcheting reserve is 1, N.
    pub seated_from_n: f64,
    /// What the slack strand at the drive loses in the case that decides the seat, N, and the pull in that case, N.
    seat: (f64, f64),
    teeth_in_mesh: f64,
    /// Both ways, closed and open.
    cases: [Added; 4],
}

/// What one pull adds while no strand is slack, N.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Added {
    /// To the strand that loses most: negative.
    least: f64,
    /// To the tightest strand.
    most: f64,
    /// To the shaft that is loaded most: two strands.
    shaft: f64,
}

impl Added {
    /// Tension to which it is added, N. Strands differ by what pulls between them, however stiff they are: once the loosest
    /// is slack, at nothing, all others stand above it by as much as before.
    fn onto(&self, installed_n: f64) -> f64 {
        installed_n.max(-self.least)
    }
}

impl AtFullPull {
    /// Tightest strand, N. Once the other way round is slack it carries the whole pull.
    pub fn tightest_n(&self, installed_n: f64) -> f64 {
        self.cases.iter().map(|added| added.onto(installed_n) + added.most).fold(0.0, f64::max)
    }

    /// Greatest load on a pulley shaft, N; where the whole pull runs round a pulley, twice the pull.
    pub fn shaft_load_n(&self, installed_n: f64) -> f64 {
        self.cases.iter().map(|added| 2.0 * added.onto(installed_n) + added.shaft).fold(0.0, f64::max)
    }

    /// Ratcheting reserve at an installed tension: slack-strand tension over the pull on one tooth in mesh. Uncalibrated.
    /// `None` for a drive without pull.
    pub fn ratcheting_reserve(&self, installed_n: f64) -> Option<f64> {
        let (loss, pull) = self.seat;
        (pull > 0.0).then(|| (installed_n - loss).max(0.0) * self.teeth_in_mesh / pull)
    }
}

/// Looks at full pull both ways, closed and fully open.
///
/// ```text
/// F = eta N K i/r,  i = min(i_lim, V_bus/R)          strands: (K q = f) with the drive locked, f by leaf mass   (eq. 31)
/// ```
///
/// One leaf: tight T_0 + F (L - y)/L, slack T_0 - F y/L.
pub fn at_full_pull(door: &Door) -> AtFullPull {
    let (p, derived) = (door.parameters(), door.derived());
    let current = |limit: f64| limit.min(p.supply.voltage_v / derived.resistance_ohm);
    let pull = |limit: f64| derived.pull_per_ampere_n * p.gear.efficiency * current(limit);
    at_pulls(door, [pull(p.opening.current_limit_a), -pull(p.closing.current_limit_a)])
}

/// Looks at braking with the full current both ways: a leaf that is stopped or turned round drives its motor back, and the
/// gear's loss adds to what it holds.
///
/// ```text
/// F = N K i/(r (1 - lambda)),  lambda = 1/eta - 1,  i = i_lim
/// ```
///
/// A leaf that is turned round still goes one way while the limit of the other way holds: the greater limit counts both ways.
/// `None`: the gear locks, and only the leaf's own inertia says how hard its belt is pulled.
pub fn at_full_braking(door: &Door) -> Option<AtFullPull> {
    let (p, derived) = (door.parameters(), door.derived());
    let back = derived.back_driving_efficiency;
    let hold = derived.pull_per_ampere_n * p.opening.current_limit_a.max(p.closing.current_limit_a) / back;
    (back > 0.0).then(|| at_pulls(door, [-hold, hold]))
}

/// The strands at two pulls of the drive, positive opens.
fn at_pulls(door: &Door, pulls_n: [f64; 2]) -> AtFullPull {
    let (p, derived, ring) = (door.parameters(), door.derived(), door.ring());
    let spans = ring.bodies;
    let mut worst = AtFullPull {
        pull_n: pulls_n[0].abs().max(pulls_n[1].abs()),
        slack_below_n: 0.0,
        seated_from_n: f64::NEG_INFINITY,
        seat: (0.0, 0.0),
        teeth_in_mesh: derived.teeth_in_mesh,
        cases: [Added::default(); 4],
    };
    for (half, place) in [0.0, p.leaf.stroke_m].into_iter().enumerate() {
        let positions = vec![place; ring.leaves.len()];
        for (way, &pull) in pulls_n.iter().enumerate() {
            let added = strands_n(ring, &positions, pull);
            let shaft = |body: usize| added[body] + added[(body + spans - 1) % spans];
            let case = Added {
                least: added[..spans].iter().copied().fold(f64::INFINITY, f64::min),
                most: added[..spans].iter().copied().fold(f64::NEG_INFINITY, f64::max),
                shaft: shaft(0).max(shaft(ring.return_body)),
            };
            worst.slack_below_n = worst.slack_below_n.max(-case.least);
            worst.cases[2 * half + way] = case;
            let loss = -added[0].min(added[spans - 1]);
            let seated = pull.abs() / derived.teeth_in_mesh + loss;
            if seated > worst.seated_from_n {
                worst.seated_from_n = seated;
                worst.seat = (loss, pull.abs());
            }
        }
    }
    worst
}

/// What a pull of the drive (positive opens) adds to each strand, N: drive locked, the leaves hold against it as if they
/// were sped up: by mass, a slow leaf at its share of the way.
pub(crate) fn strands_n(ring: &Ring, positions_m: &[f64], pull_n: f64) -> Vec<f64> {
    let bodies = ring.masses_kg.len();
    let leaves: f64 = ring.leaves.iter().map(|leaf| leaf.mass_kg * leaf.ratio.powi(2)).sum();
    let mut force = vec![0.0; bodies - 1];
    for leaf in &ring.leaves {
        force[leaf.body - 1] = -pull_n * leaf.mass_kg * leaf.ratio / leaves;
    }
    let moved = modes::solve(modes::locked_stiffness(ring, positions_m), force);
    ring.spans
        .iter()
        .enumerate()
        .map(|(index, span)| {
            let stretch: f64 = span.row[1..].iter().zip(&moved).map(|(a, q)| a * q).sum();
            ring.ea_of(index) / span.length_m(positions_m) * stretch
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::belt;
    use crate::parameters::{Arrangement, Parameters, Telescope};

    /// One leaf at y from the drive: tight T_0 + F (L - y)/L, slack T_0 - F y/L (two springs in parallel).
    /// A beam that turns the default door round at 0.3 m/s: by the closed form its strands may differ by
    /// N K i/(r (1 - lambda)) = 15 x 0.05/0.02387 x 8 x 1/(2 - 1/0.75) = 377 N, and the run comes near and never over it.
    #[test]
    fn a_leaf_that_is_turned_round_pulls_as_much_as_the_braking_drive_holds() {
        let mut p = Parameters::default();
        p.timeline.beam_broken_s = Some(8.0);
        p.timeline.sensor_delay_s = 0.02;
        let door = Door::try_from(p).unwrap();
        let braking = at_full_braking(&door).unwrap();
        assert!((braking.pull_n - 377.0).abs() < 0.5, "{}", braking.pull_n);
        assert!(braking.slack_below_n > at_full_pull(&door).slack_below_n);
        let run = crate::cycle(&door, &crate::CycleOptions::default());
        let turned = run.samples.iter().filter(|sample| sample.t_s > 7.9 && sample.t_s < 8.6);
        let differ =
            turned.map(|sample| (sample.tension_n[0] - sample.tension_n[2]).abs()).fold(0.0, f64::max);
        assert!(differ > 0.85 * braking.pull_n && differ < 1.02 * braking.pull_n, "{differ}");
        assert_eq!(
            run.figures.get(crate::Figure::LeastTension),
            Some(0.0),
            "slack, as it says: below {}",
            braking.slack_below_n
        );
        assert!(braking.slack_below_n > door.parameters().belt.tension_n);
    }

    #[test]
    fn one_leaf_shares_a_pull_by_the_lengths_either_way_round() {
        let door = Door::try_from(Parameters::default()).unwrap();
        let added = strands_n(door.ring(), &[0.4], -100.0);
        let (tight, slack) = belt::strands_under_pull_n(0.0, 100.0, 4.8, 0.7);
        assert!((added[0] - tight).abs() < 1e-9 && (added[1] - slack).abs() < 1e-9, "{added:?}");
        assert!((added[1] - added[2]).abs() < 1e-9, "the return pulley turns freely");
    }

    /// A belt hung on loosely: one strand slack, the other carries all of the pull.
    #[test]
    fn a_loose_belt_puts_the_whole_pull_on_one_strand() {
        let door = Door::try_from(Parameters::default()).unwrap();
        let pull = at_full_pull(&door);
        assert!((pull.tightest_n(1.0) - pull.pull_n).abs() < 1e-9, "{pull:?}");
        // opening pulls the leaf round the return pulley: twice the pull on its shaft (statics)
        assert!((pull.shaft_load_n(1.0) - 2.0 * pull.pull_n).abs() < 1e-9, "{pull:?}");
        assert!(pull.tightest_n(1000.0) > 1000.0 && pull.shaft_load_n(1000.0) > 2000.0);
    }

    /// The strands at the drive differ by the pull, whatever is clamped to the belt.
    #[test]
    fn the_strands_at_the_drive_differ_by_its_pull() {
        let ways = [Arrangement::Away, Arrangement::Towards, Arrangement::BiParting];
        for (arrangement, telescope) in
            ways.into_iter().flat_map(|way| [(way, None), (way, Some(Telescope::default()))])
        {
            let p = Parameters { arrangement, telescope, ..Parameters::default() };
            let door = Door::try_from(p).unwrap();
            let added = strands_n(door.ring(), &vec![0.3; door.leaves()], 120.0);
            assert!((added[door.ring().bodies - 1] - added[0] - 120.0).abs() < 1e-9, "{added:?}");
        }
    }
}
