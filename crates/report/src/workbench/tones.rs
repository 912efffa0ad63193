//! The tones of a door, worked out, and what they are called.

use tautleaf_physics::Door;
use tautleaf_physics::workbench::{Answer, Meeting, Tones, tones};
use tautleaf_scenario::{FileProblem, ReadError, Scenario};

use crate::words;

/// The tones of a door, worked out.
#[derive(Clone, Debug)]
pub struct TonesReport<'a> {
    /// The door file.
    pub scenario: &'a Scenario,
    /// The checked door.
    pub door: Door,
    /// What was worked out.
    pub tones: Tones,
    /// What is unusual about the door.
    pub warnings: Vec<FileProblem>,
}

impl<'a> TonesReport<'a> {
    /// Works out the tones of a scenario.
    ///
    /// # Errors
    /// Why the door cannot be built.
    pub fn of(scenario: &'a Scenario) -> Result<Self, ReadError> {
        let door = scenario.door()?;
        let (tones, warnings) = (tones(&door), scenario.warnings(&door));
        Ok(Self { scenario, door, tones, warnings })
    }

    /// Where the door sings, the longest first.
    pub(crate) fn singing(&self) -> impl Iterator<Item = &Meeting> {
        self.tones.meetings.iter().filter(|met| met.sings())
    }

    /// `leaf to return pulley, octave`, `along the loop, mode 1`.
    pub(crate) fn answer_in_words(&self, answer: Answer) -> String {
        match answer {
            Answer::Strand { span, order: 1 } => words::joins(&self.door, span),
            Answer::Strand { span, .. } => format!("{}, octave", words::joins(&self.door, span)),
            Answer::Axial(mode) => format!("along the loop, mode {}", mode + 1),
        }
    }
}
