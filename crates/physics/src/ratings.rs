//! Ratings of drive and belt: what their data sheets allow. A door is judged by them as by any other limit.

use serde::Serialize;

use crate::figures::Figure;
use crate::limits::{Known, Limit, Rule};
use crate::parameters::{InsulationClass, Parameters};

/// What the data sheets of a drive and a belt allow, SI. What is left out is not judged.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Ratings {
    /// The drive, by its name in a catalogue or in free text; empty: not named.
    pub drive: String,
    /// The belt, likewise.
    pub belt: String,
    /// Radial load that the shaft of the drive bears, both strands together, N.
    pub shaft_load_n: Option<f64>,
    /// Allowable tension of the belt, N.
    pub allowable_tension_n: Option<f64>,
    /// Most current of the winding, for a few seconds, A.
    pub peak_current_a: Option<f64>,
    /// RMS current of the winding over the duty, A.
    pub rated_current_a: Option<f64>,
    /// Maximum speed of the motor, rad/s.
    pub maximum_speed_rad_per_s: Option<f64>,
    /// Insulation class of the winding.
    pub insulation: Option<InsulationClass>,
    /// Most current that the supply of the drive gives, A.
    pub supply_current_a: Option<f64>,
}

/// The keys of ratings in a door file, the figure that each judges, and the unit in which it is shown.
const KEYS: [(&str, Figure, &str); 7] = [
    ("ratings.shaft_load", Figure::ShaftLoad, "N"),
    ("ratings.allowable_tension", Figure::GreatestTension, "N"),
    ("ratings.peak_current", Figure::PeakCurrent, "A"),
    ("ratings.rated_current", Figure::RmsCurrent, "A"),
    ("ratings.maximum_speed", Figure::TopMotorSpeed, "1/min"),
    ("ratings.insulation", Figure::WindingTemperature, "C"),
    ("ratings.supply_current", Figure::SupplyCurrent, "A"),
];

impl Ratings {
    /// The figure that the rating of a key judges, and the unit in which it is shown.
    pub fn of_key(key: &str) -> Option<(Figure, &'static str)> {
        KEYS.iter().find(|(name, _, _)| *name == key).map(|&(_, figure, unit)| (figure, unit))
    }

    /// Whether nothing is named and nothing is rated.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The limits that they are, each with the key under which the rating stands in a door file.
    pub fn limits(&self) -> Vec<Limit> {
        let of = |what: &str, name: &str| {
            if name.is_empty() {
                format!("rating of the {what}")
            } else {
                format!("rating of the {what} \"{name}\"")
            }
        };
        let (drive, belt) = (of("drive", &self.drive), of("belt", &self.belt));
        let allowed = [
            self.shaft_load_n,
            self.allowable_tension_n,
            self.peak_current_a,
            self.rated_current_a,
            self.maximum_speed_rad_per_s,
            self.insulation.map(InsulationClass::temperature_c),
            self.supply_current_a,
        ];
        let limit = |((key, figure, unit), most): ((&str, Figure, &str), Option<f64>)| {
            Some(Limit {
                unit: unit.to_owned(),
                source: if figure == Figure::GreatestTension { belt.clone() } else { drive.clone() },
                known: Known::Rating,
                ..Limit::of_user(key, figure, Rule::AtMost(most?))
            })
        };
        KEYS.into_iter().zip(allowed).filter_map(limit).collect()
    }

    /// Takes rated current and insulation class for the motor whose warmth is worked out from them.
    pub fn apply_to_motor(&self, p: &mut Parameters, current: bool, class: bool) {
        if let Some(rated) = self.rated_current_a.filter(|_| current) {
            p.motor.rated_current_a = rated;
        }
        if let Some(insulation) = self.insulation.filter(|_| class) {
            p.motor.insulation = insulation;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rating_is_a_limit_on_a_figure_of_its_own_that_fails_the_door_and_says_whose_it_is() {
        let ratings = Ratings {
            drive: "24 V, 60 W".to_owned(),
            shaft_load_n: Some(600.0),
            allowable_tension_n: Some(900.0),
            peak_current_a: Some(12.0),
            rated_current_a: Some(4.0),
            maximum_speed_rad_per_s: Some(300.0),
            insulation: Some(InsulationClass::F),
            supply_current_a: Some(6.0),
            ..Ratings::default()
        };
        let limits = ratings.limits();
        let mut figures: Vec<Figure> = limits.iter().filter_map(|limit| limit.figure).collect();
        figures.sort_unstable();
        figures.dedup();
        assert_eq!((limits.len(), figures.len()), (7, 7));
        assert!(limits.iter().all(|limit| limit.may_fail() && limit.is_rating()));
        assert_eq!(limits[0].source, "rating of the drive \"24 V, 60 W\"");
        assert_eq!(limits[1].source, "rating of the belt");
        // IEC 60085: class F bears 155 C
        assert_eq!(limits[5].rule, Rule::AtMost(155.0));
        assert!(Ratings::default().limits().is_empty() && Ratings::default().is_empty());
    }
}
