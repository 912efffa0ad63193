//! The grid of a load map: where bounds change from kept to short, and the lines that joins.

use std::collections::{BTreeMap, BTreeSet};

use super::bounds::Bound;
use super::map::{Border, MapPoint, Row};
use super::mapper::{Mapper, Margins, is_cause};
use crate::parallel::in_parallel;

/// Masses and closing times of the grid on which borders are looked for.
pub(super) const MASSES: usize = 11;
pub(super) const TIMES: usize = 13;
/// Bisections of an edge of the grid that a border crosses.
pub(super) const FINE: usize = 5;

pub(super) struct Grid {
    pub times: Vec<f64>,
    pub masses: Vec<f64>,
}

/// An edge of the grid that a border crosses.
pub(super) struct Crossing {
    pub bound: Bound,
    pub kept: usize,
    pub short: usize,
}

impl Grid {
    pub fn node(&self, n: usize) -> MapPoint {
        MapPoint { closing_s: self.times[n % TIMES], mass_kg: self.masses[n / TIMES] }
    }

    /// Neighbours, along the times and along the masses.
    fn edges() -> impl Iterator<Item = (usize, usize)> {
        (0..TIMES * MASSES).flat_map(|n| {
            let along = (n % TIMES + 1 < TIMES).then_some((n, n + 1));
            let up = (n / TIMES + 1 < MASSES).then_some((n, n + TIMES));
            along.into_iter().chain(up)
        })
    }

    /// Every edge at one end of which a bound is kept and at the other not.
    pub fn crossings(&self, margins: &[Margins]) -> Vec<Crossing> {
        let mut all: BTreeMap<String, Bound> = BTreeMap::new();
        for (name, (bound, _)) in margins.iter().flatten() {
            all.insert(name.clone(), bound.clone());
        }
        let mut crossings = Vec::new();
        for (a, b) in Self::edges() {
            let mut late = false;
            for bound in all.values() {
                let margin = |n: usize| Mapper::margin_of(&margins[n], bound);
                let (kept, short) = match (margin(a) >= 0.0, margin(b) >= 0.0) {
                    (true, false) => (a, b),
                    (false, true) => (b, a),
                    _ => continue,
                };
                if is_cause(bound) {
                    // lateness has one border, named after what it comes from on its far side
                    if late {
                        continue;
                    }
                    late = true;
                    let far = margins[short].values().filter(|(bound, _)| is_cause(bound));
                    let cause = far.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(bound, _)| bound.clone());
                    crossings.extend(cause.map(|bound| Crossing { bound, kept, short }));
                } else {
                    crossings.push(Crossing { bound: bound.clone(), kept, short });
                }
            }
        }
        crossings
    }

    /// The place on an edge where a bound is just kept.
    pub fn border(&self, mapper: &Mapper<'_>, crossing: &Crossing) -> MapPoint {
        let (mut kept, mut short) = (self.node(crossing.kept), self.node(crossing.short));
        let needs_force =
            matches!(&crossing.bound, Bound::Limit(key) if key.contains("force") || key.contains("150n"));
        for _ in 0..FINE {
            let middle = MapPoint {
                closing_s: f64::midpoint(kept.closing_s, short.closing_s),
                mass_kg: f64::midpoint(kept.mass_kg, short.mass_kg),
            };
            let margins = mapper.margins(middle, needs_force);
            if Mapper::margin_of(&margins, &crossing.bound) >= 0.0 { kept = middle } else { short = middle }
        }
        kept
    }

    /// Joins the crossings of each cell to pieces of lines.
    pub fn borders(&self, crossings: &[Crossing], points: &[MapPoint]) -> Vec<Border> {
        let family = |bound: &Bound| if is_cause(bound) { "late".to_owned() } else { format!("{bound:?}") };
        let mut on_edge: BTreeMap<(String, usize, usize), usize> = BTreeMap::new();
        for (n, crossing) in crossings.iter().enumerate() {
            let (a, b) = (crossing.kept.min(crossing.short), crossing.kept.max(crossing.short));
            on_edge.insert((family(&crossing.bound), a, b), n);
        }
        let families: BTreeSet<String> = crossings.iter().map(|crossing| family(&crossing.bound)).collect();
        let mut borders: Vec<Border> = Vec::new();
        let mut add = |bound: &Bound, piece: (MapPoint, MapPoint)| match borders
            .iter_mut()
            .find(|border| border.bound == *bound)
        {
            Some(border) => border.pieces.push(piece),
            None => borders.push(Border { bound: bound.clone(), pieces: vec![piece] }),
        };
        for corner in 0..TIMES * (MASSES - 1) {
            if corner % TIMES + 1 == TIMES {
                continue;
            }
            let (a, b, c, d) = (corner, corner + 1, corner + TIMES, corner + TIMES + 1);
            for name in &families {
                let edges = [(a, b), (b, d), (c, d), (a, c)];
                let cut: Vec<usize> =
                    edges.iter().filter_map(|&(p, q)| on_edge.get(&(name.clone(), p, q)).copied()).collect();
                for pair in cut.chunks_exact(2) {
                    add(&crossings[pair[0]].bound, (points[pair[0]], points[pair[1]]));
                }
            }
        }
        borders
    }

    /// The shortest time of every second mass, by bisection between the last time that is short and the first kept.
    pub fn rows(&self, mapper: &Mapper<'_>, margins: &[Margins]) -> Vec<Row> {
        let mut rows = in_parallel(MASSES, |row| {
            let at = |n: usize| &margins[row * TIMES + n];
            let mass_kg = self.masses[row];
            // from the longest time down: the first that is short ends what is kept
            let last_kept = (0..TIMES).rev().take_while(|&n| mapper.is_kept(at(n))).last();
            let Some(first) = last_kept else {
                return Row { mass_kg, shortest_s: None, because: mapper.shortest(at(TIMES - 1)) };
            };
            if first == 0 {
                return Row { mass_kg, shortest_s: Some(self.times[0]), because: None };
            }
            let (mut kept, mut short) = (self.times[first], self.times[first - 1]);
            let mut because = mapper.shortest(at(first - 1));
            for _ in 0..FINE {
                let closing_s = f64::midpoint(kept, short);
                let margins = mapper.margins(MapPoint { closing_s, mass_kg }, true);
                if mapper.is_kept(&margins) {
                    kept = closing_s;
                } else {
                    (short, because) = (closing_s, mapper.shortest(&margins));
                }
            }
            Row { mass_kg, shortest_s: Some(kept), because }
        });
        let heaviest = rows.iter().take_while(|row| row.shortest_s.is_some()).count();
        if (1..rows.len()).contains(&heaviest) {
            let row = self.heaviest(mapper, rows[heaviest - 1].mass_kg, rows[heaviest].mass_kg);
            rows.insert(heaviest, row);
        }
        rows
    }

    /// The heaviest leaf for which everything is kept at the longest time, and its shortest time.
    fn heaviest(&self, mapper: &Mapper<'_>, mut kept_kg: f64, mut short_kg: f64) -> Row {
        let (short_s, long_s) = (self.times[0], self.times[TIMES - 1]);
        for _ in 0..FINE {
            let mass_kg = f64::midpoint(kept_kg, short_kg);
            let kept = mapper.is_kept(&mapper.margins(MapPoint { closing_s: long_s, mass_kg }, true));
            if kept { kept_kg = mass_kg } else { short_kg = mass_kg }
        }
        let (mut kept, mut short, mut because) = (long_s, short_s, None);
        for _ in 0..2 * FINE {
            let closing_s = f64::midpoint(kept, short);
            let margins = mapper.margins(MapPoint { closing_s, mass_kg: kept_kg }, true);
            if mapper.is_kept(&margins) {
                kept = closing_s;
            } else {
                (short, because) = (closing_s, mapper.shortest(&margins));
            }
        }
        Row { mass_kg: kept_kg, shortest_s: Some(kept), because }
    }
}
