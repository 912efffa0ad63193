//! From a door file to many trials of its door.

use tautleaf_physics::Door;
use tautleaf_trials::spread::{Sampling, Study, inputs_of};
use tautleaf_trials::{Bench, Criteria, Effort};

use crate::problem::ReadError;
use crate::scenario::{LimitSettings, Scenario, limits_of};

impl Scenario {
    /// What trials of this door measure and by what they are judged.
    pub fn bench(&self, effort: Effort) -> Bench {
        Bench { criteria: self.criteria().with_soundness(), effort }
    }

    /// What this door is judged by.
    pub fn criteria(&self) -> Criteria {
        let LimitSettings { close_margin, gaps_m, .. } = &self.limits;
        Criteria { limits: limits_of(self), close_margin: *close_margin, gaps_m: gaps_m.clone() }
    }

    /// Its checked door.
    ///
    /// # Errors
    /// Why it cannot be built, which a scenario that was read from a file can be.
    pub fn door(&self) -> Result<Door, ReadError> {
        Door::try_from(self.parameters.clone()).map_err(|problems| self.refusal(&problems))
    }

    /// A tolerance study of this door: a pure function of door file, seed and sampling.
    ///
    /// # Errors
    /// Why the door or one of its spreads cannot be, which of a scenario that was read from a file they can.
    pub fn study(&self, seed: u64, sampling: Sampling, effort: Effort) -> Result<Study, ReadError> {
        let door = self.door()?;
        let inputs = inputs_of(&door, &self.spreads)
            .map_err(|_| ReadError { problems: self.spread_problems(&door) })?;
        Ok(Study::new(&door, inputs, self.bench(effort), seed, sampling))
    }
}
