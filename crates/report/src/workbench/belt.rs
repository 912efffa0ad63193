//! The belt of a door, worked out.

use tautleaf_physics::Door;
use tautleaf_physics::workbench::{BeltWork, Heard, Strand, belt_work};
use tautleaf_scenario::{FileProblem, ReadError, Scenario};

/// A belt worked out, with what was heard of it.
#[derive(Clone, Debug)]
pub struct BeltReport<'a> {
    /// The door file.
    pub scenario: &'a Scenario,
    /// The checked door.
    pub door: Door,
    /// What was worked out.
    pub work: BeltWork,
    /// Tone that was heard of a plucked strand, Hz.
    pub heard_hz: Option<f64>,
    /// What is unusual about the door.
    pub warnings: Vec<FileProblem>,
}

impl<'a> BeltReport<'a> {
    /// Works out the belt of a scenario; `heard_hz` is a tone that was heard, Hz.
    ///
    /// # Errors
    /// Why the door cannot be built.
    pub fn of(scenario: &'a Scenario, heard_hz: Option<f64>) -> Result<Self, ReadError> {
        let door = scenario.door()?;
        let (work, warnings) = (belt_work(&door), scenario.warnings(&door));
        Ok(Self { scenario, door, work, heard_hz, warnings })
    }

    /// What the heard tone says of each strand, the one to pluck first.
    pub(super) fn heard(&self) -> Vec<Heard> {
        let first = self.work.to_pluck;
        let others = self.work.strands.iter().copied().filter(|strand| Some(*strand) != first);
        let strands: Vec<Strand> = first.into_iter().chain(others).collect();
        self.heard_hz
            .map_or(Vec::new(), |hz| strands.iter().map(|strand| self.work.heard(*strand, hz)).collect())
    }

    /// Whether the axes have to come together for the cut belt to be laid on, and by how much, m.
    pub(super) fn to_slacken_m(&self) -> Option<f64> {
        let centre = self.door.parameters().belt.centre_distance_m?;
        self.work.open.map(|open| centre - open.touching_m).filter(|by| *by > 0.0)
    }
}
