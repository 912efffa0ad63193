//! Drives tried on the door in the background.

use tautleaf_physics::Limit;
use tautleaf_report::nothing_left;
use tautleaf_scenario::catalogue;
use tautleaf_trials::choose::{Choice, Choosing, choose};

use super::Made;
use crate::document::Document;
use crate::progress::Progress;
use crate::words;

/// Drives tried on a door.
pub struct Chosen {
    /// The door that it belongs to.
    pub made: Made,
    /// What the door was judged by.
    pub limits: Vec<Limit>,
    /// What came of it.
    pub choice: Choice,
    /// Drive and belt that were taken into the door last.
    pub taken: Option<(usize, usize)>,
}

/// Tries every drive of the program with every belt on the door as it is now, until told to stop.
///
/// # Errors
/// Why the door cannot be built, or that no drive is left to try.
pub fn work(
    document: &Document,
    choosing: Choosing,
) -> Result<impl FnOnce(&Progress) -> Chosen + Send + use<>, String> {
    let scenario = document.scenario();
    let door = scenario.door().map_err(|error| words::refusal(&error))?;
    let criteria = scenario.criteria();
    let nothing = nothing_left(&choosing.only, catalogue(), scenario.units);
    if let Some(why) = nothing {
        return Err(format!("Nothing is left to try: {why}"));
    }
    let made = Made::of(document);
    Ok(move |progress: &Progress| {
        let watch = |done: usize, _: usize| {
            progress.at(done as u64);
            !progress.is_stopped()
        };
        let choice = choose(&door, &criteria, catalogue(), &choosing, &watch);
        // what a sound door keeps has its names too
        Chosen { made, limits: criteria.with_soundness().limits, choice, taken: None }
    })
}
