//! The only place that changes the state.

use std::path::PathBuf;

use eframe::egui;
use tautleaf_physics::{Number, number};
use tautleaf_scenario::Scenario;
use tautleaf_trials::Change;

use crate::action::{Action, RATES};
use crate::apply_trials;
use crate::axis::Axis;
use crate::chart_files::{self, Format};
use crate::charts::Kind;
use crate::example::EXAMPLES;
use crate::extras::Extra;
use crate::jobs::Report;
use crate::limit_edits;
use crate::live::moment_of;
use crate::outside;
use crate::rating_edits;
use crate::state::{Notice, Popup, State, Written};
use crate::words;

/// Carries out one action.
pub fn apply(state: &mut State, action: Action, ctx: &egui::Context) {
    let revision = state.document.revision();
    carry_out(state, action, ctx);
    // What went wrong is put right, or was let be.
    if state.document.revision() != revision && state.view.notice.as_ref().is_some_and(|notice| notice.wrong)
    {
        state.view.notice = None;
    }
}

fn carry_out(state: &mut State, action: Action, ctx: &egui::Context) {
    match action {
        Action::Set { number, value, dragging } => set(state, number, value, dragging),
        Action::Add(extra) => add(state, extra),
        Action::Remove(extra) => {
            let name = format!("Without {}", extra.name().to_lowercase());
            state.document.edit(&name, None, |scenario| extra.remove(&mut scenario.parameters));
        }
        Action::Choose(choice) => {
            state.document.edit(choice.name(), None, |scenario| choice.set(&mut scenario.parameters));
        }
        Action::Turn(changes) => turn(state, &changes),
        Action::EndDrag => state.document.end_gesture(),
        Action::SetUnits(units) => state.document.edit("Units", None, |scenario| scenario.units = units),
        Action::Undo => state.document.undo(),
        Action::Redo => state.document.redo(),
        Action::BrowseOpen => state.jobs.pick_to_open(ctx),
        // From the root on: it stays the same file wherever a later start of the program begins.
        Action::Open(path) => state.jobs.read(outside::whole(&path), ctx),
        Action::OpenExample(index) => {
            if let Some(example) = EXAMPLES.get(index) {
                opened(state, None, example.scenario.clone(), Vec::new());
            }
        }
        Action::SetName { title, shows } => {
            state.document.edit("Name", None, |scenario| (scenario.title, scenario.shows) = (title, shows));
            state.view.popup = None;
        }
        Action::Save => match state.document.path() {
            Some(path) => save(state, path.to_owned(), ctx),
            None => state.view.popup = Some(Popup::SaveAs),
        },
        Action::BrowseSave => {
            let name = state.document.path().and_then(|path| path.file_name());
            let name = name.map_or_else(|| "door.toml".into(), |name| name.to_string_lossy().into_owned());
            state.jobs.pick_to_save(name, ctx);
        }
        Action::SaveAs(path) => write_unless_there(state, path, Written::Door, ctx),
        Action::Write(path, what) => write(state, path, what, ctx),
        Action::CloseAnyway => {
            state.view.may_close = true;
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
        }
        Action::Recover(index) => recover(state, index),
        Action::ThrowAway(index) => {
            if let (Some(store), true) = (&state.store, index < state.left_behind.len()) {
                store.throw_away(&state.left_behind.remove(index));
            }
            close_recovery(state);
        }
        Action::PointersRead => {
            state.view.pointers = false;
            if let Some(store) = &state.store {
                store.set_pointers_read();
            }
        }
        Action::TogglePlay => play(state, !state.view.playing),
        Action::Over(axis) => (state.view.axis, state.view.zoom) = (axis, None),
        Action::ShowChart(kind, shown) => show_chart(&mut state.view.shown, kind, shown),
        Action::CopyChart(kind, format) => export(state, kind, format, None, ctx),
        Action::BrowseChart(kind, format) => state.jobs.pick_for_chart(kind, format, ctx),
        Action::SaveChart(kind, format, path) => {
            write_unless_there(state, path, Written::Chart(kind, format), ctx)
        }
        Action::PointAt(moment) => state.view.cursor = moment,
        Action::PointAtTime(t_s) => {
            state.view.cursor = state.live.as_ref().and_then(|live| live.moment_at(t_s))
        }
        Action::Step(by) => step(state, by),
        Action::Play(playing) => play(state, playing),
        Action::SetRate(rate) => state.view.rate = rate,
        Action::SlowDown => {
            let now = RATES.iter().position(|(rate, _)| *rate == state.view.rate).unwrap_or(0);
            state.view.rate = RATES[(now + 1) % RATES.len()].0;
        }
        Action::Zoom(part) => state.view.zoom = part,
        Action::ShowPart(part) => show_part(state, part),
        Action::EditLimits(edit) => limit_edits::edit(&mut state.document, edit),
        Action::EditRatings(edit) => rating_edits::edit(&mut state.document, edit),
        Action::SetObstacleGap { gap_m, dragging } => {
            let gesture = dragging.then_some("obstacle.gap");
            state.document.edit("Gap of what is in the way", gesture, |scenario| {
                if let Some(obstacle) = &mut scenario.parameters.obstacle {
                    obstacle.gap_m = gap_m;
                }
            });
        }
        Action::Hold => {
            if let Some(live) = state.live.as_ref().filter(|_| state.refused.is_empty()) {
                let (scenario, live) = (state.document.scenario().clone(), live.clone());
                state.document.edit_held("Hold", |held| held.hold(scenario, live));
            }
        }
        Action::Compare(index) => state.document.compare(index),
        Action::RenameHeld(index, name) => {
            state.document.edit_held("Another name", |held| held.rename(index, name));
        }
        Action::Release(index) => state.document.edit_held("Let go", |held| held.release(index)),
        Action::TakeHeld(index) => {
            if let Some(held) = state.document.held().all().get(index).cloned() {
                let name = format!("Back to {}", held.name);
                state
                    .document
                    .edit(&name, None, |scenario| scenario.parameters = held.scenario.parameters.clone());
            }
        }
        Action::Begin(trial) => apply_trials::begin(state, trial, ctx),
        Action::Stop(trial) => {
            if let Some(going) = state.trials.going(trial) {
                going.stop();
            }
        }
        Action::AskReserve(reserve) => state.trials.reserve = Some(reserve),
        Action::AskDrives(only) => state.trials.only = only,
        Action::AskTune(asked) => state.trials.tune_asked = asked,
        Action::TakeTuned => apply_trials::take_tuned(state),
        Action::AskSpread(asked) => state.trials.spread_asked = asked,
        Action::ShowSpreadOf(figure) => state.trials.spread_shown = Some(figure),
        Action::AskSweep(asked) => apply_trials::ask_sweep(state, asked),
        Action::ShowSweepOf(figure) => state.trials.sweep_shown = figure,
        Action::RankDrives(rank) => state.trials.rank_by(rank),
        Action::TakeDrive(index) => apply_trials::take_drive(state, index),
        Action::SetDark(dark) => {
            state.view.dark = dark;
            if let Some(store) = &state.store {
                store.set_dark(dark);
            }
        }
        Action::Show(popup) => state.view.popup = Some(popup),
        Action::HidePopup => state.view.popup = None,
        Action::Say(notice) => state.view.notice = Some(notice),
        Action::Dismiss => state.view.notice = None,
    }
}

/// What is taken back is this window's from now on, and not saved yet.
fn recover(state: &mut State, index: usize) {
    let Some(store) = state.store.clone().filter(|_| index < state.left_behind.len()) else { return };
    let left = state.left_behind.remove(index);
    if let Err(error) = store.take(&left) {
        state.view.notice = Some(Notice::wrong("Not taken back.", vec![error.to_string()]));
    } else {
        state.document.recover(left.scenario, left.path, left.held);
        state.view.cursor = None;
    }
    close_recovery(state);
}

fn close_recovery(state: &mut State) {
    if state.left_behind.is_empty() {
        state.view.popup = None;
    }
}

/// Saves a chart, or copies it to the clipboard.
fn export(state: &mut State, kind: Kind, format: Format, path: Option<PathBuf>, ctx: &egui::Context) {
    let Some(chart) = state.charts.charts.iter().find(|chart| chart.kind == kind) else { return };
    let axis = if state.view.axis == Axis::Time { "time" } else { "clear opening" };
    let title = &state.document.scenario().title;
    let text = chart_files::text(chart, &state.charts, axis, title, format);
    match (format, path) {
        (Format::Png, path) => state.jobs.picture(text, path, ctx),
        (_, Some(path)) => state.jobs.write(path, text.into_bytes(), ctx),
        (_, None) => {
            ctx.copy_text(text);
            let copied = format!("{} was copied as {}.", kind.title(), format.name().0);
            state.view.notice = Some(Notice::done(copied));
        }
    }
}

fn step(state: &mut State, by: i8) {
    state.view.playing = false;
    let Some(live) = &state.live else { return };
    let now = state.view.cursor.map_or(0.0, |moment| moment.t_s);
    let index = live.index_at(now).saturating_add_signed(isize::from(by));
    let sample = live.run.samples.get(index).or(live.run.samples.last());
    state.view.cursor = sample.map(moment_of);
}

/// Played from the end, time begins anew.
fn play(state: &mut State, playing: bool) {
    state.view.playing = playing;
    let Some(live) = state.live.as_ref().filter(|_| playing) else { return };
    let at_end = state.view.cursor.is_none_or(|moment| moment.t_s >= live.end().t_s - 1e-3);
    if at_end {
        state.view.cursor = live.moment_at(0.0);
    }
}

/// The last chart stays: a bench without one shows nothing.
fn show_chart(kinds: &mut Vec<Kind>, kind: Kind, shown: bool) {
    let keep = |other: &Kind| if *other == kind { shown } else { kinds.contains(other) };
    let new: Vec<Kind> = Kind::ALL.into_iter().filter(keep).collect();
    if !new.is_empty() {
        *kinds = new;
    }
}

fn set(state: &mut State, number: Number, value: Option<f64>, dragging: bool) {
    let key = number.key();
    state.view.notice = None;
    state.document.edit(&words::name_of(&key), dragging.then_some(key.as_str()), |scenario| {
        number.set(&mut scenario.parameters, value);
    });
}

/// What was added comes into view, unfolded.
fn add(state: &mut State, extra: Extra) {
    let name = format!("With {}", extra.name().to_lowercase());
    state.document.edit(&name, None, |scenario| extra.add(&mut scenario.parameters));
    show_part(state, extra.name());
}

fn show_part(state: &mut State, part: &'static str) {
    let count = state.view.part.map_or(0, |(_, count)| count);
    state.view.part = Some((part, count + 1));
}

fn turn(state: &mut State, changes: &[Change]) {
    state.view.notice = None;
    let names: Vec<String> = changes.iter().map(|change| words::name_of(change.key)).collect();
    state.document.edit(&names.join(", "), None, |scenario| {
        for change in changes {
            if let Some(number) = number(change.key) {
                number.set(&mut scenario.parameters, Some(change.to));
            }
        }
    });
}

/// Another file than the door's own is not replaced unasked.
fn write_unless_there(state: &mut State, path: PathBuf, what: Written, ctx: &egui::Context) {
    let ending = match what {
        Written::Door => "toml",
        Written::Chart(_, format) => format.name().1,
    };
    let path = outside::whole(&path);
    let path = if path.extension().is_none() { path.with_extension(ending) } else { path };
    let own = what == Written::Door && state.document.path() == Some(&path);
    if !own && outside::is_there(&path) {
        state.view.popup = Some(Popup::Replace(path, what));
    } else {
        write(state, path, what, ctx);
    }
}

fn write(state: &mut State, path: PathBuf, what: Written, ctx: &egui::Context) {
    match what {
        Written::Door => save(state, path, ctx),
        Written::Chart(kind, format) => {
            state.view.popup = None;
            export(state, kind, format, Some(path), ctx);
        }
    }
}

fn save(state: &mut State, path: PathBuf, ctx: &egui::Context) {
    state.jobs.save(path, state.document.scenario().clone(), state.document.held().to_save(), ctx);
}

/// Takes in what a background job came to.
pub fn take_in(state: &mut State, report: Report, ctx: &egui::Context) {
    match report {
        Report::Remedy { revision, index, remedy } => {
            if state.remedies.revision == Some(revision) {
                state.remedies.add(index, remedy);
            }
        }
        Report::Profile { revision, forces } => {
            if let Some(live) = state.live.as_mut().filter(|_| state.measured == Some((revision, false))) {
                live.whole_profile = Some(forces);
            }
        }
        Report::TensionMap(map) => state.tension_map = Some(map),
        Report::Tried(tried) => apply_trials::take_in(state, tried),
        Report::PickedForChart(kind, format, Some(path)) => {
            // The desktop's own dialog has asked whether to replace it.
            write(state, path, Written::Chart(kind, format), ctx)
        }
        Report::PickedForChart(_, _, None) => {}
        Report::Picture(picture) => {
            state.view.notice = Some(match picture {
                Ok(picture) => {
                    ctx.copy_image(picture);
                    Notice::done("The chart was copied as a picture.")
                }
                Err(error) => Notice::wrong("The chart was not copied.", vec![error.to_string()]),
            });
        }
        Report::Written { path, result } => {
            state.view.notice = Some(match result {
                Ok(()) => Notice::done(format!("Saved as {}", outside::whole(&path).display())),
                Err(error) => {
                    Notice::wrong(format!("{} was not saved.", path.display()), vec![error.to_string()])
                }
            });
        }
        Report::NotKept(error) => {
            let head = "Unsaved work is not kept for a crash: save it.";
            state.view.notice = Some(Notice::wrong(head, vec![error.to_string()]));
        }
        Report::PickedToOpen(Some(path)) => apply(state, Action::Open(path), ctx),
        Report::PickedToSave(Some(path)) => write(state, path, Written::Door, ctx),
        // The popup stays, with a field for the path.
        Report::PickedToOpen(None) | Report::PickedToSave(None) => {}
        Report::BrokeOff(trial) => {
            if let Some(trial) = trial {
                state.trials.break_off(trial);
            }
            let says =
                "Work in the background broke off: a fault of this program. The door is as it was; save it.";
            state.view.notice = Some(Notice::wrong(says, Vec::new()));
        }
        Report::NoDialog => {
            let says = "This desktop shows no file dialog: type the path instead.";
            state.view.notice = Some(Notice::wrong(says, Vec::new()));
        }
        Report::Read { path, result, held } => match result {
            Ok(scenario) => {
                opened(state, Some(path), *scenario, held);
            }
            Err(error) => {
                let lines = error.problems.iter().map(ToString::to_string).collect();
                let count = match error.problems.len() {
                    1 => "one problem".to_owned(),
                    n => format!("{n} problems"),
                };
                let head =
                    format!("{} was not opened: {count}. The door before it is still here.", path.display());
                state.view.notice = Some(Notice::wrong(head, lines));
                state.view.popup = None;
            }
        },
        Report::Saved { path, scenario, result } => {
            state.view.popup = None;
            state.view.notice = Some(match result {
                Ok(()) => Notice::done(format!("Saved as {}", outside::whole(&path).display())),
                Err(error) => Notice::wrong("Not saved.", vec![error.to_string()]),
            });
            if state.view.notice.as_ref().is_some_and(|notice| !notice.wrong) {
                note_recent(state, &path);
                state.document.saved(path, *scenario);
            }
        }
    }
}

/// A file was read, or an example was chosen.
fn opened(state: &mut State, path: Option<PathBuf>, scenario: Scenario, held: Vec<(String, Scenario)>) {
    state.view.notice = state
        .document
        .is_dirty()
        .then(|| Notice::done("Opened. The door before it was not saved: undo brings it back."));
    if let Some(path) = &path {
        note_recent(state, path);
    }
    state.document.open(scenario, path, held);
    state.view.zoom = None;
    show_part(state, "Leaf");
    state.view.cursor = None;
    state.view.playing = false;
    // Work that was left behind is still to be asked for.
    let asks = state.view.popup == Some(Popup::Recover) && !state.left_behind.is_empty();
    state.view.popup = asks.then_some(Popup::Recover);
}

fn note_recent(state: &mut State, path: &std::path::Path) {
    if let Some(store) = &state.store {
        store.note_recent(path);
        state.recent = store.recent();
    }
}
