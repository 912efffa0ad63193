//! Settings tuned for a goal in the background.

use tautleaf_physics::{Door, Parameters};
use tautleaf_trials::tune::{Goal, MOST_EVALUATIONS, Tuned, Tuning, USUAL_RUNS, tune};
use tautleaf_trials::{Bench, Effort, Watch, changed, cores};

use super::Made;
use crate::document::Document;
use crate::progress::Progress;

/// What is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// What for.
    pub goal: Goal,
    /// How likely all limits together are to be kept; `None`: this very door keeps them.
    pub probability: Option<f64>,
}

impl Default for Asked {
    fn default() -> Self {
        Self { goal: Goal::Fastest, probability: None }
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
) -> Result<impl FnOnce(&Progress) -> Result<Settings, String> + Send + use<>, String> {
    let made = Made::of(document);
    let tuning = Tuning {
        goal: asked.goal,
        probability: asked.probability,
        runs: USUAL_RUNS,
        seed: 1,
        threads: cores(),
        most_evaluations: MOST_EVALUATIONS,
    };
    let scenario = made.scenario();
    let door = scenario.door().map_err(|error| error.to_string())?;
    // says at once which spread cannot be drawn
    let study = scenario.study(tuning.seed, Default::default(), Effort::AsJudged);
    let mut bench = study.map_err(|error| error.to_string())?.bench;
    bench.criteria = bench.criteria.with_soundness();
    Ok(move |progress: &Progress| {
        let watch = Watch { stop: progress.stops(), tell: &|share| progress.at_share(share) };
        let tuned = tune(&door, &bench, &made.scenario().spreads, &tuning, &watch);
        let tuned = tuned.map_err(|error| error.to_string())?;
        Ok(Settings { made, door, bench, asked, tuned, stopped: progress.is_stopped() })
    })
}
