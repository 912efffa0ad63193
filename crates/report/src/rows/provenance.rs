//! Where rows are from.

use serde::{Deserialize, Serialize};
use tautleaf_scenario::{Scenario, to_text};
use tautleaf_trials::spread::{Sampling, Study};
use tautleaf_trials::{Effort, Sweep};

use crate::{PROGRAM, RESULT_SCHEMA, VERSION};

/// Where rows are from: enough to draw and run every one of them again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Provenance {
    /// Name of the program.
    pub program: String,
    /// Its version.
    pub version: String,
    /// Schema of the rows.
    pub schema: u32,
    /// The subcommand.
    pub command: String,
    /// How many trials the whole has.
    pub runs: u64,
    /// Seed of the draws.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seed: Option<u64>,
    /// How they are drawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sampling: Option<String>,
    /// Which part of how many, counted from 1; left out: the whole.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part: Option<(u64, u64)>,
    /// Whether closing force was tested.
    pub force_test: bool,
    /// Unit of all numbers.
    pub units: String,
    /// The door file, as the user named it.
    pub file: String,
    /// Its text.
    pub door: String,
}

impl Provenance {
    fn of(scenario: &Scenario, command: &str, runs: u64, effort: Effort) -> Self {
        Self {
            program: PROGRAM.to_owned(),
            version: VERSION.to_owned(),
            schema: RESULT_SCHEMA,
            command: command.to_owned(),
            runs,
            seed: None,
            sampling: None,
            part: None,
            force_test: effort != Effort::NoForceTest,
            units: "SI".to_owned(),
            file: scenario.origin.file.clone(),
            door: to_text(scenario),
        }
    }

    /// Of the rows of a tolerance study.
    pub fn of_spread(
        scenario: &Scenario,
        study: &Study,
        runs: u64,
        part: Option<(u64, u64)>,
        effort: Effort,
    ) -> Self {
        Self {
            seed: Some(study.seed),
            sampling: Some(study.sampling.word().to_owned()),
            part,
            ..Self::of(scenario, "spread", runs, effort)
        }
    }

    /// Of the rows of a sweep.
    pub fn of_sweep(scenario: &Scenario, sweep: &Sweep, effort: Effort) -> Self {
        Self::of(scenario, "sweep", sweep.trials(), effort)
    }

    /// How much of the force test was made.
    pub fn effort(&self) -> Effort {
        if self.force_test { Effort::WithImpact } else { Effort::NoForceTest }
    }

    /// How the numbers were drawn; `None` for a word that this version does not know.
    pub fn drawn_by(&self) -> Option<Sampling> {
        let word = self.sampling.as_deref()?;
        Sampling::WORDS.iter().find(|(known, _)| *known == word).map(|(_, sampling)| *sampling)
    }
}
