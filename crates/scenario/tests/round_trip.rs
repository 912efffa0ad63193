//! What is saved loads back identical.

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use tautleaf_physics::parameters::{
    Arrangement, Braking, Fault, FaultKind, Hanger, Hold, InsulationClass, LeafForce, Obstacle,
    ObstructionAction, SupplyKind, Telescope, Turn,
};
use tautleaf_physics::{
    Band, Door, FAULT_FIELDS, FIELDS, FORCE_FIELDS, Field, Judge, OBSTACLE_FIELDS, Parameters, Quantity,
    RATING_FIELDS, Ratings, Rule, TELESCOPE_FIELDS, WHOLE_NUMBERS, field,
};
use tautleaf_scenario::{LIMIT_KEYS, Scenario, UnitSystem, limit_key, parse, presets, to_text, units};

const DRAWS: u64 = 2000;

/// A number between two bounds, over all magnitudes between them; sometimes a bound itself.
fn between(rng: &mut StdRng, (low, high): (f64, f64)) -> f64 {
    match rng.random_range(0..10) {
        0 => low,
        1 => high,
        2..6 if low > 0.0 => (low.ln() + rng.random::<f64>() * (high.ln() - low.ln())).exp().clamp(low, high),
        _ => low + rng.random::<f64>() * (high - low),
    }
}

fn draw<T>(rng: &mut StdRng, what: &mut T, fields: &[Field<T>], range: impl Fn(&Field<T>) -> (f64, f64)) {
    for field in fields {
        if rng.random_bool(0.5) {
            let value = between(rng, range(field));
            (field.set)(what, Some(value));
        }
    }
}

/// Text in the file must be the same to the last bit, which `==` does not tell of zeros.
fn bits<T>(what: &T, fields: &[Field<T>]) -> Vec<Option<u64>> {
    fields.iter().map(|field| (field.get)(what).map(f64::to_bits)).collect()
}

fn assert_same(a: &Scenario, b: &Scenario, text: &str) {
    assert_eq!(bits(&a.parameters, FIELDS), bits(&b.parameters, FIELDS), "{text}");
    assert_eq!(a, b, "{text}");
}

/// Each number alone, anywhere in its possible range, in both unit systems.
#[test]
fn every_number_of_a_door_survives_as_text() {
    fn each<T>(fields: &[Field<T>], rng: &mut StdRng) {
        for field in fields {
            for _ in 0..400 {
                let value = between(rng, field.possible);
                for system in [UnitSystem::Si, UnitSystem::Us] {
                    let text = units::format(field.quantity, value, system);
                    let read = units::parse_quantity(field.quantity, &text);
                    assert_eq!(
                        read.map(f64::to_bits),
                        Ok(value.to_bits()),
                        "{}: {value} as {text}",
                        field.key
                    );
                }
            }
        }
    }
    let mut rng = StdRng::seed_from_u64(1);
    each(FIELDS, &mut rng);
    each(OBSTACLE_FIELDS, &mut rng);
    each(FORCE_FIELDS, &mut rng);
    each(FAULT_FIELDS, &mut rng);
    each(TELESCOPE_FIELDS, &mut rng);
    each(RATING_FIELDS, &mut rng);
}

/// In SI the decimal point only moves, so a file never has more digits than the number itself.
#[test]
fn numbers_are_saved_in_the_shown_si_unit() {
    let mut rng = StdRng::seed_from_u64(2);
    for field in FIELDS {
        let value = between(&mut rng, field.usual);
        let text = units::format(field.quantity, value, UnitSystem::Si);
        let unit = units::unit(field.quantity, UnitSystem::Si);
        assert!(text.ends_with(unit), "{}: {text}", field.key);
    }
}

fn random_scenario(rng: &mut StdRng) -> Scenario {
    let mut p = Parameters::default();
    draw(rng, &mut p, FIELDS, |field| field.usual);
    if rng.random_bool(0.3) {
        p.arrangement = [Arrangement::Towards, Arrangement::BiParting][rng.random_range(0..2)];
    }
    if p.arrangement != Arrangement::BiParting {
        p.leaf.second_mass_kg = None;
    }
    for key in WHOLE_NUMBERS {
        let field = field(key).expect("it is in the table");
        let whole = (field.get)(&p).map(f64::round);
        (field.set)(&mut p, whole);
    }
    p.workbench.tightens = [Turn::Clockwise, Turn::CounterClockwise][rng.random_range(0..2)];
    p.controller.hold = [Hold::ZeroCurrent, Hold::Shorted, Hold::Free][rng.random_range(0..3)];
    p.supply.braking = [Braking::Back, Braking::Resistor, Braking::Blocked][rng.random_range(0..3)];
    if rng.random_bool(0.3) {
        p.supply.kind = SupplyKind::Battery;
        p.supply.current_limit_a = None;
    }
    p.supply.clamp_voltage_v = p.supply.clamp_voltage_v.filter(|&clamp| clamp > p.supply.voltage_v);
    p.motor.insulation = [InsulationClass::B, InsulationClass::F, InsulationClass::A][rng.random_range(0..3)];
    if rng.random_bool(0.3) {
        p.obstruction.action = ObstructionAction::Stop;
    }
    if rng.random_bool(0.3) {
        let mut obstacle = Obstacle::default();
        draw(rng, &mut obstacle, OBSTACLE_FIELDS, |field| field.usual);
        p.obstacle = Some(obstacle);
    }
    if rng.random_bool(0.3) {
        let mut telescope = Telescope::default();
        draw(rng, &mut telescope, TELESCOPE_FIELDS, |field| field.usual);
        p.telescope = Some(telescope);
    }
    for n in 0..rng.random_range(0..3) {
        let mut force = LeafForce { name: format!("force \"{n}\"\n# [ü]"), ..LeafForce::default() };
        draw(rng, &mut force, FORCE_FIELDS, |field| field.usual);
        force.leaf = rng.random_bool(0.5).then_some(1);
        p.forces.push(force);
    }
    for n in 0..rng.random_range(0..3) {
        let mut fault = Fault { name: format!("fault \"{n}\""), ..Fault::default() };
        draw(rng, &mut fault, FAULT_FIELDS, |field| field.usual);
        fault.kind =
            [FaultKind::Sag, FaultKind::Step, FaultKind::Bump, FaultKind::Flat][rng.random_range(0..4)];
        fault.hanger = [Hanger::Leading, Hanger::Trailing][rng.random_range(0..2)];
        if fault.kind != FaultKind::Step {
            fault.height_m = fault.height_m.abs();
        }
        p.faults.push(fault);
    }
    let mut scenario = Scenario {
        title: "A \"door\" = [1]\n\u{1f6aa}".to_owned(),
        shows: "'''\"\"\" \\ # \t".to_owned(),
        parameters: p,
        units: [UnitSystem::Si, UnitSystem::Us][rng.random_range(0..2)],
        ..Scenario::default()
    };
    random_limits(rng, &mut scenario);
    if rng.random_bool(0.5) {
        scenario.ratings = random_ratings(rng);
    }
    scenario
}

fn random_ratings(rng: &mut StdRng) -> Ratings {
    let mut ratings = Ratings::default();
    draw(rng, &mut ratings, RATING_FIELDS, |field| field.possible);
    ratings.drive = ["", "24 V, \"worm\" 15:1"][rng.random_range(0..2)].to_owned();
    ratings.belt = ["", "AT5 \u{fc}"][rng.random_range(0..2)].to_owned();
    ratings.insulation = [None, Some(InsulationClass::B), Some(InsulationClass::H)][rng.random_range(0..3)];
    ratings
}

fn random_limits(rng: &mut StdRng, scenario: &mut Scenario) {
    let names = presets().iter().filter(|_| rng.random_bool(0.2)).map(|preset| preset.name.clone());
    scenario.limits.presets = names.collect();
    scenario.limits.close_margin = [0.1, rng.random::<f64>()][rng.random_range(0..2)];
    scenario.limits.gaps_m = rng
        .random_bool(0.7)
        .then(|| (0..rng.random_range(0..4)).map(|_| rng.random_range(0.001..2.0)).collect());
    for key in LIMIT_KEYS.iter() {
        if rng.random_bool(0.1) {
            let all: Vec<_> = units::symbols(key.quantity()).collect();
            let unit = if all.is_empty() { "" } else { all[rng.random_range(0..all.len())] };
            let judge = [Judge::Limit, Judge::Advisory][rng.random_range(0..2)];
            let mut limit = key.set_to(rng.random_range(0.0..1000.0), unit, judge);
            if key.by_gap && rng.random_bool(0.5) {
                let split = rng.random_range(0.01..1.0);
                let band = |above_m, to_m, at_most| Band { above_m, to_m, at_most };
                let force = rng.random_range(1.0..500.0);
                limit.rule =
                    Rule::AtMostByGap(vec![band(0.0, split, force), band(split, f64::INFINITY, 2.0 * force)]);
            }
            scenario.limits.own.push(limit);
        }
    }
}

#[test]
fn a_random_door_loads_back_identical() {
    let mut ran = 0;
    for index in 0..DRAWS {
        let scenario = random_scenario(&mut StdRng::seed_from_u64(index));
        if Door::try_from(scenario.parameters.clone()).is_err() {
            continue; // drawn numbers may not fit together
        }
        ran += 1;
        let text = to_text(&scenario);
        let again = parse(&text, "saved.toml").unwrap_or_else(|error| panic!("{error}\n{text}"));
        assert_same(&scenario, &again, &text);
    }
    assert!(ran > DRAWS / 10, "only {ran} of {DRAWS} drawn doors can be built");
}

/// From one file to the next: only the differences are written, and everything else stays.
#[test]
fn a_file_that_was_read_can_become_any_other_door() {
    for index in 0..200 {
        let mut rng = StdRng::seed_from_u64(10_000 + index);
        let (first, second) = (random_scenario(&mut rng), random_scenario(&mut rng));
        let Ok(mut read) = parse(&to_text(&first), "first.toml") else { continue };
        read.title = second.title.clone();
        read.parameters = second.parameters.clone();
        read.limits = second.limits.clone();
        read.ratings = second.ratings.clone();
        read.units = second.units;
        if Door::try_from(second.parameters.clone()).is_err() {
            continue;
        }
        let text = to_text(&read);
        let again = parse(&text, "second.toml").unwrap_or_else(|error| panic!("{error}\n{text}"));
        assert_same(&read, &again, &text);
    }
}

#[test]
fn saving_keeps_the_comments_of_a_file() {
    let text = "# my door\nschema = 1\ntitle = \"shop\" # the one at the corner\n\n[leaf]\n# weighed\nmass = \"190 lb\" # both hangers\nstroke = \"900 mm\"\n";
    let mut scenario = parse(text, "shop.toml").unwrap();
    assert_eq!(to_text(&scenario), text);
    scenario.parameters.leaf.mass_kg = 100.0;
    scenario.parameters.belt.tension_n = 300.0;
    let saved = to_text(&scenario);
    assert!(
        saved.contains("# my door\n") && saved.contains("# weighed\nmass = \"100 kg\" # both hangers"),
        "{saved}"
    );
    assert!(
        saved.contains("stroke = \"900 mm\"") && saved.contains("[belt]\ntension = \"300 N\""),
        "{saved}"
    );
    assert_eq!(parse(&saved, "shop.toml").unwrap(), scenario);
}

#[test]
fn a_door_that_is_all_default_is_a_short_file() {
    let text = to_text(&Scenario::default());
    assert_eq!(text, "schema = 1\ntitle = \"\"\nshows = \"\"\nunits = \"SI\"\n");
    assert_eq!(parse(&text, "x").unwrap(), Scenario::default());
}

#[test]
fn a_limit_keeps_the_unit_that_it_was_written_in() {
    let text = "schema = 1\n[limits]\nstall_force_max = \"30 lbf\"\n";
    let scenario = parse(text, "x").unwrap();
    let limit = &scenario.limits.own[0];
    assert_eq!((limit.unit.as_str(), &limit.rule), ("lbf", &Rule::AtMost(133.446_648_457_815)));
    let mut moved = scenario.clone();
    moved.limits.own[0] = limit_key("stall_force_max").unwrap().set_to(0.1 + 0.2, "lbf", Judge::Limit);
    assert_eq!(parse(&to_text(&moved), "x").unwrap(), moved);
    assert_eq!(units::unit(Quantity::Force, UnitSystem::Us), "lbf");
}
