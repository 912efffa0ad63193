//! Runs as points to draw: few enough for a screen, none of the peaks lost.

use egui_plot::PlotPoint;

/// Most points of one curve.
pub const MOST_POINTS: usize = 1600;
/// Times in which a door stands, for which points are kept.
const MOST_JUMPS: usize = 20;

/// Thins points out. Each stretch keeps its ends, its lowest and its highest point, in order, so peaks stay as they
/// are and nothing is drawn across a time that was passed over.
pub fn thin(points: Vec<PlotPoint>) -> Vec<PlotPoint> {
    if points.len() <= MOST_POINTS {
        return spread(points);
    }
    let (low, high) = ends(&points);
    let jump = 0.01 * (high - low);
    let stretch = points.len().div_ceil(MOST_POINTS / 4 - MOST_JUMPS);
    let mut thinned = Vec::with_capacity(MOST_POINTS);
    let stretches = points.chunk_by(|a, b| (b.x - a.x).abs() <= jump).flat_map(|part| part.chunks(stretch));
    for part in stretches {
        let indices = 0..part.len();
        let low = indices.clone().min_by(|&a, &b| part[a].y.total_cmp(&part[b].y)).unwrap_or(0);
        let high = indices.max_by(|&a, &b| part[a].y.total_cmp(&part[b].y)).unwrap_or(0);
        let mut kept = [0, low.min(high), low.max(high), part.len() - 1].to_vec();
        kept.dedup();
        thinned.extend(kept.into_iter().map(|index| part[index]));
    }
    spread(thinned)
}

/// The points over a part of the axis, and one beyond each of its ends, to which the line goes on.
pub fn within(points: &[PlotPoint], (from, to): (f64, f64)) -> Vec<PlotPoint> {
    let inside = |at: &PlotPoint| (from..=to).contains(&at.x);
    // a line may also cross the part without a point in it
    let crosses = |a: &PlotPoint, b: &PlotPoint| a.x.min(b.x) <= to && a.x.max(b.x) >= from;
    let beside = |n: usize| {
        let before = n > 0 && crosses(&points[n - 1], &points[n]);
        let behind = n + 1 < points.len() && crosses(&points[n], &points[n + 1]);
        before || behind
    };
    points.iter().enumerate().filter(|(n, at)| inside(at) || beside(*n)).map(|(_, at)| *at).collect()
}

/// Leaves out points that would lie on the one before: lines through crowded points are drawn ragged.
fn spread(points: Vec<PlotPoint>) -> Vec<PlotPoint> {
    let (low, high) = ends(&points);
    let top = points.iter().map(|point| point.y).fold(0.0, f64::max);
    let mut kept: Vec<PlotPoint> = Vec::with_capacity(points.len());
    for (n, point) in points.iter().enumerate() {
        let crowded = kept.last().is_some_and(|last| {
            (point.x - last.x).abs() < (high - low) / 2500.0 && (point.y - last.y).abs() < top / 500.0
        });
        if !crowded || point.y == top || n + 1 == points.len() {
            kept.push(*point);
        }
    }
    kept
}

/// Least and greatest place.
fn ends(points: &[PlotPoint]) -> (f64, f64) {
    let places = points.iter().map(|point| point.x);
    places.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)))
}

/// Height of a curve of steps and slopes at `x`; `None` beside it. Its points go from left to right.
pub fn height_at(line: &[PlotPoint], x: f64) -> Option<f64> {
    let pair = line.windows(2).find(|pair| pair[0].x <= x && x <= pair[1].x)?;
    let width = pair[1].x - pair[0].x;
    let along = if width > 0.0 { (x - pair[0].x) / width } else { 0.0 };
    Some(pair[0].y + along * (pair[1].y - pair[0].y))
}

/// The parts of a curve that lie over a line: `[x, line, curve]` of each point, one list a part.
pub fn parts_over(curve: &[PlotPoint], line: &[PlotPoint]) -> Vec<Vec<[f64; 3]>> {
    let curve = with_points_at_ends(curve, line);
    let mut parts: Vec<Vec<[f64; 3]>> = Vec::new();
    let mut open = false;
    for (n, point) in curve.iter().enumerate() {
        let limit = height_at(line, point.x);
        let over = limit.filter(|limit| point.y > *limit);
        // Begin and end where the curve crosses the line, not at the points beside.
        let crossed = || n.checked_sub(1).and_then(|before| crossing(curve[before], *point, line));
        let on_line = |x: f64| height_at(line, x).map(|limit| [x, limit, limit]);
        if over.is_some() && !open {
            parts.push(crossed().and_then(on_line).into_iter().collect());
        }
        if let (Some(limit), Some(part)) = (over, parts.last_mut()) {
            part.push([point.x, limit, point.y]);
        } else if open && let (Some(end), Some(part)) = (crossed().and_then(on_line), parts.last_mut()) {
            part.push(end);
        }
        open = over.is_some();
    }
    parts.retain(|part| part.len() > 1);
    parts
}

/// The parts of a curve that lie under a line: `[x, curve, line]` of each point, one list a part.
pub fn parts_under(curve: &[PlotPoint], line: &[PlotPoint]) -> Vec<Vec<[f64; 3]>> {
    let mirrored = |points: &[PlotPoint]| -> Vec<PlotPoint> {
        points.iter().map(|point| PlotPoint::new(point.x, -point.y)).collect()
    };
    let mut parts = parts_over(&mirrored(curve), &mirrored(line));
    for row in parts.iter_mut().flatten() {
        *row = [row[0], -row[2], -row[1]];
    }
    parts
}

/// The same curve with a point of its own above each end of the line.
fn with_points_at_ends(curve: &[PlotPoint], line: &[PlotPoint]) -> Vec<PlotPoint> {
    let (low, high) = ends(line);
    let mut points = Vec::with_capacity(curve.len() + 4);
    for (n, point) in curve.iter().enumerate() {
        if let Some(before) = n.checked_sub(1).map(|before| curve[before]) {
            let between = |x: &f64| (before.x < *x && *x < point.x) || (point.x < *x && *x < before.x);
            let mut ends: Vec<f64> = [low, high].into_iter().filter(between).collect();
            if point.x < before.x {
                ends.reverse();
            }
            points.extend(ends.into_iter().map(|x| {
                let along = (x - before.x) / (point.x - before.x);
                PlotPoint::new(x, before.y + along * (point.y - before.y))
            }));
        }
        points.push(*point);
    }
    points
}

/// Where the way from `a` to `b` meets the line.
fn crossing(a: PlotPoint, b: PlotPoint, line: &[PlotPoint]) -> Option<f64> {
    let (above_a, above_b) = (a.y - height_at(line, a.x)?, b.y - height_at(line, b.x)?);
    let span = above_a - above_b;
    (span != 0.0).then(|| a.x + (b.x - a.x) * (above_a / span).clamp(0.0, 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_single_spike_survives_thinning() {
        let mut points: Vec<_> = (0..20_000).map(|n| PlotPoint::new(n as f64, (n % 7) as f64)).collect();
        points[12_345].y = 99.0;
        points[2].y = -5.0;
        let thinned = thin(points);
        assert!(thinned.len() <= MOST_POINTS, "{} points", thinned.len());
        assert!(thinned.iter().any(|point| point.x == 12_345.0 && point.y == 99.0));
        assert!(thinned.iter().any(|point| point.x == 2.0 && point.y == -5.0), "lowest");
        assert!(thinned.windows(2).all(|pair| pair[0].x <= pair[1].x));
    }

    #[test]
    fn what_lies_over_begins_and_ends_at_the_crossings() {
        let curve = [(0.0, 0.0), (2.0, 2.0), (4.0, 0.0)].map(|(x, y)| PlotPoint::new(x, y));
        let line = [(0.0, 1.0), (4.0, 1.0)].map(|(x, y)| PlotPoint::new(x, y));
        let parts = parts_over(&curve, &line);
        assert_eq!(parts, vec![vec![[1.0, 1.0, 1.0], [2.0, 1.0, 2.0], [3.0, 1.0, 1.0]]]);
    }

    /// Two bands that meet at 2: the curve is over the first, up to its very end.
    #[test]
    fn what_lies_over_one_band_ends_where_the_band_ends() {
        let curve = [(0.0, 3.0), (1.5, 3.0), (3.0, 3.0)].map(|(x, y)| PlotPoint::new(x, y));
        let band = [(0.0, 1.0), (2.0, 1.0)].map(|(x, y)| PlotPoint::new(x, y));
        let parts = parts_over(&curve, &band);
        assert_eq!(parts, vec![vec![[0.0, 1.0, 3.0], [1.5, 1.0, 3.0], [2.0, 1.0, 3.0]]]);
    }

    #[test]
    fn what_lies_under_a_line_is_its_mirror_image() {
        let curve = [(0.0, 4.0), (2.0, 0.0), (4.0, 4.0)].map(|(x, y)| PlotPoint::new(x, y));
        let line = [(0.0, 2.0), (4.0, 2.0)].map(|(x, y)| PlotPoint::new(x, y));
        let parts = parts_under(&curve, &line);
        assert_eq!(parts, vec![vec![[1.0, 2.0, 2.0], [2.0, 0.0, 2.0], [3.0, 2.0, 2.0]]]);
    }

    #[test]
    fn nothing_is_over_beside_the_line() {
        let curve = [(0.0, 5.0), (1.0, 5.0)].map(|(x, y)| PlotPoint::new(x, y));
        let line = [(2.0, 1.0), (4.0, 1.0)].map(|(x, y)| PlotPoint::new(x, y));
        assert_eq!(parts_over(&curve, &line), Vec::<Vec<[f64; 3]>>::new());
    }
}
