//! Settings that bring a limit back within, found in the background by running the door again.

use std::sync::atomic::{AtomicBool, Ordering};

use tautleaf_physics::{Door, Outcome};
use tautleaf_trials::{Criteria, Remedy, remedy};

use crate::live::Live;

/// What is known about the remedies of one revision of the document.
#[derive(Clone, Debug, Default)]
pub struct Remedies {
    /// The revision that they belong to.
    pub revision: Option<u64>,
    found: Vec<(usize, Option<Remedy>)>,
}

/// How far the search for one limit is.
#[derive(Clone, Debug, PartialEq)]
pub enum Search<'a> {
    /// Not finished.
    Going,
    /// No single setting brings it back.
    Nothing,
    /// This one does.
    Found(&'a Remedy),
}

impl Remedies {
    /// Nothing known yet about this revision.
    pub fn begin(revision: u64) -> Self {
        Self { revision: Some(revision), found: Vec::new() }
    }

    /// Takes in a result.
    pub fn add(&mut self, index: usize, remedy: Option<Remedy>) {
        self.found.push((index, remedy));
    }

    /// How far the search for the limit with this index is, while the document has `revision`.
    pub fn of(&self, index: usize, revision: u64) -> Search<'_> {
        if self.revision != Some(revision) {
            return Search::Going;
        }
        match self.found.iter().find(|(found, _)| *found == index) {
            None => Search::Going,
            Some((_, None)) => Search::Nothing,
            Some((_, Some(remedy))) => Search::Found(remedy),
        }
    }
}

/// What to search for.
#[derive(Clone, Debug)]
pub struct Request {
    /// Revision of the document.
    pub revision: u64,
    door: Door,
    criteria: Criteria,
    over: Vec<usize>,
}

impl Request {
    /// A remedy for each limit that is over.
    pub fn for_run(live: &Live, revision: u64) -> Self {
        let over = |index: &usize| live.verdicts[*index].outcome == Outcome::Over;
        Self {
            revision,
            door: live.door.clone(),
            criteria: live.criteria.clone(),
            over: (0..live.verdicts.len()).filter(over).collect(),
        }
    }

    /// Searches limit by limit, until told to stop.
    pub fn search(&self, stop: &AtomicBool, mut report: impl FnMut(usize, Option<Remedy>)) {
        for &index in &self.over {
            let found = remedy(&self.door, &self.criteria, index);
            if stop.load(Ordering::Relaxed) {
                return;
            }
            report(index, found);
        }
    }
}
