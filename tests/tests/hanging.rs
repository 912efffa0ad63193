//! Hanger loads and uneven rails, through whole runs.

use tautleaf_physics::parameters::{Fault, FaultKind};
use tautleaf_physics::{
    CycleOptions, Door, EventKind, Figure, Parameters, Plan, Run, Sample, Start, State, cycle,
};

/// Acceleration of leaf 1 at a sample from its neighbours, m/s2.
fn acceleration(samples: &[Sample], n: usize) -> f64 {
    let (before, after) = (&samples[n - 1], &samples[n + 1]);
    (after.leaf_speed_m_per_s[0] - before.leaf_speed_m_per_s[0]) / (after.t_s - before.t_s)
}

/// Moments about the rail (derived): s_h dN = F z_c + m a z_g + brush H z_g + viscous x 0, opening, no guide load. Taken from
/// the tensions and the speeds of a run, the loads that the run itself gives agree wherever the motion is smooth.
#[test]
fn the_loads_of_a_run_balance_its_own_tensions_and_accelerations() {
    let mut p = Parameters::default();
    p.leaf.mass_kg = 100.0;
    p.leaf.hanger_spacing_m = Some(0.8);
    let door = Door::try_from(p).unwrap();
    let run = cycle(&door, &CycleOptions::default());
    let p = door.parameters();
    let (z_g, spacing) = (1.1, 0.8);
    let brush = p.seal.brush_n_per_m * p.leaf.height_m;
    let mut looked_at = 0;
    for n in 1..run.samples.len() - 1 {
        let sample = &run.samples[n];
        let moving = sample.leaf_speed_m_per_s[0] > 0.05 && sample.leaf_position_m[0] > 0.01;
        if sample.state != State::Opening || !moving {
            continue;
        }
        let pull = sample.tension_n[1] - sample.tension_n[0];
        let a = acceleration(&run.samples, n);
        let expected = (pull * 0.05 + 100.0 * a * z_g + brush * z_g) / spacing;
        let [leading, trailing] = sample.hanger_load_n[0];
        let shift = (trailing - leading) / 2.0;
        // a from differences over two ticks: 3 N are 0.02 m/s2
        assert!((shift - expected).abs() < 3.0, "at {} s: {shift} instead of {expected}", sample.t_s);
        assert!((leading + trailing - 100.0 * 9.806_65).abs() < 1e-6);
        looked_at += 1;
    }
    assert!(looked_at > 500, "{looked_at}");
}

fn with_fault(kind: FaultKind, height_m: f64, at_m: f64, length_m: f64) -> Door {
    let mut p = Parameters::default();
    p.faults.push(Fault { name: "fault".to_owned(), kind, height_m, at_m, length_m, ..Fault::default() });
    Door::try_from(p).unwrap()
}

fn opened(door: &Door) -> Run {
    cycle(door, &CycleOptions { plan: Plan::Open, ..CycleOptions::default() })
}

/// A step of h under one wheel lifts half the leaf by h: the work of the rail over an opening is -m g h/2, but for the load
/// that shifts while the wheel climbs (a low step, so that it is a few percent).
#[test]
fn climbing_a_joint_takes_the_weight_times_its_height() {
    let run = opened(&with_fault(FaultKind::Step, 2e-5, 0.5, 1.0));
    // the leading wheel goes from 0.1 to 1.1 m and climbs, the trailing one from 1.0 to 2.0 m is beyond it
    let expected = -40.0 * 9.806_65 * 2e-5;
    assert!(run.finished);
    assert!((run.energy.rail_j / expected - 1.0).abs() < 0.1, "{} J", run.energy.rail_j);
    assert!(run.energy.relative_residual() < 1e-3);
}

/// A wheel that rolls through a sag gets back what it gave; one that ends at its bottom keeps N h (closed form).
#[test]
fn a_sag_gives_back_what_it_takes() {
    let half_weight = 40.0 * 9.806_65;
    // leading wheel 0.1 to 1.1 m, trailing wheel 1.0 to 2.0 m
    let through = opened(&with_fault(FaultKind::Sag, 0.004, 0.3, 0.5));
    assert!(through.energy.rail_j.abs() < 0.05 * half_weight * 0.004, "{} J", through.energy.rail_j);
    let at_the_bottom = opened(&with_fault(FaultKind::Sag, 0.002, 1.02, 0.16));
    let kept = at_the_bottom.energy.rail_j / (half_weight * 0.002);
    assert!((kept - 1.0).abs() < 0.15, "{kept}");
}

/// A leaf parked with its wheels on the flanks of a sag rolls into it where the slope is beyond what friction holds, and
/// stays where it is not: tan = c_rr beta (closed form, drive parted by an open winding and no gear loss).
#[test]
fn a_leaf_rolls_into_a_sag_that_is_steeper_than_its_friction() {
    let parked = |height_m: f64| {
        let mut p = Parameters::default();
        // one wheel on the steepest place of the sag, the other on the level
        p.faults.push(Fault { kind: FaultKind::Sag, height_m, length_m: 0.4, at_m: 0.5, ..Fault::default() });
        p.seal.brush_n_per_m = 0.0;
        p.pulleys.drag_n = 0.0;
        p.pulleys.bearing_friction = 0.0;
        p.motor.rotor_friction_n_m = 0.0;
        p.gear.efficiency = 1.0;
        let door = Door::try_from(p).unwrap();
        let start = Start::At { opening_m: 0.5, speed_m_per_s: 0.0 };
        let options = CycleOptions { plan: Plan::Off { for_s: 5.0 }, start, ..CycleOptions::default() };
        let run = cycle(&door, &options);
        run.samples.last().unwrap().leaf_position_m[0] - 0.5
    };
    // leading wheel at 0.5 + 0.55 - 0.45 = 0.6: a quarter of the sag, slope pi h/0.4, half the weight on it;
    // friction holds c_rr beta m g = 0.013 m g: the border is h = 2 x 0.013 x 0.4/pi = 3.31 mm
    assert_eq!(parked(0.0032), 0.0);
    assert!(parked(0.0034) > 0.01, "{}", parked(0.0034));
}

/// A wheel lifts when the shift exceeds its static load: 60 kg, s_h 0.3, z_g 1.3 m lifts at a = g s_h/(2 z_g) = 1.13 m/s2 and
/// not at 0.9 (derived; belt at rail height, no brush, so that nothing else shifts load).
#[test]
fn a_wheel_lifts_where_the_moment_says() {
    let lifts = |acceleration: f64| {
        let mut p = Parameters::default();
        (p.leaf.mass_kg, p.leaf.height_m, p.leaf.hanger_spacing_m) = (60.0, 2.6, Some(0.3));
        p.leaf.belt_height_m = 0.0;
        p.seal.brush_n_per_m = 0.0;
        p.seal.end_stiffness_n_per_m = 0.0;
        p.controller.jerk_m_per_s3 = Some(4.0);
        p.opening.acceleration_m_per_s2 = acceleration;
        p.opening.current_limit_a = 20.0;
        let door = Door::try_from(p).unwrap();
        let run = cycle(&door, &CycleOptions { plan: Plan::Open, ..CycleOptions::default() });
        let peak = (1..run.samples.len() - 1)
            .filter(|&n| run.samples[n].t_s < 0.8)
            .map(|n| acceleration_of(&run, n))
            .fold(0.0, f64::max);
        let early = run
            .events
            .iter()
            .any(|event| matches!(event.kind, EventKind::WheelLifts { .. }) && event.at.t_s < 0.8);
        (early, peak, run.figures.get(Figure::LiftTime))
    };
    let border = 9.806_65 * 0.3 / (2.0 * 1.3);
    for wanted in [0.7, 1.6] {
        let (lifted, peak, time) = lifts(wanted);
        assert_eq!(lifted, peak > border, "peak {peak} m/s2, border {border}, lifted for {time:?} s");
    }
    assert!(!lifts(0.7).0 && lifts(1.6).0);
}

fn acceleration_of(run: &Run, n: usize) -> f64 {
    acceleration(&run.samples, n)
}

/// By hand the leaf has to be pushed up the steepest place of a joint: sqrt(2 R h - h^2)/(R - h) of the wheel's load (closed
/// form), however short it is. 80 kg, half on the wheel, h 0.1 mm, R 15 mm: 392.3 N x 0.1160 = 45.5 N. A brush that drags
/// 8 N/m x 2.2 m at the depth z_g takes F z_g/s_h from the leading wheel on the way open (moments about the rail).
#[test]
fn a_low_joint_is_felt_by_the_hand_in_full() {
    let hand = |brush_n_per_m: f64, rail: &Door| {
        let mut p = rail.given().clone();
        (p.seal.brush_n_per_m, p.guide.friction) = (brush_n_per_m, 0.0);
        let door = Door::try_from(p).unwrap();
        let force = cycle(&door, &CycleOptions::default()).figures.get(Figure::ManualForce).unwrap();
        (force, door)
    };
    let (radius, height) = (0.015_f64, 1e-4);
    let steep = (2.0 * radius * height - height * height).sqrt() / (radius - height);
    let joint = with_fault(FaultKind::Step, height, 0.5, 1.0);
    let straight = Door::try_from(Parameters::default()).unwrap();
    for brush_n_per_m in [0.0, 8.0] {
        let ((step, door), (even, _)) = (hand(brush_n_per_m, &joint), hand(brush_n_per_m, &straight));
        let p = &door.parameters().leaf;
        let (depth, spacing) = (p.gravity_depth_m.unwrap(), p.hanger_spacing_m.unwrap());
        let expected = (40.0 * 9.806_65 - brush_n_per_m * p.height_m * depth / spacing) * steep;
        assert!((step - even - expected).abs() < 1e-3, "{} instead of {expected}", step - even);
    }
}
