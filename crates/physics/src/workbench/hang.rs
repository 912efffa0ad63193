//! How a leaf hangs, and what each tolerance of hanging costs.
//!
//! Each case is the same door with one thing changed. Loads are those of eq. 14 at every acceleration that the settings ask
//! for, with belt force, rolling, brush, guide and slope; jolts and listed forces come on top.
//!
//! ```text
//! rail out of level by t on its length (strokes and widths of all leaves): slope t/length, pull m g slope
//! frame out of plumb by t on the height: guide load m g (t/H) z_g/z_f       leaf leaning by t: dh = t s_h/H
//! gap at the closing edge, jamb plumb: H dh/s_h + H slope      between two leaves: 2 H dh/s_h           (eq. 33)
//! ```

use crate::belt::G;
use crate::door::Door;
use crate::hanging::Hanging;
use crate::manual;
use crate::parameters::Parameters;
use crate::ring::RingLeaf;
use crate::weather;

/// Rounds in which rolling resistance and hanger loads are brought together: each brings a hundredth of what was off.
const ROUNDS: u32 = 6;

/// Slope up to which the place is looked for where a leaf begins to drift.
const STEEPEST: f64 = 0.05;

/// What is changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HangCase {
    /// Nothing: the door file.
    AsFiled,
    /// Hangers as near to the ends of the leaf as is usual.
    HangersOut,
    /// Hangers as far from them as is usual.
    HangersIn,
    /// The rail rises while leaf 1 opens.
    RailRises,
    /// The rail falls while leaf 1 opens.
    RailFalls,
    /// The frame is out of plumb across the opening.
    OutOfPlumb,
    /// The trailing hanger is higher: the closing edge touches first at the top.
    TrailingHigher,
    /// The leading hanger is higher: the closing edge touches first at the bottom.
    LeadingHigher,
}

impl HangCase {
    /// Every case, the door file first.
    pub const ALL: [Self; 8] = [
        Self::AsFiled,
        Self::HangersOut,
        Self::HangersIn,
        Self::RailRises,
        Self::RailFalls,
        Self::OutOfPlumb,
        Self::TrailingHigher,
        Self::LeadingHigher,
    ];
}

/// A door hung in one way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hung {
    /// What is changed.
    pub case: HangCase,
    /// Hand force that opens it, power off, N; `None`: the gear locks.
    pub opening_by_hand_n: Option<f64>,
    /// Pull beyond what friction holds, power off, N.
    pub drift_n: f64,
    /// Gap at the foot of the closing edge where its head touches a plumb jamb, or the edge of the other leaf, m; negative: at
    /// the head.
    pub gap_m: f64,
    /// Sideways load of the heaviest leaf on its guide, N.
    pub guide_load_n: f64,
    /// Loads of leading and trailing hanger of leaf 1 at rest, N.
    pub at_rest_n: [f64; 2],
    /// Least load of a hanger at the accelerations that are set, N; negative: its wheel has left the rail.
    pub least_n: f64,
    /// Greatest load, N.
    pub greatest_n: f64,
}

/// Whether a leaf moves by itself with the power off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Drift {
    /// It does as it is, with this force, N.
    Now(f64),
    /// From this much out of level on the length of the rail, m.
    From(f64),
    /// It stays on every slope up to 5 %.
    Never,
}

/// How a leaf hangs at the workbench.
#[derive(Clone, Debug, PartialEq)]
pub struct HangWork {
    /// The cases that can be built.
    pub cases: Vec<Hung>,
    /// Distance of each hanger from its end of the leaf in the door file, m.
    pub hanger_from_end_m: f64,
    /// Length of the rail that is taken for levelling, m.
    pub rail_length_m: f64,
    /// Whether the leaf moves by itself with the power off.
    pub drift: Drift,
    /// How far the foot of the closing edge moves for each metre by which one hanger is raised.
    pub foot_per_hanger: f64,
}

/// Works out how the leaf of a door hangs.
pub fn hang_work(door: &Door) -> HangWork {
    let p = door.parameters();
    let spacing = p.leaf.hanger_spacing_m.unwrap_or(p.leaf.width_m);
    let rail_length_m = (p.leaf.stroke_m + p.leaf.width_m) * door.edges() as f64;
    let cases = HangCase::ALL.into_iter().filter_map(|case| hung(door, case, rail_length_m)).collect();
    HangWork {
        cases,
        hanger_from_end_m: (p.leaf.width_m - spacing) / 2.0,
        rail_length_m,
        drift: drift(door, rail_length_m),
        foot_per_hanger: p.leaf.height_m / spacing,
    }
}

/// The door with one thing changed.
fn changed(p: &Parameters, case: HangCase, rail_length_m: f64) -> Parameters {
    let (bench, mut p) = (p.workbench, without_gains(p));
    let tolerance = bench.frame_tolerance_m;
    let spacing = p.leaf.hanger_spacing_m.unwrap_or(p.leaf.width_m);
    let from_ends = |distance: f64| Some(p.leaf.width_m - 2.0 * distance);
    let raised = tolerance * spacing / p.leaf.height_m;
    match case {
        HangCase::AsFiled => {}
        HangCase::HangersOut => p.leaf.hanger_spacing_m = from_ends(bench.hanger_end_least_m),
        HangCase::HangersIn => p.leaf.hanger_spacing_m = from_ends(bench.hanger_end_most_m),
        HangCase::RailRises => p.rail.slope += tolerance / rail_length_m,
        HangCase::RailFalls => p.rail.slope -= tolerance / rail_length_m,
        HangCase::OutOfPlumb => {
            p.guide.out_of_plumb = p.guide.out_of_plumb.abs() + tolerance / p.leaf.height_m
        }
        HangCase::TrailingHigher => p.leaf.hanger_height_difference_m += raised,
        HangCase::LeadingHigher => p.leaf.hanger_height_difference_m -= raised,
    }
    p
}

/// Gains are worked out anew: they do not matter here, and need not lie in the range of what a file may set.
fn without_gains(p: &Parameters) -> Parameters {
    let mut p = p.clone();
    p.controller.proportional_gain_a_s_per_m = None;
    p.controller.integral_gain_a_per_m = None;
    p
}

fn hung(filed: &Door, case: HangCase, rail_length_m: f64) -> Option<Hung> {
    let door = match case {
        HangCase::AsFiled => filed.clone(),
        _ => Door::try_from(changed(filed.parameters(), case, rail_length_m)).ok()?,
    };
    let p = door.parameters();
    let leaves = || door.ring().leaves.iter().enumerate();
    let loads = leaves().flat_map(|(n, leaf)| moving_loads(p, n + 1, leaf));
    let (least_n, greatest_n) = loads
        .flatten()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), load| (low.min(load), high.max(load)));
    let first = door.ring().leaves.first()?;
    Some(Hung {
        case,
        opening_by_hand_n: manual::opening_force_n(&door),
        drift_n: manual::drift_force_n(&door),
        gap_m: match door.edges() {
            1 => door.derived().lean_m + p.leaf.height_m * p.rail.slope,
            // one rail tilts both leaves alike: only what the hangers lean parts their edges
            _ => 2.0 * door.derived().lean_m,
        },
        guide_load_n: door.derived().guide_load_n.iter().copied().fold(0.0, f64::max),
        at_rest_n: Hanging::new(p, 1, first).standing_loads(),
        least_n,
        greatest_n,
    })
}

/// Hanger loads of one leaf at every acceleration that the settings ask for, leading and trailing, N.
fn moving_loads(p: &Parameters, number: usize, leaf: &RingLeaf) -> Vec<[f64; 2]> {
    let hanging = Hanging::new(p, number, leaf);
    let mass = leaf.mass_kg;
    let depth = |given: Option<f64>| given.unwrap_or(p.leaf.height_m / 2.0);
    let (gravity, guide_at) = (depth(p.leaf.gravity_depth_m), depth(p.guide.depth_m));
    let brush = p.seal.brush_n_per_m * p.leaf.height_m;
    let guide = p.guide.friction * weather::guide_load_n(p, mass);
    let down = leaf.uphill * mass * G * p.rail.slope;
    let (opening, closing) = (&p.opening, &p.closing);
    [
        (1.0, opening.acceleration_m_per_s2),
        (1.0, -opening.braking_m_per_s2),
        (-1.0, -closing.acceleration_m_per_s2),
        (-1.0, closing.braking_m_per_s2),
    ]
    .into_iter()
    .map(|(way, of_belt)| {
        // the slow leaf of a telescopic door goes half the way
        let acceleration = leaf.ratio * of_belt;
        // forces on the leaf below the rail, each times its depth
        let below = -way * (brush * gravity + guide * guide_at) - down * gravity;
        let loads = |rolling: f64| {
            let belt = mass * acceleration + way * (rolling + brush + guide) + down;
            hanging.loads(belt * p.leaf.belt_height_m - below, acceleration)
        };
        // a lifted wheel rubs on the other side: resistance goes with what both carry, and what they carry depends on it a little
        (0..ROUNDS).fold(loads(p.rollers.resistance * mass * G), |[leading, trailing], _| {
            loads(p.rollers.resistance * (leading.abs() + trailing.abs()))
        })
    })
    .collect()
}

/// Whether a leaf drifts as it is, and if not, from which slope, by halving.
fn drift(door: &Door, rail_length_m: f64) -> Drift {
    let p = door.parameters();
    let now = manual::drift_force_n(door);
    if now > 0.0 {
        return Drift::Now(now);
    }
    let drifts_on = |slope: f64| {
        let mut p = without_gains(p);
        p.rail.slope = slope;
        Door::try_from(p).is_ok_and(|door| manual::drift_force_n(&door) > 0.0)
    };
    // a cord or a weight helps one way: rising or falling, whichever it is
    let drifts = |slope: f64| drifts_on(slope) || drifts_on(-slope);
    if drifts(0.0) {
        return Drift::From(0.0);
    }
    if !drifts(STEEPEST) {
        return Drift::Never;
    }
    let (mut stays, mut goes) = (0.0, STEEPEST);
    while goes - stays > 1e-7 {
        let middle = f64::midpoint(stays, goes);
        if drifts(middle) { goes = middle } else { stays = middle }
    }
    Drift::From(goes * rail_length_m)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(change: impl FnOnce(&mut Parameters)) -> HangWork {
        let mut p = Parameters::default();
        change(&mut p);
        hang_work(&Door::try_from(p).unwrap())
    }

    fn case(work: &HangWork, case: HangCase) -> Hung {
        *work.cases.iter().find(|hung| hung.case == case).unwrap()
    }

    /// 100 kg on a rail of 2.1 m that rises by 2 mm: m g 2/2100 = 0.934 N more by hand.
    #[test]
    fn a_rail_out_of_level_costs_weight_times_slope() {
        let work = of(|p| p.leaf.mass_kg = 100.0);
        let by_hand = |it| case(&work, it).opening_by_hand_n.unwrap();
        let costs = by_hand(HangCase::RailRises) - by_hand(HangCase::AsFiled);
        assert!((costs - 100.0 * G * 0.002 / 2.1).abs() < 1e-9, "{costs}");
        assert!((by_hand(HangCase::AsFiled) - by_hand(HangCase::RailFalls) - costs).abs() < 1e-9);
    }

    /// Leaning by t on its height leaves t at the closing edge, at the head or at the foot.
    #[test]
    fn a_leaf_that_leans_two_millimetres_gapes_by_two_millimetres() {
        let work = of(|_| ());
        assert!((case(&work, HangCase::TrailingHigher).gap_m - 0.002).abs() < 1e-12);
        assert!((case(&work, HangCase::LeadingHigher).gap_m + 0.002).abs() < 1e-12);
        assert!((work.foot_per_hanger - 2.2 / 0.9).abs() < 1e-12);
    }

    /// Out of plumb by 2 mm on 2.2 m: m g (2/2200) 1.1/2.25 on the guide, moments about the rail.
    #[test]
    fn a_frame_out_of_plumb_leans_the_leaf_on_its_guide() {
        let work = of(|p| p.guide.depth_m = Some(2.25));
        let expected = 80.0 * G * (0.002 / 2.2) * 1.1 / 2.25;
        assert!((case(&work, HangCase::OutOfPlumb).guide_load_n - expected).abs() < 1e-9);
        assert_eq!(case(&work, HangCase::AsFiled).guide_load_n, 0.0);
    }

    /// dN = (F z_c + m a z_g)/s_h: the closer the hangers, the more load shifts.
    #[test]
    fn hangers_further_from_the_ends_carry_less_evenly() {
        let work = of(|p| p.leaf.width_m = 1.0);
        let (out, inside) = (case(&work, HangCase::HangersOut), case(&work, HangCase::HangersIn));
        assert!(inside.least_n < out.least_n && inside.greatest_n > out.greatest_n);
        assert_eq!(out.at_rest_n, inside.at_rest_n);
    }

    /// 100 kg without any friction of seal or guide, accelerated by 1 m/s2 with hangers 0.8 m apart, z_g 1.1 m,
    /// z_c 0.05 m: (100 x 1 x 0.05 + 100 x 1 x 1.1)/0.8 = 143.75 N shift on 490.33 N (derived, moments about the rail).
    #[test]
    fn acceleration_shifts_the_load_that_moments_about_the_rail_give() {
        let work = of(|p| {
            p.leaf.mass_kg = 100.0;
            p.leaf.hanger_spacing_m = Some(0.8);
            p.leaf.gravity_depth_m = Some(1.1);
            p.seal.brush_n_per_m = 0.0;
            p.rollers.resistance = 0.0;
        });
        let filed = case(&work, HangCase::AsFiled);
        assert!((filed.greatest_n - (490.3325 + 143.75)).abs() < 1e-9, "{filed:?}");
        assert!((filed.least_n - (490.3325 - 143.75)).abs() < 1e-9, "{filed:?}");
    }

    /// The steepest rail on which the leaf stays is the one on which drift is still nothing.
    #[test]
    fn a_leaf_drifts_just_beyond_the_level_that_is_told() {
        let mut p = Parameters::default();
        let work = hang_work(&Door::try_from(p.clone()).unwrap());
        let Drift::From(from_m) = work.drift else { panic!("{:?}", work.drift) };
        let slope = from_m / work.rail_length_m;
        for (share, drifts) in [(0.99, false), (1.01, true)] {
            p.rail.slope = slope * share;
            let door = Door::try_from(p.clone()).unwrap();
            assert_eq!(manual::drift_force_n(&door) > 0.0, drifts, "{share}");
        }
        // leaf 2 holds what leaf 1 would let go
        let pair = of(|p| p.arrangement = crate::parameters::Arrangement::BiParting);
        assert_eq!(pair.drift, Drift::Never);
        // a weight that closes pulls 60 N; breakaway, brush, bearings and the gear hold less than that
        let pulled = of(|p| {
            p.forces = vec![crate::parameters::LeafForce { constant_n: -60.0, ..Default::default() }];
        });
        assert!(matches!(pulled.drift, Drift::Now(n) if n > 10.0), "{:?}", pulled.drift);
    }

    /// A rail that rises by 5 mm/m turns the leaf as much as hangers that differ by 4.5 mm on 0.9 m: m g 0.005 z_g/s_h moves to
    /// the trailing hanger either way (derived, moments about the rail).
    #[test]
    fn a_sloping_rail_loads_the_hangers_as_a_lean_does() {
        let slope = case(&of(|p| p.rail.slope = 0.005), HangCase::AsFiled).at_rest_n;
        let lean = case(&of(|p| p.leaf.hanger_height_difference_m = 0.0045), HangCase::AsFiled).at_rest_n;
        let expected = 80.0 * G * 0.5 + 80.0 * G * 0.005 * 1.1 / 0.9;
        for loads in [slope, lean] {
            assert!((loads[1] - expected).abs() < 1e-6, "{loads:?} {expected}");
        }
    }

    /// Both leaves of a pair are turned the same way by their one rail, and opposite ways by their hangers.
    #[test]
    fn the_edges_of_a_pair_part_by_both_leans_and_not_by_the_rail() {
        let pair = |change: fn(&mut Parameters)| {
            let work = of(|p| {
                p.arrangement = crate::parameters::Arrangement::BiParting;
                change(p);
            });
            case(&work, HangCase::AsFiled).gap_m
        };
        assert_eq!(pair(|p| p.rail.slope = 0.005), 0.0);
        let leaning = pair(|p| p.leaf.hanger_height_difference_m = 0.0045);
        assert!((leaning - 2.0 * 2.2 * 0.0045 / 0.9).abs() < 1e-12, "{leaning}");
    }

    /// A frame that is out of plumb already is further out by the tolerance.
    #[test]
    fn a_tolerance_never_makes_the_frame_better() {
        let work = of(|p| p.guide.out_of_plumb = 0.002);
        let load = |it| case(&work, it).guide_load_n;
        assert!(load(HangCase::OutOfPlumb) > load(HangCase::AsFiled));
    }

    #[test]
    fn a_leaf_too_narrow_for_a_case_leaves_that_case_out() {
        let work = of(|p| {
            p.leaf.width_m = 0.2;
            p.leaf.hanger_spacing_m = Some(0.1);
        });
        assert!(work.cases.iter().all(|hung| hung.case != HangCase::HangersIn));
        assert!(work.cases.iter().any(|hung| hung.case == HangCase::HangersOut));
    }
}
