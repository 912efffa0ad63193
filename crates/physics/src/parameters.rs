//! What describes a door: plain nested structs, SI units, the unit in each name.
//!
//! Everything here is public and may be edited freely; [`crate::Door::try_from`] checks it all at once and
//! only its result can be run. Where a value is an `Option`, `None` means "worked out from the others".

use serde::{Deserialize, Serialize};

mod controller;
mod drive;
mod leaf;
mod surroundings;

pub use controller::*;
pub use drive::*;
pub use leaf::*;
pub use surroundings::*;

/// One whole door: leaf, belt, drive, controller and what stands in the way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Parameters {
    /// How the leaves are clamped to the belt.
    pub arrangement: Arrangement,
    /// The leaf (each leaf of a pair, unless `second_mass_kg` differs).
    pub leaf: Leaf,
    /// A slow leaf behind each leaf, at half its speed; `None`: there is none.
    pub telescope: Option<Telescope>,
    /// The edge that meets an obstacle first.
    pub edge: ClosingEdge,
    /// Rear edge of each leaf.
    pub rear: RearEdge,
    /// Hanger rollers on the rail.
    pub rollers: Rollers,
    /// Brush and end seals.
    pub seal: Seal,
    /// The rail that the rollers run on.
    pub rail: Rail,
    /// The floor guide.
    pub guide: Guide,
    /// Wind and stack pressure.
    pub weather: Weather,
    /// The toothed belt and where it is clamped.
    pub belt: Belt,
    /// Drive and return pulley.
    pub pulleys: Pulleys,
    /// The gear between rotor and drive pulley.
    pub gear: Gear,
    /// The motor.
    pub motor: Motor,
    /// Where the current comes from.
    pub supply: Supply,
    /// Settings for the way open.
    pub opening: Motion,
    /// Settings for the way closed.
    pub closing: Motion,
    /// The controller's own constants.
    pub controller: Controller,
    /// How the controller notices that it is obstructed.
    pub obstruction: Obstruction,
    /// End stops of the rail.
    pub stoppers: Stoppers,
    /// What happens while it runs.
    pub timeline: Timeline,
    /// How often the door runs.
    pub duty: Duty,
    /// The instrument of the force test.
    pub tester: Tester,
    /// Something in the way of the closing leaf during the cycle.
    pub obstacle: Option<Obstacle>,
    /// Everything else that pulls or pushes a leaf.
    pub forces: Vec<LeafForce>,
    /// What is wrong with the rail or a roller.
    pub faults: Vec<Fault>,
    /// How the belt is cut and tightened. No run depends on it.
    pub workbench: Workbench,
}

impl Default for Parameters {
    fn default() -> Self {
        Self {
            arrangement: Arrangement::default(),
            leaf: Leaf::default(),
            telescope: None,
            edge: ClosingEdge::default(),
            rear: RearEdge::default(),
            rollers: Rollers::default(),
            seal: Seal::default(),
            rail: Rail::default(),
            guide: Guide::default(),
            weather: Weather::default(),
            belt: Belt::default(),
            pulleys: Pulleys::default(),
            gear: Gear::default(),
            motor: Motor::default(),
            supply: Supply::default(),
            opening: Motion::OPENING,
            closing: Motion::CLOSING,
            controller: Controller::default(),
            obstruction: Obstruction::default(),
            stoppers: Stoppers::default(),
            timeline: Timeline::default(),
            duty: Duty::default(),
            tester: Tester::default(),
            obstacle: None,
            forces: Vec::new(),
            faults: Vec::new(),
            workbench: Workbench::default(),
        }
    }
}

/// How the leaves are clamped to the belt.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Arrangement {
    /// One leaf that opens away from the drive.
    #[default]
    Away,
    /// One leaf that opens towards the drive.
    Towards,
    /// Two leaves that part in the middle.
    BiParting,
}
