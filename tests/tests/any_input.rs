//! Nothing that is put into the library makes it panic, finite or not.

use std::time::{Duration, Instant};

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use tautleaf_physics::parameters::{LeafForce, Obstacle};
use tautleaf_physics::{
    CycleOptions, Door, FIELDS, FORCE_FIELDS, ForceTest, OBSTACLE_FIELDS, Parameters, Plan, Start, cycle,
};
use tautleaf_tests::random_door;

const SPECIAL: [f64; 14] = [
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
    0.0,
    -0.0,
    -1.0,
    1.0,
    1e-300,
    1e300,
    f64::MAX,
    f64::MIN_POSITIVE,
    1e-6,
    1e6,
    0.5,
];

fn any_value(rng: &mut StdRng, possible: (f64, f64)) -> f64 {
    match rng.random_range(0..4) {
        0 => possible.0,
        1 => possible.1,
        _ => SPECIAL[rng.random_range(0..SPECIAL.len())],
    }
}

/// A door of which one to three numbers are anything at all.
fn any_door(rng: &mut StdRng, index: u64) -> Parameters {
    let mut p = random_door(2, index);
    for _ in 0..rng.random_range(1..=3) {
        let field = &FIELDS[rng.random_range(0..FIELDS.len())];
        let value = any_value(rng, field.possible);
        (field.set)(&mut p, Some(value));
    }
    if rng.random_bool(0.2) {
        let mut obstacle = Obstacle::default();
        let field = &OBSTACLE_FIELDS[rng.random_range(0..OBSTACLE_FIELDS.len())];
        (field.set)(&mut obstacle, Some(any_value(rng, field.possible)));
        p.obstacle = Some(obstacle);
    }
    if rng.random_bool(0.2) {
        let mut force = LeafForce {
            leaf: [None, Some(0), Some(1), Some(7)][rng.random_range(0..4)],
            ..LeafForce::default()
        };
        let field = &FORCE_FIELDS[rng.random_range(0..FORCE_FIELDS.len())];
        (field.set)(&mut force, Some(any_value(rng, field.possible)));
        p.forces.push(force);
    }
    p
}

fn any_options(rng: &mut StdRng) -> CycleOptions {
    let mut special = || SPECIAL[rng.random_range(0..SPECIAL.len())];
    let (opening_m, speed_m_per_s, gap, for_s) = (special(), special(), special(), special().min(5.0));
    CycleOptions {
        plan: [Plan::OpenAndClose, Plan::Open, Plan::Close, Plan::Off { for_s }][rng.random_range(0..4)],
        start: if rng.random_bool(0.5) { Start::Closed } else { Start::At { opening_m, speed_m_per_s } },
        force: ForceTest::at(&[gap, 0.3]),
        ..CycleOptions::default()
    }
}

/// A thousand doors with impossible, extreme and meaningless numbers: refused with a reason, or run to an end.
/// How long that takes is printed, not judged: machines differ.
#[test]
fn no_number_makes_the_library_panic() {
    let mut rng = StdRng::seed_from_u64(7);
    let (mut refused, mut longest) = (0, (Duration::ZERO, 0));
    for index in 0..1000 {
        let (p, options) = (any_door(&mut rng, index), any_options(&mut rng));
        match Door::try_from(p) {
            Ok(door) => {
                let start = Instant::now();
                let run = cycle(&door, &options);
                assert!(!run.samples.is_empty());
                longest = longest.max((start.elapsed(), index));
            }
            Err(problems) => {
                refused += 1;
                for problem in problems.0 {
                    assert!(!problem.place.key.is_empty() && !problem.to_string().is_empty());
                }
            }
        }
    }
    println!("{refused} of 1000 refused; the longest run was number {} with {:?}", longest.1, longest.0);
    assert!((100..950).contains(&refused));
}
