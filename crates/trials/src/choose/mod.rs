//! The drive for the leaf: every drive and belt of a catalogue tried on one door.

pub mod bounds;
pub mod catalogue;
pub mod fit;
pub mod gait;
mod load_map;
mod map_grid;
mod pair;
mod rated;
pub mod textbook;
mod turning;
mod wanted;

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use tautleaf_physics::Door;
use tautleaf_physics::parameters::{Parameters, RunKind};

use crate::assess::{Criteria, Effort};

use crate::parallel::in_parallel;

pub use bounds::{Bound, Check, How};
pub use catalogue::{BeltKind, Catalogue, Commutation, Cord, Drive, GearKind};
pub use load_map::{Border, LoadMap, MapPoint, Row, load_map, own_belt, with_mass};
pub use pair::{MOST_CYCLES, NOT_BELIEVED, Tried};
pub use rated::ratings_of;
pub use wanted::{KAPPAS, Wanted, Way};

use pair::{Task, pair};
use turning::Turned;

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

/// Everything that was tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// What the door is to do.
    pub wanted: Wanted,
    /// Every pair: those that do, best first, then the others: first those that a cycle was run for, each lot by how little
    /// they are short.
    pub tried: Vec<Tried>,
    /// The order of those that do.
    pub rank: Rank,
    /// Whether it was stopped before every drive had been tried.
    pub stopped: bool,
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
        self.rank = rank;
        in_order(&mut self.tried, catalogue, rank);
    }
}

/// Drives done, and drives there are. Returns whether to go on.
pub type Watch<'a> = &'a (dyn Fn(usize, usize) -> bool + Sync);

/// Tries every drive with every belt of a catalogue on a door: textbook formulas first, then whole cycles until the
/// settings keep every limit.
///
/// The same answer on any number of cores: what is found for one belt of a drive is where the search for its next
/// belt begins, and drives know nothing of each other.
pub fn choose(
    door: &Door,
    criteria: &Criteria,
    catalogue: &Catalogue,
    rank: Rank,
    watch: Watch<'_>,
) -> Choice {
    let criteria = &criteria.with_margin(0.0).with_soundness();
    let limits = criteria.limits.as_slice();
    // nothing happens on the way but that it opens and closes; what was left out comes back with the settings
    let Ok(plain) = Door::try_from(undisturbed(door.given())) else {
        let wanted = Wanted::of(door, limits);
        return Choice { wanted, tried: Vec::new(), rank, stopped: false };
    };
    let task = Task { door: &plain, criteria, effort: Effort::MayFail, wanted: Wanted::of(&plain, limits) };
    let drives = catalogue.drives.len();
    let (done, stop) = (AtomicUsize::new(0), AtomicBool::new(false));
    let found = in_parallel(drives, |n| {
        if stop.load(Ordering::Relaxed) {
            return None;
        }
        let mut start: Option<Turned> = None;
        let belts = catalogue.belts.iter().enumerate();
        let tried: Vec<Tried> =
            belts.map(|(b, belt)| pair(&task, (&catalogue.drives[n], n), (belt, b), &mut start)).collect();
        if !watch(done.fetch_add(1, Ordering::Relaxed) + 1, drives) {
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
    in_order(&mut tried, catalogue, rank);
    Choice { wanted: task.wanted, tried, rank, stopped }
}

/// A door that opens, stays open and closes, and is met by nothing on the way. Whoever walks up is no disturbance.
pub fn undisturbed(p: &Parameters) -> Parameters {
    let mut p = p.clone();
    p.obstacle = None;
    p.timeline.run = RunKind::Cycle;
    p.timeline.power_lost_s = None;
    p.timeline.beam_broken_s = None;
    p.timeline.open_again_s = None;
    p.timeline.presence_until_s = None;
    p
}

/// Those that do by the rule, then the others by how much they are short.
fn in_order(tried: &mut [Tried], catalogue: &Catalogue, rank: Rank) {
    let left = |tried: &Tried| tried.tightest().map_or(f64::NEG_INFINITY, |check| check.margin);
    let winding = |tried: &Tried| {
        let mine = tried.checks.iter().find(|check| check.bound == Bound::Winding);
        mine.map_or(f64::NEG_INFINITY, |check| check.margin)
    };
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
            (true, true) => by_rule(),
            // what got as far as a whole cycle is nearer than what a formula rules out
            (false, false) => (b.cycles > 0).cmp(&(a.cycles > 0)).then(b.short_by().total_cmp(&a.short_by())),
            (a_does, b_does) => b_does.cmp(&a_does),
        };
        order.then((a.drive, a.belt).cmp(&(b.drive, b.belt)))
    });
}
