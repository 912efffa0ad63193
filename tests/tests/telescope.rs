//! Telescopic doors and parted rotors, through whole runs.

use tautleaf_physics::parameters::{Obstacle, Telescope};
use tautleaf_physics::{CycleOptions, Door, EventKind, Figure, Parameters, Plan, Start, cycle};
use tautleaf_tests::{lossless_door, lossless_leaf};

fn telescopic(mut p: Parameters, slow_kg: f64) -> Parameters {
    p.telescope = Some(Telescope { mass_kg: Some(slow_kg), tension_n: 400.0, ..Telescope::default() });
    p
}

/// A slow leaf at half the speed counts with a quarter of its mass: a hard obstacle is met with v sqrt(k (m_f + m_s/4))
/// (derived), here 60 and 80 kg at 0.2 m/s on 500 N/mm: 1265 N. The first belt is soft and light, the second one stiff, so
/// that the slow leaf takes part and nothing else does.
#[test]
fn a_slow_leaf_hits_with_a_quarter_of_its_mass() {
    let mut p = telescopic(lossless_leaf(), 80.0);
    p.leaf.mass_kg = 60.0;
    p.edge.stiffness_n_per_m = 1e12;
    p.edge.damping_n_s_per_m = 0.0;
    // soft enough for the first belt, wide enough for the second one
    p.belt.specific_stiffness_n_per_m = 2e6;
    p.telescope = p.telescope.map(|telescope| Telescope {
        belt_width_m: 0.5,
        belt_length_m: Some(0.05),
        tension_n: 4000.0,
        ..telescope
    });
    p.obstacle =
        Some(Obstacle { gap_m: 0.5, stiffness_n_per_m: 5e5, mass_kg: None, depth_m: 0.0, stays_s: 10.0 });
    let door = Door::try_from(p).unwrap();
    let start = Start::At { opening_m: 0.52, speed_m_per_s: -0.2 };
    let options = CycleOptions { plan: Plan::Off { for_s: 0.2 }, start, ..CycleOptions::default() };
    let run = cycle(&door, &options);
    let greatest = run.samples.iter().map(|sample| sample.contact_force_n).fold(0.0, f64::max);
    let expected = 0.2 * (5e5_f64 * (60.0 + 80.0 / 4.0)).sqrt();
    assert!((greatest / expected - 1.0).abs() < 0.01, "{greatest} N instead of {expected} N");
}

/// The slow leaf keeps half the way of the fast one, but for what the second belt stretches: 2 x_slow - x_fast is at most T/k.
#[test]
fn the_slow_leaf_goes_half_the_way() {
    let door = Door::try_from(telescopic(Parameters::default(), 70.0)).unwrap();
    let run = cycle(&door, &CycleOptions::default());
    assert!(run.finished);
    let ring = door.ring();
    let k = ring.second_ea_n / ring.spans[3].closed_length_m;
    for sample in &run.samples {
        let apart = 2.0 * sample.leaf_position_m[1] - sample.leaf_position_m[0];
        // e = (T_A - T_B)/(2 k) at rest; damping adds what tau de/dt is
        assert!(apart.abs() < 400.0 / k + 1e-4, "{apart} m at {} s", sample.t_s);
    }
    assert_eq!(run.samples.last().unwrap().clear_opening_m, run.samples.last().unwrap().leaf_position_m[0]);
    assert!(run.energy.relative_residual() < 1e-3);
}

/// Nothing lost, nothing driven: four leaves on a level rail coast at the speed at which they started, and the energy stays.
#[test]
fn four_leaves_coast_without_loss() {
    let mut p = telescopic(lossless_door(), 50.0);
    p.arrangement = tautleaf_physics::parameters::Arrangement::BiParting;
    p.belt.damping_time_s = 0.0;
    let door = Door::try_from(p).unwrap();
    let start = Start::At { opening_m: 0.2, speed_m_per_s: 0.3 };
    let options = CycleOptions { plan: Plan::Off { for_s: 2.0 }, start, ..CycleOptions::default() };
    let run = cycle(&door, &options);
    let last = run.samples.last().unwrap();
    for (leaf, ratio) in [(0, 1.0), (1, 1.0), (2, 0.5), (3, 0.5)] {
        assert!((last.leaf_speed_m_per_s[leaf] - 0.3 * ratio).abs() < 1e-9, "{:?}", last.leaf_speed_m_per_s);
    }
    let expected = 0.5 * door.ring().moving_kg() * 0.09;
    assert!((last.energy_coupled_j - expected).abs() < 1e-9);
}

/// A mesh as stiff as steel and without play is a rigid one, but for the gear loss, which it takes on bearing drag and pulley inertia too:
/// the same times within a thousandth.
#[test]
fn a_stiff_mesh_without_play_is_rigid() {
    let rigid = Door::try_from(Parameters::default()).unwrap();
    let mut p = Parameters::default();
    p.gear.mesh_stiffness_n_per_m = Some(100e6);
    let parted = Door::try_from(p).unwrap();
    let (a, b) = (cycle(&rigid, &CycleOptions::default()), cycle(&parted, &CycleOptions::default()));
    assert!(b.finished);
    for figure in [Figure::OpeningTime, Figure::ClosingTime] {
        let (a, b) = (a.figures.get(figure).unwrap(), b.figures.get(figure).unwrap());
        assert!((a / b - 1.0).abs() < 1e-3, "{figure:?}: {a} s and {b} s");
    }
    let (a, b) = (a.figures.get(Figure::PeakEnergyCoupled), b.figures.get(Figure::PeakEnergyCoupled));
    assert!((a.unwrap() / b.unwrap() - 1.0).abs() < 2e-3, "{a:?} and {b:?}");
}

/// More play, a harder knock; none, none. The rotor is accelerated across the play, so the speed grows with its root and less
/// than in proportion.
#[test]
fn more_play_knocks_harder() {
    let knock = |backlash_m: f64| {
        let mut p = Parameters::default();
        p.gear.mesh_stiffness_n_per_m = Some(2e6);
        p.gear.backlash_m = backlash_m;
        let run = cycle(&Door::try_from(p).unwrap(), &CycleOptions::default());
        assert!(run.energy.relative_residual() < 1e-3, "{:?}", run.energy);
        let knocks =
            run.events.iter().filter(|event| matches!(event.kind, EventKind::GearKnocks { .. })).count();
        (knocks > 0, run.figures.get(Figure::GearKnock).unwrap())
    };
    let [none, some, more] = [knock(0.0), knock(0.0004), knock(0.0016)];
    assert_eq!(none, (false, 0.0));
    assert!(some.0 && more.0);
    assert!(more.1 > 1.2 * some.1 && more.1 < 4.0 * some.1, "{some:?} {more:?}");
}
