//! One drive: which leaf it moves in which closing time, and what forbids more. Every border is found by whole cycles.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use tautleaf_physics::parameters::Parameters;
use tautleaf_physics::{Door, Figure, belt as formula};

use super::bounds::Bound;
use super::catalogue::{BeltKind, Cord, Drive};
use super::map_grid::{Crossing, Grid};
use super::pair::{MOST_CYCLES, Task, attempt};
use super::wanted::Wanted;
use super::{Watch, undisturbed};
use crate::assess::{Criteria, Effort};
use crate::parallel::in_parallel;
use crate::reserve::Reserve;

/// Masses and closing times of the grid on which borders are looked for.
pub(super) const MASSES: usize = 11;
pub(super) const TIMES: usize = 13;
/// Bisections of an edge of the grid that a border crosses.
pub(super) const FINE: usize = 5;

/// A place on the map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MapPoint {
    /// Closing time, s.
    pub closing_s: f64,
    /// Mass of one leaf, kg.
    pub mass_kg: f64,
}

/// Where one bound is just kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Border {
    /// The bound.
    pub bound: Bound,
    /// Pieces of its line.
    pub pieces: Vec<(MapPoint, MapPoint)>,
}

/// What one leaf can be closed in.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its mass, kg.
    pub mass_kg: f64,
    /// Shortest closing time at which everything is kept, s; `None`: at none of the map.
    pub shortest_s: Option<f64>,
    /// What forbids less; where nothing is kept, what is short at the longest time.
    pub because: Option<Bound>,
}

/// Leaf mass against closing time for one drive.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadMap {
    /// The door itself.
    pub door: MapPoint,
    /// Whether everything is kept there, and what is not.
    pub short_there: Option<Bound>,
    /// Least and greatest closing time, s.
    pub times_s: (f64, f64),
    /// Least and greatest mass, kg.
    pub masses_kg: (f64, f64),
    /// The borders.
    pub borders: Vec<Border>,
    /// For some masses the shortest closing time, the lightest first; among them the heaviest for which there is one.
    pub rows: Vec<Row>,
    /// Closing time that a limit of the door asks for, s; `None`: no limit does.
    pub wanted_s: Option<f64>,
    /// Cycles that were run.
    pub cycles: usize,
    /// Whether it was stopped before it was done.
    pub stopped: bool,
}

/// The belt of a door as one to choose, with the tension that it is rated for, N; `None`: 0.4 % strain.
pub fn own_belt(door: &Door, allowable_tension_n: Option<f64>) -> BeltKind {
    let belt = &door.parameters().belt;
    let strain = |tension_n| tension_n / (belt.specific_stiffness_n_per_m * belt.width_m);
    BeltKind {
        name: "the belt of the door".to_owned(),
        cord: Cord::default(),
        pitch_m: belt.pitch_m,
        width_m: belt.width_m,
        specific_stiffness_n_per_m: belt.specific_stiffness_n_per_m,
        specific_mass_kg_per_m2: belt.specific_mass_kg_per_m2,
        allowable_strain: allowable_tension_n.map_or(formula::ALLOWABLE_STRAIN, strain),
        damping_time_s: belt.damping_time_s,
        least_teeth: 6.0,
        from: String::new(),
    }
}

/// The door with leaves of another mass: a second leaf and a slow one keep their proportion.
pub fn with_mass(door: &Door, mass_kg: f64) -> Parameters {
    let mut p = undisturbed(door.given());
    let times = mass_kg / door.parameters().leaf.mass_kg;
    p.leaf.glass_thickness_m = None;
    p.leaf.mass_kg = mass_kg;
    p.leaf.second_mass_kg = p.leaf.second_mass_kg.map(|mass| times * mass);
    if let Some(telescope) = &mut p.telescope {
        telescope.mass_kg = telescope.mass_kg.map(|mass| times * mass);
    }
    p
}

/// Margin of every bound at one place.
pub(super) type Margins = BTreeMap<String, (Bound, f64)>;

pub(super) struct Mapper<'a> {
    door: &'a Door,
    criteria: Criteria,
    wanted: Wanted,
    drive: &'a Drive,
    belt: &'a BeltKind,
    cycles: AtomicUsize,
}

/// The closing time is an axis of the map, not a limit.
fn without_closing_time(criteria: &Criteria) -> Criteria {
    let mut criteria = criteria.with_margin(0.0).with_soundness();
    criteria.limits.retain(|limit| limit.figure != Some(Figure::ClosingTime));
    criteria
}

/// Draws the map of a drive with a belt for the leaf of a door.
pub fn load_map(
    door: &Door,
    criteria: &Criteria,
    (drive, belt): (&Drive, &BeltKind),
    watch: Watch<'_>,
) -> LoadMap {
    let wanted = Wanted::of(door, &criteria.limits);
    let wanted_s = wanted.closing.by_limit.then_some(wanted.closing.within_s);
    let mapper = Mapper {
        door,
        // the closing time is an axis, not a limit
        criteria: without_closing_time(criteria),
        drive,
        belt,
        cycles: AtomicUsize::new(0),
        wanted,
    };
    let at = MapPoint { closing_s: mapper.wanted.closing.within_s, mass_kg: door.parameters().leaf.mass_kg };
    let (short, long) = (0.4 * at.closing_s, 2.2 * at.closing_s);
    let mut most = 2.2 * at.mass_kg;
    for _ in 0..4 {
        let top = MapPoint { closing_s: long, mass_kg: most };
        if !mapper.is_kept(&mapper.margins(top, true)) {
            break;
        }
        most *= 1.5;
    }
    let least = 0.25 * at.mass_kg;
    let grid = Grid { times: steps(short, long, TIMES), masses: steps(least, most, MASSES) };

    let (done, stop) = (AtomicUsize::new(0), AtomicBool::new(false));
    let nodes = TIMES * MASSES;
    let step = |all: usize| {
        let done = done.fetch_add(1, Ordering::Relaxed) + 1;
        if !watch(done.min(all), all) {
            stop.store(true, Ordering::Relaxed);
        }
    };
    let margins: Vec<Margins> = in_parallel(nodes, |n| {
        if stop.load(Ordering::Relaxed) {
            return Margins::new();
        }
        step(2 * nodes);
        mapper.margins(grid.node(n), true)
    });

    // a grid with holes has no borders
    let whole = !stop.load(Ordering::Relaxed);
    let crossings = if whole { grid.crossings(&margins) } else { Vec::new() };
    let points: Vec<MapPoint> = in_parallel(crossings.len(), |n| {
        if stop.load(Ordering::Relaxed) {
            return grid.node(crossings[n].kept);
        }
        if n * nodes / crossings.len().max(1) != (n + 1) * nodes / crossings.len().max(1) {
            step(2 * nodes);
        }
        mapper.border(&grid, &crossings[n])
    });

    let there = mapper.margins(at, true);
    LoadMap {
        door: at,
        short_there: mapper.shortest(&there),
        times_s: (short, long),
        masses_kg: (least, most),
        borders: grid.borders(&crossings, &points),
        rows: if whole { grid.rows(&mapper, &margins) } else { Vec::new() },
        wanted_s,
        cycles: mapper.cycles.into_inner(),
        stopped: stop.into_inner(),
    }
}

fn steps(from: f64, to: f64, count: usize) -> Vec<f64> {
    // closer together where times are short and leaves are light
    (0..count).map(|n| (from * (to / from).powf(n as f64 / (count - 1) as f64)).clamp(from, to)).collect()
}

impl Mapper<'_> {
    /// Margin of every bound for a leaf of this mass closed in this time. `force`: with the force test.
    pub fn margins(&self, at: MapPoint, force: bool) -> Margins {
        let mut margins = Margins::new();
        let mut note = |bound: Bound, margin: f64| {
            let name = format!("{bound:?}");
            let least = margins.get(&name).map_or(f64::INFINITY, |(_, margin): &(Bound, f64)| *margin);
            margins.insert(name, (bound, margin.min(least)));
        };
        let Ok(door) = Door::try_from(with_mass(self.door, at.mass_kg)) else {
            note(Bound::Fits(String::new()), -1.0);
            return margins;
        };
        let task = Task {
            door: &door,
            criteria: &self.criteria,
            aims: self.criteria.limits.clone(),
            // what its limits let a leaf of this mass do
            wanted: Wanted::of(&door, &self.criteria.limits).closing_within(at.closing_s),
            effort: if force { Effort::MayFail } else { Effort::NoForceTest },
            // a border is where a limit is just kept
            reserve: Reserve::NONE,
        };
        let tried = attempt(&task, (self.drive, 0), (self.belt, 0), &mut None, MOST_CYCLES);
        self.cycles.fetch_add(tried.cycles, Ordering::Relaxed);
        // a door that is late is so because of something; one that is in time keeps all that could make it late
        let mut late = f64::INFINITY;
        let (causes, others): (Vec<_>, Vec<_>) =
            tried.checks.into_iter().partition(|check| is_cause(&check.bound));
        for check in others {
            match &check.bound {
                Bound::Arrives => late = late.min(check.margin),
                Bound::Limit(key) if key.starts_with("opening_time") => late = late.min(check.margin),
                _ => note(check.bound, check.margin),
            }
        }
        let (times, causes): (Vec<_>, Vec<_>) =
            causes.into_iter().partition(|check| matches!(check.bound, Bound::Time { .. }));
        late = times.iter().map(|check| check.margin).fold(late, f64::min);
        if let Some(worst) = causes.into_iter().min_by(|a, b| a.margin.total_cmp(&b.margin)) {
            note(worst.bound, if late.is_finite() { late } else { worst.margin });
        } else if let Some(time) = times.into_iter().min_by(|a, b| a.margin.total_cmp(&b.margin)) {
            note(time.bound, late);
        }
        margins
    }

    pub fn is_kept(&self, margins: &Margins) -> bool {
        margins.values().all(|(_, margin)| *margin >= 0.0)
    }

    /// The bound that is short by most.
    pub fn shortest(&self, margins: &Margins) -> Option<Bound> {
        let short = margins.values().filter(|(_, margin)| *margin < 0.0);
        short.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(bound, _)| bound.clone())
    }

    /// Margin of one bound; what makes a door late counts as one.
    pub fn margin_of(margins: &Margins, bound: &Bound) -> f64 {
        let mine = |other: &Bound| other == bound || (is_cause(other) && is_cause(bound));
        margins
            .values()
            .filter(|(other, _)| mine(other))
            .map(|(_, margin)| *margin)
            .reduce(f64::min)
            // a bound that this place does not know is kept there
            .unwrap_or(f64::INFINITY)
    }

    /// The place on an edge where a bound is just kept.
    fn border(&self, grid: &Grid, crossing: &Crossing) -> MapPoint {
        let (mut kept, mut short) = (grid.node(crossing.kept), grid.node(crossing.short));
        let needs_force =
            matches!(&crossing.bound, Bound::Limit(key) if key.contains("force") || key.contains("150n"));
        for _ in 0..FINE {
            let middle = MapPoint {
                closing_s: f64::midpoint(kept.closing_s, short.closing_s),
                mass_kg: f64::midpoint(kept.mass_kg, short.mass_kg),
            };
            let margins = self.margins(middle, needs_force);
            if Self::margin_of(&margins, &crossing.bound) >= 0.0 { kept = middle } else { short = middle }
        }
        kept
    }
}

/// Whether a bound, when it is short, shows in a door that is late.
pub(super) fn is_cause(bound: &Bound) -> bool {
    matches!(
        bound,
        Bound::PeakTorque
            | Bound::SpeedAtTorque
            | Bound::SupplyPower
            | Bound::ForceLimit
            | Bound::Time { .. }
    )
}
