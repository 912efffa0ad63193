//! The sections `[[spread]]` of a door file.

use tautleaf_physics::{Door, Parameters, Quantity};
use tautleaf_trials::spread::{ListedShape, MOST_INPUTS, ShapeError, Spread, SpreadError, inputs_of};
use tautleaf_trials::{NoSuchNumber, Settable};
use toml_edit::TableLike;

use crate::parse_keys::listed;
use crate::problem::FileProblem;
use crate::problem_words::between;
use crate::reading::{Entry, Reading, described, nearest};
use crate::scenario::Scenario;
use crate::units::quoted;

/// The shapes, each with the keys that it has to have and those that it may have.
const SHAPES: &[(&str, &[&str], &[&str])] = &[
    ("uniform", &["from", "to"], &[]),
    ("triangular", &["from", "to"], &["peak"]),
    ("normal", &["deviation"], &["mean"]),
    ("fixed", &[], &[]),
];
/// Every key of a section.
const KEYS: &[&str] = &["key", "shape", "from", "to", "peak", "mean", "deviation", "least", "most"];

/// The quantity of a difference: of temperatures it is another one.
pub(crate) fn difference_of(quantity: Quantity) -> Quantity {
    if quantity == Quantity::Temperature { Quantity::TemperatureRise } else { quantity }
}

/// Reads every section. `p` are the parameters of the same file.
pub(crate) fn spreads(reading: &mut Reading<'_>, entry: Entry<'_>, p: &Parameters) -> Vec<Spread> {
    let tables = listed(reading, "spread", entry);
    tables.into_iter().filter_map(|(path, table)| spread(reading, &path, table, p)).collect()
}

/// One section; `None` where something is wrong with it.
fn spread(reading: &mut Reading<'_>, path: &str, table: &dyn TableLike, p: &Parameters) -> Option<Spread> {
    let before = reading.problems.len();
    let entries = reading.entries(table);
    let line = reading.lines.get(path).copied();
    for entry in &entries {
        reading.lines.insert(format!("{path}.{}", entry.name), entry.line);
        if !KEYS.contains(&entry.name) {
            reading.unknown("spread", *entry, KEYS.iter().copied(), std::iter::empty());
        }
    }
    let find = |name: &str| entries.iter().copied().find(|entry| entry.name == name);
    let settable = match find("key") {
        Some(entry) => settable(reading, entry, p),
        None => {
            let would_do = "write which number spreads, such as key = \"leaf.mass\"";
            reading.wrong(line, "spread.key", "is missing", would_do);
            None
        }
    };
    let words: Vec<(&str, usize)> = SHAPES.iter().map(|(word, _, _)| *word).zip(0..).collect();
    let shape = match find("shape") {
        Some(entry) => reading.choice("spread.shape", entry, &words),
        None => {
            let would_do = "write shape = \"uniform\", \"triangular\", \"normal\" or \"fixed\"";
            reading.wrong(line, "spread.shape", "is missing", would_do);
            None
        }
    };
    let (settable, (word, needed, allowed)) = (settable?, SHAPES[shape?]);
    for entry in entries.iter().filter(|entry| KEYS[2..7].contains(&entry.name)) {
        if !needed.contains(&entry.name) && !allowed.contains(&entry.name) {
            let found = format!("a {word} spread has none");
            let would_do =
                match SHAPES.iter().find(|(_, a, b)| a.contains(&entry.name) || b.contains(&entry.name)) {
                    Some((other, _, _)) => format!("take it away, or write shape = \"{other}\""),
                    None => "take it away".to_owned(),
                };
            reading.wrong(entry.line, &format!("spread.{}", entry.name), found, would_do);
        }
    }
    for name in needed.iter().filter(|name| find(name).is_none()) {
        let would_do = format!("a {word} spread has {}", needed.join(" and "));
        reading.wrong(line, &format!("spread.{name}"), "is missing", would_do);
    }
    let mut value = |name: &str| find(name).and_then(|entry| value(reading, entry, &settable));
    let shape = match word {
        "uniform" => value("from").zip(value("to")).map(|(from, to)| ListedShape::Uniform { from, to }),
        "triangular" => {
            let peak = value("peak");
            value("from").zip(value("to")).map(|(from, to)| ListedShape::Triangular { from, peak, to })
        }
        "normal" => {
            let mean = value("mean");
            value("deviation").map(|deviation| ListedShape::Normal { mean, deviation })
        }
        _ => Some(ListedShape::Fixed),
    };
    let (least, most) = (value("least"), value("most"));
    (reading.problems.len() == before).then_some(Spread { key: settable.key(), shape: shape?, least, most })
}

/// The number that spreads.
fn settable(reading: &mut Reading<'_>, entry: Entry<'_>, p: &Parameters) -> Option<Settable> {
    let key = reading.text("spread.key", entry)?;
    match Settable::find(&key, p) {
        Ok(settable) => Some(settable),
        Err(error) => {
            let found = format!("{}: {error}", quoted(&key));
            reading.wrong(entry.line, "spread.key", found, what_key_would_do(&key, &error, p));
            None
        }
    }
}

/// What to write in the place of a key that this door has not.
pub(crate) fn what_key_would_do(key: &str, error: &NoSuchNumber, p: &Parameters) -> String {
    let keys = Settable::keys(p);
    match error {
        NoSuchNumber::Unknown => match nearest(key, keys.iter().map(String::as_str)) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => "write a key with its section, such as \"leaf.mass\"; `tautleaf resolve FILE` lists them"
                .to_owned(),
        },
        NoSuchNumber::NoPart { part } => format!("write a section [{part}]"),
        NoSuchNumber::NoEntry { part, .. } => {
            format!("write a section [[{part}]], or a number that there is")
        }
    }
}

/// A value of the number, or a difference of two.
fn value(reading: &mut Reading<'_>, entry: Entry<'_>, settable: &Settable) -> Option<f64> {
    let key = format!("spread.{}", entry.name);
    let difference = entry.name == "deviation";
    let quantity = if difference { difference_of(settable.quantity()) } else { settable.quantity() };
    let (value, _) = reading.quantity(&key, entry.line, entry.item, quantity)?;
    let (low, high) = settable.possible();
    if difference && value <= 0.0 {
        let found = format!("{} is not above zero", described(entry.item));
        reading.wrong(entry.line, &key, found, "write a deviation above zero, or shape = \"fixed\"");
        return None;
    }
    if !difference && !(low..=high).contains(&value) {
        let would_do = between(settable.says(), quantity, settable.possible(), reading.units);
        reading.wrong(entry.line, &key, format!("{} is not possible", described(entry.item)), would_do);
        return None;
    }
    Some(value)
}

impl Scenario {
    /// What is wrong with its spreads on this door, which is the checked door of this scenario.
    pub(crate) fn spread_problems(&self, door: &Door) -> Vec<FileProblem> {
        let problems = inputs_of(door, &self.spreads).err().unwrap_or_default();
        problems
            .into_iter()
            .map(|problem| {
                let (name, would_do) = self.remedy(&problem.key, &problem.error);
                let path = format!("spread.{}", problem.place);
                let lines = &self.origin.lines;
                let line = lines.get(&format!("{path}.{name}")).or_else(|| lines.get(&path)).copied();
                let found = format!("{}: {}", problem.key, problem.error);
                FileProblem {
                    file: self.origin.file.clone(),
                    line,
                    key: format!("spread.{name}"),
                    entry: None,
                    found,
                    would_do,
                }
            })
            .collect()
    }

    /// The key of a section to change, and what would do.
    fn remedy(&self, key: &str, error: &SpreadError) -> (&'static str, String) {
        let (name, would_do) = match error {
            SpreadError::Key(error) => return ("key", what_key_would_do(key, error, &self.parameters)),
            SpreadError::Twice => ("key", "keep one of them"),
            SpreadError::NoMiddle => ("shape", "write mean for a normal, peak for a triangular spread"),
            SpreadError::Impossible { .. } => {
                ("shape", "the door's own value is its middle: write another one")
            }
            SpreadError::TooMany => {
                return ("key", format!("at most {MOST_INPUTS}, with those that spread by default"));
            }
            SpreadError::Shape(ShapeError::Ends) => ("to", "write the greater value at \"to\""),
            SpreadError::Shape(ShapeError::Peak) => {
                ("peak", "write a peak between \"from\" and \"to\"; left out, it is the door's own value")
            }
            SpreadError::Shape(ShapeError::Deviation) => ("deviation", "write a deviation above zero"),
            SpreadError::Shape(ShapeError::NothingLeft) => {
                ("most", "write \"least\" and \"most\" so that they leave some of it")
            }
        };
        (name, would_do.to_owned())
    }
}
