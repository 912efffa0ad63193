//! `tautleaf catalogue`: what there is to choose from.

use std::collections::BTreeMap;

use serde::Serialize;
use tautleaf_physics::checks::si_unit;
use tautleaf_physics::{Field, Quantity};
use tautleaf_scenario::{UnitSystem, units};
use tautleaf_trials::choose::catalogue::{BELT_FIELDS, DRIVE_FIELDS};
use tautleaf_trials::choose::{BeltKind, Catalogue, Commutation, Cord, Drive, GearKind};

use crate::columns::{Side, aligned, clipped, folded};
use crate::palette::{Palette, paint};
use crate::table::bulleted;
use crate::words::decimals;
use crate::{PROGRAM, RESULT_SCHEMA, VERSION};

/// The drives and belts of a catalogue, to be listed.
#[derive(Clone, Copy, Debug)]
pub struct CatalogueReport<'a> {
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// Whether the text shows what each drive says, and what was worked out from that.
    pub in_full: bool,
}

#[derive(Serialize)]
struct CatalogueObject<'a> {
    schema: u32,
    program: &'a str,
    version: &'a str,
    drives: Vec<EntryObject<'a>>,
    belts: Vec<EntryObject<'a>>,
}

#[derive(Serialize)]
struct EntryObject<'a> {
    name: &'a str,
    kind: Vec<&'static str>,
    from: &'a str,
    rated_power_w: Option<f64>,
    numbers: Vec<NumberObject>,
    worked_out: Vec<WorkedOutObject>,
    typed: BTreeMap<&'a str, &'a str>,
}

#[derive(Serialize)]
struct WorkedOutObject {
    key: &'static str,
    value: f64,
    unit_si: &'static str,
    from: &'static str,
}

#[derive(Serialize)]
struct NumberObject {
    key: &'static str,
    value: f64,
    unit_si: &'static str,
}

fn numbers<T>(of: &T, fields: &'static [Field<T>]) -> Vec<NumberObject> {
    let number = |field: &Field<T>| {
        (field.get)(of).map(|value| NumberObject { key: field.key, value, unit_si: si_unit(field.quantity) })
    };
    fields.iter().filter_map(number).collect()
}

impl CatalogueReport<'_> {
    /// As one JSON object, SI units beside the numbers.
    ///
    /// # Errors
    /// None that a catalogue can cause: what `serde_json` says.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let drive = |drive: &'_ Drive| {
            let kind = vec![commutation(drive.commutation), gear(drive.gear)];
            (kind, numbers(drive, DRIVE_FIELDS))
        };
        let drives = self.catalogue.drives.iter().map(|entry| {
            let (kind, numbers) = drive(entry);
            let rated_power_w = Some(entry.rated_power_w());
            let worked_out = entry.worked_out.iter().map(|worked| WorkedOutObject {
                key: worked.key,
                value: worked.value,
                unit_si: si_unit(worked.quantity),
                from: worked.from,
            });
            let worked_out = worked_out.collect();
            let typed =
                entry.typed.iter().map(|(key, text)| (key.as_str(), text.trim_matches('"'))).collect();
            EntryObject {
                name: &entry.name,
                kind,
                from: &entry.from,
                rated_power_w,
                numbers,
                worked_out,
                typed,
            }
        });
        let belts = self.catalogue.belts.iter().map(|entry| EntryObject {
            name: &entry.name,
            kind: vec![cord(entry.cord)],
            from: &entry.from,
            rated_power_w: None,
            numbers: numbers(entry, BELT_FIELDS),
            worked_out: Vec::new(),
            typed: BTreeMap::new(),
        });
        serde_json::to_string_pretty(&CatalogueObject {
            schema: RESULT_SCHEMA,
            program: PROGRAM,
            version: VERSION,
            drives: drives.collect(),
            belts: belts.collect(),
        })
    }

    /// As text, at most 100 columns wide.
    pub fn text(&self, palette: &Palette) -> String {
        use Side::{Left, Right};
        let show = |quantity, value| units::show(quantity, value, UnitSystem::Si);
        let mut rows = vec![
            ["", "rated", "peak torque", "at the rim", "rated speed", "shaft load"]
                .map(str::to_owned)
                .to_vec(),
        ];
        rows.extend(self.catalogue.drives.iter().map(|drive| {
            let radius = drive.pulley_diameter_m / 2.0;
            vec![
                clipped(&drive.name, 40),
                show(Quantity::Current, drive.rated_current_a),
                show(Quantity::Torque, drive.peak_torque_n_m),
                format!("{} N", decimals(drive.peak_torque_n_m / radius, 0)),
                format!("{} m/s", decimals(drive.rated_speed_rad_per_s() / drive.ratio * radius, 2)),
                show(Quantity::Force, drive.shaft_load_n),
            ]
        }));
        let mut lines = Vec::new();
        if !self.catalogue.drives.is_empty() {
            lines.push(paint(palette.heading, &format!("Drives, {}", self.catalogue.drives.len())));
            let sides = [Left, Right, Right, Right, Right, Right];
            lines.extend(aligned(&rows, &sides).into_iter().map(|line| format!("  {line}")));
            lines.push(String::new());
        }
        if self.in_full {
            lines.extend(self.catalogue.drives.iter().flat_map(|drive| in_full(drive, palette)));
        }
        let mut rows = vec![
            ["", "pitch", "width", "stiffness", "mass", "bears", "teeth from"].map(str::to_owned).to_vec(),
        ];
        rows.extend(self.catalogue.belts.iter().map(|belt: &BeltKind| {
            vec![
                clipped(&belt.name, 28),
                show(Quantity::ShortLength, belt.pitch_m),
                show(Quantity::ShortLength, belt.width_m),
                show(Quantity::SpecificStiffness, belt.specific_stiffness_n_per_m),
                show(Quantity::SpecificMass, belt.specific_mass_kg_per_m2),
                show(Quantity::Force, belt.allowable_tension_n()),
                decimals(belt.least_teeth, 0),
            ]
        }));
        if !self.catalogue.belts.is_empty() {
            lines.push(paint(palette.heading, &format!("Belts, {}", self.catalogue.belts.len())));
            let sides = [Left, Right, Right, Right, Right, Right, Right];
            lines.extend(aligned(&rows, &sides).into_iter().map(|line| format!("  {line}")));
        }
        let rim = "Force and speed at the rim are with the pulley that the shaft is made for.";
        let notes = if self.in_full {
            vec![
                rim.to_owned(),
                "What was worked out stands as the model has it: one direct current between two terminals, resistance and torque \
                 constant at 25 C. Every number of each, in SI: --json."
                    .to_owned(),
            ]
        } else {
            vec![
                format!("All of the program's own are invented, generic ones; none is a product. {rim}"),
                "Every number of each: --json. Your own beside them: --catalogue DIR, files of sections [[drive]] and [[belt]]. An entry \
                 to type a data sheet into: --new FILE. What it says and what follows from that: tautleaf catalogue FILE."
                    .to_owned(),
            ]
        };
        while lines.last().is_some_and(String::is_empty) {
            lines.pop();
        }
        lines.extend(bulleted("Notes", &notes, palette));
        lines.join("\n") + "\n"
    }
}

/// What the entry of a drive says, and what was worked out from that and how.
fn in_full(drive: &Drive, palette: &Palette) -> Vec<String> {
    let mut lines = vec![paint(palette.heading, &format!("{}, as typed", clipped(&drive.name, 60)))];
    let rows: Vec<Vec<String>> = drive
        .typed
        .iter()
        .filter(|(key, _)| key != "name")
        .map(|(key, text)| vec![key.clone(), clipped(text.trim_matches('"'), 50)])
        .collect();
    lines.extend(aligned(&rows, &[Side::Left, Side::Left]).into_iter().map(|line| format!("  {line}")));
    lines.push(String::new());
    if !drive.worked_out.is_empty() {
        lines.push(paint(palette.heading, &format!("{}, worked out", clipped(&drive.name, 60))));
        let rows: Vec<Vec<String>> = drive
            .worked_out
            .iter()
            .map(|worked| {
                let value = units::show(worked.quantity, worked.value, UnitSystem::Si);
                vec![worked.key.trim_start_matches("drive.").to_owned(), value, worked.from.to_owned()]
            })
            .collect();
        let columns = aligned(&rows, &[Side::Left, Side::Right, Side::Left]);
        lines.extend(columns.iter().flat_map(|line| folded(line, "  ", "      ")));
        lines.push(String::new());
    }
    lines
}

fn commutation(commutation: Commutation) -> &'static str {
    match commutation {
        Commutation::Brushed => "brushed",
        Commutation::Brushless => "brushless",
    }
}

fn gear(gear: GearKind) -> &'static str {
    match gear {
        GearKind::Worm => "worm",
        GearKind::Planetary => "planetary",
        GearKind::Direct => "direct",
    }
}

fn cord(cord: Cord) -> &'static str {
    match cord {
        Cord::Steel => "steel",
        Cord::Glass => "glass",
        Cord::Aramid => "aramid",
    }
}
