//! A drive to start from: every key of an entry of a catalogue, with what it means and what it may be.

use std::fmt::Write;

use tautleaf_physics::{Field, Quantity};
use tautleaf_trials::choose::catalogue::{DRIVE_FIELDS, Drive};
use tautleaf_trials::choose::data_sheet::{DataSheet, SHEET_FIELDS};

use crate::commented::paragraph;
use crate::parse::{SCHEMA, short};
use crate::units::{self, UnitSystem};

/// What an invented data sheet says, key by key; the other keys are left out, because they follow.
const SAYS: &[(&str, &str)] = &[
    ("voltage", "\"24 V\""),
    ("supply_current", "\"8 A\""),
    ("inductance", "\"0.2 mH\""),
    ("rotor_inertia", "\"4e-5 kg m2\""),
    ("rated_current", "\"3 A\""),
    ("peak_current", "\"9 A\""),
    ("ratio", "\"8:1\""),
    ("efficiency", "\"90 %\""),
    ("peak_torque", "\"5 N m\""),
    ("pulley_diameter", "\"45 mm\""),
    ("shaft_load", "\"800 N\""),
    ("inertia_ratio", "30"),
    ("backlash", "\"15 arcmin\""),
    ("rated_power", "\"63 W\""),
    ("rated_torque", "\"0.24 N m\""),
    ("rated_speed", "\"2500 1/min\""),
    ("maximum_speed", "\"3500 1/min\""),
    ("no_load_speed", "\"3250 1/min\""),
    ("no_load_current", "\"0.2 A\""),
    ("terminal_resistance", "\"0.25 ohm\""),
    ("voltage_constant", "\"3 V/1000 min-1\""),
    ("thermal_resistance_inside", "\"1.5 K/W\""),
    ("thermal_resistance_outside", "\"5 K/W\""),
];

/// The text of a catalogue file with one drive in it, which reads as it is.
pub fn commented_drive() -> String {
    let mut out = String::new();
    for text in [
        "A catalogue file of tautleaf: one section [[drive]] for each drive, for `tautleaf choose FILE --catalogue DIR`. The numbers \
         are invented: put those of your data sheet in their place, and take away what it does not say.",
        "What follows from others may be left out: torque constant, friction, rated current, rated speed, maximum speed and \
         temperature rise. Numbers that contradict each other are refused. `tautleaf catalogue --catalogue DIR` shows what was worked out.",
    ] {
        paragraph(&mut out, text);
    }
    let _ = writeln!(out, "\nschema = {SCHEMA}\n\n[[drive]]\nname = \"My drive\"");
    for (says, line) in [
        ("\"brushed\" or \"brushless\"", "motor = \"brushless\""),
        ("\"worm\", \"planetary\" or \"direct\"", "gear = \"planetary\""),
        ("insulation class of the winding (IEC 60085): \"A\", \"E\", \"B\", \"F\" or \"H\"", "insulation = \"F\""),
        (
            "what its currents are: \"direct\" (brushes, block commutation), \"rms\" or \"amplitude\" of sines; supply_current is always \
             direct",
            "currents = \"rms\"",
        ),
        (
            "between what resistance, inductance and voltage constant are measured: \"line-to-line\" or \"phase\"",
            "measured = \"phase\"",
        ),
    ] {
        paragraph(&mut out, says);
        let _ = writeln!(out, "{line}");
    }
    fields(&mut out, SHEET_FIELDS, &DataSheet::default());
    fields(&mut out, DRIVE_FIELDS, &Drive::default());
    out
}

fn fields<T>(out: &mut String, fields: &'static [Field<T>], default: &T) {
    for field in fields {
        let show = |value| units::show(field.quantity, value, UnitSystem::Si);
        let (low, high) = field.possible;
        let by_default = (field.get)(default).filter(|value| value.is_finite()).map(show);
        let by_default = by_default.map_or(String::new(), |value| format!("; left out: {value}"));
        paragraph(out, &format!("{}, {} to {}{by_default}", field.says, show(low), show(high)));
        let key = short(field.key);
        let unit = units::unit(field.quantity, UnitSystem::Si);
        let _ = match SAYS.iter().find(|(said, _)| *said == key) {
            Some((_, value)) => writeln!(out, "{key} = {value}"),
            None if field.quantity == Quantity::Number => writeln!(out, "#  {key} = ..."),
            None => writeln!(out, "#  {key} = \"... {unit}\""),
        };
    }
}
