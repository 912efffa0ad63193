//! A number of one door that can be set by its dotted key: `leaf.mass`, `obstacle.gap`, `force.2.drag`.

use std::fmt;

use tautleaf_physics::parameters::{Fault, LeafForce, Obstacle, Telescope};
use tautleaf_physics::{
    FAULT_FIELDS, FIELDS, FORCE_FIELDS, Field, OBSTACLE_FIELDS, Parameters, Quantity, TELESCOPE_FIELDS,
    WHOLE_NUMBERS,
};

/// A number of one door that can be set.
///
/// Forces and faults are counted from 1 in the order of the door file: `force.2.drag` is the drag of the second.
#[derive(Clone, Copy)]
pub struct Settable {
    of: Of,
}

#[derive(Clone, Copy)]
enum Of {
    Door(&'static Field<Parameters>),
    Obstacle(&'static Field<Obstacle>),
    Telescope(&'static Field<Telescope>),
    Force(usize, &'static Field<LeafForce>),
    Fault(usize, &'static Field<Fault>),
}

/// What the tables of fields say of a number.
struct Said {
    key: &'static str,
    quantity: Quantity,
    possible: (f64, f64),
    says: &'static str,
}

/// Why no number of a door has this key.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoSuchNumber {
    /// No door has it.
    #[error("there is no such key")]
    Unknown,
    /// This door has no such part.
    #[error("this door has no {part}")]
    NoPart {
        /// The section that is left out.
        part: &'static str,
    },
    /// This door has fewer of them, or the key does not say which.
    #[error("this door has {has} {part}s, counted from 1: {part}.1.{name} is the first")]
    NoEntry {
        /// The list.
        part: &'static str,
        /// How many entries it has.
        has: usize,
        /// The rest of the key.
        name: String,
    },
}

impl Settable {
    /// The number of this door that has this key.
    ///
    /// # Errors
    /// Why there is none.
    pub fn find(key: &str, p: &Parameters) -> Result<Self, NoSuchNumber> {
        let of = match key.split_once('.') {
            Some(("obstacle", _)) => {
                Of::Obstacle(part(OBSTACLE_FIELDS, key, p.obstacle.is_some(), "obstacle")?)
            }
            Some(("telescope", _)) => {
                Of::Telescope(part(TELESCOPE_FIELDS, key, p.telescope.is_some(), "telescope")?)
            }
            Some(("force", rest)) => {
                let (n, field) = entry(FORCE_FIELDS, "force", rest, p.forces.len())?;
                Of::Force(n, field)
            }
            Some(("fault", rest)) => {
                let (n, field) = entry(FAULT_FIELDS, "fault", rest, p.faults.len())?;
                Of::Fault(n, field)
            }
            _ => Of::Door(FIELDS.iter().find(|field| field.key == key).ok_or(NoSuchNumber::Unknown)?),
        };
        Ok(Self { of })
    }

    /// Every key that this door has.
    pub fn keys(p: &Parameters) -> Vec<String> {
        let mut keys: Vec<String> = FIELDS.iter().map(|field| field.key.to_owned()).collect();
        if p.obstacle.is_some() {
            keys.extend(OBSTACLE_FIELDS.iter().map(|field| field.key.to_owned()));
        }
        if p.telescope.is_some() {
            keys.extend(TELESCOPE_FIELDS.iter().map(|field| field.key.to_owned()));
        }
        for n in 0..p.forces.len() {
            keys.extend(FORCE_FIELDS.iter().map(|field| numbered(field.key, n)));
        }
        for n in 0..p.faults.len() {
            keys.extend(FAULT_FIELDS.iter().map(|field| numbered(field.key, n)));
        }
        keys
    }

    fn said(&self) -> Said {
        fn of<T>(field: &Field<T>) -> Said {
            Said { key: field.key, quantity: field.quantity, possible: field.possible, says: field.says }
        }
        match self.of {
            Of::Door(field) => of(field),
            Of::Obstacle(field) => of(field),
            Of::Telescope(field) => of(field),
            Of::Force(_, field) => of(field),
            Of::Fault(_, field) => of(field),
        }
    }

    /// Its dotted key.
    pub fn key(&self) -> String {
        match self.of {
            Of::Force(n, _) | Of::Fault(n, _) => numbered(self.said().key, n),
            _ => self.said().key.to_owned(),
        }
    }

    /// What kind of quantity it is.
    pub fn quantity(&self) -> Quantity {
        self.said().quantity
    }

    /// Possible range, SI.
    pub fn possible(&self) -> (f64, f64) {
        self.said().possible
    }

    /// What it means.
    pub fn says(&self) -> &'static str {
        self.said().says
    }

    /// Whether it counts things and has no fractions.
    pub fn is_whole(&self) -> bool {
        WHOLE_NUMBERS.contains(&self.said().key)
    }

    /// Its value, SI; `None` where it is worked out from others, or the door has no such part.
    pub fn get(&self, p: &Parameters) -> Option<f64> {
        match self.of {
            Of::Door(field) => (field.get)(p),
            Of::Obstacle(field) => p.obstacle.as_ref().and_then(field.get),
            Of::Telescope(field) => p.telescope.as_ref().and_then(field.get),
            Of::Force(n, field) => p.forces.get(n).and_then(field.get),
            Of::Fault(n, field) => p.faults.get(n).and_then(field.get),
        }
    }

    /// Sets it, SI: kept within what is possible, and whole where it counts things.
    pub fn set(&self, p: &mut Parameters, value: f64) {
        let (low, high) = self.possible();
        let whole = if self.is_whole() { value.round() } else { value };
        let value = Some(whole.clamp(low, high));
        match self.of {
            Of::Door(field) => (field.set)(p, value),
            Of::Obstacle(field) => p.obstacle.iter_mut().for_each(|obstacle| (field.set)(obstacle, value)),
            Of::Telescope(field) => {
                p.telescope.iter_mut().for_each(|telescope| (field.set)(telescope, value))
            }
            Of::Force(n, field) => {
                p.forces.iter_mut().skip(n).take(1).for_each(|force| (field.set)(force, value))
            }
            Of::Fault(n, field) => {
                p.faults.iter_mut().skip(n).take(1).for_each(|fault| (field.set)(fault, value))
            }
        }
    }
}

/// A field of a part that a door may lack.
fn part<T>(
    fields: &'static [Field<T>],
    key: &str,
    is_there: bool,
    part: &'static str,
) -> Result<&'static Field<T>, NoSuchNumber> {
    let field = fields.iter().find(|field| field.key == key).ok_or(NoSuchNumber::Unknown)?;
    if is_there { Ok(field) } else { Err(NoSuchNumber::NoPart { part }) }
}

/// A field of an entry of a list: `2.drag`.
fn entry<T>(
    fields: &'static [Field<T>],
    part: &'static str,
    rest: &str,
    has: usize,
) -> Result<(usize, &'static Field<T>), NoSuchNumber> {
    let (number, name) = rest.split_once('.').unwrap_or(("", rest));
    let same = |field: &&Field<T>| field.key.split_once('.').is_some_and(|(_, own)| own == name);
    let field = fields.iter().find(same).ok_or(NoSuchNumber::Unknown)?;
    match number.parse::<usize>() {
        Ok(number) if (1..=has).contains(&number) => Ok((number - 1, field)),
        _ => Err(NoSuchNumber::NoEntry { part, has, name: name.to_owned() }),
    }
}

fn numbered(key: &str, n: usize) -> String {
    key.split_once('.').map_or_else(|| key.to_owned(), |(part, name)| format!("{part}.{}.{name}", n + 1))
}

impl fmt::Debug for Settable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.key())
    }
}

impl PartialEq for Settable {
    fn eq(&self, other: &Self) -> bool {
        self.key() == other.key()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn door() -> Parameters {
        Parameters {
            forces: vec![LeafForce::default(); 2],
            obstacle: Some(Obstacle::default()),
            ..Default::default()
        }
    }

    #[test]
    fn every_number_of_a_door_is_found_by_its_key_and_takes_a_value() {
        let door = door();
        for key in Settable::keys(&door) {
            let settable = Settable::find(&key, &door).unwrap_or_else(|error| panic!("{key}: {error}"));
            assert_eq!(settable.key(), key);
            let (low, high) = settable.possible();
            let mut changed = door.clone();
            let wanted = if settable.is_whole() { (0.5 * (low + high)).round() } else { 0.5 * (low + high) };
            settable.set(&mut changed, wanted);
            assert_eq!(settable.get(&changed), Some(wanted), "{key}");
        }
    }

    #[test]
    fn the_second_of_two_forces_is_the_one_that_is_set() {
        let mut door = door();
        Settable::find("force.2.drag", &door).unwrap().set(&mut door, 7.0);
        assert_eq!((door.forces[0].drag_n, door.forces[1].drag_n), (0.0, 7.0));
    }

    #[test]
    fn what_a_door_has_not_is_said() {
        let door = door();
        let error = |key| Settable::find(key, &door).unwrap_err();
        assert_eq!(error("leaf.weight"), NoSuchNumber::Unknown);
        assert_eq!(error("telescope.tension"), NoSuchNumber::NoPart { part: "telescope" });
        assert!(matches!(error("force.3.drag"), NoSuchNumber::NoEntry { has: 2, .. }));
        assert!(matches!(error("force.drag"), NoSuchNumber::NoEntry { .. }));
        assert_eq!(error("force.1.dragg"), NoSuchNumber::Unknown);
    }
}
