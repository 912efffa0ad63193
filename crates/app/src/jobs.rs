//! Work in the background, as values that are polled. Of each kind the latest request wins.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::Duration;

use eframe::egui;
use tautleaf_physics::{Door, GapForce};
use tautleaf_scenario::{ReadError, SaveError, Scenario};
use tautleaf_trials::Remedy;

use crate::chart_files::Format;
use crate::chart_files::picture::{self, PictureError};
use crate::charts as chart;
use crate::live;
use crate::outside;
use crate::outside::held_files;
use crate::outside::store::Store;
use crate::remedies::Request;
use crate::tension_map::TensionMap;
use crate::trials::{Trial, Tried};

/// What a job came to.
pub enum Report {
    /// A search for the remedy of one limit has ended.
    Remedy {
        /// Revision of the document that it belongs to.
        revision: u64,
        /// Index of the limit.
        index: usize,
        /// The setting, if there is one.
        remedy: Option<Remedy>,
    },
    /// Closing force over the whole travel, with stall and residual force.
    Profile {
        /// Revision of the document that it belongs to.
        revision: u64,
        /// The force test at gaps over the whole travel.
        forces: Vec<GapForce>,
    },
    /// How the bounds of the belt's tension move.
    TensionMap(TensionMap),
    /// A trial has ended.
    Tried(Tried),
    /// A file was picked to be opened, or none was.
    PickedToOpen(Option<PathBuf>),
    /// A fault of the program ended a job, or this trial.
    BrokeOff(Option<Trial>),
    /// This desktop shows no file dialog.
    NoDialog,
    /// A place to save was picked, or none was.
    PickedToSave(Option<PathBuf>),
    /// A place to save a chart was picked, or none was.
    PickedForChart(chart::Kind, Format, Option<PathBuf>),
    /// A chart as a picture, to be copied.
    Picture(Result<egui::ColorImage, PictureError>),
    /// A file was written.
    Written {
        /// The file.
        path: PathBuf,
        /// Whether that worked.
        result: std::io::Result<()>,
    },
    /// Unsaved work could not be kept.
    NotKept(SaveError),
    /// A file was read.
    Read {
        /// The file.
        path: PathBuf,
        /// What it holds.
        result: Result<Box<Scenario>, ReadError>,
        /// The held runs that lie beside it.
        held: Vec<held_files::Saved>,
    },
    /// A file was saved.
    Saved {
        /// The file.
        path: PathBuf,
        /// What was saved.
        scenario: Box<Scenario>,
        /// Whether that worked.
        result: Result<(), SaveError>,
    },
}

/// The jobs under way.
pub struct Jobs {
    sender: Sender<(Kind, u64, Message)>,
    receiver: Receiver<(Kind, u64, Message)>,
    /// Number of the latest job of each kind, and whether it is still going on.
    latest: [(u64, bool); KINDS],
    stop_search: Arc<AtomicBool>,
    waiting_search: Option<Request>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Search,
    Dialog,
    Read,
    Save,
    Keep,
    Profile,
    Tension,
    Write,
    Advise,
    Tune,
    Choose,
    Spread,
    Sweep,
}

const KINDS: usize = 13;

impl From<Trial> for Kind {
    fn from(trial: Trial) -> Self {
        match trial {
            Trial::Advise => Self::Advise,
            Trial::Tune => Self::Tune,
            Trial::Choose => Self::Choose,
            Trial::Spread => Self::Spread,
            Trial::Sweep => Self::Sweep,
        }
    }
}

enum Message {
    Report(Box<Report>),
    Ended,
    /// A fault of the program ended it.
    BrokeOff,
}

/// Tells that a job has ended, however it did.
struct Ends<'a>(&'a dyn Fn(Message));

impl Drop for Ends<'_> {
    fn drop(&mut self) {
        (self.0)(if std::thread::panicking() { Message::BrokeOff } else { Message::Ended });
    }
}

impl Default for Jobs {
    fn default() -> Self {
        let (sender, receiver) = channel();
        Self {
            sender,
            receiver,
            latest: [(0, false); KINDS],
            stop_search: Arc::default(),
            waiting_search: None,
        }
    }
}

/// Asks with the desktop's own dialog. One that is over before anyone can have answered was never shown.
fn dialog(
    pick: impl FnOnce() -> Option<PathBuf>,
    picked: impl FnOnce(Option<PathBuf>) -> Report,
    say: &mut dyn FnMut(Report),
) {
    const TOO_SOON: Duration = Duration::from_millis(250);
    let (path, took) = outside::timed(pick);
    let shown = path.is_some() || took > TOO_SOON;
    say(if shown { picked(path) } else { Report::NoDialog });
}

impl Jobs {
    /// Whether anything is going on beside an open dialog.
    pub fn is_busy(&self) -> bool {
        let going = |kind: Kind| self.latest[kind as usize].1;
        going(Kind::Search)
            || going(Kind::Profile)
            || going(Kind::Tension)
            || Trial::ALL.into_iter().any(|trial| going(trial.into()))
            || going(Kind::Write)
            || going(Kind::Read)
            || going(Kind::Save)
    }

    /// Searches remedies. A search under way gives way to this one.
    pub fn search(&mut self, request: Request, ctx: &egui::Context) {
        self.stop_search.store(true, Ordering::Relaxed);
        if self.latest[Kind::Search as usize].1 {
            self.waiting_search = Some(request);
            return;
        }
        let stop = Arc::new(AtomicBool::new(false));
        self.stop_search = Arc::clone(&stop);
        self.start(Kind::Search, ctx, move |say| {
            let revision = request.revision;
            request.search(&stop, |index, remedy| say(Report::Remedy { revision, index, remedy }));
        });
    }

    /// Lets a search under way end early: what it looks for is out of date.
    pub fn stop_search(&mut self) {
        self.stop_search.store(true, Ordering::Relaxed);
        self.waiting_search = None;
    }

    /// Runs a trial.
    pub fn try_out(
        &mut self,
        trial: Trial,
        ctx: &egui::Context,
        work: impl FnOnce() -> Tried + Send + 'static,
    ) {
        self.start(trial.into(), ctx, move |say| say(Report::Tried(work())));
    }

    /// Asks which file to open.
    pub fn pick_to_open(&mut self, ctx: &egui::Context) {
        self.start(Kind::Dialog, ctx, |say| dialog(outside::pick_to_open, Report::PickedToOpen, say));
    }

    /// Asks where to save.
    pub fn pick_to_save(&mut self, name: String, ctx: &egui::Context) {
        self.start(Kind::Dialog, ctx, move |say| {
            dialog(|| outside::pick_to_save(&name), Report::PickedToSave, say);
        });
    }

    /// Asks where to save a chart.
    pub fn pick_for_chart(&mut self, kind: chart::Kind, format: Format, ctx: &egui::Context) {
        let name = format!("{}.{}", kind.title().to_lowercase(), format.name().1);
        self.start(Kind::Dialog, ctx, move |say| {
            let picked = |path| Report::PickedForChart(kind, format, path);
            dialog(|| outside::pick_for_chart(&name, format.name()), picked, say);
        });
    }

    /// Writes a file.
    pub fn write(&mut self, path: PathBuf, bytes: Vec<u8>, ctx: &egui::Context) {
        self.start(Kind::Write, ctx, move |say| {
            let result = outside::write(&path, &bytes);
            say(Report::Written { path, result });
        });
    }

    /// Renders a drawing as a picture, to be saved in a file or copied.
    pub fn picture(&mut self, svg: String, path: Option<PathBuf>, ctx: &egui::Context) {
        self.start(Kind::Write, ctx, move |say| {
            let Some(path) = path else {
                return say(Report::Picture(picture::picture(&svg)));
            };
            let bytes = picture::png(&svg).map_err(std::io::Error::other);
            let result = bytes.and_then(|bytes| outside::write(&path, &bytes));
            say(Report::Written { path, result });
        });
    }

    /// Reads a file.
    pub fn read(&mut self, path: PathBuf, ctx: &egui::Context) {
        self.start(Kind::Read, ctx, move |say| {
            let result = outside::read(&path).map(Box::new);
            let held = if result.is_ok() { held_files::read(&path) } else { Vec::new() };
            say(Report::Read { path, result, held });
        });
    }

    /// Saves a file, and the held runs beside it.
    pub fn save(
        &mut self,
        path: PathBuf,
        scenario: Scenario,
        held: Vec<held_files::Saved>,
        ctx: &egui::Context,
    ) {
        self.start(Kind::Save, ctx, move |say| {
            let result = outside::save(&path, &scenario).and_then(|()| held_files::save(&path, &held));
            say(Report::Saved { path, scenario: Box::new(scenario), result });
        });
    }

    /// Keeps unsaved work.
    pub fn keep(
        &mut self,
        store: Arc<Store>,
        scenario: Scenario,
        path: Option<PathBuf>,
        held: Vec<held_files::Saved>,
        ctx: &egui::Context,
    ) {
        self.start(Kind::Keep, ctx, move |say| {
            if let Err(error) = store.keep(&scenario, path.as_deref(), &held) {
                say(Report::NotKept(error));
            }
        });
    }

    /// Works out stall and residual force over the whole travel, unless that is going on for another door.
    pub fn profile(&mut self, door: Door, revision: u64, ctx: &egui::Context) {
        if self.latest[Kind::Profile as usize].1 {
            return;
        }
        self.start(Kind::Profile, ctx, move |say| {
            say(Report::Profile { revision, forces: live::whole_profile(&door) });
        });
    }

    /// Works out how the bounds of the belt's tension move, unless that is going on for another door.
    pub fn tension_map(&mut self, scenario: Scenario, revision: u64, ctx: &egui::Context) {
        if self.latest[Kind::Tension as usize].1 {
            return;
        }
        self.start(Kind::Tension, ctx, move |say| {
            say(Report::TensionMap(TensionMap::of(&scenario, revision)));
        });
    }

    /// Whether unsaved work is being kept.
    pub fn is_keeping(&self) -> bool {
        self.latest[Kind::Keep as usize].1
    }

    fn start(
        &mut self,
        kind: Kind,
        ctx: &egui::Context,
        work: impl FnOnce(&mut dyn FnMut(Report)) + Send + 'static,
    ) {
        let latest = &mut self.latest[kind as usize];
        *latest = (latest.0 + 1, true);
        let (number, sender, ctx) = (latest.0, self.sender.clone(), ctx.clone());
        outside::beside(move || {
            let send = |message| {
                // The window may be gone by now: then nobody wants to know.
                let _ = sender.send((kind, number, message));
                ctx.request_repaint();
            };
            let ends = Ends(&send);
            work(&mut |report| send(Message::Report(Box::new(report))));
            drop(ends);
        });
    }

    /// What has come in since the last call. What a newer job has overtaken is left out.
    pub fn poll(&mut self, ctx: &egui::Context) -> Vec<Report> {
        let mut reports = Vec::new();
        while let Ok((kind, number, message)) = self.receiver.try_recv() {
            let latest = &mut self.latest[kind as usize];
            if number != latest.0 {
                continue;
            }
            match message {
                Message::Report(report) => reports.push(*report),
                ended @ (Message::Ended | Message::BrokeOff) => {
                    latest.1 = false;
                    if matches!(ended, Message::BrokeOff) {
                        let trial = Trial::ALL.into_iter().find(|trial| Kind::from(*trial) == kind);
                        reports.push(Report::BrokeOff(trial));
                    }
                    let next = self.waiting_search.take_if(|_| kind == Kind::Search);
                    if let Some(request) = next {
                        self.search(request, ctx);
                    }
                }
            }
        }
        reports
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A job that panics is told, and is no longer under way.
    #[test]
    fn a_job_that_breaks_off_is_told_and_is_over() {
        let ctx = egui::Context::default();
        let mut jobs = Jobs::default();
        jobs.try_out(Trial::Sweep, &ctx, || panic!("on purpose, for a test"));
        assert!(jobs.is_busy());
        let end = std::time::Instant::now() + Duration::from_secs(20);
        let mut reports = Vec::new();
        while jobs.is_busy() && std::time::Instant::now() < end {
            reports.extend(jobs.poll(&ctx));
            std::thread::sleep(Duration::from_millis(2));
        }
        assert!(!jobs.is_busy());
        assert!(matches!(reports[..], [Report::BrokeOff(Some(Trial::Sweep))]));
    }
}
