//! What a row of the table of figures is made of.

use crate::fields::Quantity;
use crate::levers::Levers;
use crate::moment::Reading;
use crate::reading::record::Record;
use crate::run::AtGap;

/// How a figure is read off a run; `None`: the run does not give it.
#[derive(Clone, Copy)]
pub(crate) enum Read {
    /// So.
    Of(fn(&Record<'_>) -> Option<Reading>),
    /// Greatest over the gaps of the force test that count for it.
    WorstGap,
    /// Greatest over the gaps behind each leaf.
    Behind,
}

/// One row of the table.
pub(crate) struct Row {
    pub name: &'static str,
    pub label: &'static str,
    pub quantity: Quantity,
    pub group: Group,
    pub says: &'static str,
    pub needs: Needs,
    pub limit: LimitName,
    pub levers: Levers,
    pub absent: Absent,
    pub read: Read,
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
