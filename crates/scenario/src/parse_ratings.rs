//! The section `[ratings]` of a door file: drive and belt by name, and what they are rated for.

use tautleaf_physics::parameters::InsulationClass;
use tautleaf_physics::{RATING_FIELDS, Ratings};

use crate::parse_keys::keys;
use crate::reading::{Entry, Reading};

/// Most characters of a name.
const LONGEST_NAME: usize = 60;

/// The words for insulation classes.
pub const CLASSES: &[(&str, InsulationClass)] = &[
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
    let name = reading.text(key, entry).unwrap_or_default();
    if let Err(would_do) = check_name(&name)
        && entry.item.is_str()
    {
        let found = format!("found {:?}", name.chars().take(LONGEST_NAME).collect::<String>());
        reading.wrong(entry.line, key, found, would_do);
    }
    name
}

/// Whether a text can name a drive or a belt: it stands in a line of a report.
///
/// # Errors
/// What would do, where it cannot.
pub fn check_name(name: &str) -> Result<(), String> {
    let plain = name.trim() == name && !name.is_empty() && !name.chars().any(char::is_control);
    if plain && name.chars().count() <= LONGEST_NAME {
        return Ok(());
    }
    Err(format!("write a name of 1 to {LONGEST_NAME} characters in one line"))
}
