//! Presets of limits: published numbers to start from, each with its clause, its edition and how it is known.

use std::sync::LazyLock;

use tautleaf_physics::{Figure, Judge, Known, Limit, Rule};
use toml_edit::{Document, Item, TableLike};

use crate::limit_keys::limit_key;
use crate::parse_rule::rule;
use crate::reading::{Entry, Reading};

/// The presets as they are written down.
const TEXT: &str = include_str!("../../../assets/limits.toml");

/// One set of published limits.
#[derive(Clone, Debug, PartialEq)]
pub struct Preset {
    /// Name in door files.
    pub name: String,
    /// Name in words.
    pub title: String,
    /// What it is for, and what it is not for.
    pub what_for: String,
    /// Source and edition that its clauses are numbered after.
    pub edition: String,
    /// What has taken the place of that edition, where something is known to have.
    pub superseded: Option<String>,
    /// Its limits.
    pub limits: Vec<Limit>,
}

impl Preset {
    /// Its edition, and what has taken the place of it.
    pub fn standing(&self) -> String {
        match &self.superseded {
            Some(by) => format!("{}, superseded by {by}", self.edition),
            None => self.edition.clone(),
        }
    }
}

static PRESETS: LazyLock<Vec<Preset>> = LazyLock::new(|| match read() {
    Ok(presets) => presets,
    Err(problems) => panic!("assets/limits.toml, which is part of the program, cannot be read:\n{problems}"),
});

/// Every preset, in the order in which they are listed.
pub fn presets() -> &'static [Preset] {
    &PRESETS
}

/// The preset of a name.
pub fn preset(name: &str) -> Option<&'static Preset> {
    presets().iter().find(|preset| preset.name == name)
}

/// How well a number is known, in words.
pub fn known_in_words(known: Known) -> &'static str {
    match known {
        Known::User => "set by the user",
        Known::Rating => "a rating that the door file states",
        Known::Read => "the text of the source was read",
        Known::Reproduced => "a public reproduction of the source was read",
        Known::Quoted => "seen only in trade documents that quote the source",
        Known::MemoryHigh => "from memory, with high confidence",
        Known::MemoryMedium => "from memory, with medium confidence",
        Known::MemoryLow => "from memory, with low confidence",
        Known::SoundDoor => "what a sound door keeps: judgement of this program",
    }
}

/// Whether a number is known well enough to fail a door.
pub fn may_fail_a_door(known: Known) -> bool {
    matches!(known, Known::User | Known::Rating | Known::Read | Known::Reproduced)
}

const KNOWN: &[(&str, Known)] = &[
    ("read", Known::Read),
    ("reproduced", Known::Reproduced),
    ("quoted", Known::Quoted),
    ("memory-high", Known::MemoryHigh),
    ("memory-medium", Known::MemoryMedium),
    ("memory-low", Known::MemoryLow),
];

fn read() -> Result<Vec<Preset>, String> {
    let document = Document::parse(TEXT).map_err(|error| error.to_string())?;
    let mut reading = Reading::new("assets/limits.toml", TEXT);
    let mut presets = Vec::new();
    for (name, item) in document.iter() {
        match item.as_table_like() {
            Some(table) => presets.push(one(&mut reading, name, table)),
            None => reading.wrong(None, name, "found no section", "write one section for each preset"),
        }
    }
    if reading.problems.is_empty() {
        return Ok(presets);
    }
    Err(reading.problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
}

fn one(reading: &mut Reading<'_>, name: &str, table: &dyn TableLike) -> Preset {
    let mut preset = Preset {
        name: name.to_owned(),
        title: required(reading, name, table, "title"),
        what_for: required(reading, name, table, "for"),
        edition: required(reading, name, table, "edition"),
        superseded: table.get("superseded").and_then(Item::as_str).map(str::to_owned),
        limits: Vec::new(),
    };
    for entry in reading.entries(table) {
        if let Some(table) = entry.item.as_table_like() {
            let limit = limit(reading, &preset, entry, table);
            preset.limits.extend(limit);
        }
    }
    preset
}

fn required(reading: &mut Reading<'_>, section: &str, table: &dyn TableLike, key: &str) -> String {
    let text = table.get(key).and_then(Item::as_str);
    if text.is_none() {
        reading.wrong(None, section, format!("has no {key}"), "write a text");
    }
    text.unwrap_or_default().to_owned()
}

fn limit(
    reading: &mut Reading<'_>,
    preset: &Preset,
    entry: Entry<'_>,
    table: &dyn TableLike,
) -> Option<Limit> {
    let key = format!("{}.{}", preset.name, entry.name);
    let inner = reading.entries(table);
    let get = |name: &str| inner.iter().find(|inner| inner.name == name).copied();
    let text = |name: &str| get(name).and_then(|entry| entry.item.as_str());

    let Some(known) = get("known").and_then(|known| reading.choice(&key, known, KNOWN)) else {
        reading.wrong(entry.line, &key, "known", "say how it is known");
        return None;
    };
    let judge = match text("judge") {
        Some("limit") if may_fail_a_door(known) => Judge::Limit,
        Some("advisory") => Judge::Advisory,
        _ => {
            reading.wrong(
                entry.line,
                &key,
                "judge",
                "advisory, or limit where the number is known well enough",
            );
            return None;
        }
    };
    let old = if preset.superseded.is_some() { " (superseded)" } else { "" };
    let edition = format!("{}{old}", preset.edition);
    let source = text("source").unwrap_or(&edition);
    let parts = [Some(source), text("clause"), text("note")];
    let source = parts.into_iter().flatten().collect::<Vec<_>>().join(", ");
    let (figure, rule, unit) = match (text("on_site"), text("rule")) {
        (Some(words), _) => (None, Rule::OnSite(words.to_owned()), ""),
        (_, Some("closing-speed-by-weight")) => {
            (Some(Figure::TopSpeedBeforeCheck), Rule::ClosingSpeedByWeight, "ft/s")
        }
        (_, Some("low-energy-least-time")) => {
            (Some(Figure::ClosingLeastTime90), Rule::LowEnergyLeastTime, "s")
        }
        (_, Some("winding-rise-by-class")) => (Some(Figure::WindingRise), Rule::WindingRiseByClass, "K"),
        (_, Some("winding-temperature-by-class")) => {
            (Some(Figure::WindingTemperature), Rule::WindingTemperatureByClass, "C")
        }
        _ => {
            let Some(judged) = limit_key(text("judges").unwrap_or(entry.name)) else {
                reading.wrong(
                    entry.line,
                    &key,
                    "judges no figure",
                    "name the limit of a door file that it is",
                );
                return None;
            };
            let Some(written) = get("bands").or(get("value")) else {
                reading.wrong(entry.line, &key, "has no value", "write value or bands");
                return None;
            };
            let (rule, unit) = rule(reading, &key, judged, written)?;
            (Some(judged.figure), rule, unit)
        }
    };
    let (key, preset) = (entry.name.to_owned(), Some(preset.name.clone()));
    Some(Limit { key, preset, figure, rule, unit: unit.to_owned(), source, known, judge })
}
