//! How the numbers of a door spread: as a door file lists it, and by default where it does not.

use tautleaf_physics::{Door, Parameters};

use super::distribution::{Distribution, Shape, ShapeError};
use super::drawing::MOST_INPUTS;
use super::usual::USUAL_SPREADS;
use crate::settable::{NoSuchNumber, Settable};

/// How one number spreads, as a door file asks for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// Dotted key of the number.
    pub key: String,
    /// Its shape.
    pub shape: ListedShape,
    /// Truncated below this, SI.
    pub least: Option<f64>,
    /// Truncated above this, SI.
    pub most: Option<f64>,
}

/// A shape whose middle, left out, is the value that the door has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ListedShape {
    /// It is known: what spreads by default does not.
    Fixed,
    /// Even between two ends.
    Uniform {
        /// Lower end, SI.
        from: f64,
        /// Upper end, SI.
        to: f64,
    },
    /// Likeliest at its peak.
    Triangular {
        /// Lower end, SI.
        from: f64,
        /// Likeliest value, SI.
        peak: Option<f64>,
        /// Upper end, SI.
        to: f64,
    },
    /// The bell curve.
    Normal {
        /// Mean, SI.
        mean: Option<f64>,
        /// Standard deviation, SI.
        deviation: f64,
    },
}

/// A number that is drawn anew for each trial.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// The number.
    pub settable: Settable,
    /// What it is drawn from, SI.
    pub distribution: Distribution,
    /// Its value in the door as it is, SI.
    pub nominal: Option<f64>,
    /// Where the spread is from: the door file, or a default with its source.
    pub source: &'static str,
    /// Whether it spreads by default.
    pub by_default: bool,
}

/// Why a listed spread cannot be drawn.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SpreadError {
    /// No number of this door has its key.
    #[error(transparent)]
    Key(#[from] NoSuchNumber),
    /// An earlier one has the same key.
    #[error("is listed twice")]
    Twice,
    /// Its middle is left out, and the door has no value to take.
    #[error("the door gives no value for its middle")]
    NoMiddle,
    /// A value that the number cannot have, SI.
    #[error("{value} is not possible")]
    Impossible {
        /// The value.
        value: f64,
    },
    /// Its shape cannot be.
    #[error(transparent)]
    Shape(#[from] ShapeError),
    /// There are more than can be drawn.
    #[error("there are more than {MOST_INPUTS}")]
    TooMany,
}

/// Which of the listed spreads cannot be drawn, and why.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("spread of {key}: {error}")]
pub struct SpreadProblem {
    /// Its place in the list.
    pub place: usize,
    /// Its key.
    pub key: String,
    /// Why.
    pub error: SpreadError,
}

/// The listed spreads that cannot be drawn.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
pub struct Undrawable(pub Vec<SpreadProblem>);

/// Everything that spreads: what is listed, and after it what spreads by default and is not listed.
///
/// # Errors
/// Every listed spread that cannot be drawn.
pub fn inputs_of(door: &Door, listed: &[Spread]) -> Result<Vec<Input>, Vec<SpreadProblem>> {
    let (mut inputs, mut problems) = (Vec::new(), Vec::new());
    for (place, spread) in listed.iter().enumerate() {
        let twice = listed[..place].iter().any(|earlier| earlier.key == spread.key);
        match if twice { Err(SpreadError::Twice) } else { input(door.parameters(), spread) } {
            Ok(input) => inputs.extend(input),
            Err(error) => problems.push(SpreadProblem { place, key: spread.key.clone(), error }),
        }
    }
    if listed.len() + USUAL_SPREADS.len() > MOST_INPUTS {
        let key = listed.last().map_or(String::new(), |spread| spread.key.clone());
        problems.push(SpreadProblem { place: listed.len().max(1) - 1, key, error: SpreadError::TooMany });
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let is_listed = |key: &str| listed.iter().any(|spread| spread.key == key);
    for usual in USUAL_SPREADS.iter().filter(|usual| !usual.beside.iter().any(|key| is_listed(key))) {
        let Ok(settable) = Settable::find(usual.key, door.parameters()) else { continue };
        // what a door works out from others follows them
        let given =
            settable.get(door.given()).or(settable.get(door.parameters()).filter(|_| usual.of_worked_out));
        let Some(nominal) = given else { continue };
        let (low, high) = settable.possible();
        let Some((shape, least, most)) = (usual.shape)(nominal, door) else { continue };
        if let Ok(distribution) = Distribution::new(shape, least.max(low), most.min(high)) {
            let source = usual.source;
            inputs.push(Input { settable, distribution, nominal: Some(nominal), source, by_default: true });
        }
    }
    Ok(inputs)
}

/// What a listed spread draws; `None` for a number that is known.
fn input(p: &Parameters, spread: &Spread) -> Result<Option<Input>, SpreadError> {
    let settable = Settable::find(&spread.key, p)?;
    let nominal = settable.get(p);
    let (low, high) = settable.possible();
    let possible = |value: f64| {
        if (low..=high).contains(&value) { Ok(value) } else { Err(SpreadError::Impossible { value }) }
    };
    let middle = |given: Option<f64>| possible(given.or(nominal).ok_or(SpreadError::NoMiddle)?);
    let shape = match spread.shape {
        ListedShape::Fixed => return Ok(None),
        ListedShape::Uniform { from, to } => Shape::Uniform { from: possible(from)?, to: possible(to)? },
        ListedShape::Triangular { from, peak, to } => {
            Shape::Triangular { from: possible(from)?, peak: middle(peak)?, to: possible(to)? }
        }
        ListedShape::Normal { mean, deviation } => Shape::Normal { mean: middle(mean)?, deviation },
    };
    let least = spread.least.map_or(Ok(low), possible)?;
    let most = spread.most.map_or(Ok(high), possible)?;
    let distribution = Distribution::new(shape, least, most)?;
    Ok(Some(Input { settable, distribution, nominal, source: "the door file", by_default: false }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spread(key: &str, shape: ListedShape) -> Spread {
        Spread { key: key.to_owned(), shape, least: None, most: None }
    }

    fn keys(inputs: &[Input]) -> Vec<String> {
        inputs.iter().map(|input| input.settable.key()).collect()
    }

    #[test]
    fn what_is_never_known_on_site_spreads_by_default_about_the_value_of_the_door() {
        let door = Door::try_from(Parameters::default()).unwrap();
        let inputs = inputs_of(&door, &[]).unwrap();
        for key in [
            "rollers.resistance",
            "seal.brush",
            "belt.tension",
            "edge.stiffness",
            "edge.travel",
            "edge.hard_stiffness",
            "closing.current_limit",
            "motor.torque_constant",
            "gear.efficiency",
            "tester.reads",
            "rail.slope",
            "leaf.mass",
            "motor.winding_temperature",
            "duty.ambient",
        ] {
            let input =
                inputs.iter().find(|input| input.settable.key() == key).unwrap_or_else(|| panic!("{key}"));
            let (low, high) = (input.distribution.value(1e-9), input.distribution.value(1.0 - 1e-9));
            assert!(input.by_default && low < high && !input.source.is_empty(), "{key}");
            assert!((low..=high).contains(&input.nominal.unwrap()), "{key} {low} {high}");
        }
        assert_eq!(inputs.len(), 14, "{:?}", keys(&inputs));
    }

    #[test]
    fn what_is_listed_takes_the_place_of_the_default_and_what_is_fixed_does_not_spread() {
        let door = Door::try_from(Parameters::default()).unwrap();
        let listed = [
            spread("leaf.mass", ListedShape::Fixed),
            spread("belt.tension", ListedShape::Uniform { from: 100.0, to: 300.0 }),
            spread("closing.speed", ListedShape::Normal { mean: None, deviation: 0.01 }),
        ];
        let inputs = inputs_of(&door, &listed).unwrap();
        let keys = keys(&inputs);
        assert_eq!(keys[..2], ["belt.tension", "closing.speed"]);
        assert!(!keys.contains(&"leaf.mass".to_owned()));
        assert_eq!(keys.iter().filter(|key| *key == "belt.tension").count(), 1);
        assert!(!inputs[0].by_default && inputs[0].distribution.value(0.5) == 200.0);
        assert!((inputs[1].distribution.value(0.5) - 0.3).abs() < 1e-12);
    }

    #[test]
    fn a_glass_thickness_that_spreads_carries_the_mass_with_it() {
        let mut p = Parameters::default();
        p.leaf.glass_thickness_m = Some(0.010);
        let door = Door::try_from(p).unwrap();
        assert!(keys(&inputs_of(&door, &[]).unwrap()).contains(&"leaf.mass".to_owned()));
        let listed = [spread("leaf.glass_thickness", ListedShape::Normal { mean: None, deviation: 1e-4 })];
        assert!(!keys(&inputs_of(&door, &listed).unwrap()).contains(&"leaf.mass".to_owned()));
    }

    #[test]
    fn every_spread_that_cannot_be_drawn_is_told_with_its_reason() {
        let door = Door::try_from(Parameters::default()).unwrap();
        let listed = [
            spread("leaf.weight", ListedShape::Fixed),
            spread("obstacle.gap", ListedShape::Uniform { from: 0.1, to: 0.2 }),
            spread("rollers.resistance", ListedShape::Uniform { from: -0.1, to: 0.2 }),
            spread("controller.jerk", ListedShape::Normal { mean: None, deviation: 1.0 }),
            spread("belt.tension", ListedShape::Triangular { from: 300.0, peak: None, to: 400.0 }),
            spread("belt.tension", ListedShape::Fixed),
        ];
        let problems = inputs_of(&door, &listed).unwrap_err();
        let errors: Vec<SpreadError> = problems.into_iter().map(|problem| problem.error).collect();
        assert_eq!(
            errors,
            [
                SpreadError::Key(NoSuchNumber::Unknown),
                SpreadError::Key(NoSuchNumber::NoPart { part: "obstacle".to_owned() }),
                SpreadError::Impossible { value: -0.1 },
                SpreadError::NoMiddle,
                SpreadError::Shape(ShapeError::Peak),
                SpreadError::Twice,
            ]
        );
    }
}
