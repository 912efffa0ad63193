//! Where in the range of the settings the least cost is looked for: from places that keep every limit, coarse and then fine.

use super::candidate::Candidates;
use super::minimise::{Scored, minimise, polish};

/// First steps of a coarse and of a fine search, of the unit cube.
const COARSE: f64 = 0.2;
const FINE: f64 = 0.04;
/// Places on the way from a start that breaks a limit to the calmest settings.
const CALMER: u32 = 12;
/// Places strewn over the cube where no calmer settings keep every limit.
const STREWN: u32 = 64;
/// Of those how many a search begins at.
const BEGINS: usize = 2;
/// How often a coarse search begins anew, and by which part of the cost one has to help for the next.
const AGAIN: usize = 4;
const HELPS: f64 = 0.003;

/// The best that is found from a place.
pub(super) fn search_from(
    candidates: &Candidates<'_>,
    start: &[f64],
    most: usize,
    score: impl Fn(&[f64]) -> Scored + Copy,
) -> Place {
    // from the first place that keeps every limit, on the way from here to the calmest
    let calmer = |n: u32| candidates.calmer(start, f64::from(n) / f64::from(CALMER));
    let begin = (0..CALMER).map(calmer).find(|x| !is_broken(&score(x)));
    let begins = begin.map_or_else(|| least_broken(start, score), |x| vec![x]);
    let found = begins.iter().map(|x| descend(x, most, score)).reduce(better);
    found.unwrap_or_else(|| (start.to_vec(), score(start)))
}

/// Down from one place: coarse, again from where that came to as long as it helps, then fine.
fn descend(start: &[f64], most: usize, score: impl Fn(&[f64]) -> Scored + Copy) -> Place {
    let mut best = minimise(start, COARSE, most, score);
    for _ in 0..AGAIN {
        let before = best.1.clone();
        best = better(minimise(&best.0, COARSE, most / 2, score), best);
        if best.1.cost > (1.0 - HELPS) * before.cost && !is_broken(&before) {
            break;
        }
    }
    let fine = better(minimise(&best.0, FINE, most / 2, score), best);
    let polished = polish(&fine.0, &fine.1, most / 2, score);
    better(minimise(&polished.0, FINE, most / 3, score), polished)
}

/// Where to begin if no calmer settings keep every limit: at the start, and at those of the places strewn over the cube that
/// break least.
fn least_broken(start: &[f64], score: impl Fn(&[f64]) -> Scored) -> Vec<Vec<f64>> {
    let mut strewn: Vec<(f64, Vec<f64>)> =
        (0..STREWN).map(|n| evenly_strewn(n, start.len())).map(|x| (score(&x).broken(), x)).collect();
    strewn.sort_by(|a, b| a.0.total_cmp(&b.0));
    let tried = strewn.into_iter().take(BEGINS).map(|(_, x)| x);
    [start.to_vec()].into_iter().chain(tried).collect()
}

/// Place n of so many strewn evenly over the unit cube (scrambled Sobol points, Burley 2020).
fn evenly_strewn(n: u32, axes: usize) -> Vec<f64> {
    (0..axes as u32).map(|axis| f64::from(sobol_burley::sample(n, axis, 0))).collect()
}

/// A place of the unit cube and what it is worth.
pub(super) type Place = (Vec<f64>, Scored);

pub(super) fn is_broken(scored: &Scored) -> bool {
    scored.left.iter().any(|&left| left < 0.0)
}

pub(super) fn better(a: Place, b: Place) -> Place {
    match (is_broken(&a.1), is_broken(&b.1)) {
        (true, false) => b,
        (false, true) => a,
        (true, true) if a.1.broken() != b.1.broken() => {
            if a.1.broken() < b.1.broken() {
                a
            } else {
                b
            }
        }
        _ if a.1.cost <= b.1.cost => a,
        _ => b,
    }
}
