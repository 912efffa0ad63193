//! The keys of a drive that are typed from a data sheet as it stands, and the words for what contradicts in them.

use tautleaf_physics::Quantity;
use tautleaf_trials::choose::catalogue::{DRIVE_FIELDS, Drive};
use tautleaf_trials::choose::data_sheet::{Currents, DataSheet, Measured, SHEET_FIELDS, Voltages};
use tautleaf_trials::choose::refusal::Refusal;
use toml_edit::{Item, TableLike};

use crate::parse_keys::short;
use crate::reading::{Entry, Reading};
use crate::units::{self, UnitSystem};

const CURRENTS: &[(&str, Currents)] =
    &[("direct", Currents::Direct), ("rms", Currents::Rms), ("amplitude", Currents::Amplitude)];
const VOLTAGES: &[(&str, Voltages)] = &[("rms", Voltages::Rms), ("amplitude", Voltages::Amplitude)];
const MEASURED: &[(&str, Measured)] = &[("line-to-line", Measured::LineToLine), ("phase", Measured::Phase)];

/// Every key of a data sheet.
pub(crate) fn keys() -> impl Iterator<Item = &'static str> {
    ["currents", "voltages", "measured"].into_iter().chain(SHEET_FIELDS.iter().map(|field| short(field.key)))
}

/// A number of a drive, and a key of a data sheet that it may be typed by.
const TYPED_BY: &[(&str, &str)] = &[
    ("drive.rated_turns_per_min", "drive.rated_speed"),
    ("drive.most_turns_per_min", "drive.maximum_speed"),
    ("drive.most_turns_per_min", "drive.no_load_speed"),
    ("drive.resistance", "drive.terminal_resistance"),
    ("drive.torque_constant", "drive.voltage_constant"),
    ("drive.rotor_friction", "drive.no_load_current"),
];

/// The key by which a number of a drive is typed.
pub(crate) fn typed_by(table: &dyn TableLike, key: &'static str) -> &'static str {
    let typed = |key: &'static str| table.contains_key(short(key));
    let mut others = TYPED_BY.iter().filter(|(number, by)| *number == key && typed(by));
    if typed(key) { key } else { others.next().map_or(key, |(_, by)| by) }
}

/// Reads one key of a data sheet.
pub(crate) fn key(reading: &mut Reading<'_>, entry: Entry<'_>, sheet: &mut DataSheet) {
    match entry.name {
        "currents" => sheet.currents = reading.choice("drive.currents", entry, CURRENTS),
        "voltages" => sheet.voltages = reading.choice("drive.voltages", entry, VOLTAGES),
        "measured" => sheet.measured = reading.choice("drive.measured", entry, MEASURED),
        name => {
            if let Some(field) = SHEET_FIELDS.iter().find(|field| short(field.key) == name) {
                reading.field(field, entry, sheet);
            }
        }
    }
}

/// Works out what follows from the data sheet, and notes what contradicts.
pub(crate) fn fill(
    reading: &mut Reading<'_>,
    path: &str,
    table: &dyn TableLike,
    sheet: &DataSheet,
    drive: &mut Drive,
) {
    if sheet.sines() && constant_of_the_other_kind(reading, path, table) {
        return;
    }
    for refusal in sheet.fill(drive, &|key| table.contains_key(key)).err().unwrap_or_default() {
        let (found, would_do) = words(&refusal, sheet);
        let key = typed_by(table, refusal.key());
        reading.wrong(reading.line_in(path, short(key)), key, found, would_do);
    }
}

/// With sines, N m/A and V s/rad are not the same number: a constant in the unit of the other one is refused.
fn constant_of_the_other_kind(reading: &mut Reading<'_>, path: &str, table: &dyn TableLike) -> bool {
    let before = reading.problems.len();
    for (key, right) in [("drive.torque_constant", 'A'), ("drive.voltage_constant", 'V')] {
        let Some(text) = table.get(short(key)).and_then(Item::as_str) else { continue };
        let Ok((_, unit)) = units::parse_with_unit(Quantity::TorqueConstant, text) else { continue };
        if unit.contains('V') != (right == 'V') {
            let found =
                format!("\"{text}\" is a {} constant", if right == 'V' { "torque" } else { "voltage" });
            let would_do = if right == 'V' {
                "write it at torque_constant, or a number such as \"5 V/1000 min-1\""
            } else {
                "write it at voltage_constant, or a number such as \"0.08 N m/A\""
            };
            reading.wrong(reading.line_in(path, short(key)), key, found, would_do);
        }
    }
    reading.problems.len() > before
}

/// What was found and what would do.
fn words(refusal: &Refusal, sheet: &DataSheet) -> (String, String) {
    let show = |quantity, value| units::show(quantity, value, UnitSystem::Si);
    match *refusal {
        Refusal::Word { found, would_do, .. } => (found.to_owned(), would_do.to_owned()),
        Refusal::Contradicts { of, quantity, makes, by, is, other, share, .. } => {
            let by = if by.is_empty() { String::new() } else { format!(" by {by}") };
            let found = format!(
                "this makes {of} of {}{by}, where {other} makes {}",
                show(quantity, makes),
                show(quantity, is)
            );
            let within =
                format!("write numbers that agree within {:.0} %, or leave one of them out", 100.0 * share);
            let of_a_winding = matches!(quantity, Quantity::TorqueConstant | Quantity::Resistance);
            let words = if sheet.sines() && of_a_winding {
                "; currents, voltages and measured count too"
            } else {
                ""
            };
            (found, within + words)
        }
        Refusal::NotBelow { quantity, value, most, other, .. } => {
            let (value, most) = (show(quantity, value), show(quantity, most));
            (format!("{value} is not below {other}, {most}"), format!("less than {most}, or another {other}"))
        }
        Refusal::Impossible { worked } => {
            let found = format!("works out as {}, {}", show(worked.quantity, worked.value), worked.from);
            let field = DRIVE_FIELDS.iter().find(|field| field.key == worked.key);
            let (low, high) = field.map_or((f64::NAN, f64::NAN), |field| field.possible);
            let (low, high) = (show(worked.quantity, low), show(worked.quantity, high));
            (found, format!("numbers that make it between {low} and {high}"))
        }
        Refusal::Burns { loss_w, k_per_w, most_k_per_w, .. } => {
            let (loss, found) = (show(Quantity::Power, loss_w), show(Quantity::ThermalResistance, k_per_w));
            let most = show(Quantity::ThermalResistance, most_k_per_w);
            let found = format!("{loss} at the rated current over {found} warm the winding without end");
            (found, format!("in all less than {most}, or a smaller rated current"))
        }
        Refusal::Insulation { rise_k, bears_c } => {
            let rise = show(Quantity::TemperatureRise, rise_k);
            let found = format!(
                "at the rated current the winding is {rise} above 40 C, and this class bears {bears_c} C"
            );
            (
                found,
                format!(
                    "a class of more, a rated rise of at most {} K, or less rated current",
                    bears_c - 40.0
                ),
            )
        }
    }
}
