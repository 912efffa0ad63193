//! The numbers that a user reads off a run, each with the moment at which it was so.

use serde::{Deserialize, Serialize};

use crate::fields::Quantity;
use crate::figure_table::{ALL, ROWS, Row};
use crate::levers::Levers;
use crate::reading::Record;
use crate::run::{GapForce, GapRange};

pub use crate::figure_table::Figure;

/// When and where something was so.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Moment {
    /// Time since the first command, s.
    pub t_s: f64,
    /// Clear opening then, m.
    pub clear_opening_m: f64,
}

/// One figure as read off a run.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// Its value in the SI unit of its quantity.
    pub value: f64,
    /// When it was so, where that has a meaning.
    pub at: Option<Moment>,
}

/// Figures that are read together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// How long it takes.
    Times,
    /// Speeds, energies, accelerations.
    Motion,
    /// Forces of the closing edge on the tester.
    ForceTest,
    /// Tensions and what the shafts carry.
    Belt,
    /// Loads of the hangers.
    Hangers,
    /// Currents, energy and voltage.
    Drive,
    /// Temperatures.
    Motor,
    /// What happens to people and at the beam, and a learning run.
    PersonAndBeam,
    /// With the power off.
    PowerOff,
}

impl Group {
    /// Every group, in the order in which they are listed.
    pub const ALL: [Self; 9] = [
        Self::Times,
        Self::Motion,
        Self::ForceTest,
        Self::Belt,
        Self::Hangers,
        Self::Drive,
        Self::Motor,
        Self::PersonAndBeam,
        Self::PowerOff,
    ];

    /// Its heading.
    pub fn title(self) -> &'static str {
        match self {
            Self::Times => "Times",
            Self::Motion => "Speed and energy",
            Self::ForceTest => "Force test",
            Self::Belt => "Belt",
            Self::Hangers => "Hangers",
            Self::Drive => "Drive",
            Self::Motor => "Motor",
            Self::PersonAndBeam => "Person and beam",
            Self::PowerOff => "Power off",
        }
    }
}

/// A figure's value at one gap of the force test; `None`: it was not measured there.
pub type AtGap = fn(&GapForce) -> Option<f64>;

/// What has to be run for a figure beside the cycle.
#[derive(Clone, Copy, Debug)]
pub enum Needs {
    /// Nothing.
    Cycle,
    /// A beam that is broken where the leaf closes fastest.
    Beam,
    /// The stall test.
    Stall(AtGap),
    /// The impact test, 0.75 s of it.
    Impact(AtGap),
    /// The impact test, all 5 s of it.
    Whole(AtGap),
    /// All of the force test behind the open leaf.
    Rear(AtGap),
}

impl Needs {
    /// The figure's value at one gap, where it comes from the force test of the closing edge.
    pub fn at_gap(self) -> Option<AtGap> {
        match self {
            Self::Stall(at_gap) | Self::Impact(at_gap) | Self::Whole(at_gap) => Some(at_gap),
            Self::Cycle | Self::Beam | Self::Rear(_) => None,
        }
    }

    /// The figure's value at one gap behind a leaf, where it comes from the force test there.
    pub fn behind(self) -> Option<AtGap> {
        if let Self::Rear(at_gap) = self { Some(at_gap) } else { None }
    }
}

/// The key of a limit in door files and which way it bounds its figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitName {
    /// Door files set no limit on it.
    Never,
    /// At most.
    Most(&'static str),
    /// At most, and it may differ from gap to gap of the force test.
    MostByGap(&'static str),
    /// At least.
    Least(&'static str),
}

/// Why a figure may be absent from a run that opened and closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Absent {
    /// No reason of its own.
    Other,
    /// The gear locks itself.
    LocksItself,
    /// The duty asks for more than the door can do.
    TooOften,
    /// As that, or there is no battery of a known capacity.
    NoBattery,
    /// The supply holds its voltage.
    StiffSupply,
    /// Nobody walks up.
    NobodyWalksUp,
    /// The door was open when power was lost, or power is not lost.
    OpenAlready,
    /// Power is not lost.
    PowerStays,
    /// It is no learning run.
    NoLearning,
    /// The force test was not made, or not there.
    NoForceTest,
    /// A leaf still moves at the next command.
    StillMoves,
    /// Rotor and pulley have no play.
    NoPlay,
    /// What stands behind the open leaf was not measured, or nothing was tested there.
    NoRearTest,
}

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
        let read = |row: &Row| {
            let reading = (row.read)(record).filter(|reading| reading.value.is_finite())?;
            Some(Reading { value: reading.value + 0.0, ..reading }) // no -0
        };
        Self { readings: ROWS.iter().map(read).collect() }
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
