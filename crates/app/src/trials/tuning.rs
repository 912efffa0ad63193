//! Settings tuned for a goal in the background.

use tautleaf_physics::{Door, Limit, Parameters};
use tautleaf_trials::tune::{Goal, MOST_EVALUATIONS, TuneError, Tuned, Tuning, USUAL_RUNS, tune};
use tautleaf_trials::{Bench, Effort, Reserve, Watch, changed, cores};

use super::Made;
use crate::document::Document;
use crate::progress::Progress;
use crate::words;

/// What is asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Asked {
    /// What for; `None`: the first goal for the limits of the door.
    pub goal: Option<Goal>,
    /// How likely all limits together are to be kept; `None`: this very door keeps them.
    pub probability: Option<f64>,
}

impl Asked {
    /// What a door with these limits is tuned for.
    pub fn goal_for(&self, limits: &[Limit]) -> Goal {
        self.goal.unwrap_or_else(|| Goal::first(limits))
    }
}

/// Settings that were found for a door.
pub struct Settings {
    /// The door that they belong to.
    pub made: Made,
    /// The same, checked.
    pub door: Door,
    /// How it was run and judged.
    pub bench: Bench,
    /// What was asked for.
    pub asked: Asked,
    /// What it was tuned for.
    pub goal: Goal,
    /// What was to be left of each limit.
    pub reserve: Reserve,
    /// What was found.
    pub tuned: Tuned,
    /// Whether it was stopped: the best until then.
    pub stopped: bool,
}

impl Settings {
    /// The door with these settings.
    pub fn door_with_them(&self) -> Parameters {
        changed(&self.made.scenario().parameters, &self.tuned.changes)
    }

    /// Whether the door has them now.
    pub fn are_taken(&self, document: &Document) -> bool {
        !self.tuned.changes.is_empty() && document.scenario().parameters == self.door_with_them()
    }
}

/// Tunes the door as it is now, until told to stop. The seed is that of the subcommand.
///
/// # Errors
/// Why the door cannot be; the work says why it cannot be tuned.
pub fn work(
    document: &Document,
    asked: Asked,
    reserve: Reserve,
) -> Result<impl FnOnce(&Progress) -> Result<Settings, String> + Send + use<>, String> {
    let made = Made::of(document);
    let tuning = Tuning {
        goal: asked.goal_for(&document.scenario().criteria().limits),
        reserve,
        probability: asked.probability,
        runs: USUAL_RUNS,
        seed: 1,
        threads: cores(),
        most_evaluations: MOST_EVALUATIONS,
    };
    let scenario = made.scenario();
    let door = scenario.door().map_err(|error| words::refusal(&error))?;
    // says at once which spread cannot be drawn
    let study = scenario.study(tuning.seed, Default::default(), Effort::AsJudged);
    let bench = study.map_err(|error| error.to_string())?.bench;
    Ok(move |progress: &Progress| {
        let watch = Watch { stop: progress.stops(), tell: &|share| progress.at_share(share) };
        let tuned = tune(&door, &bench, &made.scenario().spreads, &tuning, &watch);
        let tuned = tuned.map_err(|error| match error {
            TuneError::Door(problems) => words::refusal(&made.scenario().refusal(&problems)),
            other => other.to_string(),
        })?;
        Ok(Settings {
            made,
            door,
            bench,
            asked,
            goal: tuning.goal,
            reserve,
            tuned,
            stopped: progress.is_stopped(),
        })
    })
}
