//! What to turn on site, worked out in the background.

use tautleaf_physics::Door;
use tautleaf_report::AdviceReport;
use tautleaf_trials::{Advice, Reserve, Watch};

use super::Made;
use crate::document::Document;
use crate::progress::Progress;
use crate::words;

/// What to turn at a door.
pub struct Advised {
    /// The door that it belongs to.
    pub made: Made,
    /// The same, checked.
    pub door: Door,
    /// What was worked out.
    pub advice: Advice,
}

/// Works out what to turn at the door as it is now, with this left of each limit, until told to stop.
///
/// # Errors
/// Why the door cannot be built.
pub fn work(
    document: &Document,
    reserve: Reserve,
) -> Result<impl FnOnce(&Progress) -> Advised + Send + use<>, String> {
    let made = Made::of(document);
    let door = made.scenario().door().map_err(|error| words::refusal(&error))?;
    Ok(move |progress: &Progress| {
        let watch = Watch { stop: progress.stops(), tell: &|share| progress.at_share(share) };
        let AdviceReport { door, advice, .. } = AdviceReport::of_door(made.scenario(), door, reserve, &watch);
        Advised { made, door, advice }
    })
}
