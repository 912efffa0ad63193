//! Everything that a user can do, one entry each, and the keys for it.

use std::path::PathBuf;

use eframe::egui::{self, Key, KeyboardShortcut, Modifiers};
use tautleaf_physics::{Figure, Moment, Number};
use tautleaf_scenario::UnitSystem;
use tautleaf_trials::Change;
use tautleaf_trials::Reserve;
use tautleaf_trials::choose::{Rank, Restriction};

use crate::axis::Axis;
use crate::chart_files::Format;
use crate::charts::Kind;
use crate::extras::{Choice, Extra};
use crate::limit_edits::LimitEdit;
use crate::rating_edits::RatingEdit;
use crate::state::{Notice, Popup, Written};
use crate::trials::{Trial, spreading, sweeping, tuning};

/// Something that a user did. Panels send it; [`crate::apply`] carries it out.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// Sets a number of the door, SI; `None` brings its default back.
    Set {
        /// Which one.
        number: Number,
        /// Value in SI.
        value: Option<f64>,
        /// Whether it comes from a drag that is still going on.
        dragging: bool,
    },
    /// Adds a part to the door.
    Add(Extra),
    /// Takes a part away.
    Remove(Extra),
    /// Chooses one of a few.
    Choose(Choice),
    /// Turns several settings at once, one step to undo.
    Turn(Vec<Change>),
    /// The slider was let go.
    EndDrag,
    /// Shows and saves in these units.
    SetUnits(UnitSystem),
    /// Takes the last change back.
    Undo,
    /// Brings it back again.
    Redo,
    /// Lets the user pick a file to open.
    BrowseOpen,
    /// Opens a file.
    Open(PathBuf),
    /// Opens one of the doors that are built in.
    OpenExample(usize),
    /// Gives the door another name, and what it shows.
    SetName {
        /// Its name.
        title: String,
        /// What it shows, in a sentence.
        shows: String,
    },
    /// Saves where it came from, or asks where.
    Save,
    /// Lets the user pick where to save.
    BrowseSave,
    /// Saves in a file. Asks first if it would replace another one.
    SaveAs(PathBuf),
    /// Writes a file, whether it is there already or not.
    Write(PathBuf, Written),
    /// Closes the window although something is not saved.
    CloseAnyway,
    /// Takes back work that was left behind unsaved.
    Recover(usize),
    /// Throws it away.
    ThrowAway(usize),
    /// The pointers of the first start were read.
    PointersRead,
    /// Draws charts over time or over the clear opening.
    Over(Axis),
    /// Shows a chart or takes it away.
    ShowChart(Kind, bool),
    /// Copies a chart to the clipboard.
    CopyChart(Kind, Format),
    /// Lets the user pick where to save a chart.
    BrowseChart(Kind, Format),
    /// Saves a chart in a file. Asks first if there is one.
    SaveChart(Kind, Format, PathBuf),
    /// Points at a moment of the run, or at none.
    PointAt(Option<Moment>),
    /// Points at the moment at this time, s.
    PointAtTime(f64),
    /// Goes on or back by one sample of the run.
    Step(i8),
    /// Lets time run, or stops it.
    Play(bool),
    /// The one or the other.
    TogglePlay,
    /// How fast time runs, over the time of the door.
    SetRate(f32),
    /// The next slower speed of time, from the slowest back to full speed.
    SlowDown,
    /// Looks closer at a part of the axis of the charts, in its unit, or at the whole of it.
    Zoom(Option<(f64, f64)>),
    /// Shows the sliders of a part of the door.
    ShowPart(&'static str),
    /// Changes what the door is judged by.
    EditLimits(LimitEdit),
    /// Changes what drive and belt are called and rated for.
    EditRatings(RatingEdit),
    /// Puts what is in the way at another gap, m.
    SetObstacleGap {
        /// Clear opening at which it is met, m.
        gap_m: f64,
        /// Whether it comes from a drag that is still going on.
        dragging: bool,
    },
    /// Keeps the present run to compare with.
    Hold,
    /// Compares with a held run, or with none.
    Compare(Option<usize>),
    /// Gives a held run another name.
    RenameHeld(usize, String),
    /// Lets a held run go.
    Release(usize),
    /// Brings the door of a held run back.
    TakeHeld(usize),
    /// Runs a trial on the door as it is.
    Begin(Trial),
    /// Ends it early; what was found is kept.
    Stop(Trial),
    /// Proposes what leaves this of each limit.
    AskReserve(Reserve),
    /// Tunes for this goal, as surely as this.
    AskTune(tuning::Asked),
    /// Puts the settings that were found into the door.
    TakeTuned,
    /// Draws so many doors, from this seed.
    AskSpread(spreading::Asked),
    /// Looks at how a figure spreads.
    ShowSpreadOf(Figure),
    /// Sweeps this number.
    AskSweep(sweeping::Asked),
    /// Looks at a figure over the number that was swept, or at the margins.
    ShowSweepOf(Option<Figure>),
    /// Ranks the drives that were found by another rule.
    RankDrives(Rank),
    /// Tries these drives.
    AskDrives(Restriction),
    /// Puts a drive that was found into the door, with its belt and settings.
    TakeDrive(usize),
    /// Changes between light and dark.
    SetDark(bool),
    /// Opens a popup.
    Show(Popup),
    /// Closes the popup.
    HidePopup,
    /// Tells the user something.
    Say(Notice),
    /// Takes the message away.
    Dismiss,
}

/// How fast time can run, over that of the door.
pub const RATES: [(f32, &str); 3] = [(1.0, "1x"), (0.25, "1/4"), (0.05, "1/20")];

/// Samples, 1 ms apart, by which time is stepped.
pub const STEP: i8 = 10;

/// What can be reached by keys.
pub const SHORTCUTS: &[(KeyboardShortcut, &str)] = &[
    (KeyboardShortcut::new(Modifiers::COMMAND, Key::O), "Open a door file"),
    (KeyboardShortcut::new(Modifiers::COMMAND, Key::S), "Save"),
    (KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::S), "Save as"),
    (KeyboardShortcut::new(Modifiers::COMMAND, Key::Z), "Undo"),
    (KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Z), "Redo"),
    (KeyboardShortcut::new(Modifiers::NONE, Key::Space), "Play and pause"),
    (KeyboardShortcut::new(Modifiers::NONE, Key::Comma), "Time back by 10 ms"),
    (KeyboardShortcut::new(Modifiers::NONE, Key::Period), "Time on by 10 ms"),
    (KeyboardShortcut::new(Modifiers::NONE, Key::H), "Hold this run"),
    (KeyboardShortcut::new(Modifiers::NONE, Key::T), "Charts over time"),
    (KeyboardShortcut::new(Modifiers::NONE, Key::O), "Charts over the clear opening"),
    (KeyboardShortcut::new(Modifiers::NONE, Key::F1), "This list"),
    (Trial::Advise.shortcut(), Trial::Advise.name()),
    (Trial::Tune.shortcut(), Trial::Tune.name()),
    (Trial::Choose.shortcut(), Trial::Choose.name()),
    (Trial::Spread.shortcut(), Trial::Spread.name()),
    (Trial::Sweep.shortcut(), Trial::Sweep.name()),
    (KeyboardShortcut::new(Modifiers::NONE, Key::F7), "Limits"),
    (KeyboardShortcut::new(Modifiers::NONE, Key::F8), "Belt tension"),
    (KeyboardShortcut::new(Modifiers::SHIFT, Key::Comma), "Time back by 1 ms"),
    (KeyboardShortcut::new(Modifiers::SHIFT, Key::Period), "Time on by 1 ms"),
    (KeyboardShortcut::new(Modifiers::NONE, Key::S), "Time at full speed, 1/4, 1/20, and again"),
    (KeyboardShortcut::new(Modifiers::NONE, Key::Home), "Charts over the whole run again"),
];

/// Actions whose keys were pressed in this frame. `typing`: keys belong to a text field, undo included, or to what lies over
/// the window. `focused`: something is in focus that the space bar presses.
pub fn pressed(input: &mut egui::InputState, typing: bool, focused: bool) -> Vec<Action> {
    let mut actions = Vec::new();
    // The longer combination first: a shortcut also matches with more keys held.
    let mut on = |index: usize, action: Action| {
        if input.consume_shortcut(&SHORTCUTS[index].0) {
            actions.push(action);
        }
    };
    on(2, Action::Show(Popup::SaveAs));
    on(1, Action::Save);
    on(0, Action::Show(Popup::Open));
    if !typing {
        on(4, Action::Redo);
        on(3, Action::Undo);
        on(8, Action::Hold);
        on(9, Action::Over(Axis::Time));
        on(10, Action::Over(Axis::Opening));
        on(19, Action::Step(-1));
        on(20, Action::Step(1));
        on(6, Action::Step(-STEP));
        on(7, Action::Step(STEP));
        on(21, Action::SlowDown);
        on(22, Action::Zoom(None));
    }
    // A button that is in focus is pressed with the space bar.
    if !typing && !focused {
        on(5, Action::TogglePlay);
    }
    on(11, Action::Show(Popup::Keys));
    on(17, Action::Show(Popup::Limits));
    on(18, Action::Show(Popup::Tension));
    for trial in Trial::ALL {
        if input.consume_shortcut(&trial.shortcut()) {
            actions.push(Action::Show(Popup::Trial(trial)));
        }
    }
    actions
}
