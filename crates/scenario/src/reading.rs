//! A door file being read: its lines, and every problem found so far.

use std::collections::BTreeMap;
use std::ops::Range;

use tautleaf_physics::{Field, Quantity};
use toml_edit::{Item, TableLike, Value};

use crate::problem::{FileProblem, MOST_LISTED};
use crate::problem_words::between;
use crate::units::{self, UnitSystem, quoted};

/// A file being read. Problems are collected, never returned: the reading goes on.
pub(crate) struct Reading<'a> {
    file: &'a str,
    line_starts: Vec<usize>,
    pub units: UnitSystem,
    pub problems: Vec<FileProblem>,
    /// Which force or fault is being read, from 0.
    pub entry: Option<usize>,
    pub lines: BTreeMap<String, usize>,
}

/// One key of a table, with its full name and its line.
#[derive(Clone, Copy)]
pub(crate) struct Entry<'t> {
    pub name: &'t str,
    pub item: &'t Item,
    pub line: usize,
}

impl<'a> Reading<'a> {
    /// Line of a key of one entry, or else of the entry.
    pub fn line_in(&self, entry: &str, key: &str) -> Option<usize> {
        self.lines.get(&format!("{entry}.{key}")).or_else(|| self.lines.get(entry)).copied()
    }

    pub fn new(file: &'a str, text: &str) -> Self {
        let starts = text.bytes().enumerate().filter(|&(_, byte)| byte == b'\n').map(|(at, _)| at + 1);
        Self {
            file,
            line_starts: std::iter::once(0).chain(starts).collect(),
            units: UnitSystem::Si,
            problems: Vec::new(),
            entry: None,
            lines: BTreeMap::new(),
        }
    }

    /// Line of a place in the text, counted from 1.
    pub fn line_at(&self, span: Option<Range<usize>>) -> usize {
        let at = span.map_or(0, |span| span.start);
        self.line_starts.partition_point(|&start| start <= at).max(1)
    }

    /// Notes a problem.
    pub fn wrong(
        &mut self,
        line: impl Into<Option<usize>>,
        key: &str,
        found: impl Into<String>,
        would_do: impl Into<String>,
    ) {
        self.problems.push(FileProblem {
            file: self.file.to_owned(),
            line: line.into(),
            key: shortened(key),
            entry: self.entry,
            found: found.into(),
            would_do: would_do.into(),
        });
    }

    /// The keys of a table in the order of the file.
    pub fn entries<'t>(&self, table: &'t dyn TableLike) -> Vec<Entry<'t>> {
        let entry = |(name, item): (&'t str, &'t Item)| {
            let span = table.key(name).and_then(toml_edit::Key::span).or_else(|| item.span());
            Entry { name, item, line: self.line_at(span) }
        };
        table.iter().map(entry).collect()
    }

    /// A quantity written as text with its unit, or a plain number. Gives SI and the unit written.
    pub fn quantity(
        &mut self,
        key: &str,
        line: usize,
        item: &Item,
        quantity: Quantity,
    ) -> Option<(f64, &'static str)> {
        let plain = quantity == Quantity::Number;
        let number = match item.as_value() {
            Some(Value::String(text)) if !plain => {
                return match units::parse_with_unit(quantity, text.value()) {
                    Ok(read) => Some(read),
                    Err(error) => {
                        self.wrong(line, key, error.found, error.would_do);
                        None
                    }
                };
            }
            Some(Value::String(text)) if ratio_or_share(text.value()).is_some() => {
                return ratio_or_share(text.value()).map(|number| (number, ""));
            }
            Some(Value::Integer(number)) => *number.value() as f64,
            Some(Value::Float(number)) => *number.value(),
            _ => {
                self.wrong(line, key, format!("found {}", described(item)), units::advice(quantity));
                return None;
            }
        };
        if plain && number.is_finite() {
            return Some((number, ""));
        }
        let what = if plain { "is no finite number" } else { "has no unit" };
        self.wrong(line, key, format!("{} {what}", raw(item)), units::advice(quantity));
        None
    }

    /// One number of a door: read, and checked against what is possible.
    pub fn field<T>(&mut self, field: &Field<T>, entry: Entry<'_>, target: &mut T) {
        let Some((value, _)) = self.quantity(field.key, entry.line, entry.item, field.quantity) else {
            return;
        };
        let (low, high) = field.possible;
        if (low..=high).contains(&value) {
            (field.set)(target, Some(value));
            return;
        }
        let possible = between(field.says, field.quantity, field.possible, self.units);
        self.wrong(entry.line, field.key, format!("{} is not possible", raw(entry.item)), possible);
    }

    /// A text.
    pub fn text(&mut self, key: &str, entry: Entry<'_>) -> Option<String> {
        if let Some(text) = entry.item.as_str() {
            return Some(text.to_owned());
        }
        self.wrong(entry.line, key, format!("found {}", described(entry.item)), "write a text in quotes");
        None
    }

    /// One word out of a few.
    pub fn choice<C: Copy>(&mut self, key: &str, entry: Entry<'_>, choices: &[(&str, C)]) -> Option<C> {
        let found = choices.iter().find(|(word, _)| entry.item.as_str() == Some(*word));
        if found.is_none() {
            let words: Vec<String> = choices.iter().map(|(word, _)| format!("\"{word}\"")).collect();
            let found = format!("found {}", described(entry.item));
            self.wrong(entry.line, key, found, format!("write {}", words.join(" or ")));
        }
        found.map(|&(_, choice)| choice)
    }

    /// The table of a section, or a word on what stands in its place.
    pub fn table<'t>(&mut self, key: &str, entry: Entry<'t>) -> Option<&'t dyn TableLike> {
        let table = entry.item.as_table_like();
        if table.is_none() {
            let found = format!("found {}", described(entry.item));
            self.wrong(entry.line, key, found, format!("write a section [{key}]"));
        }
        table
    }

    /// A key that nothing here has. `known` are the keys that would do, `elsewhere` those of other sections.
    pub fn unknown<'k>(
        &mut self,
        section: &str,
        entry: Entry<'_>,
        known: impl Iterator<Item = &'k str> + Clone,
        elsewhere: impl Iterator<Item = &'k str>,
    ) {
        let key =
            if section.is_empty() { entry.name.to_owned() } else { format!("{section}.{}", entry.name) };
        let would_do = if self.problems.len() > MOST_LISTED {
            "this is no door file".to_owned() // no one reads that far
        } else if let Some(nearest) = nearest(entry.name, known.clone()) {
            format!("did you mean \"{nearest}\"?")
        } else if let Some(dotted) =
            { elsewhere }.find(|dotted| dotted.rsplit('.').next() == Some(entry.name))
        {
            format!("did you mean \"{dotted}\"?")
        } else {
            format!("known here: {}", known.collect::<Vec<_>>().join(", "))
        };
        let what =
            if entry.item.is_table_like() { "there is no such section" } else { "there is no such key" };
        self.wrong(entry.line, &key, what, would_do);
    }
}

/// A plain number as data sheets write it: `8:1` is 8, `90 %` is 0.9.
fn ratio_or_share(text: &str) -> Option<f64> {
    let plain = |digits: &str| digits.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    if let Some(percent) = text.trim().strip_suffix('%') {
        return plain(percent).map(|percent| percent / 100.0);
    }
    let (many, one) = text.split_once(':')?;
    let (many, one) = (plain(many)?, plain(one)?);
    (one > 0.0).then(|| many / one)
}

/// The word that is near enough to be what was meant.
pub(crate) fn nearest<'k>(written: &str, known: impl Iterator<Item = &'k str>) -> Option<&'k str> {
    const LONGEST: usize = 60;
    if written.chars().nth(LONGEST).is_some() {
        return None;
    }
    let plain = |text: &str| text.to_lowercase().replace(['-', ' '], "_");
    let written = plain(written);
    let length = written.chars().count();
    let allowed = (length / 3).max(1);
    let distance = |word: &str| match strsim::damerau_levenshtein(&written, word) {
        // the beginning of a word is near to it, however long it is
        far if far > allowed && length > 3 && word.starts_with(&written) => allowed,
        distance => distance,
    };
    known
        .map(|word| (distance(&plain(word)), word))
        .filter(|&(distance, _)| distance <= allowed)
        .min_by_key(|&(distance, _)| distance)
        .map(|(_, word)| word)
}

/// What stands at a key, for a message.
pub(crate) fn described(item: &Item) -> String {
    match item {
        Item::None => "nothing".to_owned(),
        Item::Table(_) | Item::Value(Value::InlineTable(_)) => "a section".to_owned(),
        Item::ArrayOfTables(_) | Item::Value(Value::Array(_)) => "a list".to_owned(),
        Item::Value(_) => raw(item),
    }
}

/// A value as it is written, shortened.
fn raw(item: &Item) -> String {
    match item {
        Item::Value(Value::String(text)) => quoted(text.value()),
        Item::Value(value) => shortened(value.to_string().trim()),
        other => described(other),
    }
}

fn shortened(text: &str) -> String {
    const MOST: usize = 60;
    let mut short: String = text.chars().take(MOST).flat_map(char::escape_debug).collect();
    if text.chars().nth(MOST).is_some() {
        short.push_str("...");
    }
    short
}
