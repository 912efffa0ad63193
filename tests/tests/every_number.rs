//! Every number of a door has a row in the table of fields: what has none cannot be written in a door file, and is not checked.

use serde_json::Value;
use tautleaf_physics::parameters::{Fault, LeafForce, Obstacle, Telescope};
use tautleaf_physics::{
    FAULT_FIELDS, FIELDS, FORCE_FIELDS, Field, OBSTACLE_FIELDS, Parameters, TELESCOPE_FIELDS,
};

/// Numbers of a value by their path; what is left out counts as one.
fn numbers(value: &Value, path: &str, found: &mut Vec<(String, Value)>) {
    match value {
        Value::Object(parts) => {
            parts.iter().for_each(|(name, part)| numbers(part, &format!("{path}.{name}"), found));
        }
        Value::Number(_) | Value::Null => found.push((path.to_owned(), value.clone())),
        _ => {}
    }
}

/// Paths of the numbers that no row of a table changes.
fn without_a_row<T: Default + serde::Serialize>(fields: &[Field<T>]) -> Vec<String> {
    let of = |what: &T| {
        let mut found = Vec::new();
        numbers(&serde_json::to_value(what).expect("numbers"), "", &mut found);
        found
    };
    let mut left = of(&T::default());
    for field in fields {
        let mut changed = T::default();
        // no default is an odd fraction of what is possible
        let (low, high) = field.possible;
        (field.set)(&mut changed, Some(low + (high - low) / 7.3));
        assert_ne!((field.get)(&changed), (field.get)(&T::default()), "{} cannot be set", field.key);
        let after = of(&changed);
        left.retain(|number| after.contains(number));
    }
    left.into_iter().map(|(path, _)| path).collect()
}

#[test]
fn no_number_of_a_door_is_without_a_row() {
    // entries of lists and parts that a door need not have: they have tables of their own
    let parts = [".telescope", ".obstacle"];
    let forgotten: Vec<String> = without_a_row::<Parameters>(FIELDS)
        .into_iter()
        .filter(|path| !parts.contains(&path.as_str()))
        .collect();
    assert!(forgotten.is_empty(), "{forgotten:?}");
    assert!(without_a_row::<Telescope>(TELESCOPE_FIELDS).is_empty());
    assert!(without_a_row::<Obstacle>(OBSTACLE_FIELDS).is_empty());
    // which leaf is a count that is held against the leaves of the door
    assert_eq!(without_a_row::<LeafForce>(FORCE_FIELDS), [".leaf"]);
    assert_eq!(without_a_row::<Fault>(FAULT_FIELDS), [".leaf"]);
}
