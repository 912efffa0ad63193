//! Everything that can be wrong with a door has its words, in the units of the file.

use std::collections::BTreeSet;

use tautleaf_physics::parameters::{
    Arrangement, Fault, FaultKind, LeafForce, Obstacle, Parameters, SupplyKind,
};
use tautleaf_physics::{Door, Problem, Problems};
use tautleaf_scenario::{Scenario, UnitSystem, problem_words};

/// A change to the default door, and the kind of problem that it makes.
type Sample = (&'static str, fn(&mut Parameters));

fn force(p: &mut Parameters, change: fn(&mut LeafForce)) {
    let mut force = LeafForce { name: "cord".to_owned(), ..LeafForce::default() };
    change(&mut force);
    p.forces.push(force);
}

fn fault(p: &mut Parameters, kind: FaultKind, height_m: f64, leaf: usize) {
    p.faults.push(Fault { name: "joint".to_owned(), kind, height_m, leaf, ..Fault::default() });
}

#[rustfmt::skip]
const SAMPLES: &[Sample] = &[
    ("Impossible", |p| p.leaf.mass_kg = -3.0),
    ("Unusual", |p| p.leaf.mass_kg = 900.0),
    ("NotWhole", |p| p.pulleys.teeth = 20.5),
    ("NoBeltAhead", |p| p.belt.centre_distance_m = Some(0.9)),
    ("PulleysOverlap", |p| { p.leaf.stroke_m = 0.1; p.belt.clamp_m = 0.01; p.belt.centre_distance_m = Some(0.2); p.pulleys.teeth = 200.0 }),
    ("CreepTooLong", |p| p.closing.creep_distance_m = 2.0),
    ("StopsTooEarly", |p| p.controller.stop_distance_m = 0.6),
    ("PartialBeyondStroke", |p| p.leaf.partial_opening_m = Some(1.2)),
    ("EndSealTooLong", |p| { p.leaf.stroke_m = 0.5; p.seal.end_length_m = 0.8 }),
    ("NoSecondLeaf", |p| p.leaf.second_mass_kg = Some(80.0)),
    ("ObstacleTooWide", |p| p.obstacle = Some(Obstacle { gap_m: 3.0, ..Obstacle::default() })),
    ("NowhereToPush", |p| { p.arrangement = Arrangement::BiParting; p.obstacle = Some(Obstacle { mass_kg: Some(40.0), ..Obstacle::default() }) }),
    ("PersonTooWide", |p| { p.timeline.activation_depth_m = Some(1.0); p.timeline.shoulder_width_m = 1.0 }),
    ("ClampBelowBus", |p| p.supply.clamp_voltage_v = Some(1.5)),
    ("BatteryWithCurrentLimit", |p| { p.supply.kind = SupplyKind::Battery; p.supply.current_limit_a = Some(5.0) }),
    ("BusTooSmall", |p| { p.supply.current_limit_a = Some(5.0); p.supply.capacitance_f = 1e-5 }),
    ("ForceOnNoLeaf", |p| force(p, |force| force.leaf = Some(3))),
    ("FaultOnNoLeaf", |p| fault(p, FaultKind::Bump, 0.001, 2)),
    ("EndsBeforeItBegins", |p| force(p, |force| (force.from_m, force.to_m) = (0.5, 0.2))),
    ("EndsBeforeItBegins", |p| force(p, |force| (force.start_s, force.end_s) = (3.0, 2.0))),
    ("TooHighToClimb", |p| fault(p, FaultKind::Bump, 0.03, 1)),
    ("TooHighToClimb", |p| fault(p, FaultKind::Step, -0.03, 1)),
    ("OnlyAStepGoesDown", |p| fault(p, FaultKind::Bump, -0.001, 1)),
    ("TooSlowToFollow", |p| { p.leaf.stroke_m = 20.0; p.opening.speed_m_per_s = 0.005; p.closing.speed_m_per_s = 0.005; p.leaf.mass_kg = 1.0; p.stoppers.stiffness_n_per_m = 1e9 }),
    ("StrandSags", |p| p.belt.tension_n = 0.5),
    ("StrainsTheBelt", |p| p.belt.tension_n = 5000.0),
    ("LocksItself", |p| p.gear.efficiency = 0.4),
    ("BacklashBetweenRigidParts", |p| p.gear.backlash_m = 0.001),
    ("OpenStopIsHit", |p| p.stoppers.behind_open_m = 0.002),
];

/// Names of the kinds that physics knows, read where they are written: a new one needs a sample here.
fn kinds() -> BTreeSet<&'static str> {
    const TEXT: &str = include_str!("../../physics/src/problem.rs");
    let (_, list) = TEXT.split_once("pub enum ProblemKind {\n").unwrap();
    let (list, _) = list.split_once("\n}\n").unwrap();
    let names = list.lines().filter_map(|line| line.strip_prefix("    "));
    let names = names.filter(|line| line.starts_with(|c: char| c.is_ascii_uppercase()));
    names.filter_map(|line| line.split([' ', '(', ',']).next()).collect()
}

fn kind_of(problem: &Problem) -> String {
    let text = format!("{:?}", problem.kind);
    text.split([' ', '(']).next().unwrap_or_default().to_owned()
}

/// What is wrong with a door or, if nothing is, what is unusual about it.
fn problems(p: &Parameters) -> Vec<Problem> {
    match Door::try_from(p.clone()) {
        Err(Problems(wrong)) => wrong,
        Ok(door) => [door.unusual(), door.remarks()].concat(),
    }
}

/// The words of a sample, with its place, as they are shown.
fn told(change: fn(&mut Parameters), units: UnitSystem) -> Vec<String> {
    let mut scenario = Scenario { units, ..Scenario::default() };
    change(&mut scenario.parameters);
    let told = match scenario.door() {
        Ok(door) => scenario.warnings(&door),
        Err(error) => error.problems,
    };
    told.iter().map(ToString::to_string).collect()
}

/// Whether one of these units stands behind a number.
fn has_unit(text: &str, units: &[&str]) -> bool {
    let words: Vec<&str> = text.split([' ', ';', ',', ':']).collect();
    words.windows(2).any(|pair| pair[0].parse::<f64>().is_ok() && units.contains(&pair[1]))
}

#[test]
fn everything_that_can_be_wrong_with_a_door_has_words_in_the_units_of_the_file() {
    let (si, us) = (["m", "mm", "N", "kg", "N/mm"], ["ft", "in", "lbf", "lb", "lbf/in"]);
    let mut met = BTreeSet::new();
    for (kind, change) in SAMPLES {
        let mut p = Parameters::default();
        change(&mut p);
        let found = problems(&p);
        let problem = found.iter().find(|problem| kind_of(problem) == *kind);
        let problem = problem.unwrap_or_else(|| panic!("{kind}: {found:?}"));
        met.insert(kind_of(problem));
        for (units, others) in [(UnitSystem::Si, us), (UnitSystem::Us, si)] {
            let words = problem_words(&problem.kind, units);
            let text = format!("{}; {}", words.found, words.would_do);
            assert!(words.found.len() > 5 && words.would_do.len() > 5, "{kind}: {text}");
            assert!(!has_unit(&text, &others), "{kind} in {units:?}: {text}");
            let shown = told(*change, units);
            assert!(shown.iter().any(|line| line.ends_with(&text)), "{kind}: {text} is not in {shown:#?}");
        }
    }
    let met: BTreeSet<&str> = met.iter().map(String::as_str).collect();
    assert_eq!(met, kinds());
    assert!(met.len() > 20, "{met:?}");
}
