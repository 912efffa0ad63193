//! The numbers that a user reads off a run, each with the moment at which it was so.

use crate::fields::Quantity;
use crate::figure_row::{Absent, Group, LimitName, Needs, Read, Row};
use crate::figure_table::{ALL, ROWS};
use crate::levers::Levers;
use crate::moment::Reading;
use crate::reading::force;
use crate::reading::record::Record;
use crate::run::GapRange;

pub use crate::figure_table::Figure;

impl Figure {
    /// Every figure, in the order in which they are listed.
    pub const ALL: &'static [Figure] = ALL;

    fn row(self) -> &'static Row {
        &ROWS[self as usize]
    }

    /// Its name in data, with the SI unit at the end.
    pub fn name(self) -> &'static str {
        self.row().name
    }

    /// Its name in words.
    pub fn label(self) -> &'static str {
        self.row().label
    }

    /// What kind of quantity it is.
    pub fn quantity(self) -> Quantity {
        self.row().quantity
    }

    /// What it means.
    pub fn says(self) -> &'static str {
        self.row().says
    }

    /// What it is read together with.
    pub fn group(self) -> Group {
        self.row().group
    }

    /// What has to be run for it.
    pub fn needs(self) -> Needs {
        self.row().needs
    }

    /// The limit that door files can set on it.
    pub fn limit(self) -> LimitName {
        self.row().limit
    }

    /// The settings that act on it.
    pub fn levers(self) -> &'static Levers {
        &self.row().levers
    }

    /// Why a run may not give it.
    pub(crate) fn absent(self) -> Absent {
        self.row().absent
    }

    /// The gaps of the force test that count for it.
    pub fn gaps(self) -> GapRange {
        match self {
            Figure::StallForceLast50 => GapRange { above_m: 0.0, to_m: 0.05 },
            _ => GapRange::WHOLE,
        }
    }

    /// Whether it comes from the force test of the closing edge, so that "where" is a gap.
    pub fn is_closing_force(self) -> bool {
        self.needs().at_gap().is_some()
    }

    /// Whether it comes from either force test.
    pub fn is_of_force_test(self) -> bool {
        self.is_closing_force() || self.is_rear_force()
    }

    /// Whether it comes from the force test behind the open leaf.
    pub fn is_rear_force(self) -> bool {
        self.needs().behind().is_some()
    }

    /// Whether it comes from the stall test, which has a clock of its own.
    pub fn is_stall(self) -> bool {
        matches!(self.needs(), Needs::Stall(_))
    }
}

/// Every figure of a run; what could not be read off it is absent.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    readings: Vec<Option<Reading>>,
}

impl Default for Figures {
    fn default() -> Self {
        Self { readings: vec![None; Figure::ALL.len()] }
    }
}

impl Figures {
    /// Every row of the table, read; a value that is not finite counts as absent.
    pub(crate) fn of(record: &Record<'_>) -> Self {
        let read = |figure: &Figure| {
            let needs = figure.needs();
            let reading = match figure.row().read {
                Read::Of(read) => read(record),
                Read::WorstGap => force::worst(record.tested.force, needs.at_gap()?, figure.gaps()),
                Read::Behind => force::behind(record, needs.behind()?),
            };
            let reading = reading.filter(|reading| reading.value.is_finite())?;
            Some(Reading { value: reading.value + 0.0, ..reading }) // no -0
        };
        Self { readings: ALL.iter().map(read).collect() }
    }

    /// The value of a figure in SI, if the run gave it.
    pub fn get(&self, figure: Figure) -> Option<f64> {
        self.reading(figure).map(|reading| reading.value)
    }

    /// A figure with its moment, if the run gave it.
    pub fn reading(&self, figure: Figure) -> Option<Reading> {
        self.readings[figure as usize]
    }

    /// All figures that the run gave, in order.
    pub fn iter(&self) -> impl Iterator<Item = (Figure, Reading)> + '_ {
        Figure::ALL.iter().filter_map(|&figure| Some((figure, self.reading(figure)?)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::levers::Setting;
    use crate::numbers::number;

    #[test]
    fn every_lever_is_a_number_of_a_door() {
        for figure in Figure::ALL {
            let levers = figure.levers();
            for setting in levers.opening.iter().chain(levers.closing) {
                let keys = match setting {
                    Setting::One(key, _) => std::slice::from_ref(key),
                    Setting::Cap(keys) => *keys,
                };
                for key in keys {
                    assert!(number(key).is_some(), "{}: {key}", figure.name());
                }
            }
        }
    }
}
