//! Choosing so that drawn doors keep everything as surely as is wanted: with more reserve as long as they do not.

use std::sync::atomic::{AtomicBool, Ordering};

use tautleaf_physics::Door;

use super::catalogue::Catalogue;
use super::choice::{Choice, Choosing, Watch, choose};
use super::pair::Tried;
use super::rated::ratings_of;
use crate::assess::Criteria;
use crate::reserve::Reserve;
use crate::spread::{Probability, Spread, Undrawable};
use crate::sure::{MORE_RESERVE, Sure, Surely};

/// Drives that doors are drawn for with each reserve.
const MOST_DRAWN: usize = 4;

/// What [`choose`] finds with the least reserve with which the best pair of a drive keeps everything in as many drawn doors as
/// are wanted; that pair ranks first, and the others that were drawn follow, the surest first. Where none does, what comes
/// nearest.
///
/// # Errors
/// Every listed spread that cannot be drawn.
pub fn choose_surely(
    door: &Door,
    criteria: &Criteria,
    catalogue: &Catalogue,
    choosing: &Choosing,
    (spreads, wanted): (&[Spread], Sure),
    stop: &AtomicBool,
    watch: Watch<'_>,
) -> Result<Choice, Undrawable> {
    let mut nearest: Option<Choice> = None;
    for more in MORE_RESERVE {
        let Some(reserve) = Reserve::of(choosing.reserve.share() + more) else { break };
        let choosing = Choosing { reserve, ..choosing.clone() };
        let mut choice = choose(door, criteria, catalogue, &choosing, watch);
        let mut drawn: Vec<(Tried, Probability)> = Vec::new();
        let best = choice.best_of_each().into_iter().map(|(tried, _)| tried);
        // what has the reserve stands before what lacks it
        let whole = choice.tried.iter().any(Tried::has_reserve);
        let listed = best.filter(|tried| tried.does() && tried.has_reserve() == whole);
        for tried in listed.take(MOST_DRAWN).cloned().collect::<Vec<_>>() {
            let parameters = tried.parameters.as_deref().cloned().unwrap_or_default();
            let Ok(proposed) = Door::try_from(parameters) else { continue };
            let (drive, belt) = (&catalogue.drives[tried.drive], &catalogue.belts[tried.belt]);
            let kept = wanted.count(&proposed, &criteria.rated(&ratings_of(drive, belt)), spreads, stop)?;
            drawn.push((tried, kept));
            if wanted.is_met(&kept) || stop.load(Ordering::Relaxed) {
                break;
            }
        }
        drawn.sort_by_key(|(_, kept)| std::cmp::Reverse(kept.times));
        choice.tried.retain(|tried| drawn.iter().all(|(other, _)| other != tried));
        let (first, kept): (Vec<Tried>, Vec<Probability>) = drawn.into_iter().unzip();
        choice.tried.splice(0..0, first);
        let surely = Surely { wanted, kept };
        let (met, times) = (surely.is_met(), surely.kept.first().map_or(0, |kept| kept.times));
        choice.surely = Some(surely);
        let most = nearest.as_ref().and_then(|choice| choice.surely.as_ref()?.kept.first());
        if met || nearest.is_none() || most.is_none_or(|most| most.times < times) {
            nearest = Some(choice);
        }
        if met || stop.load(Ordering::Relaxed) {
            break;
        }
    }
    // the first reserve is one that can be
    Ok(nearest.unwrap_or_else(|| choose(door, criteria, catalogue, choosing, watch)))
}
