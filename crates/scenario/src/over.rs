//! `closing.speed=0.2 m/s..0.5 m/s:7`: one axis of a sweep in a line of text.

use tautleaf_physics::{Door, OutOfRange, ProblemKind};
use tautleaf_trials::{Axis, AxisError, Settable};

use crate::parse_spread::what_key_would_do;
use crate::problem_words::{ProblemWords, problem_words};
use crate::units::{self, UnitSystem, quoted};

/// What is wrong with the text of an axis, and what would do.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{text}: {found}; {would_do}")]
pub struct OverError {
    text: String,
    found: String,
    would_do: String,
}

/// What is wrong with a part of an axis, and what would do.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{found}{}{}", if .would_do.is_some() { "; " } else { "" }, .would_do.as_deref().unwrap_or_default())]
pub struct AxisProblem {
    found: String,
    /// `None`: what was found says it.
    would_do: Option<String>,
}

const EXAMPLE: &str = "write KEY=FROM..TO or KEY=FROM..TO:N, such as closing.speed=0.2..0.5 m/s:7";

/// Reads an axis. The unit of the first value may be left out where it is that of the second; so many values as
/// `count` says where the text does not.
///
/// # Errors
/// What is wrong with the text.
pub fn axis(text: &str, door: &Door, count: usize) -> Result<Axis, OverError> {
    let wrong = |found: String, would_do: String| OverError { text: quoted(text), found, would_do };
    let malformed = || wrong("this is no range".to_owned(), EXAMPLE.to_owned());
    let (key, range) = text.split_once('=').ok_or_else(malformed)?;
    let (range, count) = match range.rsplit_once(':') {
        Some((range, count)) => {
            let count = count.trim().parse().map_err(|_| {
                wrong(format!("{} is no number of values", quoted(count.trim())), EXAMPLE.to_owned())
            });
            (range, count)
        }
        None => (range, Ok(count)),
    };
    let ends = range.split_once("..").ok_or_else(malformed);
    // what is wrong with the key is said first
    let settable = key_of(key.trim(), door).map_err(|problem| problem.of(text))?;
    let (count, (from, to)) = (count?, ends?);
    between(settable, (from, to), count, UnitSystem::Si).map_err(|problem| problem.of(text))
}

/// The axis of a key between two values with their units, the same way. What is wrong is said in these units.
///
/// # Errors
/// What is wrong with one of them.
pub fn axis_between(
    key: &str,
    ends: (&str, &str),
    count: usize,
    door: &Door,
    system: UnitSystem,
) -> Result<Axis, AxisProblem> {
    between(key_of(key, door)?, ends, count, system)
}

fn key_of(key: &str, door: &Door) -> Result<Settable, AxisProblem> {
    Settable::find(key, door.parameters()).map_err(|error| {
        let would_do = what_key_would_do(key, &error, door.parameters());
        AxisProblem { found: error.to_string(), would_do: Some(would_do) }
    })
}

fn between(
    settable: Settable,
    (from, to): (&str, &str),
    count: usize,
    system: UnitSystem,
) -> Result<Axis, AxisProblem> {
    let quantity = settable.quantity();
    let of_unit =
        |error: units::UnitError| AxisProblem { found: error.found, would_do: Some(error.would_do) };
    let (to, unit) = units::parse_with_unit(quantity, to.trim()).map_err(of_unit)?;
    let from = from.trim();
    let from = units::parse_quantity(quantity, from)
        .or_else(|error| units::parse_quantity(quantity, &format!("{from} {unit}")).map_err(|_| error))
        .map_err(of_unit)?;
    Axis::new(settable, from, to, count).map_err(|error| match error {
        AxisError::Impossible { value } => {
            let (range, says) = (settable.possible(), settable.says());
            let kind = ProblemKind::Impossible(OutOfRange { value, range, quantity, says });
            let ProblemWords { found, would_do } = problem_words(&kind, system);
            AxisProblem { found, would_do: Some(would_do) }
        }
        error => AxisProblem { found: error.to_string(), would_do: None },
    })
}

impl AxisProblem {
    /// In a text that says it all.
    fn of(self, text: &str) -> OverError {
        let would_do = self.would_do.unwrap_or_else(|| EXAMPLE.to_owned());
        OverError { text: quoted(text), found: self.found, would_do }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use tautleaf_physics::Parameters;

    fn read(text: &str) -> Result<Axis, OverError> {
        axis(text, &Door::try_from(Parameters::default()).expect("the default door"), 11)
    }

    #[test]
    fn an_axis_is_a_key_two_values_and_how_many() {
        let speeds = read("closing.speed=0.2 m/s..0.4 m/s:5").expect("an axis");
        assert_eq!((speeds.values.len(), speeds.values[0], speeds.values[4]), (5, 0.2, 0.4));
        assert_eq!(read("closing.speed = 0.2..0.4 m/s").map(|axis| axis.values.len()), Ok(11));
        assert_eq!(read("rollers.resistance=0.005..0.02:2").map(|axis| axis.values), Ok(vec![0.005, 0.02]));
        assert_eq!(read("rail.slope=-2..2 mm/m:2").map(|axis| axis.values), Ok(vec![-0.002, 0.002]));
    }

    #[test]
    fn what_is_wrong_with_an_axis_says_what_would_do() {
        for (text, part) in [
            ("closing.sped=0.2..0.4 m/s", "did you mean \"closing.speed\"?"),
            ("closing.speed=0.2..0.4", "has no unit"),
            ("closing.speed=0.2 kg..0.4 m/s", "is a mass"),
            ("closing.speed=0.2 m/s", "this is no range"),
            ("closing.speed", "write KEY=FROM..TO"),
            ("closing.speed=0.2..0.4 m/s:many", "no number of values"),
            ("closing.speed=0.2..0.4 m/s:1", "too few"),
            ("closing.speed=0.4..0.4 m/s", "same value"),
            ("closing.speed=-1..0.4 m/s", "not possible; speed on the way closed: between"),
            ("obstacle.gap=0.1..0.4 m", "write a section [obstacle]"),
        ] {
            let error = read(text).expect_err(text).to_string();
            assert!(error.contains(part), "{error}");
        }
    }

    #[test]
    fn between_two_values_what_is_wrong_is_said_in_the_units_of_who_asks() {
        let door = Door::try_from(Parameters::default()).expect("the default door");
        let between = |from, to, count| axis_between("leaf.mass", (from, to), count, &door, UnitSystem::Us);
        assert_eq!(between("80 kg", "120 kg", 5).map(|axis| axis.values.len()), Ok(5));
        let impossible = between("-5 lb", "100 lb", 5).expect_err("less than nothing").to_string();
        assert!(
            impossible.starts_with("-5 lb is not possible; ") && impossible.ends_with(" lb"),
            "{impossible}"
        );
        let few = between("80 kg", "120 kg", 1).expect_err("one value").to_string();
        assert!(few.ends_with("write from 2 to 10000"), "{few}");
    }
}
