//! Leaves that meet a stop or an obstacle, against the closed forms of a mass on a spring and a damper.

use tautleaf_physics::parameters::{Obstacle, ObstructionAction};
use tautleaf_physics::{CycleOptions, Door, EventKind, Moment, Parameters, Plan, Run, Start, cycle};
use tautleaf_tests::{lossless_door, shipped_scenarios};

const SPEED: f64 = 0.3;

/// A leaf without losses, on a belt that gives way like a thread: what brakes it is what it meets.
fn free_leaf() -> Parameters {
    let mut p = lossless_door();
    p.belt.specific_stiffness_n_per_m = 1.0;
    p.stoppers.stiffness_n_per_m = 200e3;
    p.stoppers.damping_n_s_per_m = 6000.0;
    p
}

fn coast(p: &Parameters, opening_m: f64, speed_m_per_s: f64, for_s: f64, refine: u32) -> (Door, Run) {
    let door = Door::try_from(p.clone()).unwrap();
    let options = CycleOptions {
        plan: Plan::Off { for_s },
        start: Start::At { opening_m, speed_m_per_s },
        refine,
        ..CycleOptions::default()
    };
    let run = cycle(&door, &options);
    (door, run)
}

/// Mass of the leaf with its belt, damping rate c/(2 m) and swing sqrt(k/m - (c/2m)^2) on the stop.
fn on_the_stop(door: &Door) -> (f64, f64, f64) {
    let (ring, stoppers) = (door.ring(), door.parameters().stoppers);
    let mass = ring.masses_kg[ring.leaves[0].body];
    let decay = stoppers.damping_n_s_per_m / (2.0 * mass);
    (mass, decay, (stoppers.stiffness_n_per_m / mass - decay * decay).sqrt())
}

/// Starts that meet a stop 50 mm on at different parts of a tick.
fn places_of_contact() -> impl Iterator<Item = f64> {
    (0..7).map(|n| 0.05 + 3.7e-5 * f64::from(n))
}

/// The force at the instant of entry is c v: a = -c v/m. From then on v = v0 e^(-d t) (cos w t - d/w sin w t) (closed form);
/// the load of a hanger is moved by m a z_g/s_h.
#[test]
fn a_stop_brakes_with_its_damper_from_the_instant_of_entry() {
    let p = free_leaf();
    let stop = p.leaf.stroke_m + p.stoppers.behind_open_m;
    for way in places_of_contact() {
        let (door, run) = coast(&p, stop - way, SPEED, 0.3, 1);
        let (mass, d, w) = on_the_stop(&door);
        let met = way / SPEED;
        let speed = |t: f64| SPEED * (-d * t).exp() * ((w * t).cos() - d / w * (w * t).sin());
        let place = |t: f64| SPEED / w * (-d * t).exp() * (w * t).sin();
        let leaf = &door.parameters().leaf;
        let (depth, spacing) = (leaf.gravity_depth_m.unwrap(), leaf.hanger_spacing_m.unwrap());
        let still = run.samples[0].hanger_load_n[0][1];
        // until the leaf stands, v = 0 at tan(w t) = w/d, the stop pushes
        for sample in
            run.samples.iter().filter(|sample| (met..met + (w / d).atan() / w).contains(&sample.t_s))
        {
            let t = sample.t_s - met;
            let lost = SPEED - sample.leaf_speed_m_per_s[0];
            assert!((lost / (SPEED - speed(t)) - 1.0).abs() < 1e-3, "{lost} m/s at {t} s");
            let push = p.stoppers.stiffness_n_per_m * place(t) + p.stoppers.damping_n_s_per_m * speed(t);
            let moved = leaf.mass_kg * push / mass * depth / spacing;
            let found = still - sample.hanger_load_n[0][1];
            assert!((found / moved - 1.0).abs() < 2e-3, "{found} instead of {moved} N at {t} s");
        }
    }
}

/// What the damper takes is what the leaf has lost when it comes off the stop, which is where the stop no longer pushes:
/// tan(w t) = -2 d w/(w^2 - d^2) (closed form).
#[test]
fn what_a_stop_takes_from_a_leaf_is_what_its_damper_loses() {
    let p = free_leaf();
    let stop = p.leaf.stroke_m + p.stoppers.behind_open_m;
    for way in places_of_contact() {
        let (door, run) = coast(&p, stop - way, SPEED, 0.3, 1);
        let (mass, d, w) = on_the_stop(&door);
        let off = (-2.0 * d * w).atan2(w * w - d * d).rem_euclid(std::f64::consts::PI) / w;
        let back = SPEED * (-d * off).exp() * ((w * off).cos() - d / w * (w * off).sin());
        let spring = p.stoppers.stiffness_n_per_m * (SPEED / w * (-d * off).exp() * (w * off).sin()).powi(2);
        let should = 0.5 * mass * (SPEED * SPEED - back * back);
        let found = run.energy.stoppers_j;
        assert!(spring > 0.0 && back < -0.01 * SPEED, "{back} m/s: it does not come off");
        assert!((found / should - 1.0).abs() < 2e-4, "{found} instead of {should} J");
        assert!((run.samples.last().unwrap().leaf_speed_m_per_s[0] / back - 1.0).abs() < 1e-3);
        assert!(run.energy.relative_residual() < 1e-6, "{}", run.energy.relative_residual());
    }
}

fn told<T>(run: &Run, what: impl Fn(&EventKind) -> Option<T>) -> (Moment, T) {
    run.events.iter().find_map(|event| Some((event.at, what(&event.kind)?))).unwrap()
}

/// A leaf that coasts without losses meets what is in its way at the speed that it has: after way/v, at v.
#[test]
fn the_speed_at_a_stop_is_that_of_the_contact() {
    let p = free_leaf();
    let stop = p.leaf.stroke_m + p.stoppers.behind_open_m;
    for way in places_of_contact() {
        let (_, run) = coast(&p, stop - way, SPEED, 0.3, 1);
        let (at, speed) = told(&run, |kind| match kind {
            EventKind::StopHit { speed_m_per_s, .. } => Some(*speed_m_per_s),
            _ => None,
        });
        assert!((speed - SPEED).abs() < 1e-6, "{speed} m/s");
        assert!((at.t_s - way / SPEED).abs() < 1e-7, "{} instead of {} s", at.t_s, way / SPEED);
        assert!((at.clear_opening_m - stop).abs() < 1e-7, "{} m", at.clear_opening_m);
    }
}

#[test]
fn the_speed_on_touching_an_obstacle_is_that_of_the_contact() {
    let mut p = free_leaf();
    p.edge.stiffness_n_per_m = 1e6;
    let gap_m = 0.4;
    p.obstacle = Some(Obstacle { gap_m, stiffness_n_per_m: 1e6, ..Obstacle::default() });
    for way in places_of_contact() {
        let (_, run) = coast(&p, gap_m + way, -SPEED, 0.3, 1);
        let (at, speed) = told(&run, |kind| match kind {
            EventKind::Touched { closing_speed_m_per_s } => Some(*closing_speed_m_per_s),
            _ => None,
        });
        assert!((speed - SPEED).abs() < 1e-6, "{speed} m/s");
        assert!((at.t_s - way / SPEED).abs() < 1e-7, "{} instead of {} s", at.t_s, way / SPEED);
        assert!((at.clear_opening_m - gap_m).abs() < 1e-7, "{} m", at.clear_opening_m);
    }
}

/// Halving the steps changes no hanger load of a door that meets a stop by more than 0.03 % of the greatest: what is left is
/// a count of the encoder that falls on another tick, not the stop.
#[test]
fn half_the_step_leaves_the_hanger_loads_of_a_leaf_that_meets_a_stop() {
    let meets_a_stop = ["emergency-cord", "power-lost"];
    for (name, scenario) in shipped_scenarios() {
        if !meets_a_stop.contains(&name.as_str()) {
            continue;
        }
        let door = Door::try_from(scenario.parameters.clone()).unwrap();
        let [once, twice] =
            [1, 2].map(|refine| cycle(&door, &CycleOptions { refine, ..CycleOptions::default() }));
        assert!(once.events.iter().any(|event| matches!(event.kind, EventKind::StopHit { .. })), "{name}");
        let (mut most, mut apart) = (0.0_f64, 0.0_f64);
        for (a, b) in once.samples.iter().zip(&twice.samples) {
            for (a, b) in a.hanger_load_n.iter().flatten().zip(b.hanger_load_n.iter().flatten()) {
                (most, apart) = (most.max(a.abs()), apart.max((a - b).abs()));
            }
        }
        println!("{name}: {apart} of {most} N");
        assert!(apart < 3e-4 * most, "{name}: {apart} of {most} N");
    }
}

/// Half a swing on the springs of edge and obstacle in series: the greatest force is v sqrt(k m) (closed form), also where it
/// falls within a tick of 10 ms, at neither of its ends.
#[test]
fn the_contact_force_of_a_sample_is_the_greatest_within_its_tick() {
    let mut p = free_leaf();
    p.controller.tick_s = 0.010;
    (p.edge.stiffness_n_per_m, p.edge.damping_n_s_per_m) = (200e3, 0.0);
    p.obstacle = Some(Obstacle { gap_m: 0.4, stiffness_n_per_m: 200e3, ..Obstacle::default() });
    for way in places_of_contact() {
        let (door, run) = coast(&p, 0.4 + way, -SPEED, 0.3, 1);
        let (mass, _, _) = on_the_stop(&door);
        let should = SPEED * (100e3 * mass).sqrt();
        let found = run.samples.iter().map(|sample| sample.contact_force_n).fold(0.0, f64::max);
        assert!((found / should - 1.0).abs() < 1e-3, "{found} instead of {should} N");
    }
}

/// A door that stopped against an obstacle and stands pushes on with the force that friction holds, whether the time in which it
/// stands is passed over or run tick by tick.
#[test]
fn a_door_that_stands_against_an_obstacle_still_shows_its_force() {
    let mut p = Parameters::default();
    p.gear.efficiency = 0.45; // locks: what it pressed with stays in the belt
    p.obstruction.action = ObstructionAction::Stop;
    p.timeline.open_again_s = Some(12.0);
    p.obstacle = Some(Obstacle { gap_m: 0.4, stays_s: 100.0, ..Obstacle::default() });
    let door = Door::try_from(p).unwrap();
    let [passed, ticked] = [true, false]
        .map(|skip_standing| cycle(&door, &CycleOptions { skip_standing, ..CycleOptions::default() }));
    let before = |run: &Run| {
        let again = run.samples.partition_point(|sample| sample.t_s < 11.9995);
        run.samples[again].contact_force_n
    };
    let (found, should) = (before(&passed), before(&ticked));
    assert!(passed.samples.len() + 1000 < ticked.samples.len(), "it does not stand");
    assert!(should > 10.0, "{should} N: it does not push");
    assert!((found - should).abs() < 1e-6 * should, "{found} instead of {should} N");
}
