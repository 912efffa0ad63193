//! Everything that the window knows.

use std::path::PathBuf;
use std::sync::Arc;

use tautleaf_physics::Moment;
use tautleaf_scenario::{FileProblem, UnitSystem};

use crate::axis::Axis;
use crate::chart_files::Format;
use crate::charts::{Charts, Kind};
use crate::document::Document;
use crate::jobs::Jobs;
use crate::live::Live;
use crate::outside::store::{LeftBehind, Store};
use crate::remedies::Remedies;
use crate::tension_map::TensionMap;
use crate::tension_window::TensionWindow;
use crate::trials::{Trial, Trials};

/// What lies over the window.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Popup {
    /// Which file to open.
    Open,
    /// Where to save.
    SaveAs,
    /// What the door is called.
    Name,
    /// What these numbers do not say.
    Cautions,
    /// Something is not saved and the window is to close.
    Unsaved,
    /// Work that was left behind unsaved.
    Recover,
    /// What can be reached by keys.
    Keys,
    /// How the bounds of the belt's tension move.
    Tension,
    /// What the door is judged by.
    Limits,
    /// What drive and belt are rated for, in the same popup.
    Ratings,
    /// Many cycles of the door.
    Trial(Trial),
    /// Where to save a chart.
    SaveChart(Kind, Format),
    /// A file is there already: whether it is to be replaced.
    Replace(PathBuf, Written),
}

/// What is written into a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Written {
    /// The door.
    Door,
    /// A chart.
    Chart(Kind, Format),
}

/// Something to tell the user.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// Whether something went wrong.
    pub wrong: bool,
    /// What happened, in one line.
    pub head: String,
    /// The details, one line each.
    pub lines: Vec<String>,
}

impl Notice {
    /// Something went wrong.
    pub fn wrong(head: impl Into<String>, lines: Vec<String>) -> Self {
        Self { wrong: true, head: head.into(), lines }
    }

    /// Something went well.
    pub fn done(head: impl Into<String>) -> Self {
        Self { wrong: false, head: head.into(), lines: Vec::new() }
    }
}

/// How the document is looked at. Not saved with it.
#[derive(Clone, Debug, PartialEq)]
pub struct View {
    /// What charts are drawn over.
    pub axis: Axis,
    /// The part of the axis that is looked at closer, in its unit; `None`: the whole.
    pub zoom: Option<(f64, f64)>,
    /// Charts that are shown, in the order of [`Kind::ALL`].
    pub shown: Vec<Kind>,
    /// The moment pointed at.
    pub cursor: Option<Moment>,
    /// Whether time runs.
    pub playing: bool,
    /// How fast, over the time of the door.
    pub rate: f32,
    /// The part of the door whose sliders were asked for, and how often any was.
    pub part: Option<(&'static str, u64)>,
    /// Whether the pointers of the first start are shown.
    pub pointers: bool,
    /// Dark instead of light.
    pub dark: bool,
    /// What lies over the window.
    pub popup: Option<Popup>,
    /// What to tell the user.
    pub notice: Option<Notice>,
    /// Whether the window may close with unsaved changes.
    pub may_close: bool,
}

/// What charts are made from.
#[derive(Clone, Debug, PartialEq)]
pub struct Charted {
    /// Revision of the document.
    pub revision: u64,
    /// State of what is compared with.
    pub held: u64,
    /// Whether stall and residual force over the travel were there.
    pub filled: bool,
    /// Whether a slider was moving.
    pub quick: bool,
    /// Units.
    pub units: UnitSystem,
    /// What they are drawn over.
    pub axis: Axis,
    /// The part of the axis that is looked at closer.
    pub zoom: Option<(f64, f64)>,
    /// Which are shown.
    pub shown: Vec<Kind>,
}

impl Charted {
    /// Whether nothing but the door itself differs.
    pub fn same_look(&self, other: &Self) -> bool {
        let look = |one: &Self| Self { revision: 0, filled: false, quick: false, ..one.clone() };
        look(self) == look(other)
    }
}

/// Everything that the window knows.
pub struct State {
    /// What is edited.
    pub document: Document,
    /// The last run that could be made. While the door is impossible, it stays and is out of date.
    pub live: Option<Live>,
    /// Between which tensions its belt works; `None` where no tension keeps it taut.
    pub tension_window: Option<TensionWindow>,
    /// How those tensions move with leaf, ramps and speeds, once that was asked for.
    pub tension_map: Option<TensionMap>,
    /// Why the present door cannot be run.
    pub refused: Vec<FileProblem>,
    /// The run as curves.
    pub charts: Charts,
    /// What `live` and `refused` were made from: the revision, and whether a slider was moving.
    pub measured: Option<(u64, bool)>,
    /// The one compared with as curves.
    pub held_charts: Option<Charts>,
    /// What the charts were made from.
    pub charted: Option<Charted>,
    /// Settings that bring limits back.
    pub remedies: Remedies,
    /// Many cycles of it.
    pub trials: Trials,
    /// Work in the background.
    pub jobs: Jobs,
    /// What is kept between starts; `None`: nothing is.
    pub store: Option<Arc<Store>>,
    /// Work that was left behind unsaved.
    pub left_behind: Vec<LeftBehind>,
    /// Files that were opened or saved last.
    pub recent: Vec<PathBuf>,
    /// Revision of the document that was kept last, and when, s.
    pub kept: Option<(u64, f64)>,
    /// How it is looked at.
    pub view: View,
}

impl State {
    /// A window on a document.
    pub fn new(document: Document, dark: bool) -> Self {
        Self {
            document,
            live: None,
            tension_window: None,
            tension_map: None,
            refused: Vec::new(),
            charts: Charts::default(),
            measured: None,
            held_charts: None,
            charted: None,
            remedies: Remedies::default(),
            trials: Trials::default(),
            jobs: Jobs::default(),
            store: None,
            left_behind: Vec::new(),
            recent: Vec::new(),
            kept: None,
            view: View {
                axis: Axis::default(),
                zoom: None,
                shown: Kind::FIRST.to_vec(),
                cursor: None,
                playing: false,
                rate: 1.0,
                part: None,
                pointers: false,
                dark,
                popup: None,
                notice: None,
                may_close: false,
            },
        }
    }

    /// From now on unsaved work is kept in a folder. What was left behind there is offered.
    pub fn keep_in(&mut self, store: Store) {
        self.left_behind = store.left_behind();
        self.recent = store.recent();
        self.view.pointers = !store.pointers_read();
        self.view.dark = store.dark().unwrap_or(self.view.dark);
        if !self.left_behind.is_empty() {
            self.view.popup = Some(Popup::Recover);
        }
        self.store = Some(Arc::new(store));
    }

    /// Units in which everything is shown.
    pub fn units(&self) -> UnitSystem {
        self.document.scenario().units
    }
}
