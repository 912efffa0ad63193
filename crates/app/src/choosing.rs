//! Drives tried on the door in the background.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use eframe::egui;
use tautleaf_physics::{Door, Limit};
use tautleaf_scenario::{catalogue, limits_of};
use tautleaf_trials::choose::{Choice, Rank, choose};

use crate::document::Document;

/// What is known about the drives for the door, and how far the search for them is.
#[derive(Default)]
pub struct Choosing {
    /// What was found last; `None`: nothing yet.
    pub found: Option<Found>,
    /// The search under way.
    pub search: Option<Arc<Search>>,
    /// By what they are ranked.
    pub rank: Rank,
}

/// Drives tried on a door.
pub struct Found {
    /// Revision of the document that it belongs to.
    pub revision: u64,
    /// What the door was judged by.
    pub limits: Vec<Limit>,
    /// What came of it.
    pub choice: Choice,
}

/// A search under way.
#[derive(Default)]
pub struct Search {
    /// Drives done.
    pub done: AtomicUsize,
    /// Whether it is to end.
    pub stop: AtomicBool,
}

/// What to search for.
pub struct Request {
    door: Door,
    limits: Vec<Limit>,
    gaps_m: Vec<f64>,
    revision: u64,
    rank: Rank,
    search: Arc<Search>,
}

impl Request {
    /// The drives for the door as it is now; `None`: it cannot be built.
    pub fn of(document: &Document, rank: Rank, search: Arc<Search>) -> Option<Self> {
        let scenario = document.scenario();
        Some(Self {
            door: Door::try_from(scenario.parameters.clone()).ok()?,
            limits: limits_of(scenario),
            gaps_m: scenario.limits.gaps_m.clone(),
            revision: document.revision(),
            rank,
            search,
        })
    }

    /// Tries every drive of the program with every belt, until told to stop.
    pub fn run(self, ctx: &egui::Context) -> Found {
        let watch = |done: usize, _: usize| {
            self.search.done.store(done, Ordering::Relaxed);
            ctx.request_repaint();
            !self.search.stop.load(Ordering::Relaxed)
        };
        let choice = choose(&self.door, &self.limits, &self.gaps_m, catalogue(), self.rank, &watch);
        Found { revision: self.revision, limits: self.limits, choice }
    }
}

impl Choosing {
    /// How many drives are done of how many, while a search is under way.
    pub fn progress(&self) -> Option<(usize, usize)> {
        let search = self.search.as_ref()?;
        Some((search.done.load(Ordering::Relaxed), catalogue().drives.len()))
    }

    /// Ranks what was found by another rule.
    pub fn rank_by(&mut self, rank: Rank) {
        self.rank = rank;
        if let Some(found) = &mut self.found {
            found.choice.rank_by(rank, catalogue());
        }
    }
}
