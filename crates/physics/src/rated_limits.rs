//! Ratings as limits.

use crate::figures::Figure;
use crate::limits::{Known, Limit, Rule};
use crate::parameters::InsulationClass;
use crate::ratings::Ratings;

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

    /// Whether the rating of a figure is one of the belt, not of the drive.
    pub fn is_of_belt(figure: Figure) -> bool {
        figure == Figure::GreatestTension
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
                source: if Self::is_of_belt(figure) { belt.clone() } else { drive.clone() },
                known: Known::Rating,
                ..Limit::of_user(key, figure, Rule::AtMost(most?))
            })
        };
        KEYS.into_iter().zip(allowed).filter_map(limit).collect()
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
