//! Every drive with every belt of a catalogue, tried on a door and put in order.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use tautleaf_physics::Door;

use super::bounds::Bound;
use super::catalogue::Catalogue;
use super::pair::{Task, Tried, pair};
use super::restriction::Restriction;
use super::turning::Turned;
use super::undisturbed::undisturbed;
use super::wanted::{Wanted, Way};
use crate::assess::{Criteria, Effort};
use crate::parallel::in_parallel;
use crate::reserve::Reserve;
use crate::sure::Surely;

/// By what those that do are put in order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Rank {
    /// The smallest rated power, then the narrowest belt, then the most left of what is tightest.
    #[default]
    Smallest,
    /// The most left of what is tightest.
    Margin,
    /// The least energy a cycle.
    Energy,
    /// The most left of the winding temperature.
    Cool,
}

/// How a drive is chosen.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Choosing {
    /// By what those that do are put in order.
    pub rank: Rank,
    /// What is to be left of every limit, and of drive and belt.
    pub reserve: Reserve,
    /// Which drives are tried at all.
    pub only: Restriction,
}

/// Parts of the reserve that settings are looked for with, one after the other until a pair keeps everything.
const PARTS: [f64; 3] = [1.0, 0.5, 0.0];

/// Everything that was tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// What the door is to do.
    pub wanted: Wanted,
    /// Every pair: those that do with the reserve left, best first, then those that do without it, the most of it first, then the
    /// others: first those that a cycle was run for, each lot by how little they are short.
    pub tried: Vec<Tried>,
    /// How it was chosen.
    pub choosing: Choosing,
    /// Whether it was stopped before every drive had been tried.
    pub stopped: bool,
    /// How surely what ranks first keeps everything; `None`: nobody asked.
    pub surely: Option<Surely>,
}

impl Choice {
    /// The best pair of each drive, in the order of the ranking, with the number of its belts that do.
    pub fn best_of_each(&self) -> Vec<(&Tried, usize)> {
        let mut best: Vec<(&Tried, usize)> = Vec::new();
        for tried in &self.tried {
            if best.iter().all(|(other, _)| other.drive != tried.drive) {
                let mine = |other: &&Tried| other.drive == tried.drive && other.does();
                best.push((tried, self.tried.iter().filter(mine).count()));
            }
        }
        best
    }

    /// Puts it in another order. The catalogue is the one that it was made from.
    pub fn rank_by(&mut self, rank: Rank, catalogue: &Catalogue) {
        self.choosing.rank = rank;
        self.surely = None;
        in_order(&mut self.tried, catalogue, rank);
    }
}

/// Drives done, and drives there are. Returns whether to go on.
pub type Watch<'a> = &'a (dyn Fn(usize, usize) -> bool + Sync);

/// Tries every drive with every belt of a catalogue on a door: textbook formulas first, then whole cycles until the
/// settings keep every limit.
///
/// A pair is set so that the reserve is left; where it cannot, so that half of it is; where that cannot be either, so that
/// everything is kept. Those without the whole reserve come after those with it, the most of it first.
///
/// The same answer on any number of cores: what is found for one belt of a drive is where the search for its next
/// belt begins, and drives know nothing of each other.
pub fn choose(
    door: &Door,
    criteria: &Criteria,
    catalogue: &Catalogue,
    choosing: &Choosing,
    watch: Watch<'_>,
) -> Choice {
    let criteria = &criteria.with_margin(0.0).with_soundness();
    // a time that only the settings of the file ask for gives way to the reserve, one that a limit asks for does not
    let wanted = |door: &Door| {
        let asked = Wanted::of(door, &criteria.limits);
        let aimed = Wanted::of(door, &choosing.reserve.aims(door, &criteria.limits));
        let shown = |asked: Way, aimed: Way| if aimed.slowed { aimed } else { asked };
        let (opening, closing) = (shown(asked.opening, aimed.opening), shown(asked.closing, aimed.closing));
        Wanted { opening, closing, ..asked }
    };
    // nothing happens on the way but that it opens and closes; what was left out comes back with the settings
    let Ok(plain) = Door::try_from(undisturbed(door.given())) else {
        return Choice {
            wanted: wanted(door),
            tried: Vec::new(),
            choosing: choosing.clone(),
            stopped: false,
            surely: None,
        };
    };
    let parts = PARTS.iter().filter(|part| choosing.reserve != Reserve::NONE || **part == 0.0);
    let task = |part: &f64| Task::new(&plain, criteria, Effort::MayFail, choosing.reserve.part(*part));
    let tasks: Vec<Task<'_>> = parts.map(task).collect();
    let allowed = |n: &usize| choosing.only.allows(&catalogue.drives[*n]);
    let indices: Vec<usize> = (0..catalogue.drives.len()).filter(allowed).collect();
    let (done, stop) = (AtomicUsize::new(0), AtomicBool::new(false));
    let found = in_parallel(indices.len(), |n| {
        if stop.load(Ordering::Relaxed) {
            return None;
        }
        let drive = (&catalogue.drives[indices[n]], indices[n]);
        let mut starts: Vec<Option<Turned>> = vec![None; tasks.len()];
        let belts = catalogue.belts.iter().enumerate();
        let tried: Vec<Tried> = belts.map(|(b, belt)| pair(&tasks, drive, (belt, b), &mut starts)).collect();
        if !watch(done.fetch_add(1, Ordering::Relaxed) + 1, indices.len()) {
            stop.store(true, Ordering::Relaxed);
        }
        Some(tried)
    });
    let stopped = found.iter().any(Option::is_none);
    let mut tried: Vec<Tried> = found.into_iter().flatten().flatten().collect();
    for p in tried.iter_mut().filter_map(|tried| tried.parameters.as_deref_mut()) {
        p.timeline = door.given().timeline;
        p.obstacle = door.given().obstacle;
    }
    in_order(&mut tried, catalogue, choosing.rank);
    Choice { wanted: wanted(&plain), tried, choosing: choosing.clone(), stopped, surely: None }
}

/// Those that do with the reserve left by the rule, then those that do without it by how much of it they have, then the others by
/// how much they are short.
fn in_order(tried: &mut [Tried], catalogue: &Catalogue, rank: Rank) {
    let left = |tried: &Tried| tried.tightest().map_or(f64::NEG_INFINITY, |check| check.margin);
    let winding = |tried: &Tried| {
        let mine = tried.checks.iter().find(|check| check.bound == Bound::Winding);
        mine.map_or(f64::NEG_INFINITY, |check| check.margin)
    };
    let tenths = |tried: &Tried| (10.0 * tried.part_had()).floor();
    let energy = |tried: &Tried| tried.energy_j.unwrap_or(f64::INFINITY);
    let width = |tried: &Tried| catalogue.belts[tried.belt].width_m;
    let watts = |tried: &Tried| catalogue.drives[tried.drive].rated_power_w();
    tried.sort_by(|a, b| {
        let by_rule = || match rank {
            Rank::Smallest => watts(a)
                .total_cmp(&watts(b))
                .then(width(a).total_cmp(&width(b)))
                .then(left(b).total_cmp(&left(a))),
            Rank::Margin => left(b).total_cmp(&left(a)),
            Rank::Energy => energy(a).total_cmp(&energy(b)),
            Rank::Cool => winding(b).total_cmp(&winding(a)),
        };
        let order = match (a.does(), b.does()) {
            // what lacks some of the reserve by how much of it there is, in tenths
            (true, true) => tenths(b).total_cmp(&tenths(a)).then_with(by_rule),
            // what got as far as a whole cycle is nearer than what a formula rules out
            (false, false) => (b.cycles > 0).cmp(&(a.cycles > 0)).then(b.short_by().total_cmp(&a.short_by())),
            (a_does, b_does) => b_does.cmp(&a_does),
        };
        order.then((a.drive, a.belt).cmp(&(b.drive, b.belt)))
    });
}
