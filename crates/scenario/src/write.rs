//! Scenario -> text. A file that was read keeps its comments and whatever has not changed.

use tautleaf_physics::parameters::{Fault, FaultKind, Hanger, LeafForce, Obstacle};
use tautleaf_physics::{
    Band, FAULT_FIELDS, FIELDS, FORCE_FIELDS, Field, Judge, Limit, OBSTACLE_FIELDS, Quantity, RATING_FIELDS,
    Ratings, Rule, TELESCOPE_FIELDS,
};
use tautleaf_trials::Settable;
use tautleaf_trials::spread::{ListedShape, Spread};
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, TableLike, Value};

use crate::choices::CHOICES;
use crate::limit_keys::{LIMIT_KEYS, limit_key};
use crate::parse::{ARRANGEMENTS, FAULT_KINDS, HANGERS, SCHEMA, parse};
use crate::parse_keys::short;
use crate::parse_ratings::CLASSES;
use crate::parse_spread::difference_of;
use crate::scenario::{LimitSettings, Scenario};
use crate::units::{self, UnitSystem};

/// The text of a door file that reads back as this scenario.
///
/// A scenario that came from a file changes only what differs from that file. Otherwise what differs from the
/// defaults is written.
pub fn to_text(scenario: &Scenario) -> String {
    let changed = parse(&scenario.origin.text, "").ok().and_then(|mut before| {
        before.motor_follows(&scenario.ratings);
        let document = scenario.origin.text.parse().ok()?;
        let text = changed(document, &before, scenario);
        parse(&text, "").is_ok_and(|after| after == *scenario).then_some(text)
    });
    changed.unwrap_or_else(|| {
        let mut document = DocumentMut::new();
        document.insert("schema", SCHEMA.into());
        changed_from_default(document, scenario)
    })
}

fn changed_from_default(mut document: DocumentMut, scenario: &Scenario) -> String {
    document.insert("title", scenario.title.as_str().into());
    document.insert("shows", scenario.shows.as_str().into());
    document.insert("units", units_word(scenario.units).into());
    let mut before = Scenario {
        title: scenario.title.clone(),
        shows: scenario.shows.clone(),
        units: scenario.units,
        ..Scenario::default()
    };
    before.motor_follows(&scenario.ratings);
    changed(document, &before, scenario)
}

fn units_word(system: UnitSystem) -> &'static str {
    if system == UnitSystem::Us { "US" } else { "SI" }
}

fn word_for<C: PartialEq>(words: &[(&'static str, C)], choice: &C) -> Option<Value> {
    words.iter().find(|(_, one)| one == choice).map(|&(word, _)| word.into())
}

/// The document with every difference between `before` and `after` written into it.
fn changed(mut document: DocumentMut, before: &Scenario, after: &Scenario) -> String {
    let root = document.as_table_mut();
    if after.title != before.title {
        set(root, "title", after.title.as_str().into());
    }
    if after.shows != before.shows {
        set(root, "shows", after.shows.as_str().into());
    }
    if after.units != before.units {
        set(root, "units", units_word(after.units).into());
    }
    let (old, new) = (&before.parameters, &after.parameters);
    if new.arrangement != old.arrangement {
        set_word(root, "arrangement", word_for(ARRANGEMENTS, &new.arrangement));
    }
    for field in FIELDS {
        if differs((field.get)(old), (field.get)(new)) {
            let section = field.key.split('.').next().unwrap_or_default();
            let value = (field.get)(new).map(|value| number(field.quantity, value, after.units));
            set_or_remove(section_of(root, section), short(field.key), value);
        }
    }
    for choice in CHOICES {
        let now = (choice.get)(new);
        if now != (choice.get)(old) {
            let section = choice.key.split('.').next().unwrap_or_default();
            let word = choice.words.get(now).map(|&word| word.into());
            set_word(section_of(root, section), short(choice.key), word);
        }
    }
    if new.obstacle != old.obstacle {
        match &new.obstacle {
            Some(obstacle) => {
                let fresh = old.obstacle.is_none();
                let old = old.obstacle.unwrap_or_default();
                obstacle_into(section_of(root, "obstacle"), &old, obstacle, fresh, after.units);
            }
            None => drop(root.remove("obstacle")),
        }
    }
    if new.telescope != old.telescope {
        match &new.telescope {
            Some(telescope) => {
                let fresh = old.telescope.is_none();
                let old = old.telescope.unwrap_or_default();
                let table = section_of(root, "telescope");
                numbers_into(table, TELESCOPE_FIELDS, &old, telescope, after.units);
                if fresh {
                    set(table, "tension", number(Quantity::Force, telescope.tension_n, after.units));
                }
            }
            None => drop(root.remove("telescope")),
        }
    }
    if new.forces != old.forces {
        root.remove("force");
        if !new.forces.is_empty() {
            let tables = new.forces.iter().map(|force| force_table(force, after.units));
            root.insert("force", Item::ArrayOfTables(tables.collect::<ArrayOfTables>()));
        }
    }
    if new.faults != old.faults {
        root.remove("fault");
        if !new.faults.is_empty() {
            let tables = new.faults.iter().map(|fault| fault_table(fault, after.units));
            root.insert("fault", Item::ArrayOfTables(tables.collect::<ArrayOfTables>()));
        }
    }
    if after.ratings != before.ratings {
        if after.ratings.is_empty() {
            root.remove("ratings");
        } else {
            ratings_into(section_of(root, "ratings"), &before.ratings, &after.ratings, after.units);
        }
    }
    if after.limits != before.limits {
        limits_into(section_of(root, "limits"), &before.limits, &after.limits, after.units);
    }
    if after.spreads != before.spreads {
        root.remove("spread");
        if !after.spreads.is_empty() {
            let tables = after.spreads.iter().map(|spread| spread_table(spread, after));
            root.insert("spread", Item::ArrayOfTables(tables.collect::<ArrayOfTables>()));
        }
    }
    document.to_string()
}

/// Whether two numbers are not the same to the last bit.
fn differs(old: Option<f64>, new: Option<f64>) -> bool {
    old.map(f64::to_bits) != new.map(f64::to_bits)
}

fn number(quantity: Quantity, value: f64, system: UnitSystem) -> Value {
    if quantity == Quantity::Number {
        return if value.fract() == 0.0 && value.abs() < 1e15 && value.to_bits() != (-0.0f64).to_bits() {
            (value as i64).into()
        } else {
            value.into()
        };
    }
    units::format(quantity, value, system).into()
}

/// The table of a section; it is added where there is none.
fn section_of<'t>(root: &'t mut Table, name: &str) -> &'t mut dyn TableLike {
    let item = root.entry(name).or_insert(toml_edit::table());
    if !item.is_table_like() {
        *item = toml_edit::table();
    }
    item.as_table_like_mut().expect("it was just made one")
}

/// Sets a key; what stands around its old value, such as a comment, stays.
fn set(table: &mut dyn TableLike, key: &str, mut value: Value) {
    if let Some(old) = table.get(key).and_then(Item::as_value) {
        *value.decor_mut() = old.decor().clone();
    }
    match table.get_mut(key) {
        Some(item) => *item = Item::Value(value),
        None => drop(table.insert(key, Item::Value(value))),
    }
}

fn set_word(table: &mut dyn TableLike, key: &str, word: Option<Value>) {
    if let Some(word) = word {
        set(table, key, word);
    }
}

fn set_or_remove(table: &mut dyn TableLike, key: &str, value: Option<Value>) {
    match value {
        Some(value) => set(table, key, value),
        None => drop(table.remove(key)),
    }
}

fn numbers_into<T>(
    table: &mut dyn TableLike,
    fields: &'static [Field<T>],
    old: &T,
    new: &T,
    system: UnitSystem,
) {
    for field in fields {
        if differs((field.get)(old), (field.get)(new)) {
            let value = (field.get)(new).map(|value| number(field.quantity, value, system));
            set_or_remove(table, short(field.key), value);
        }
    }
}

fn obstacle_into(table: &mut dyn TableLike, old: &Obstacle, new: &Obstacle, fresh: bool, system: UnitSystem) {
    numbers_into(table, OBSTACLE_FIELDS, old, new, system);
    if fresh {
        // A section with no key would not say what stands there.
        set(table, "gap", number(Quantity::Length, new.gap_m, system));
    }
}

fn force_table(force: &LeafForce, system: UnitSystem) -> Table {
    let mut table = Table::new();
    set(&mut table, "name", force.name.as_str().into());
    if let Some(leaf) = force.leaf {
        set(&mut table, "leaf", i64::try_from(leaf).unwrap_or(i64::MAX).into());
    }
    numbers_into(&mut table, FORCE_FIELDS, &LeafForce::default(), force, system);
    table
}

fn fault_table(fault: &Fault, system: UnitSystem) -> Table {
    let mut table = Table::new();
    set(&mut table, "name", fault.name.as_str().into());
    set_word(&mut table, "kind", word_for(FAULT_KINDS, &fault.kind));
    if fault.kind == FaultKind::Flat || fault.leaf != 1 || fault.hanger != Hanger::default() {
        set(&mut table, "leaf", i64::try_from(fault.leaf).unwrap_or(i64::MAX).into());
        set_word(&mut table, "hanger", word_for(HANGERS, &fault.hanger));
    }
    numbers_into(&mut table, FAULT_FIELDS, &Fault::default(), fault, system);
    table
}

fn spread_table(spread: &Spread, scenario: &Scenario) -> Table {
    let quantity = Settable::find(&spread.key, &scenario.parameters)
        .map_or(Quantity::Number, |settable| settable.quantity());
    let (word, own) = match spread.shape {
        ListedShape::Fixed => ("fixed", vec![]),
        ListedShape::Uniform { from, to } => ("uniform", vec![("from", Some(from)), ("to", Some(to))]),
        ListedShape::Triangular { from, peak, to } => {
            ("triangular", vec![("from", Some(from)), ("peak", peak), ("to", Some(to))])
        }
        ListedShape::Normal { mean, deviation } => {
            ("normal", vec![("mean", mean), ("deviation", Some(deviation))])
        }
    };
    let mut table = Table::new();
    set(&mut table, "key", spread.key.as_str().into());
    set(&mut table, "shape", word.into());
    for (name, value) in own.into_iter().chain([("least", spread.least), ("most", spread.most)]) {
        if let Some(value) = value {
            let quantity = if name == "deviation" { difference_of(quantity) } else { quantity };
            set(&mut table, name, number(quantity, value, scenario.units));
        }
    }
    table
}

fn ratings_into(table: &mut dyn TableLike, old: &Ratings, new: &Ratings, system: UnitSystem) {
    for (key, old, new) in [("drive", &old.drive, &new.drive), ("belt", &old.belt, &new.belt)] {
        if new != old {
            set_or_remove(table, key, Some(new.as_str().into()).filter(|_| !new.is_empty()));
        }
    }
    numbers_into(table, RATING_FIELDS, old, new, system);
    if new.insulation != old.insulation {
        set_or_remove(table, "insulation", new.insulation.and_then(|class| word_for(CLASSES, &class)));
    }
}

fn limits_into(table: &mut dyn TableLike, old: &LimitSettings, new: &LimitSettings, system: UnitSystem) {
    if new.presets != old.presets {
        set(table, "presets", new.presets.iter().map(String::as_str).collect::<Array>().into());
    }
    if differs(Some(old.close_margin), Some(new.close_margin)) {
        set(table, "close_margin", new.close_margin.into());
    }
    if new.gaps_m != old.gaps_m {
        match &new.gaps_m {
            Some(gaps) => {
                let gaps = gaps.iter().map(|&gap| units::format(Quantity::ShortLength, gap, system));
                set(table, "gaps", gaps.collect::<Array>().into());
            }
            None => drop(table.remove("gaps")),
        }
    }
    if new.own == old.own {
        return;
    }
    for known in LIMIT_KEYS.iter() {
        table.remove(known.key);
    }
    for limit in &new.own {
        if let Some(value) = limit_value(limit) {
            set(table, &limit.key, value);
        }
    }
}

/// A limit that the user set, as it stands in a file; `None` for a rule that no file can hold.
fn limit_value(limit: &Limit) -> Option<Value> {
    let quantity = limit_key(&limit.key)?.quantity();
    let values: Vec<f64> = match &limit.rule {
        Rule::AtMost(value) | Rule::AtLeast(value) => vec![*value],
        Rule::AtMostByGap(bands) => bands.iter().map(|band| band.at_most).collect(),
        _ => return None,
    };
    // All in the unit in which they were written, or all in the SI unit.
    let as_written: Option<Vec<String>> =
        values.iter().map(|&value| units::format_in(quantity, value, &limit.unit)).collect();
    let exact = as_written.is_some();
    let base = units::base_unit(quantity);
    let texts = as_written
        .or_else(|| values.iter().map(|&value| units::format_in(quantity, value, base)).collect())?;
    let (key, value) = match &limit.rule {
        Rule::AtMostByGap(bands) => {
            ("bands", bands.iter().zip(&texts).map(band_value).collect::<Array>().into())
        }
        _ if quantity == Quantity::Number => ("value", number(quantity, *values.first()?, UnitSystem::Si)),
        _ => ("value", Value::from(texts.first()?.as_str())),
    };
    if exact && limit.judge == Judge::Limit {
        return Some(value);
    }
    let mut table = InlineTable::new();
    table.insert(key, value);
    if !exact {
        table.insert("shown_in", limit.unit.as_str().into());
    }
    if limit.judge == Judge::Advisory {
        table.insert("judge", "advisory".into());
    }
    Some(table.into())
}

fn band_value((band, max): (&Band, &String)) -> Value {
    let gap = |gap: f64| Value::from(units::format(Quantity::ShortLength, gap, UnitSystem::Si));
    let mut table = InlineTable::new();
    if band.above_m > 0.0 {
        table.insert("above", gap(band.above_m));
    }
    if band.to_m.is_finite() {
        table.insert("to", gap(band.to_m));
    }
    table.insert("max", max.as_str().into());
    table.into()
}
