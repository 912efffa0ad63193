//! Laws that hold for every door: mirrored, scaled, made rigid, made worse.

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use tautleaf_physics::parameters::{Arrangement, LeafForce, Obstacle};
use tautleaf_physics::{CycleOptions, Door, Figure, Parameters, Plan, Run, Start, cycle};
use tautleaf_tests::{coherent_door, lossless_door, lossless_leaf};

fn door(p: Parameters) -> Door {
    Door::try_from(p).unwrap()
}

fn run_from(p: Parameters, plan: Plan, start: Start) -> Run {
    cycle(&door(p), &CycleOptions { plan, start, skip_standing: false, ..CycleOptions::default() })
}

/// A door without ends that differ: same settings both ways, no end seal, the clamp as far from its pulley when open as
/// when closed, and an encoder so fine that rounding down tells nothing.
fn even_door(arrangement: Arrangement) -> Parameters {
    let mut p = Parameters { arrangement, ..Parameters::default() };
    p.closing = p.opening;
    p.seal.end_stiffness_n_per_m = 0.0;
    p.belt.centre_distance_m = Some(2.0 * p.belt.clamp_m + p.leaf.stroke_m);
    p.controller.counts_per_turn = 1e7;
    p
}

/// Seen from behind, a door that opens away from its drive and closes is one that opens towards it: every span is as
/// long, every body as heavy, every setting the same (derived: q turns its sign, spans their order).
#[test]
fn a_mirrored_door_moves_the_same() {
    let (away, towards) = (even_door(Arrangement::Away), even_door(Arrangement::Towards));
    let stroke = away.leaf.stroke_m;
    let opened = run_from(towards, Plan::Open, Start::Closed);
    let closed = run_from(away, Plan::Close, Start::At { opening_m: stroke, speed_m_per_s: 0.0 });
    for (a, b) in opened.samples.iter().zip(&closed.samples).take(2500) {
        let apart = a.leaf_position_m[0] - (stroke - b.leaf_position_m[0]);
        assert!(apart.abs() < 1e-6, "{apart} m at {} s", a.t_s);
        // ahead of the drive on one side is behind it on the other
        for (span, mirrored) in [(0, 2), (1, 1), (2, 0)] {
            let apart = a.tension_n[span] - b.tension_n[mirrored];
            assert!(apart.abs() < 0.01, "span {span}: {apart} N at {} s", a.t_s);
        }
    }
}

/// Of a pair the mirror swaps the strands as well: leaf 1 closing is leaf 2 opening.
#[test]
fn swapped_strands_of_a_pair_move_the_same() {
    let pair = |first: f64, second: f64| {
        let mut p = even_door(Arrangement::BiParting);
        (p.leaf.mass_kg, p.leaf.second_mass_kg) = (first, Some(second));
        p.controller.proportional_gain_a_s_per_m = Some(100.0);
        p
    };
    let stroke = pair(60.0, 90.0).leaf.stroke_m;
    let opened = run_from(pair(60.0, 90.0), Plan::Open, Start::Closed);
    let closed = run_from(pair(90.0, 60.0), Plan::Close, Start::At { opening_m: stroke, speed_m_per_s: 0.0 });
    for (a, b) in opened.samples.iter().zip(&closed.samples).take(2500) {
        for leaf in 0..2 {
            let apart = a.leaf_position_m[leaf] - (stroke - b.leaf_position_m[1 - leaf]);
            assert!(apart.abs() < 1e-6, "leaf {leaf}: {apart} m at {} s", a.t_s);
        }
    }
}

/// Masses, stiffnesses, dampings and forces s-fold, voltage, torque constant and currents root-s-fold: every place and
/// time stays, every force is s-fold (derived: each equation is divided by s).
#[test]
fn a_door_with_all_masses_and_forces_scaled_moves_the_same() {
    let s = 2.5_f64;
    let mut p = Parameters::default();
    p.rail.slope = 0.002;
    p.obstacle = Some(Obstacle { gap_m: 0.3, stays_s: 1.0, ..Obstacle::default() });
    let mut big = p.clone();
    for (key, power) in SCALED {
        let field = tautleaf_physics::field(key).unwrap();
        if let Some(value) = (field.get)(&p) {
            (field.set)(&mut big, Some(value * s.powf(power)));
        }
    }
    if let Some(obstacle) = &mut big.obstacle {
        obstacle.stiffness_n_per_m *= s;
    }
    let (small, big) =
        (cycle(&door(p), &CycleOptions::default()), cycle(&door(big), &CycleOptions::default()));
    assert_eq!(small.samples.len(), big.samples.len());
    for (a, b) in small.samples.iter().zip(&big.samples) {
        assert!((a.clear_opening_m - b.clear_opening_m).abs() < 1e-6, "at {} s", a.t_s);
        for span in 0..3 {
            let apart = b.tension_n[span] - s * a.tension_n[span];
            assert!(apart.abs() < 0.02 * s, "span {span}: {apart} N at {} s", a.t_s);
        }
    }
    assert!(small.events.iter().any(|event| event.kind == tautleaf_physics::EventKind::Reversed));
}

/// What is scaled, and with which power of s.
const SCALED: [(&str, f64); 24] = [
    ("leaf.mass", 1.0),
    ("edge.stiffness", 1.0),
    ("edge.damping", 1.0),
    ("edge.hard_stiffness", 1.0),
    ("rear.stiffness", 1.0),
    ("rollers.viscous", 1.0),
    ("seal.brush", 1.0),
    ("seal.end_stiffness", 1.0),
    ("belt.specific_stiffness", 1.0),
    ("belt.specific_mass", 1.0),
    ("belt.tension", 1.0),
    ("pulleys.drive_inertia", 1.0),
    ("pulleys.return_inertia", 1.0),
    ("pulleys.drag", 1.0),
    ("motor.rotor_inertia", 1.0),
    ("motor.rotor_friction", 1.0),
    ("stoppers.stiffness", 1.0),
    ("stoppers.damping", 1.0),
    ("motor.torque_constant", 0.5),
    ("supply.voltage", 0.5),
    ("opening.current_limit", 0.5),
    ("closing.current_limit", 0.5),
    ("controller.press_current", 0.5),
    ("controller.feed_forward", 0.5),
];

/// Pushed by a hand, leaf and drive move as one mass, x = F t^2/(2 M), but for what the belt gives: ten times the stiffness,
/// a tenth of that (derived).
#[test]
fn a_belt_without_stretch_is_a_rigid_door() {
    let beyond = |times: f64| {
        let mut p = lossless_leaf();
        p.leaf.stroke_m = 2.0;
        p.pulleys.drive_inertia_kg_m2 = 0.01;
        p.belt.specific_stiffness_n_per_m *= times;
        p.belt.tension_n = 1000.0;
        p.belt.damping_time_s = 0.02 / times;
        p.forces.push(LeafForce { constant_n: 60.0, ..LeafForce::default() });
        let built = door(p);
        let mass: f64 = built.ring().masses_kg.iter().sum();
        let start = Start::At { opening_m: 0.2, speed_m_per_s: 0.0 };
        let options = CycleOptions { plan: Plan::Off { for_s: 1.0 }, start, ..CycleOptions::default() };
        let last = *cycle(&built, &options).samples.last().unwrap();
        last.leaf_position_m[0] - 0.2 - 60.0 / mass / 2.0
    };
    let (soft, hard, harder) = (beyond(1.0), beyond(10.0), beyond(100.0));
    println!("{soft:e} {hard:e} {harder:e} m");
    assert!(soft > 1e-5, "{soft} m: the case has gone");
    assert!((soft / hard / 10.0 - 1.0).abs() < 0.3 && (hard / harder / 10.0 - 1.0).abs() < 0.3);
}

const DRAWS: u64 = 40;

/// How far a leaf rolls that is let go, with the power off.
fn rolled(p: &Parameters, speed_m_per_s: f64) -> f64 {
    let start = Start::At { opening_m: 0.1, speed_m_per_s };
    let options = CycleOptions { plan: Plan::Off { for_s: 4.0 }, start, ..CycleOptions::default() };
    cycle(&door(p.clone()), &options).samples.last().unwrap().leaf_position_m[0]
}

fn worse(p: &Parameters, change: impl Fn(&mut Parameters)) -> Parameters {
    let mut changed = p.clone();
    change(&mut changed);
    changed
}

/// Let go at the same speed, a leaf with more friction anywhere never rolls further; a heavier one on viscous rollers
/// never stops sooner.
#[test]
fn more_friction_never_rolls_further_and_more_mass_never_less() {
    let mut rng = StdRng::seed_from_u64(11);
    for index in 0..DRAWS {
        let mut p = coherent_door(3, index);
        p.leaf.stroke_m = 3.0;
        let speed = rng.random_range(0.1..0.5);
        let far = rolled(&p, speed);
        let more: [fn(&mut Parameters); 6] = [
            |p| p.rollers.resistance *= 1.3,
            |p| p.rollers.viscous_n_s_per_m += 10.0,
            |p| p.seal.brush_n_per_m += 2.0,
            |p| p.pulleys.drag_n += 2.0,
            |p| p.pulleys.bearing_friction += 0.01,
            |p| p.gear.efficiency *= 0.95,
        ];
        for (n, change) in more.into_iter().enumerate() {
            let less = rolled(&worse(&p, change), speed);
            assert!(less <= far + 1e-6, "door {index}, friction {n}: {less} m instead of at most {far} m");
        }
        p.rollers.resistance = 0.0;
        let (light, heavy) = (rolled(&p, speed), rolled(&worse(&p, |p| p.leaf.mass_kg *= 1.3), speed));
        assert!(heavy >= light - 1e-6, "door {index}: {heavy} m instead of at least {light} m");
    }
}

/// The same door with a tighter belt never has a slack strand for longer.
#[test]
fn more_tension_never_gives_more_slack() {
    let mut slackened = 0;
    for index in 0..DRAWS {
        let mut p = coherent_door(4, index);
        p.belt.tension_n *= 0.3;
        let slack = |p: &Parameters| {
            cycle(&door(p.clone()), &CycleOptions::default()).figures.get(Figure::SlackTime).unwrap()
        };
        let (loose, tight) = (slack(&p), slack(&worse(&p, |p| p.belt.tension_n *= 1.5)));
        slackened += u64::from(loose > 0.0);
        // a strand that just grazes zero counts a sub-step or none
        assert!(tight <= loose + 1e-3, "door {index}: {tight} s slack instead of at most {loose} s");
    }
    assert!(slackened >= 5, "only {slackened} doors had a slack strand: the case has gone");
}

/// Met with the power off, an edge that gives less, a faster or a heavier leaf never hits more softly; nor does a harder edge that is
/// not pressed flat.
#[test]
fn a_harder_faster_or_heavier_leaf_never_hits_more_softly() {
    let hit = |p: &Parameters, speed: f64| {
        let start = Start::At { opening_m: 0.35, speed_m_per_s: -speed };
        let options = CycleOptions { plan: Plan::Off { for_s: 1.0 }, start, ..CycleOptions::default() };
        let run = cycle(&door(p.clone()), &options);
        run.samples.iter().map(|sample| sample.contact_force_n).fold(0.0, f64::max)
    };
    for index in 0..DRAWS {
        let mut p = coherent_door(5, index);
        p.obstacle = Some(Obstacle { gap_m: 0.3, ..Obstacle::default() });
        p.edge.travel_m = Some(0.5);
        let soft = hit(&p, 0.3);
        let harder = [
            hit(&worse(&p, |p| p.edge.stiffness_n_per_m *= 1.4), 0.3),
            hit(&worse(&p, |p| p.edge.travel_m = Some(0.008)), 0.3),
            hit(&worse(&p, |p| p.leaf.mass_kg *= 1.2), 0.3),
            hit(&p, 0.33),
        ];
        for force in harder {
            // samples show the greatest force of a tick: within 0.1 %
            assert!(force >= 0.999 * soft, "door {index}: {force} N instead of at least {soft} N");
        }
    }
}

/// A weaker bus, a lower current limit or more friction never brings a door to 80 % of its opening sooner. (Beyond that the
/// controller brakes, and what slips through its braking arrives sooner.)
#[test]
fn a_weaker_drive_never_opens_sooner() {
    let opens = |p: &Parameters| {
        let run = cycle(&door(p.clone()), &CycleOptions { plan: Plan::Open, ..CycleOptions::default() });
        run.figures.get(Figure::OpeningTime80).unwrap_or(f64::INFINITY)
    };
    for index in 0..DRAWS {
        let p = coherent_door(6, index);
        let strong = opens(&p);
        for weak in [
            worse(&p, |p| p.supply.voltage_v *= 0.7),
            worse(&p, |p| p.opening.current_limit_a *= 0.6),
            worse(&p, |p| p.rollers.resistance *= 1.5),
        ] {
            // the speed loop may overshoot its speed a little longer on a weaker drive: 1 %
            assert!(
                opens(&weak) >= 0.99 * strong,
                "door {index}: {} s instead of at least {strong} s",
                opens(&weak)
            );
        }
    }
}

/// A door lossless but for its rollers, opened and let go, never has more energy than it was given.
#[test]
fn nothing_gains_energy() {
    let mut p = lossless_door();
    p.rollers.resistance = 0.01;
    let run = run_from(p, Plan::Off { for_s: 3.0 }, Start::At { opening_m: 0.2, speed_m_per_s: 0.4 });
    for pair in run.samples.windows(2) {
        let (before, after) = (pair[0].energy_leaves_j, pair[1].energy_coupled_j);
        let given = run.samples[0].energy_coupled_j;
        assert!(after <= given + 1e-9 && before <= given + 1e-9, "at {} s", pair[1].t_s);
    }
}
