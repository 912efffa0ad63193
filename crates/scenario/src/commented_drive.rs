//! A drive to start from: every key of an entry of a catalogue, in the order of a data sheet.

use std::fmt::Write;

use tautleaf_physics::{Field, Quantity};
use tautleaf_trials::choose::catalogue::{DRIVE_FIELDS, Drive};
use tautleaf_trials::choose::data_sheet::{DataSheet, FOLLOWS, SHEET_FIELDS};

use crate::commented::paragraph;
use crate::parse::SCHEMA;
use crate::parse_keys::short;
use crate::units::{self, UnitSystem};

/// Headings, and below each the keys with what an invented data sheet says; empty: it says nothing of it.
const SHEET: &[(&str, &[(&str, &str)])] = &[
    ("Supply", &[("voltage", "\"24 V\""), ("supply_current", "\"8 A\"")]),
    (
        "Motor: rated point, and what it bears for seconds",
        &[
            ("rated_power", "\"63 W\""),
            ("rated_torque", "\"0.24 N m\""),
            ("rated_speed", "\"2500 1/min\""),
            ("rated_turns_per_min", ""),
            ("rated_current", "\"3 A\""),
            ("peak_current", "\"9 A\""),
            ("maximum_speed", "\"3500 1/min\""),
            ("most_turns_per_min", ""),
        ],
    ),
    (
        "Motor: without load",
        &[("no_load_speed", "\"3250 1/min\""), ("no_load_current", "\"0.2 A\""), ("rotor_friction", "")],
    ),
    (
        "Motor: winding and rotor",
        &[
            ("terminal_resistance", "\"0.5 ohm\""),
            ("resistance", ""),
            ("inductance", "\"0.4 mH\""),
            ("voltage_constant", "\"5.2 V/1000 min-1\""),
            ("torque_constant", ""),
            ("magnet_coefficient", ""),
            ("rotor_inertia", "\"4e-5 kg m2\""),
            ("pole_pairs", "4"),
            ("commutator_bars", ""),
        ],
    ),
    (
        "Motor: warmth. Either the thermal resistances or the rated rise",
        &[
            ("thermal_resistance_winding_housing", "\"1.5 K/W\""),
            ("thermal_resistance_housing_ambient", "\"5 K/W\""),
            ("thermal_resistance", ""),
            ("rated_rise", ""),
            ("inner_rise_share", ""),
            ("winding_time", ""),
            ("housing_time", ""),
        ],
    ),
    (
        "Gear, shaft and pulley",
        &[
            ("ratio", "\"8:1\""),
            ("efficiency", "\"90 %\""),
            ("backlash", "\"15 arcmin\""),
            ("rotor_teeth", ""),
            ("peak_torque", "\"5 N m\""),
            ("shaft_load", "\"800 N\""),
            ("pulley_diameter", "\"45 mm\""),
            ("inertia_ratio", "\"30:1\""),
            ("counts_per_turn", ""),
        ],
    ),
];

/// Keys whose numbers depend on `measured`.
const AS_MEASURED: &[&str] = &["resistance", "inductance", "voltage_constant"];

/// What the words of an entry say.
const WORDS: &[(&str, &str)] = &[
    ("\"brushed\" or \"brushless\"", "motor = \"brushless\""),
    (
        "\"worm\", \"planetary\" or \"direct\" (the pulley sits on the rotor, ratio = 1)",
        "gear = \"planetary\"",
    ),
    (
        "insulation class of the winding (IEC 60085): \"A\" or \"E\" or \"B\" or \"F\" or \"H\"",
        "insulation = \"F\"",
    ),
    (
        "what the currents of the motor are: \"rms\" or \"amplitude\" of sines, \"direct\" with block commutation; a motor with \
         brushes has direct current. supply_current is direct current always. A torque constant is for each ampere of these.",
        "currents = \"rms\"",
    ),
    (
        "what the voltage constant counts of the sine that the turning motor gives: \"rms\" or \"amplitude\"",
        "voltages = \"rms\"",
    ),
    (
        "between what resistance, inductance and voltage constant are measured: \"line-to-line\" (two terminals) or \"phase\" \
         (terminal and star point); terminal_resistance is between two terminals always",
        "measured = \"line-to-line\"",
    ),
];

/// The text of a catalogue file with one drive in it, every key explained; it reads as it is, and a key with its default
/// changes nothing where the #: before it is taken away.
pub fn commented_drive() -> String {
    let mut out = String::new();
    for text in [
        "A catalogue file of tautleaf: a section [[drive]] for each drive, typed from its data sheet as it stands there. Every \
         number here is invented: put those of your data sheet in their place, and take out the keys that it says nothing of.",
        "What follows from other keys may be left out. Numbers that contradict each other are refused. Lines that begin with #: \
         are keys with their defaults.",
    ] {
        paragraph(&mut out, text);
    }
    out += "#   tautleaf catalogue THIS-FILE               shows what was typed, what was worked out from it, and how\n";
    out += "#   tautleaf choose DOOR --catalogue FOLDER    tries the drives of every file of a folder on a door\n";
    let _ = writeln!(out, "\nschema = {SCHEMA}\n\n[[drive]]\nname = \"My drive\"");
    for (says, line) in WORDS {
        paragraph(&mut out, says);
        let _ = writeln!(out, "{line}");
    }
    for (heading, keys) in SHEET {
        let _ = writeln!(out, "\n# {heading}\n");
        for (key, value) in *keys {
            if let Some(field) = SHEET_FIELDS.iter().find(|field| short(field.key) == *key) {
                write_key(&mut out, field, &DataSheet::default(), value);
            } else if let Some(field) = DRIVE_FIELDS.iter().find(|field| short(field.key) == *key) {
                write_key(&mut out, field, &Drive::default(), value);
            }
        }
    }
    out
}

fn write_key<T>(out: &mut String, field: &'static Field<T>, default: &T, value: &str) {
    let key = short(field.key);
    let unit = match key {
        "voltage_constant" => "V/1000 min-1",
        _ => units::unit(field.quantity, UnitSystem::Si),
    };
    let show = |value| units::show_in(field.quantity, value, unit);
    let (low, high) = field.possible;
    let follows = FOLLOWS.iter().find(|(key, _)| *key == field.key);
    let follows = follows.map_or(String::new(), |(_, from)| format!("; follows from {from}"));
    let as_measured = if AS_MEASURED.contains(&key) { ", between what `measured` says" } else { "" };
    paragraph(out, &format!("{}{as_measured}; {} to {}{follows}", field.says, show(low), show(high)));
    let default = (field.get)(default).filter(|value| value.is_finite());
    let _ = match default {
        _ if !value.is_empty() => writeln!(out, "{key} = {value}"),
        // a friction that is typed is no longer worked out
        Some(default) if follows.is_empty() => {
            let text = units::format(field.quantity, default, UnitSystem::Si);
            let quotes = if field.quantity == Quantity::Number { "" } else { "\"" };
            writeln!(out, "#:{key} = {quotes}{text}{quotes}")
        }
        _ if field.quantity == Quantity::Number => writeln!(out, "#  {key} = ..."),
        _ => writeln!(out, "#  {key} = \"... {unit}\""),
    };
}
