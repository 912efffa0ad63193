//! The keys of a section and the tables of a list, whichever section it is.

use tautleaf_physics::{
    FAULT_FIELDS, FIELDS, FORCE_FIELDS, Field, OBSTACLE_FIELDS, RATING_FIELDS, TELESCOPE_FIELDS,
};
use toml_edit::{Item, TableLike, Value};

use crate::choices::CHOICES;
use crate::reading::{Entry, Reading, described};

/// Most entries of `[[force]]` or `[[fault]]`.
const MOST_LISTED: usize = 100;
/// The keys of `[ratings]` that are no numbers.
const RATING_WORDS: &[&str] = &["ratings.drive", "ratings.belt", "ratings.insulation"];

/// One section of numbers. `words` are its keys that are no numbers; `word` reads them.
pub(crate) fn section<T>(
    reading: &mut Reading<'_>,
    name: &str,
    entry: Entry<'_>,
    fields: &'static [Field<T>],
    target: &mut T,
    words: &[&'static str],
    word: impl Fn(&mut Reading<'_>, Entry<'_>, &mut T),
) {
    if let Some(table) = reading.table(name, entry) {
        keys(reading, name, name, table, fields, target, words, word);
    }
}

/// The keys of a section. Its lines are noted under `path`.
#[allow(clippy::too_many_arguments)]
pub(crate) fn keys<T>(
    reading: &mut Reading<'_>,
    section: &str,
    path: &str,
    table: &dyn TableLike,
    fields: &'static [Field<T>],
    target: &mut T,
    words: &[&'static str],
    word: impl Fn(&mut Reading<'_>, Entry<'_>, &mut T),
) {
    let here = |field: &&'static Field<T>| field.key.split('.').next() == Some(section);
    for entry in reading.entries(table) {
        reading.lines.insert(format!("{path}.{}", entry.name), entry.line);
        let field = fields.iter().filter(here).find(|field| short(field.key) == entry.name);
        if let Some(field) = field {
            reading.field(field, entry, target);
        } else if words.contains(&entry.name) {
            word(reading, entry, target);
        } else {
            let known = fields.iter().filter(here).map(|field| short(field.key)).chain(words.iter().copied());
            reading.unknown(section, entry, known, every_key());
        }
    }
}

/// The tables of a list: `[[force]]`, or a list of inline tables; each with its line and the path of its keys.
pub(crate) fn listed<'a>(
    reading: &mut Reading<'_>,
    section: &str,
    entry: Entry<'a>,
) -> Vec<(String, &'a dyn TableLike)> {
    let tables: Vec<(usize, &dyn TableLike)> = match entry.item {
        Item::ArrayOfTables(tables) => {
            tables.iter().map(|table| (reading.line_at(table.span()), table as &dyn TableLike)).collect()
        }
        Item::Value(Value::Array(list)) if list.iter().all(Value::is_inline_table) => {
            let inline = list.iter().filter_map(Value::as_inline_table);
            inline.map(|table| (entry.line, table as &dyn TableLike)).collect()
        }
        item => {
            let found = format!("found {}", described(item));
            reading.wrong(
                entry.line,
                section,
                found,
                format!("write a section [[{section}]] for each {section}"),
            );
            return Vec::new();
        }
    };
    if tables.len() > MOST_LISTED {
        let found = format!("{} are too many", tables.len());
        reading.wrong(entry.line, section, found, format!("at most {MOST_LISTED}"));
        return Vec::new();
    }
    let numbered = tables.into_iter().enumerate().map(|(index, (line, table))| {
        let path = format!("{section}.{index}");
        reading.lines.insert(path.clone(), line);
        (path, table)
    });
    numbered.collect()
}

/// Key of a field within its section.
pub(crate) fn short(key: &'static str) -> &'static str {
    key.split_once('.').map_or(key, |(_, name)| name)
}

/// Every dotted key of a door file.
pub(crate) fn every_key() -> impl Iterator<Item = &'static str> {
    let fields = FIELDS.iter().map(|field| field.key);
    let obstacle = OBSTACLE_FIELDS.iter().map(|field| field.key);
    let limits = ["limits.presets", "limits.close_margin", "limits.gaps"];
    let words = CHOICES.iter().map(|choice| choice.key);
    let words = words.chain(["force.name", "fault.name", "fault.kind", "fault.hanger", "spread.deviation"]);
    let listed = FORCE_FIELDS.iter().map(|field| field.key).chain(FAULT_FIELDS.iter().map(|field| field.key));
    let obstacle = obstacle.chain(TELESCOPE_FIELDS.iter().map(|field| field.key));
    let words = words.chain(RATING_FIELDS.iter().map(|field| field.key)).chain(RATING_WORDS.iter().copied());
    fields.chain(obstacle).chain(listed).chain(limits).chain(words)
}
