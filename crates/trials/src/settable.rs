//! A number of one door that trials may set: it is there, stays within what is possible, and whole where it counts.

use std::fmt;

use tautleaf_physics::{Number, Parameters, Quantity, WHOLE_NUMBERS, number, numbers};

/// A number that this door has, by its dotted key: `leaf.mass`, `obstacle.gap`, `force.2.drag` of the second force.
#[derive(Clone, Copy, PartialEq)]
pub struct Settable(Number);

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
        part: String,
    },
    /// This door has fewer of them.
    #[error("this door has {has} of [[{part}]], counted from 1")]
    NoEntry {
        /// The list.
        part: String,
        /// How many entries it has.
        has: usize,
    },
}

impl Settable {
    /// The number of this door that has this key.
    ///
    /// # Errors
    /// Why there is none.
    pub fn find(key: &str, p: &Parameters) -> Result<Self, NoSuchNumber> {
        let found = number(key).ok_or(NoSuchNumber::Unknown)?;
        let part = found.table_key.split('.').next().unwrap_or_default().to_owned();
        let has = if part == "force" { p.forces.len() } else { p.faults.len() };
        match found.index() {
            Some(index) if index >= has => Err(NoSuchNumber::NoEntry { part, has }),
            None if part == "obstacle" && p.obstacle.is_none() => Err(NoSuchNumber::NoPart { part }),
            None if part == "telescope" && p.telescope.is_none() => Err(NoSuchNumber::NoPart { part }),
            _ => Ok(Self(found)),
        }
    }

    /// Every key that this door has.
    pub fn keys(p: &Parameters) -> Vec<String> {
        numbers(p).iter().map(Number::key).collect()
    }

    /// Its dotted key; an entry of a list has its place in it, counted from 1.
    pub fn key(&self) -> String {
        self.0.key()
    }

    /// What kind of quantity it is.
    pub fn quantity(&self) -> Quantity {
        self.0.quantity
    }

    /// Possible range, SI.
    pub fn possible(&self) -> (f64, f64) {
        self.0.possible
    }

    /// What it means.
    pub fn says(&self) -> &'static str {
        self.0.says
    }

    /// Whether it counts things and has no fractions.
    pub fn is_whole(&self) -> bool {
        WHOLE_NUMBERS.contains(&self.0.table_key)
    }

    /// Its value, SI; `None` where it is worked out from others.
    pub fn get(&self, p: &Parameters) -> Option<f64> {
        self.0.get(p)
    }

    /// Sets it, SI: kept within what is possible, and whole where it counts things. A door without it stays as it is.
    pub fn set(&self, p: &mut Parameters, value: f64) {
        let (low, high) = self.possible();
        let value = if self.is_whole() { value.round() } else { value };
        self.0.set(p, Some(value.clamp(low, high)));
    }
}

impl fmt::Debug for Settable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.key())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use tautleaf_physics::parameters::{LeafForce, Obstacle};

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
    fn what_a_door_has_not_is_said() {
        let door = door();
        let error = |key| Settable::find(key, &door).unwrap_err();
        assert_eq!(error("leaf.weight"), NoSuchNumber::Unknown);
        assert_eq!(error("telescope.tension"), NoSuchNumber::NoPart { part: "telescope".to_owned() });
        assert_eq!(error("force.3.drag"), NoSuchNumber::NoEntry { part: "force".to_owned(), has: 2 });
        assert_eq!(error("fault.at"), NoSuchNumber::NoEntry { part: "fault".to_owned(), has: 0 });
        assert_eq!(error("force.1.dragg"), NoSuchNumber::Unknown);
        assert_eq!(
            Settable::find("force.drag", &door).map(|found| found.key()),
            Ok("force.1.drag".to_owned())
        );
    }
}
