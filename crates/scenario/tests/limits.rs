//! Presets of published limits, and limits that the user sets.

use tautleaf_physics::parameters::InsulationClass;
use tautleaf_physics::{Band, Figure, Judge, Known, Limit, Rule};
use tautleaf_scenario::{
    CAUTIONS, LIMIT_KEYS, Scenario, known_in_words, limit_key, limits_of, may_fail_a_door, parse, preset,
    presets,
};

fn with_limits(text: &str) -> Scenario {
    parse(&format!("schema = 1\n[limits]\n{text}\n"), "x").unwrap_or_else(|error| panic!("{error}"))
}

fn limit<'p>(name: &str, key: &str) -> &'p Limit {
    let preset = preset(name).unwrap_or_else(|| panic!("{name}"));
    preset.limits.iter().find(|limit| limit.key == key).unwrap_or_else(|| panic!("{name}.{key}"))
}

#[test]
fn what_is_known_less_well_than_from_a_reproduction_never_fails_a_door() {
    for preset in presets() {
        for limit in &preset.limits {
            assert!(
                limit.judge == Judge::Advisory || may_fail_a_door(limit.known),
                "{}.{}",
                preset.name,
                limit.key
            );
        }
    }
    assert!(
        may_fail_a_door(Known::Reproduced)
            && !may_fail_a_door(Known::Quoted)
            && !may_fail_a_door(Known::MemoryHigh)
    );
}

#[test]
fn every_preset_says_what_it_is_for_and_where_each_number_is_from() {
    let names: Vec<_> = presets().iter().map(|preset| preset.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "low-energy-sliding-eu",
            "sensed-sliding-eu",
            "escape-route-sliding-eu",
            "force-by-gap-comparison",
            "force-over-time-comparison",
            "powered-sliding-us",
            "low-energy-sliding-us",
            "lift-door-comparison-eu",
            "lift-door-comparison-us",
            "manual-force-us",
            "motor-thermal",
        ]
    );
    for preset in presets() {
        assert!(!preset.title.is_empty() && !preset.what_for.is_empty() && !preset.limits.is_empty());
        for limit in &preset.limits {
            assert_eq!(limit.preset.as_deref(), Some(preset.name.as_str()));
            assert!(limit.source.chars().any(|c| c.is_ascii_digit()), "{}: {}", limit.key, limit.source);
            assert!(!known_in_words(limit.known).is_empty() && limit.known != Known::User);
            assert_eq!(limit.figure.is_none(), matches!(limit.rule, Rule::OnSite(_)), "{}", limit.key);
        }
    }
    assert_eq!(presets().iter().map(|preset| preset.limits.len()).sum::<usize>(), 44);
}

/// EN 16005:2012, 4.6.4 (a public reproduction was read)
#[test]
fn the_european_low_energy_door_is_bound_by_energy_and_force() {
    let energy = limit("low-energy-sliding-eu", "kinetic_energy_max");
    assert_eq!((energy.figure, &energy.rule), (Some(Figure::PeakEnergyLeaf), &Rule::AtMost(1.69)));
    assert_eq!((energy.judge, energy.known, energy.unit.as_str()), (Judge::Limit, Known::Reproduced, "J"));
    assert_eq!(energy.source, "EN 16005:2012 (superseded), 4.6.4");
    assert_eq!(limit("low-energy-sliding-eu", "stall_force_max").rule, Rule::AtMost(67.0));
    let time = limit("low-energy-sliding-eu", "time_over_90pct_min");
    assert_eq!((time.figure, &time.rule), (Some(Figure::ClosingLeastTime90), &Rule::LowEnergyLeastTime));
    assert_eq!(time.judge, Judge::Advisory);
}

/// ANSI/BHMA A156.10, 1999 10.9 and 12.1: 30 lbf and 2 in, in those units
#[test]
fn american_presets_are_written_in_american_units() {
    let stall = limit("powered-sliding-us", "stall_force_max");
    assert_eq!((stall.unit.as_str(), &stall.rule), ("lbf", &Rule::AtMost(30.0 * 4.448_221_615_260_5)));
    let check = limit("powered-sliding-us", "latch_check_min");
    assert_eq!((check.unit.as_str(), &check.rule), ("in", &Rule::AtLeast(0.0508)));
    let speed = limit("powered-sliding-us", "closing_speed_max");
    assert_eq!((speed.figure, &speed.rule), (Some(Figure::TopSpeedBeforeCheck), &Rule::ClosingSpeedByWeight));
    let energy = limit("lift-door-comparison-us", "peak_energy_max");
    assert_eq!(energy.figure, Some(Figure::PeakEnergyCoupledClosing));
    assert_eq!(energy.rule, Rule::AtMost(17.0 * 1.355_817_948_331_400_4));
    assert_eq!(energy.unit, "ft lbf");
}

/// DIN 18650-1:2005, from memory: 400 N to 200 mm, 700 N to 500 mm, 1400 N beyond
#[test]
fn force_bands_include_their_upper_gap() {
    let by_gap = limit("force-by-gap-comparison", "impact_force_max");
    let band = |above_m, to_m, at_most| Band { above_m, to_m, at_most };
    let expected = vec![band(0.0, 0.2, 400.0), band(0.2, 0.5, 700.0), band(0.5, f64::INFINITY, 1400.0)];
    assert_eq!(by_gap.rule, Rule::AtMostByGap(expected));
    assert_eq!(by_gap.judge, Judge::Advisory);
    let over_time = limit("force-over-time-comparison", "impact_force_max");
    let expected = vec![band(0.05, 0.5, 400.0), band(0.0, f64::INFINITY, 1400.0)];
    assert_eq!(over_time.rule, Rule::AtMostByGap(expected));
}

#[test]
fn what_the_model_does_not_compute_is_said_to_be_looked_at_on_site() {
    for (preset, key, says) in [
        ("sensed-sliding-eu", "finger_gap", "25 mm"),
        ("sensed-sliding-eu", "activation_depth_min", "1000 mm"),
        ("powered-sliding-us", "break_away_max", "50 lbf"),
    ] {
        let Rule::OnSite(words) = &limit(preset, key).rule else { panic!("{key}") };
        assert!(words.contains(says), "{words}");
    }
}

/// IEC 60034-1 (rise at 40 C ambient) and IEC 60085 (public reproductions were read)
#[test]
fn the_motor_is_bound_by_its_insulation_class() {
    let rise = limit("motor-thermal", "winding_rise_max");
    assert_eq!((rise.figure, &rise.rule), (Some(Figure::WindingRise), &Rule::WindingRiseByClass));
    let bears = limit("motor-thermal", "winding_temperature_max");
    assert_eq!(
        (bears.figure, &bears.rule),
        (Some(Figure::WindingTemperature), &Rule::WindingTemperatureByClass)
    );
    let classes =
        [InsulationClass::A, InsulationClass::E, InsulationClass::B, InsulationClass::F, InsulationClass::H];
    assert_eq!(classes.map(InsulationClass::temperature_c), [105.0, 120.0, 130.0, 155.0, 180.0]);
    assert_eq!(classes.map(InsulationClass::rise_k), [None, None, Some(80.0), Some(105.0), Some(125.0)]);
}

#[test]
fn presets_are_filled_in_and_the_user_has_the_last_word() {
    let scenario = with_limits(
        "presets = [\"low-energy-sliding-eu\", \"manual-force-us\"]\nkinetic_energy_max = \"1.25 ft lbf\"\nclosing_time_max = { value = \"8 s\", judge = \"advisory\" }",
    );
    let limits = limits_of(&scenario);
    let energy: Vec<_> = limits.iter().filter(|limit| limit.key == "kinetic_energy_max").collect();
    assert_eq!(energy.len(), 1);
    assert_eq!((energy[0].known, energy[0].preset.as_ref()), (Known::User, None));
    assert_eq!(energy[0].rule, Rule::AtMost(1.25 * 1.355_817_948_331_400_4));
    let time = limits.iter().find(|limit| limit.key == "closing_time_max").unwrap();
    assert_eq!((time.judge, &time.rule), (Judge::Advisory, &Rule::AtMost(8.0)));
    // both presets bound the opening by hand, each in its own right
    assert_eq!(limits.iter().filter(|limit| limit.key == "manual_opening_max").count(), 2);
    assert_eq!(limits.len(), 5 + 1 + 2);
}

#[test]
fn without_limits_a_door_is_judged_by_none() {
    let scenario = Scenario::default();
    assert!(limits_of(&scenario).is_empty());
    assert_eq!((scenario.limits.close_margin, scenario.limits.gaps_m), (0.1, None));
}

#[test]
fn every_limit_can_be_set_in_the_unit_of_its_figure() {
    for key in LIMIT_KEYS.iter() {
        let unit = tautleaf_scenario::units::unit(key.quantity(), tautleaf_scenario::UnitSystem::Us);
        let two = if unit.is_empty() { "2".to_owned() } else { format!("\"2 {unit}\"") };
        let scenario = with_limits(&format!("{} = {two}", key.key));
        let limit = &scenario.limits.own[0];
        assert_eq!(
            (limit.key.as_str(), limit.figure, limit.unit.as_str()),
            (key.key, Some(key.figure), unit)
        );
        assert_eq!(matches!(limit.rule, Rule::AtLeast(_)), key.key.ends_with("_min"), "{}", key.key);
        assert_eq!(limit_key(key.key), Some(key));
    }
}

#[test]
fn a_force_limit_may_differ_from_gap_to_gap() {
    let scenario = with_limits(
        "gaps = [\"2 in\", \"0.2 m\"]\nimpact_force_max = [{ above = \"0 mm\", to = \"200 mm\", max = \"90 lbf\" }, { max = \"700 N\" }]\nresidual_force_max = { bands = [{ max = \"80 N\" }], judge = \"advisory\" }",
    );
    assert_eq!(scenario.limits.gaps_m.as_deref(), Some(&[0.0508, 0.2][..]));
    let [impact, residual] = &scenario.limits.own[..] else { panic!("two limits") };
    let Rule::AtMostByGap(bands) = &impact.rule else { panic!("bands") };
    assert_eq!(bands[0], Band { above_m: 0.0, to_m: 0.2, at_most: 90.0 * 4.448_221_615_260_5 });
    assert_eq!((bands[1].to_m, bands[1].at_most), (f64::INFINITY, 700.0));
    assert_eq!((impact.unit.as_str(), residual.judge), ("lbf", Judge::Advisory));
}

#[test]
fn the_cautions_cover_what_a_number_cannot_show() {
    assert_eq!(CAUTIONS.len(), 9);
    for word in [
        "force test",
        "authority",
        "risk assessment",
        "Low energy",
        "Impact force",
        "belt",
        "Earth",
        "bypass",
    ] {
        assert!(CAUTIONS.iter().any(|caution| caution.contains(word)), "{word}");
    }
}
