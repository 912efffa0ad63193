//! The section `[ratings]` of a door file: drive and belt by name, and what they are rated for.

use tautleaf_physics::parameters::InsulationClass;
use tautleaf_physics::{RATING_FIELDS, Ratings};

use crate::parse_keys::keys;
use crate::reading::{Entry, Reading};

/// The words for insulation classes.
pub(crate) const CLASSES: &[(&str, InsulationClass)] = &[
    ("A", InsulationClass::A),
    ("E", InsulationClass::E),
    ("B", InsulationClass::B),
    ("F", InsulationClass::F),
    ("H", InsulationClass::H),
];

/// Reads the whole section.
pub(crate) fn ratings(reading: &mut Reading<'_>, entry: Entry<'_>) -> Ratings {
    let mut ratings = Ratings::default();
    let Some(table) = reading.table("ratings", entry) else { return ratings };
    let words = &["drive", "belt", "insulation"];
    keys(
        reading,
        "ratings",
        "ratings",
        table,
        RATING_FIELDS,
        &mut ratings,
        words,
        |reading, entry, ratings| match entry.name {
            "drive" => ratings.drive = name(reading, "ratings.drive", entry),
            "belt" => ratings.belt = name(reading, "ratings.belt", entry),
            _ => ratings.insulation = reading.choice("ratings.insulation", entry, CLASSES),
        },
    );
    ratings
}

/// A name that can stand in a line of a report.
pub(crate) fn name(reading: &mut Reading<'_>, key: &str, entry: Entry<'_>) -> String {
    const LONGEST: usize = 60;
    let name = reading.text(key, entry).unwrap_or_default();
    let plain = name.trim() == name && !name.is_empty() && !name.chars().any(char::is_control);
    if entry.item.is_str() && (!plain || name.chars().count() > LONGEST) {
        let found = format!("found {:?}", name.chars().take(LONGEST).collect::<String>());
        reading.wrong(
            entry.line,
            key,
            found,
            format!("write a name of 1 to {LONGEST} characters in one line"),
        );
    }
    name
}
