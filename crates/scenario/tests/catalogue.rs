//! The catalogue: plausible against textbook motors, gears and belts; bad entries are refused by file and line.

use std::collections::BTreeSet;
use std::fs;

use tautleaf_scenario::{catalogue, parse_catalogue, with_folder};
use tautleaf_trials::choose::{Commutation, Drive, GearKind};

/// Copper at the rated point, 40 C and the rated rise (0.00385/K referred to 25 C).
fn hot_resistance(drive: &Drive) -> f64 {
    drive.resistance_ohm * (1.0 + 0.00385 * (40.0 + drive.rated_rise_k - 25.0))
}

fn copper_loss_w(drive: &Drive) -> f64 {
    drive.rated_current_a.powi(2) * hot_resistance(drive)
}

#[test]
fn there_are_drives_of_every_kind_and_belts_of_every_pitch() {
    let all = catalogue();
    assert_eq!((all.drives.len(), all.belts.len()), (24, 12));
    for gear in [GearKind::Worm, GearKind::Planetary, GearKind::Direct] {
        assert!(all.drives.iter().filter(|drive| drive.gear == gear).count() >= 4, "{gear:?}");
    }
    for commutation in [Commutation::Brushed, Commutation::Brushless] {
        assert!(all.drives.iter().filter(|drive| drive.commutation == commutation).count() >= 10);
    }
    let volts: BTreeSet<u64> = all.drives.iter().map(|drive| drive.voltage_v as u64).collect();
    assert_eq!(volts, BTreeSet::from([24, 48, 160, 325]));
    let pitches: BTreeSet<&str> = all.belts.iter().filter_map(|belt| belt.name.split(',').next()).collect();
    assert_eq!(pitches, BTreeSet::from(["T5", "T10", "AT5", "5M", "8M", "XL", "L", "H"]));
}

/// A name says what the drive is, and its numbers say the same: K i w less friction is the power at the rotor.
#[test]
fn a_drive_is_what_its_name_says() {
    for drive in &catalogue().drives {
        let parts: Vec<&str> = drive.name.split(", ").collect();
        let watts: f64 = parts[2].trim_end_matches(" W").parse().unwrap();
        assert!(
            (drive.rated_power_w() / watts - 1.0).abs() < 0.08,
            "{}: {} W",
            drive.name,
            drive.rated_power_w()
        );
        assert!(parts[0].starts_with(&format!("{} V", drive.voltage_v)), "{}", drive.name);
        assert_eq!(
            parts[0].ends_with("brushless"),
            drive.commutation == Commutation::Brushless,
            "{}",
            drive.name
        );
        let gear = match drive.gear {
            GearKind::Direct => "direct".to_owned(),
            GearKind::Worm => format!("worm {}:1", drive.ratio),
            GearKind::Planetary => format!("planetary {}:1", drive.ratio),
        };
        assert_eq!(parts[1], gear);
    }
}

/// Textbook ranges of small motors (from memory): mechanical time constant R J/K^2 1 to 30 ms, electrical L/R 0.2 to 3 ms, no-load
/// speed U/K above the rated one and at most three times as fast, efficiency at the rated point 55 to 95 %.
#[test]
fn motors_are_plausible_against_textbook_ones() {
    for drive in &catalogue().drives {
        let k = drive.torque_constant_n_m_per_a;
        let mechanical = drive.resistance_ohm * drive.rotor_inertia_kg_m2 / (k * k);
        assert!((1e-3..30e-3).contains(&mechanical), "{}: R J/K^2 = {mechanical} s", drive.name);
        let electrical = drive.inductance_h / drive.resistance_ohm;
        assert!((0.2e-3..3e-3).contains(&electrical), "{}: L/R = {electrical} s", drive.name);
        let (no_load, rated) = (drive.voltage_v / k, drive.rated_speed_rad_per_s());
        assert!((1.05..3.0).contains(&(no_load / rated)), "{}: {no_load} of {rated} rad/s", drive.name);
        let out = drive.rated_power_w();
        let efficiency = out / (out + copper_loss_w(drive) + drive.rotor_friction_n_m * rated);
        assert!((0.55..0.95).contains(&efficiency), "{}: {efficiency}", drive.name);
        let needs = hot_resistance(drive) * drive.rated_current_a + k * rated;
        assert!(needs < drive.voltage_v, "{}: {needs} V at its rated point", drive.name);
    }
}

/// R i^2 at the rated current warms by the rated rise: that is a thermal resistance, which falls as motors grow. Housings of
/// this size let 1 to 15 K/W through (from memory).
#[test]
fn copper_loss_and_rated_rise_make_a_thermal_resistance_that_falls_with_power() {
    let mut by_power: Vec<(f64, f64)> = Vec::new();
    for drive in &catalogue().drives {
        let resistance = drive.rated_rise_k / copper_loss_w(drive);
        assert!((1.0..15.0).contains(&resistance), "{}: {resistance} K/W", drive.name);
        assert!(drive.rated_rise_k <= drive.insulation.rise_k().unwrap(), "{}", drive.name);
        by_power.push((drive.rated_power_w(), resistance));
    }
    by_power.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mean = |part: &[(f64, f64)]| part.iter().map(|(_, r)| r).sum::<f64>() / part.len() as f64;
    assert!(mean(&by_power[..8]) > 1.3 * mean(&by_power[16..]));
}

/// (cos phi - mu tan lead)/(cos phi + mu/tan lead) (Shigley, from memory; formula published), phi 20 deg, mu 0.05 to 0.10 of a
/// greased bronze wheel, tan lead = starts/q with a worm diameter of q = 8 to 12 modules; bearings and oil take up to a tenth more.
#[test]
fn worms_have_the_efficiency_of_the_textbook_relation() {
    let relation = |friction: f64, lead_tan: f64| {
        let cos = 20.0_f64.to_radians().cos();
        (cos - friction * lead_tan) / (cos + friction / lead_tan)
    };
    for drive in catalogue().drives.iter().filter(|drive| drive.gear == GearKind::Worm) {
        let starts = drive.rotor_teeth.unwrap();
        let (low, high) = (0.9 * relation(0.10, starts / 12.0), relation(0.05, starts / 8.0));
        assert!((low..high).contains(&drive.efficiency), "{}: {low} to {high}", drive.name);
        // starts times ratio are the teeth of the wheel: a whole number of at least 24
        assert!(starts * drive.ratio >= 24.0 && (starts * drive.ratio).fract() == 0.0, "{}", drive.name);
    }
}

/// Makers' tables for steel cord: T5 9 kN/mm, AT5 14 to 17, 5M 22 to 25, 8M 35; allowable strain 0.34 to 0.40 %.
#[test]
fn belts_lie_within_makers_tables() {
    let steel = [("T5", 9.0, 9.0), ("AT5", 14.0, 17.0), ("5M", 22.0, 25.0), ("8M", 35.0, 35.0)];
    for belt in &catalogue().belts {
        assert!((0.0034..=0.0040).contains(&belt.allowable_strain), "{}", belt.name);
        let profile = belt.name.split(',').next().unwrap();
        let table = steel.iter().find(|(name, ..)| *name == profile);
        if let (true, Some((_, low, high))) = (belt.name.contains("steel"), table) {
            let stiffness = belt.specific_stiffness_n_per_m / 1e6;
            assert!((low - 1e-9..=high + 1e-9).contains(&stiffness), "{}: {stiffness} kN/mm", belt.name);
        }
    }
}

const DRIVE: &str = "[[drive]]\nname = \"Mine\"\nmotor = \"brushed\"\ngear = \"worm\"\nvoltage = \"24 V\"\nresistance = \"0.6 ohm\"\n\
    torque_constant = \"55 mN m/A\"\ninductance = \"0.4 mH\"\nrotor_inertia = \"4e-5 kg m2\"\nrated_current = \"3.7 A\"\n\
    peak_current = \"11 A\"\nrated_turns_per_min = 3000\nmost_turns_per_min = 4200\nrated_rise = \"80 K\"\nratio = 15\n\
    efficiency = 0.7\npeak_torque = \"5.7 N m\"\npulley_diameter = \"48 mm\"\nshaft_load = \"1000 N\"\n";

fn problems(text: &str) -> Vec<String> {
    parse_catalogue(text, "mine.toml").unwrap_err().problems.iter().map(ToString::to_string).collect()
}

#[test]
fn a_whole_entry_is_read_in_the_units_that_it_is_written_in() {
    let drives = parse_catalogue(&format!("schema = 1\n{DRIVE}"), "mine.toml").unwrap().drives;
    assert_eq!(
        (drives.len(), drives[0].torque_constant_n_m_per_a, drives[0].from.as_str()),
        (1, 0.055, "mine.toml")
    );
    assert_eq!(drives[0].counts_per_turn, 2000.0);
}

#[test]
fn every_problem_of_an_entry_is_told_at_once_with_its_line() {
    let text = format!("schema = 1\n{DRIVE}")
        .replace("gear = \"worm\"", "gear = \"belt\"")
        .replace("\"24 V\"", "\"24\"")
        .replace("efficiency = 0.7", "efficiency = 7")
        .replace("shaft_load", "shaft_lod");
    let found = problems(&text);
    let begins = [
        "mine.toml:2: drive: \"Mine\" has no shaft_load",
        "mine.toml:5: drive.gear: found \"belt\"; write \"worm\" or \"planetary\" or \"direct\"",
        "mine.toml:6: drive.voltage: \"24\" has no unit",
        "mine.toml:17: drive.efficiency: 7 is not possible",
        "mine.toml:20: drive.shaft_lod: there is no such key; did you mean \"shaft_load\"?",
    ];
    assert_eq!(found.len(), begins.len(), "{found:#?}");
    for (found, begins) in found.iter().zip(begins) {
        assert!(found.starts_with(begins), "{found} should begin with {begins}");
    }
}

#[test]
fn what_cannot_be_together_in_one_drive_is_refused() {
    for (from, to, expected) in [
        (
            "peak_current = \"11 A\"",
            "peak_current = \"3 A\"",
            ":12: drive.peak_current: 3 A is less than the rated current",
        ),
        (
            "most_turns_per_min = 4200",
            "most_turns_per_min = 2000",
            ":14: drive.most_turns_per_min: 2000 a minute",
        ),
        ("\"55 mN m/A\"", "\"90 mN m/A\"", ":13: drive.rated_turns_per_min: the rated point needs R i + K w"),
        ("gear = \"worm\"", "gear = \"direct\"", ":16: drive.ratio: a direct drive has no ratio of 15"),
        ("ratio = 15", "ratio = 15\npole_pairs = 4", ":17: drive.pole_pairs: a motor with brushes"),
        ("ratio = 15", "ratio = 15\nrotor_teeth = 1.5", ":17: drive.rotor_teeth: found 1.5"),
        ("\"Mine\"", "\"\"", ":3: drive.name: found \"\""),
    ] {
        let found = problems(&format!("schema = 1\n{DRIVE}").replace(from, to));
        assert!(found.len() == 1 && found[0].contains(expected), "{to}: {found:#?}");
    }
}

#[test]
fn a_name_stands_for_one_entry_only() {
    let found = problems(&format!("schema = 1\n{DRIVE}{DRIVE}"));
    assert!(
        found.len() == 1
            && found[0].contains("mine.toml:22: drive.name: \"Mine\" is the name of the one in line 3"),
        "{found:?}"
    );
}

#[test]
fn odd_files_are_refused_and_not_read_as_empty() {
    for (text, expected) in [
        ("", "mine.toml: schema: is missing"),
        ("schema = 1\n", "no drive and no belt is in it"),
        ("schema = 2\n", "written by a newer"),
        ("schema = 1\n[drive]\nname = 1\n", "write a section [[drive]] for each drive"),
        ("schema = 1\n[[drives]]\n", "did you mean \"drive\"?"),
        ("schema = 1\n[[belt]\n", "cannot be read"),
        (
            "schema = 1\n[[belt]]\nname = \"x\"\ncord = \"steel\"\npitch = \"5 mm\"\n",
            "has no width, specific_stiffness, specific_mass",
        ),
    ] {
        let found = problems(text);
        assert!(found.iter().any(|problem| problem.contains(expected)), "{text:?}: {found:?}");
    }
}

#[test]
fn a_folder_adds_its_files_and_every_bad_one_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    assert!(with_folder(folder.path()).unwrap_err().to_string().contains("0 catalogue files"));
    write("b.toml", &format!("schema = 1\n{DRIVE}"));
    write("notes.txt", "no catalogue");
    let all = with_folder(folder.path()).unwrap();
    assert_eq!(all.drives.len(), 25);
    assert!(all.drives[24].from.ends_with("b.toml"));
    write("a.toml", "schema = 1\n[[belt]]\n");
    write("c.toml", "schema = 1\n[[drive]]\nname = \"x\"\n");
    let error = with_folder(folder.path()).unwrap_err().to_string();
    assert!(error.contains("a.toml:2: ") && error.contains("c.toml:2: "), "{error}");
    write("a.toml", &format!("schema = 1\n{DRIVE}"));
    fs::remove_file(folder.path().join("c.toml")).unwrap();
    assert!(with_folder(folder.path()).unwrap_err().to_string().contains("\"Mine\" is there already, from "));
    assert!(with_folder(&folder.path().join("none")).unwrap_err().to_string().contains("cannot be read"));
}
