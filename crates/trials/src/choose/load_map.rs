//! Draws the load map of one drive. Every border is found by whole cycles.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use tautleaf_physics::{Door, Figure, belt as formula};

use super::catalogue::{BeltKind, Cord, Drive};
use super::choice::Watch;
use super::map::{LoadMap, MapPoint};
use super::map_grid::{Grid, MASSES, TIMES};
use super::mapper::{Mapper, Margins};
use super::wanted::Wanted;
use crate::assess::Criteria;
use crate::parallel::in_parallel;

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
    };
    let at = MapPoint { closing_s: wanted.closing.within_s, mass_kg: door.parameters().leaf.mass_kg };
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
        grid.border(&mapper, &crossings[n])
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
