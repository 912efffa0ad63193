//! Actions of the trials: begun one at a time of each kind, stopped, taken into the door.

use std::sync::Arc;

use eframe::egui;
use tautleaf_scenario::catalogue;
use tautleaf_trials::choose::ratings_of;

use crate::jobs::Jobs;
use crate::progress::Progress;
use crate::state::State;
use crate::trials::{Made, Trial, Trials, Tried, Under, advising, choosing, spreading, sweeping, tuning};

/// Begins a trial on the door as it is, unless one of its kind is under way.
pub fn begin(state: &mut State, trial: Trial, ctx: &egui::Context) {
    let State { trials, jobs, document, .. } = state;
    if trials.going(trial).is_some() {
        return;
    }
    match trial {
        Trial::Advise => {
            let (work, progress) =
                (advising::work(document, trials.reserve_of(document)), Progress::of_a_whole(ctx));
            start(&mut trials.advice, work, progress, Tried::Advice, (trial, jobs, ctx));
        }
        Trial::Tune => {
            let (work, progress) = (
                tuning::work(document, trials.tune_asked, trials.reserve_of(document)),
                Progress::of_a_whole(ctx),
            );
            start(&mut trials.tuned, work, progress, Tried::Tuned, (trial, jobs, ctx));
        }
        Trial::Choose => {
            let progress = Progress::counting(trials.only.leaves(catalogue()) as u64, "drives", ctx);
            let work = choosing::work(document, trials.choosing(document));
            start(&mut trials.drives, work, progress, Tried::Drives, (trial, jobs, ctx));
        }
        Trial::Spread => {
            let (runs, work) = parted(spreading::work(document, &trials.spread_asked));
            let progress = Progress::counting(runs, "runs", ctx);
            start(&mut trials.spread, work, progress, Tried::Spread, (trial, jobs, ctx));
        }
        Trial::Sweep => {
            let (values, work) = parted(sweeping::work(document, &trials.sweep_asked));
            let progress = Progress::counting(values, "values", ctx);
            start(&mut trials.sweep, work, progress, Tried::Sweep, (trial, jobs, ctx));
        }
    }
}

/// Work apart from how much of it there is.
fn parted<W>(work: Result<(u64, W), String>) -> (u64, Result<W, String>) {
    match work {
        Ok((count, work)) => (count, Ok(work)),
        Err(why) => (0, Err(why)),
    }
}

/// Starts the work, or keeps why it cannot be done.
fn start<T: 'static, F>(
    under: &mut Under<F>,
    work: Result<impl FnOnce(&Progress) -> T + Send + 'static, String>,
    progress: Arc<Progress>,
    tried: impl FnOnce(Box<T>) -> Tried + Send + 'static,
    (trial, jobs, ctx): (Trial, &mut Jobs, &egui::Context),
) {
    match work {
        Ok(work) => {
            under.refused = None;
            under.going = Some(Arc::clone(&progress));
            jobs.try_out(trial, ctx, move || tried(Box::new(work(&progress))));
        }
        Err(why) => under.refused = Some(why),
    }
}

/// Another number to sweep brings its own ends.
pub fn ask_sweep(state: &mut State, asked: sweeping::Asked) {
    let parameters = &state.document.scenario().parameters;
    state.trials.sweep_asked = state.trials.sweep_asked.turned_to(asked, parameters, state.units());
}

/// Takes in what came of a trial.
pub fn take_in(state: &mut State, tried: Tried) {
    let trials: &mut Trials = &mut state.trials;
    match tried {
        Tried::Advice(advised) => trials.advice.end(*advised),
        Tried::Tuned(tuned) => trials.tuned.end_or_refuse(*tuned),
        Tried::Sweep(swept) => trials.sweep.end(*swept),
        Tried::Spread(spread) => {
            // what was looked at stays, if it still spreads
            let shown = trials.spread_shown.filter(|shown| spread.figures().any(|figure| figure == *shown));
            trials.spread_shown = shown.or_else(|| spread.first());
            trials.spread.end(*spread);
        }
        Tried::Drives(chosen) => {
            trials.drives.end(*chosen);
            trials.rank_by(trials.rank);
        }
    }
}

/// Takes the settings that were found into the door in one step.
pub fn take_tuned(state: &mut State) {
    let Some(found) = state.trials.tuned.found.as_ref() else { return };
    if found.tuned.changes.is_empty() || !found.made.is_current(&state.document) {
        return;
    }
    let parameters = found.door_with_them();
    state.document.edit("Tuned settings", None, |scenario| scenario.parameters = parameters);
}

/// Takes a drive into the door in one step. Another of the same list may be taken after it: each begins from the same door.
pub fn take_drive(state: &mut State, index: usize) {
    let Some(chosen) = state.trials.drives.found.as_mut() else { return };
    if !chosen.made.is_current(&state.document) {
        return;
    }
    let Some(tried) = chosen.choice.tried.get(index).filter(|tried| tried.does()) else { return };
    let Some(parameters) = tried.parameters.as_deref().cloned() else { return };
    let all = catalogue();
    let (drive, belt) = (&all.drives[tried.drive].name, &all.belts[tried.belt].name);
    let name = format!("Drive {drive}");
    chosen.taken = Some((tried.drive, tried.belt));
    let shows = format!("With the drive {drive} and the belt {belt}, chosen for this door.");
    let ratings = ratings_of(&all.drives[tried.drive], &all.belts[tried.belt]);
    state.document.edit(&name, None, |scenario| {
        (scenario.parameters, scenario.ratings, scenario.shows) = (parameters, ratings, shows);
    });
    chosen.made = Made::of(&state.document);
}
