//! What follows by itself, once in every frame: new runs and curves, time that goes on, unsaved work that is kept.

use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use eframe::egui;

use crate::axis::Axis;
use crate::charts::{Charts, Kind};
use crate::live::{Detail, Live};
use crate::remedies::{Remedies, Request};
use crate::state::{Charted, Popup, State};
use crate::tension_window::TensionWindow;

/// Makes everything anew that follows from what has changed, and nothing else.
pub fn settle(state: &mut State, ctx: &egui::Context) {
    let revision = state.document.revision();
    let forces_shown = state.view.axis == Axis::Opening && state.view.shown.contains(&Kind::Force);
    let quick = state.document.in_gesture();
    // Let go of, the slider's last run is made anew with all that was left out while it moved.
    if state.measured != Some((revision, quick)) && state.measured != Some((revision, false)) {
        state.jobs.stop_search();
        // Let go of, the door is also looked at between the gaps of its force test.
        let detail = Detail { quick, with_profile: forces_shown || !quick };
        match Live::in_detail(state.document.scenario(), detail) {
            Ok(live) => {
                state.tension_window = TensionWindow::of(&live);
                state.live = Some(live);
                state.refused.clear();
            }
            Err(refusal) => state.refused = refusal.problems,
        }
        state.measured = Some((revision, quick));
    }
    let charted = Charted {
        revision,
        held: state.document.held().changes(),
        filled: state.live.as_ref().is_some_and(|live| live.whole_profile.is_some()),
        quick,
        units: state.units(),
        axis: state.view.axis,
        zoom: state.view.zoom,
        shown: state.view.shown.clone(),
    };
    if state.charted.as_ref() != Some(&charted) {
        let of =
            |live: &Live| Charts::closer(live, charted.units, (charted.axis, charted.zoom), &charted.shown);
        if let Some(live) = &state.live {
            state.charts = of(live);
        }
        // What is held stays as it is while a slider moves.
        if !state.charted.as_ref().is_some_and(|before| before.same_look(&charted)) {
            state.held_charts = state.document.held().compared().map(|held| of(&held.live));
        }
        state.charted = Some(charted);
    }
    let settled = !state.document.in_gesture() && state.refused.is_empty();
    let forces_shown = state.view.axis == Axis::Opening && state.view.shown.contains(&Kind::Force);
    if let Some(live) =
        state.live.as_ref().filter(|live| settled && forces_shown && live.whole_profile.is_none())
    {
        state.jobs.profile(live.door.clone(), revision, ctx);
    }
    let is_drawn = state.tension_map.as_ref().is_some_and(|map| map.revision == revision);
    if settled && state.view.popup == Some(Popup::Tension) && !is_drawn {
        state.jobs.tension_map(state.document.scenario().clone(), revision, ctx);
    }
    if settled && state.remedies.revision != Some(revision) {
        state.remedies = Remedies::begin(revision);
        if let Some(live) = &state.live {
            state.jobs.search(Request::for_run(live, revision), ctx);
        }
    }
}

/// Time goes on by a frame.
pub fn pass_time(state: &mut State, frame_s: f32, ctx: &egui::Context) {
    let Some(live) = state.live.as_ref().filter(|_| state.view.playing) else { return };
    let now = state.view.cursor.map_or(0.0, |moment| moment.t_s);
    let next = now + f64::from(frame_s * state.view.rate);
    let end = live.end().t_s;
    state.view.cursor = live.moment_at(next.min(end));
    state.view.playing = next < end;
    ctx.request_repaint();
}

/// Keeps unsaved work, soon after it has changed; lets go of it once it is saved.
pub fn keep(state: &mut State, now_s: f64, ctx: &egui::Context) {
    const SOON_S: f64 = 2.0;
    let Some(store) = &state.store else { return };
    let revision = state.document.revision();
    if !state.document.is_dirty() {
        if state.kept.take().is_some() {
            store.forget();
        }
        return;
    }
    if state.kept.is_some_and(|(kept, _)| kept == revision) {
        return;
    }
    let wait = state.kept.map_or(0.0, |(_, when)| when + SOON_S - now_s);
    if wait > 0.0 || state.document.in_gesture() || state.jobs.is_keeping() {
        ctx.request_repaint_after(Duration::from_secs_f64(wait.max(0.1)));
        return;
    }
    state.kept = Some((revision, now_s));
    let path = state.document.path().map(Path::to_owned);
    state.jobs.keep(
        Arc::clone(store),
        state.document.scenario().clone(),
        path,
        state.document.held().to_save(),
        ctx,
    );
}
