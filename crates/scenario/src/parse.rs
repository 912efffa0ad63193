//! A door file's text -> scenario. Every problem in one go.

use tautleaf_physics::parameters::{
    Arrangement, Fault, FaultKind, Hanger, LeafForce, Obstacle, Parameters, Telescope,
};
use tautleaf_physics::{Door, FAULT_FIELDS, FIELDS, FORCE_FIELDS, OBSTACLE_FIELDS, TELESCOPE_FIELDS};
use toml_edit::{Document, TableLike};

use crate::choices::{Choice, choices_of};
use crate::parse_keys::{every_key, keys, listed, section, short};
use crate::parse_limits;
use crate::parse_ratings;
use crate::parse_spread;
use crate::problem::ReadError;
use crate::reading::{Entry, Reading, described};
use crate::scenario::{Origin, Scenario};
use crate::units::UnitSystem;

/// The schema that this version reads and writes.
pub const SCHEMA: i64 = 1;
/// Largest door file, bytes.
pub const LARGEST_FILE: u64 = 1 << 20;

/// Keys at the top of a door file.
pub(crate) const TOP_KEYS: &[&str] = &["schema", "title", "shows", "units", "arrangement"];
/// Sections of a door file, in the order in which they are written.
pub(crate) const SECTIONS: &[&str] = &[
    "leaf",
    "telescope",
    "edge",
    "rear",
    "rollers",
    "seal",
    "rail",
    "guide",
    "weather",
    "belt",
    "pulleys",
    "gear",
    "motor",
    "supply",
    "opening",
    "closing",
    "controller",
    "obstruction",
    "stoppers",
    "timeline",
    "duty",
    "tester",
    "workbench",
    "obstacle",
    "force",
    "fault",
    "ratings",
    "limits",
    "spread",
];
/// The words for how the leaves hang.
pub(crate) const ARRANGEMENTS: &[(&str, Arrangement)] =
    &[("away", Arrangement::Away), ("towards", Arrangement::Towards), ("bi-parting", Arrangement::BiParting)];
/// The words for the shape of a fault of rail or roller.
pub(crate) const FAULT_KINDS: &[(&str, FaultKind)] = &[
    ("sag", FaultKind::Sag),
    ("step", FaultKind::Step),
    ("bump", FaultKind::Bump),
    ("flat", FaultKind::Flat),
];
/// The words for the two hangers of a leaf.
pub(crate) const HANGERS: &[(&str, Hanger)] = &[("leading", Hanger::Leading), ("trailing", Hanger::Trailing)];
const UNITS: &[(&str, UnitSystem)] = &[("SI", UnitSystem::Si), ("US", UnitSystem::Us)];

/// Reads a door file's text. `name` is what problems call the file.
///
/// # Errors
/// Every problem of the text: syntax, schema, unknown keys, units, impossible values, and what cannot be built.
pub fn parse(text: &str, name: &str) -> Result<Scenario, ReadError> {
    if text.len() as u64 > LARGEST_FILE {
        let found = format!("{} bytes are too many for a door file", text.len());
        return Err(ReadError::whole(name, found, "a door file has at most 1 MiB"));
    }
    if text.contains('\0') {
        return Err(ReadError::whole(name, "this is not text", "a door file is text in TOML"));
    }
    if text.trim().is_empty() {
        return Err(ReadError::whole(name, "the file is empty", "`tautleaf new` writes one to start from"));
    }
    let mut reading = Reading::new(name, text);
    let document = match Document::parse(text) {
        Ok(document) => document,
        Err(error) => {
            syntax(&mut reading, text, &error);
            return Err(ReadError { problems: reading.problems });
        }
    };
    if !schema(&mut reading, document.as_table()) {
        return Err(ReadError { problems: reading.problems });
    }
    let mut scenario = Scenario::default();
    let door_was_read = top(&mut reading, document.as_table(), &mut scenario);
    scenario.origin =
        Origin { file: name.to_owned(), text: text.to_owned(), lines: std::mem::take(&mut reading.lines) };
    if door_was_read {
        // Only now does it make sense to ask what cannot be built together.
        match Door::try_from(scenario.parameters.clone()) {
            Err(wrong) => reading.problems.extend(scenario.refusal(&wrong).problems),
            // what was not read is not there to be checked
            Ok(door) if reading.problems.is_empty() => {
                reading.problems.extend(scenario.spread_problems(&door))
            }
            Ok(_) => {}
        }
    }
    if reading.problems.is_empty() {
        return Ok(scenario);
    }
    reading.problems.sort_by_key(|problem| problem.line);
    Err(ReadError { problems: reading.problems })
}

/// One message for text that is not TOML.
pub(crate) fn syntax(reading: &mut Reading<'_>, text: &str, error: &toml_edit::TomlError) {
    let line = reading.line_at(error.span());
    let at = error.span().and_then(|span| text.get(span)).map(str::trim).unwrap_or_default();
    let message = error.message();
    if message.contains("duplicate key") {
        let key = at.trim_matches(['[', ']']);
        return reading.wrong(line, key, "this key or section is written twice", "keep one of them");
    }
    if message.contains("recurs") {
        return reading.wrong(
            line,
            "",
            "sections or lists are nested too deeply",
            "a door file has two levels",
        );
    }
    let would_do = if message.contains("overflow") {
        "write a number that a computer can hold"
    } else {
        "write TOML: sections such as [leaf], keys such as mass = \"80 kg\", text and quantities in quotes"
    };
    reading.wrong(line, "", format!("cannot be read: {message}"), would_do);
}

/// Whether the file is of a schema that can be read.
pub(crate) fn schema(reading: &mut Reading<'_>, root: &dyn TableLike) -> bool {
    let entries = reading.entries(root);
    let Some(entry) = entries.iter().find(|entry| entry.name == "schema") else {
        reading.wrong(None, "schema", "is missing", format!("write schema = {SCHEMA} at the top"));
        return true;
    };
    match entry.item.as_integer() {
        Some(SCHEMA) => true,
        Some(newer) if newer > SCHEMA => {
            let found = format!("this file has schema {newer}, written by a newer tautleaf");
            reading.wrong(entry.line, "schema", found, format!("this one reads schema {SCHEMA}: update it"));
            false
        }
        _ => {
            let found = format!("found {}", described(entry.item));
            reading.wrong(entry.line, "schema", found, format!("write schema = {SCHEMA}"));
            true
        }
    }
}

/// Everything at the top of the file. Tells whether every number of the door could be read.
fn top(reading: &mut Reading<'_>, root: &dyn TableLike, scenario: &mut Scenario) -> bool {
    let entries = reading.entries(root);
    if let Some(&units) = entries.iter().find(|entry| entry.name == "units") {
        reading.units = reading.choice("units", units, UNITS).unwrap_or_default();
        scenario.units = reading.units;
    }
    let before = reading.problems.len();
    let p = &mut scenario.parameters;
    for &entry in &entries {
        reading.lines.insert(entry.name.to_owned(), entry.line);
        match entry.name {
            "schema" | "units" | "ratings" | "limits" | "spread" => {}
            "title" => scenario.title = reading.text("title", entry).unwrap_or_default(),
            "shows" => scenario.shows = reading.text("shows", entry).unwrap_or_default(),
            "arrangement" => {
                p.arrangement = reading.choice("arrangement", entry, ARRANGEMENTS).unwrap_or_default();
            }
            "obstacle" => {
                let mut obstacle = Obstacle::default();
                section(reading, "obstacle", entry, OBSTACLE_FIELDS, &mut obstacle, &[], |_, _, _| ());
                p.obstacle = Some(obstacle);
            }
            "telescope" => {
                let mut telescope = Telescope::default();
                section(reading, "telescope", entry, TELESCOPE_FIELDS, &mut telescope, &[], |_, _, _| ());
                p.telescope = Some(telescope);
            }
            "force" => forces(reading, entry, p),
            "fault" => faults(reading, entry, p),
            name if SECTIONS.contains(&name) => {
                let words: Vec<&str> = choices_of(name).map(|choice| short(choice.key)).collect();
                section(reading, name, entry, FIELDS, p, &words, |reading, entry, p| {
                    let choice = choices_of(name).find(|choice| short(choice.key) == entry.name);
                    choice.into_iter().for_each(|choice| chosen(reading, entry, choice, p));
                });
            }
            _ => reading.unknown("", entry, TOP_KEYS.iter().chain(SECTIONS).copied(), every_key()),
        }
    }
    if let (Some(_), Some(&line)) =
        (reading.lines.get("leaf.glass_thickness"), reading.lines.get("leaf.mass"))
    {
        let found = "is given beside leaf.glass_thickness, from which it is worked out";
        reading.wrong(line, "leaf.mass", found, "keep one of them");
    }
    let door_was_read = reading.problems.len() == before;
    if let Some(&entry) = entries.iter().find(|entry| entry.name == "ratings") {
        scenario.ratings = parse_ratings::ratings(reading, entry);
        let left_out = |key: &str| !reading.lines.contains_key(key);
        let (current, class) = (left_out("motor.rated_current"), left_out("motor.insulation"));
        scenario.ratings.apply_to_motor(&mut scenario.parameters, current, class);
    }
    if let Some(&entry) = entries.iter().find(|entry| entry.name == "limits") {
        parse_limits::limits(reading, entry, &mut scenario.limits);
    }
    if let Some(&entry) = entries.iter().find(|entry| entry.name == "spread") {
        scenario.spreads = parse_spread::spreads(reading, entry, &scenario.parameters);
    }
    door_was_read
}

/// A key that takes one word.
fn chosen(reading: &mut Reading<'_>, entry: Entry<'_>, choice: &Choice, p: &mut Parameters) {
    let words: Vec<(&str, usize)> = choice.words.iter().copied().zip(0..).collect();
    if let Some(index) = reading.choice(choice.key, entry, &words) {
        (choice.set)(p, index);
    }
}

/// What is wrong with rail or rollers.
fn faults(reading: &mut Reading<'_>, entry: Entry<'_>, p: &mut Parameters) {
    for (n, (path, table)) in listed(reading, "fault", entry).into_iter().enumerate() {
        reading.entry = Some(n);
        let mut fault = Fault::default();
        let words = &["name", "kind", "leaf", "hanger"];
        keys(reading, "fault", &path, table, FAULT_FIELDS, &mut fault, words, |reading, entry, fault| {
            match entry.name {
                "name" => fault.name = reading.text("fault.name", entry).unwrap_or_default(),
                "kind" => fault.kind = reading.choice("fault.kind", entry, FAULT_KINDS).unwrap_or_default(),
                "hanger" => fault.hanger = reading.choice("fault.hanger", entry, HANGERS).unwrap_or_default(),
                _ => fault.leaf = which_leaf(reading, "fault.leaf", entry).unwrap_or(1),
            }
        });
        p.faults.push(fault);
    }
    reading.entry = None;
}

/// Everything else that pulls or pushes a leaf.
fn forces(reading: &mut Reading<'_>, entry: Entry<'_>, p: &mut Parameters) {
    for (n, (path, table)) in listed(reading, "force", entry).into_iter().enumerate() {
        reading.entry = Some(n);
        let mut force = LeafForce::default();
        let words = &["name", "leaf"];
        keys(reading, "force", &path, table, FORCE_FIELDS, &mut force, words, |reading, entry, force| {
            if entry.name == "name" {
                force.name = reading.text("force.name", entry).unwrap_or_default();
            } else {
                force.leaf = which_leaf(reading, "force.leaf", entry);
            }
        });
        p.forces.push(force);
    }
    reading.entry = None;
}

fn which_leaf(reading: &mut Reading<'_>, key: &str, entry: Entry<'_>) -> Option<usize> {
    let leaf = entry.item.as_integer().and_then(|leaf| usize::try_from(leaf).ok()).filter(|&leaf| leaf > 0);
    if leaf.is_none() {
        let found = format!("found {}", described(entry.item));
        let would_do =
            if key == "force.leaf" { "write 1 or 2, or leave it out for every leaf" } else { "write 1 or 2" };
        reading.wrong(entry.line, key, found, would_do);
    }
    leaf
}
