//! A drive worked out by hand for three doors, step by step with the formulas of a textbook, beside what the program says.
//!
//! Sources of the steps, each a closed form that anyone can redo: force to speed up F = M a + F_r (Newton); inertia seen from
//! the rotor J = m (r/N)^2 (energy, 1/2 m v^2 = 1/2 J w^2, v = r w/N); RMS torque sqrt(sum(T^2 t)/period), since copper loss goes
//! with the square of the current; rise (i_rms/i_N)^2 D_N, since in the steady state a loss and the rise over ambient are in
//! proportion (IEC 60034-1 gives the rated rise at 40 C).

use tautleaf_physics::parameters::{Arrangement, Parameters};
use tautleaf_physics::{CycleOptions, Door, Figure, Run, cycle};
use tautleaf_trials::choose::gait::Gait;
use tautleaf_trials::choose::textbook::{Estimate, Load, estimate};

const G: f64 = 9.80665;

/// A door in which nothing resists but what a sheet of paper can hold: rolling, a motor without friction, no seals, no creep.
fn on_paper(change: impl FnOnce(&mut Parameters)) -> Parameters {
    let mut p = Parameters::default();
    p.rollers.breakaway = 1.0;
    p.rollers.viscous_n_s_per_m = 0.0;
    p.seal.brush_n_per_m = 0.0;
    p.seal.end_stiffness_n_per_m = 0.0;
    p.pulleys.bearing_friction = 0.0;
    p.pulleys.drag_n = 0.0;
    p.motor.rotor_friction_n_m = 0.0;
    p.belt.specific_mass_kg_per_m2 = 1e-6;
    p.pulleys.return_inertia_kg_m2 = 2e-5; // 35 g at the rim
    p.pulleys.drive_inertia_kg_m2 = 0.0;
    p.controller.press_current_a = 0.0;
    for motion in [&mut p.opening, &mut p.closing] {
        (motion.creep_distance_m, motion.creep_speed_m_per_s) = (0.0, 0.005);
        motion.current_limit_a = 20.0;
    }
    change(&mut p);
    p
}

fn worked(p: Parameters) -> (Door, Estimate, Run) {
    let door = Door::try_from(p).unwrap();
    let (asked, run) = (estimate(&door), cycle(&door, &CycleOptions::default()));
    (door, asked, run)
}

fn near(what: &str, ours: f64, by_hand: f64, share: f64) {
    assert!((ours / by_hand - 1.0).abs() <= share, "{what}: {ours} instead of {by_hand}");
}

/// RMS current by hand: pieces of current and time, both ways, over the period.
fn rms(pieces: &[(f64, f64)], period_s: f64) -> f64 {
    (pieces.iter().map(|(current, time)| current * current * time).sum::<f64>() / period_s).sqrt()
}

/// One leaf of 100 kg, 1.2 m, on a worm of 15:1 and efficiency 0.7, pulley of 30 teeth of 5 mm.
#[test]
fn one_leaf_on_a_worm_as_on_paper() {
    let (door, asked, run) = worked(on_paper(|p| {
        p.leaf.mass_kg = 100.0;
        p.leaf.stroke_m = 1.2;
        p.rollers.resistance = 0.01;
        p.gear.ratio = 15.0;
        p.gear.efficiency = 0.7;
        p.motor.torque_constant_n_m_per_a = 0.05;
        p.motor.resistance_ohm = 0.4;
        p.motor.rotor_inertia_kg_m2 = 5e-5;
        p.motor.rated_current_a = 4.0;
        p.motor.rated_rise_k = 80.0;
        p.duty.cycles_per_hour = 120.0;
        p.opening.speed_m_per_s = 0.5;
        p.opening.acceleration_m_per_s2 = 0.5;
        p.opening.braking_m_per_s2 = 0.5;
        p.closing.speed_m_per_s = 0.3;
        p.closing.acceleration_m_per_s2 = 0.5;
        p.closing.braking_m_per_s2 = 0.5;
    }));
    // 1: radius r = z p/(2 pi) = 30 x 5/6.2832 = 23.873 mm
    let r: f64 = 0.150 / std::f64::consts::TAU;
    // 2: rolling 0.01 x 100 x 9.80665 = 9.807 N; speeding up 100 x 0.5 = 50 N
    let (rolling, ramp) = (0.01 * 100.0 * G, 100.0 * 0.5);
    // 3: the drive's own mass at the rim, N^2 J/r^2 = 225 x 5e-5/5.699e-4 = 19.74 kg, needs 9.87 N more, not through the gear
    let own = 225.0 * 5e-5 / (r * r);
    near("drive at the rim", Load::of(&door, true, 0.5).drive_kg, own, 1e-3);
    // 4: one ampere pulls N K/r = 15 x 0.05/0.023873 = 31.42 N at the rim, before the gear
    let per_ampere = 15.0 * 0.05 / r;
    // 5: currents: speed up (59.81/0.7 + 9.87)/31.42 = 3.034 A; travel 9.807/0.7/31.42 = 0.446 A; brake: the leaf gives back
    //    50 - 9.807 = 40.19 N, of which 2 - 1/0.7 = 0.571 reach the rotor, and the rotor gives 9.87 N: -1.045 A
    let up = ((ramp + rolling) / 0.7 + own * 0.5) / per_ampere;
    let along = rolling / 0.7 / per_ampere;
    let down = -((ramp - rolling) * (2.0 - 1.0 / 0.7) + own * 0.5) / per_ampere;
    near("speeding up", up, 3.034, 1e-3);
    near("travel", along, 0.446, 1e-3);
    near("braking", down, -1.045, 1e-3);
    near("peak current", asked.opening.peak_current_a(), up, 1e-3);
    // 6: times: opening 1 s, (1.2 - 0.5)/0.5 = 1.4 s, 1 s; closing 0.6 s, (1.2 - 0.18)/0.3 = 3.4 s, 0.6 s
    let pieces = [(up, 1.0), (along, 1.4), (down, 1.0), (up, 0.6), (along, 3.4), (down, 0.6)];
    // 7: RMS over 3600/120 = 30 s: sqrt((3.034^2 x 1.6 + 0.446^2 x 4.8 + 1.045^2 x 1.6)/30) = 0.763 A
    let by_hand = rms(&pieces, 30.0);
    near("RMS by hand", by_hand, 0.763, 2e-3);
    // braking on paper goes on to rest, the gait to its creep speed of 5 mm/s
    near("RMS current", asked.rms_current_a, by_hand, 2e-3);
    // 8: rise (0.763/4)^2 x 80 = 2.91 K
    near("rise", asked.winding_rise_k, (by_hand / 4.0_f64).powi(2) * 80.0, 4e-3);
    // 9: inertia seen from the rotor, m (r/N)^2 = 100 x (0.023873/15)^2 = 2.533e-4 kg m2, 5.066 times its own 5e-5
    near("inertia ratio", asked.inertia_ratio, 100.0 * (r / 15.0).powi(2) / 5e-5, 1e-3);
    near("inertia ratio by hand", asked.inertia_ratio, 5.066, 1e-3);
    // 10: voltage at the end of speeding up, R i + N K v/r = 0.4 x 3.034 + 31.42 x 0.5 = 16.92 V
    near("voltage", asked.opening.peak_voltage_v(), 0.4 * up + per_ampere * 0.5, 1e-3);

    // and a whole cycle, whose controller takes corners more softly
    near("RMS current of a cycle", run.figures.get(Figure::RmsCurrent).unwrap(), by_hand, 0.05);
    // 3.4 s less what the last 5 mm take, sqrt(2 x 0.005/0.5) = 0.141 s
    near("opening time of a cycle", run.figures.get(Figure::OpeningTime).unwrap(), 3.4 - 0.141, 0.01);
}

/// A lead-lined leaf of 300 kg on a planetary gear of 20:1 and efficiency 0.86, pressed closed with 1 A between its cycles.
#[test]
fn a_heavy_leaf_on_a_planetary_gear_as_on_paper() {
    let (door, asked, run) = worked(on_paper(|p| {
        p.leaf.mass_kg = 300.0;
        p.leaf.stroke_m = 1.5;
        p.rollers.resistance = 0.015;
        p.belt.tension_n = 600.0;
        p.gear.ratio = 20.0;
        p.gear.efficiency = 0.86;
        p.motor.torque_constant_n_m_per_a = 0.043;
        p.motor.resistance_ohm = 0.22;
        p.motor.rotor_inertia_kg_m2 = 3.4e-5;
        p.motor.rated_current_a = 8.5;
        p.motor.rated_rise_k = 100.0;
        p.controller.press_current_a = 1.0;
        p.duty.cycles_per_hour = 60.0;
        p.supply.voltage_v = 36.0;
        for motion in [&mut p.opening, &mut p.closing] {
            motion.speed_m_per_s = 0.5;
            motion.acceleration_m_per_s2 = 0.5;
            motion.braking_m_per_s2 = 0.5;
        }
    }));
    let r: f64 = 0.150 / std::f64::consts::TAU;
    // rolling 0.015 x 300 x 9.80665 = 44.13 N, ramp 150 N, own 400 x 3.4e-5/r^2 = 23.86 kg: 11.93 N; 36.02 N/A
    let (rolling, ramp, own) = (0.015 * 300.0 * G, 150.0, 400.0 * 3.4e-5 / (r * r));
    let per_ampere = 20.0 * 0.043 / r;
    // (194.13/0.86 + 11.93)/36.02 = 6.597 A; 44.13/0.86/36.02 = 1.4245 A; -(105.87 x 0.8372 + 11.93)/36.02 = -2.792 A
    let up = ((ramp + rolling) / 0.86 + own * 0.5) / per_ampere;
    let along = rolling / 0.86 / per_ampere;
    let down = -((ramp - rolling) * (2.0 - 1.0 / 0.86) + own * 0.5) / per_ampere;
    near("speeding up", up, 6.597, 1e-3);
    near("travel", along, 1.4245, 1e-3);
    near("braking", down, -2.792, 1e-3);
    // each way 1 s, (1.5 - 0.5)/0.5 = 2 s, 1 s: 4 s; held open 3 s; pressed 60 - 11 = 49 s at 1 A
    let pieces = [(up, 2.0), (along, 4.0), (down, 2.0), (1.0, 49.0)];
    let by_hand = rms(&pieces, 60.0);
    near("RMS by hand", by_hand, 1.632, 2e-3);
    // braking on paper goes on to rest, the gait to its creep speed of 5 mm/s
    near("RMS current", asked.rms_current_a, by_hand, 2e-3);
    near("rise", asked.winding_rise_k, (by_hand / 8.5_f64).powi(2) * 100.0, 4e-3);
    near("inertia ratio", asked.inertia_ratio, 300.0 * (r / 20.0).powi(2) / 3.4e-5, 1e-3);
    near("turns a minute", asked.turns_per_min, 20.0 * 0.5 / r * 60.0 / std::f64::consts::TAU, 1e-6);
    // tension that keeps the slack strand from going slack: F y/L, L = 2 x 2.9 m, y = 0.3 m from the drive with the door
    // closed, so that the strand that gives way takes up to (5.8 - 0.3)/5.8 of the pull
    let whole = 2.0 * 2.9;
    let pull = tautleaf_physics::workbench::at_full_pull(&door);
    near("slack below", pull.slack_below_n, pull.pull_n * (whole - 0.3) / whole, 1e-3);
    near("RMS current of a cycle", run.figures.get(Figure::RmsCurrent).unwrap(), by_hand, 0.05);
}

/// Two leaves of 70 kg that part in the middle, on a direct drive: one ampere pulls K/r, and both are moved.
#[test]
fn a_pair_on_a_direct_drive_as_on_paper() {
    let (_, asked, run) = worked(on_paper(|p| {
        p.arrangement = Arrangement::BiParting;
        p.leaf.mass_kg = 70.0;
        p.leaf.stroke_m = 0.9;
        p.rollers.resistance = 0.01;
        p.gear.ratio = 1.0;
        p.gear.efficiency = 0.97;
        p.motor.torque_constant_n_m_per_a = 0.9;
        p.motor.resistance_ohm = 1.1;
        p.motor.rotor_inertia_kg_m2 = 2e-2;
        p.motor.rated_current_a = 5.0;
        p.supply.voltage_v = 48.0;
        p.controller.counts_per_turn = 100_000.0;
        p.duty.cycles_per_hour = 200.0;
        p.controller.hold_open_s = 2.0;
        for motion in [&mut p.opening, &mut p.closing] {
            motion.speed_m_per_s = 0.4;
            motion.acceleration_m_per_s2 = 0.4;
            motion.braking_m_per_s2 = 0.4;
        }
    }));
    let r: f64 = 0.150 / std::f64::consts::TAU;
    // both leaves: rolling 2 x 0.01 x 70 x 9.80665 = 13.73 N, ramp 140 x 0.4 = 56 N, own 0.02/r^2 = 35.09 kg: 14.04 N; 37.70 N/A
    let (rolling, ramp, own) = (0.01 * 140.0 * G, 56.0, 2e-2 / (r * r));
    let per_ampere = 0.9 / r;
    let up = ((ramp + rolling) / 0.97 + own * 0.4) / per_ampere;
    let along = rolling / 0.97 / per_ampere;
    let down = -((ramp - rolling) * (2.0 - 1.0 / 0.97) + own * 0.4) / per_ampere;
    near("speeding up", up, 2.279, 1e-3);
    near("travel", along, 0.3755, 1e-3);
    near("braking", down, -1.459, 1e-3);
    // each way 1 s, (0.9 - 0.4)/0.4 = 1.25 s, 1 s; period 18 s
    let by_hand = rms(&[(up, 2.0), (along, 2.5), (down, 2.0)], 18.0);
    near("RMS by hand", by_hand, 0.913, 2e-3);
    // braking on paper goes on to rest, the gait to its creep speed of 5 mm/s
    near("RMS current", asked.rms_current_a, by_hand, 2e-3);
    near("rise", asked.winding_rise_k, (by_hand / 5.0_f64).powi(2) * 80.0, 4e-3);
    near("inertia ratio", asked.inertia_ratio, 140.0 * r * r / 2e-2, 1e-3);
    // less the last 2.5 mm of each leaf, sqrt(2 x 0.0025/0.4) = 0.112 s
    near("opening time", run.figures.get(Figure::OpeningTime).unwrap(), 3.25 - 0.112, 0.02);
    near("RMS current of a cycle", run.figures.get(Figure::RmsCurrent).unwrap(), by_hand, 0.05);
}

/// For a way and a time, thirds take the least RMS force: 3.674 m d/t^2 (sqrt(13.5) = 3.674; derived), and every other
/// share of the time takes more.
#[test]
fn thirds_take_the_least_rms_current_without_friction() {
    let current = |share: f64| {
        let (way, time) = (1.2, 3.0);
        let speed = way / (time * (1.0 - share));
        let gait = Gait {
            speed_m_per_s: speed,
            acceleration_m_per_s2: speed / (share * time),
            braking_m_per_s2: speed / (share * time),
            creep_speed_m_per_s: 1e-6,
            creep_distance_m: 0.0,
            jerk_m_per_s3: None,
        };
        let square: f64 =
            gait.stages(way).iter().map(|stage| stage.acceleration_m_per_s2.powi(2) * stage.for_s).sum();
        (square / time).sqrt() / (way / (time * time))
    };
    near("thirds", current(1.0 / 3.0), 13.5_f64.sqrt(), 1e-4);
    for share in [0.1, 0.2, 0.3, 0.37, 0.45] {
        assert!(current(share) > current(1.0 / 3.0) + 1e-4, "{share}: {}", current(share));
    }
}
