//! Any number of a door by its key, wherever it stands: in the door itself, in what is in the way, in the second
//! loop, in a listed force or fault.

use crate::fields::{FAULT_FIELDS, FIELDS, FORCE_FIELDS, Field, OBSTACLE_FIELDS, Quantity, TELESCOPE_FIELDS};
use crate::parameters::{Fault, LeafForce, Obstacle, Parameters, Telescope};
use crate::place::Place;

/// One number of a door: what the tables say of it, and the way to it.
#[derive(Clone, Copy)]
pub struct Number {
    /// What kind of quantity it is.
    pub quantity: Quantity,
    /// Usual range, in SI.
    pub usual: (f64, f64),
    /// Possible range, in SI.
    pub possible: (f64, f64),
    /// What it means, in a short sentence.
    pub says: &'static str,
    /// Where its default is from: a source, or "judgement".
    pub source: &'static str,
    /// Its key in its table: `force.constant` of every force.
    pub table_key: &'static str,
    slot: Slot,
}

/// Where a number stands; forces and faults by their place in the list, from 0.
#[derive(Clone, Copy)]
enum Slot {
    Door(&'static Field<Parameters>),
    Obstacle(&'static Field<Obstacle>),
    Telescope(&'static Field<Telescope>),
    Force(usize, &'static Field<LeafForce>),
    Fault(usize, &'static Field<Fault>),
}

impl Number {
    fn new<T>(field: &'static Field<T>, slot: Slot) -> Self {
        let Field { key, quantity, usual, possible, says, source, .. } = *field;
        Self { quantity, usual, possible, says, source, table_key: key, slot }
    }

    /// Where it stands.
    pub fn place(&self) -> Place {
        Place { key: self.table_key, entry: self.index() }
    }

    /// Its key, by which [`number`] finds it: `leaf.mass`, `force.2.constant` for the second force.
    pub fn key(&self) -> String {
        self.place().to_string()
    }

    /// Its place in the list of forces or faults, from 0; `None`: it stands in no list.
    pub fn index(&self) -> Option<usize> {
        match self.slot {
            Slot::Force(index, _) | Slot::Fault(index, _) => Some(index),
            _ => None,
        }
    }

    /// Its value, SI; `None` where it is worked out from others or the door has no such part.
    pub fn get(&self, p: &Parameters) -> Option<f64> {
        match self.slot {
            Slot::Door(field) => (field.get)(p),
            Slot::Obstacle(field) => p.obstacle.as_ref().and_then(field.get),
            Slot::Telescope(field) => p.telescope.as_ref().and_then(field.get),
            Slot::Force(index, field) => p.forces.get(index).and_then(field.get),
            Slot::Fault(index, field) => p.faults.get(index).and_then(field.get),
        }
    }

    /// Sets it, SI; `None` brings its default back. Returns whether the door has such a part.
    pub fn set(&self, p: &mut Parameters, value: Option<f64>) -> bool {
        fn put<T>(part: Option<&mut T>, field: &Field<T>, value: Option<f64>) -> bool {
            part.map(|part| (field.set)(part, value)).is_some()
        }
        match self.slot {
            Slot::Door(field) => put(Some(p), field, value),
            Slot::Obstacle(field) => put(p.obstacle.as_mut(), field, value),
            Slot::Telescope(field) => put(p.telescope.as_mut(), field, value),
            Slot::Force(index, field) => put(p.forces.get_mut(index), field, value),
            Slot::Fault(index, field) => put(p.faults.get_mut(index), field, value),
        }
    }

    /// Its default, SI; `None`: worked out from others.
    pub fn default_value(&self) -> Option<f64> {
        match self.slot {
            Slot::Door(field) => (field.get)(&Parameters::default()),
            Slot::Obstacle(field) => (field.get)(&Obstacle::default()),
            Slot::Telescope(field) => (field.get)(&Telescope::default()),
            Slot::Force(_, field) => (field.get)(&LeafForce::default()),
            Slot::Fault(_, field) => (field.get)(&Fault::default()),
        }
    }
}

impl PartialEq for Number {
    fn eq(&self, other: &Self) -> bool {
        (self.table_key, self.index()) == (other.table_key, other.index())
    }
}

impl std::fmt::Debug for Number {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.key())
    }
}

/// The number with this key; `None`: there is none. `force.constant` is that of the first force.
pub fn number(key: &str) -> Option<Number> {
    fn find<T>(fields: &'static [Field<T>], key: &str) -> Option<&'static Field<T>> {
        fields.iter().find(|field| field.key == key)
    }
    let (section, rest) = key.split_once('.')?;
    let (index, table_key) = match rest.split_once('.') {
        Some((place, name)) => (place.parse::<usize>().ok()?.checked_sub(1)?, format!("{section}.{name}")),
        None => (0, key.to_owned()),
    };
    let of_list =
        || find(FORCE_FIELDS, &table_key).map(|field| Number::new(field, Slot::Force(index, field)));
    let of_faults =
        || find(FAULT_FIELDS, &table_key).map(|field| Number::new(field, Slot::Fault(index, field)));
    find(FIELDS, key)
        .map(|field| Number::new(field, Slot::Door(field)))
        .or_else(|| find(OBSTACLE_FIELDS, key).map(|field| Number::new(field, Slot::Obstacle(field))))
        .or_else(|| find(TELESCOPE_FIELDS, key).map(|field| Number::new(field, Slot::Telescope(field))))
        .or_else(of_list)
        .or_else(of_faults)
}

/// Every number that this door has, in the order of a door file.
pub fn numbers(p: &Parameters) -> Vec<Number> {
    let mut all: Vec<Number> = FIELDS.iter().map(|field| Number::new(field, Slot::Door(field))).collect();
    if p.obstacle.is_some() {
        all.extend(OBSTACLE_FIELDS.iter().map(|field| Number::new(field, Slot::Obstacle(field))));
    }
    if p.telescope.is_some() {
        all.extend(TELESCOPE_FIELDS.iter().map(|field| Number::new(field, Slot::Telescope(field))));
    }
    for index in 0..p.forces.len() {
        all.extend(FORCE_FIELDS.iter().map(|field| Number::new(field, Slot::Force(index, field))));
    }
    for index in 0..p.faults.len() {
        all.extend(FAULT_FIELDS.iter().map(|field| Number::new(field, Slot::Fault(index, field))));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn every_part() -> Parameters {
        Parameters {
            obstacle: Some(Obstacle::default()),
            telescope: Some(Telescope::default()),
            forces: vec![LeafForce::default(); 2],
            faults: vec![Fault::default(); 3],
            ..Parameters::default()
        }
    }

    #[test]
    fn every_number_is_found_by_its_key_and_reads_back_what_was_set() {
        for found in numbers(&every_part()) {
            let mut p = every_part();
            assert_eq!(number(&found.key()), Some(found));
            let value = found.possible.0 + 0.25 * (found.possible.1 - found.possible.0);
            assert!(found.set(&mut p, Some(value)));
            let others = numbers(&every_part()).into_iter().filter(|other| *other != found);
            assert_eq!(found.get(&p), Some(value), "{found:?}");
            assert!(others.clone().count() > 100);
        }
    }

    #[test]
    fn the_second_force_is_not_the_first() {
        let mut p = every_part();
        assert!(number("force.2.constant").unwrap().set(&mut p, Some(7.0)));
        assert_eq!((p.forces[0].constant_n, p.forces[1].constant_n), (0.0, 7.0));
        assert!(!number("force.3.constant").unwrap().set(&mut p, Some(7.0)));
        assert!(number("force.0.constant").is_none() && number("leaf.2.mass").is_none());
    }

    #[test]
    fn a_part_that_is_not_there_has_no_number() {
        let mut plain = Parameters::default();
        let second = number("telescope.tension").unwrap();
        assert_eq!(second.get(&plain), None);
        assert!(!second.set(&mut plain, Some(100.0)));
        assert!(plain == Parameters::default());
    }
}
