//! The least cost under constraints, without derivatives.

use std::cell::RefCell;

use cobyla::{RhoBeg, StopTols, minimize};

/// What a place is worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Scored {
    /// What is to be least.
    pub cost: f64,
    /// How much is left of each constraint; below 0 it is broken.
    pub left: Vec<f64>,
}

impl Scored {
    /// By how much constraints are broken, all together: one that cannot be kept sets none of the others free.
    pub fn broken(&self) -> f64 {
        self.left.iter().map(|left| (-left).max(0.0)).sum()
    }

    /// Whether it is better than another one: less broken, or as whole and cheaper.
    fn is_better_than(&self, other: &Self) -> bool {
        let (a, b) = (self.broken(), other.broken());
        if a.max(b) <= BROKEN { self.cost < other.cost } else { a < b }
    }
}

/// A constraint broken by less is kept.
const BROKEN: f64 = 1e-9;
/// Place to which the least is looked for, of the unit cube.
const PRECISION: f64 = 5e-4;

/// Looks for the least cost in the unit cube, from `start` with first steps of `step`, with at most `most` evaluations.
///
/// Powell's linear approximation (COBYLA, Powell 1994), which needs no derivatives and lives with the small steps that
/// figures make where an arrival falls on the next tick. The best place that was evaluated is given back, which keeps every
/// constraint if any did.
pub fn minimise(
    start: &[f64],
    step: f64,
    most: usize,
    evaluate: impl Fn(&[f64]) -> Scored,
) -> (Vec<f64>, Scored) {
    let first = evaluate(start);
    let constraints = first.left.len();
    let best = RefCell::new((start.to_vec(), first.clone()));
    let last = RefCell::new((start.to_vec(), first));
    let at = |x: &[f64]| -> Scored {
        if last.borrow().0 != x {
            let inside: Vec<f64> = x.iter().map(|x| x.clamp(0.0, 1.0)).collect();
            let scored = evaluate(&inside);
            if scored.is_better_than(&best.borrow().1) {
                *best.borrow_mut() = (inside, scored.clone());
            }
            *last.borrow_mut() = (x.to_vec(), scored);
        }
        last.borrow().1.clone()
    };
    let at = &at;
    let cost = |x: &[f64], (): &mut ()| at(x).cost;
    let kept: Vec<_> = (0..constraints)
        .map(|n| move |x: &[f64], (): &mut ()| at(x).left.get(n).copied().unwrap_or(-1.0))
        .collect();
    let bounds = vec![(0.0, 1.0); start.len()];
    let stop = StopTols { xtol_abs: vec![PRECISION; start.len()], ..StopTols::default() };
    // how it ended does not matter: the best of all places is at hand
    let _ended = minimize(cost, start, &bounds, &kept, (), most, RhoBeg::All(step), Some(stop));
    best.into_inner()
}

/// Moves one coordinate at a time as long as that helps, in smaller and smaller steps, with at most `most` evaluations:
/// out of the corners in which straight lines through a kinked figure end.
pub fn polish(
    start: &[f64],
    scored: &Scored,
    most: usize,
    evaluate: impl Fn(&[f64]) -> Scored,
) -> (Vec<f64>, Scored) {
    let (mut at, mut best, mut left) = (start.to_vec(), scored.clone(), most);
    for step in [0.2, 0.08, 0.03, 0.01] {
        for n in 0..at.len() {
            for way in [step, -step] {
                while left > 0 {
                    left -= 1;
                    let mut next = at.clone();
                    next[n] = (next[n] + way).clamp(0.0, 1.0);
                    let there = if next[n] == at[n] { break } else { evaluate(&next) };
                    if !there.is_better_than(&best) {
                        break;
                    }
                    (at, best) = (next, there);
                }
            }
        }
    }
    (at, best)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The trapezoid of speed that heats least for a way d in a time t has thirds: v = 1.5 d/t, a = 4.5 d/t^2, and an RMS
    /// force of m sqrt(2 a v/t) = 3.674 m d/t^2 (textbook, derived by d/dv of 2 v^2/(t - d/v)).
    #[test]
    fn the_least_heat_of_a_trapezoid_is_that_of_thirds() {
        let (d, t, m) = (1.2, 3.0, 90.0);
        let (v_of, a_of) = (|x: f64| 0.4 + x, |x: f64| 0.3 + 2.0 * x);
        let (at, best) = minimise(&[0.6, 0.6], 0.1, 400, |x| {
            let (v, a) = (v_of(x[0]), a_of(x[1]));
            Scored {
                cost: m * (2.0 * a * v / t).sqrt() / 100.0,
                // in time, and with a plateau left
                left: vec![t - (d / v + v / a), 1.0 - v * v / (a * d)],
            }
        });
        let (v, a) = (v_of(at[0]), a_of(at[1]));
        assert!((v / (1.5 * d / t) - 1.0).abs() < 0.02, "{v}");
        assert!((a / (4.5 * d / (t * t)) - 1.0).abs() < 0.04, "{a}");
        let least = 3.674 * m * d / (t * t);
        assert!((100.0 * best.cost / least - 1.0).abs() < 1e-3, "{} and {least}", 100.0 * best.cost);
    }

    /// Steps of a tick do not lead it astray: the fastest that keeps 2 E/m is sqrt(2 E/m).
    #[test]
    fn a_staircase_of_ticks_is_lived_with() {
        let tick = |t: f64| (t * 1000.0).ceil() / 1000.0;
        let (mass, energy) = (100.0, 10.0);
        let (at, _) = minimise(&[0.2], 0.1, 200, |x| {
            let v = 0.1 + 0.9 * x[0];
            Scored { cost: tick(1.0 / v), left: vec![1.0 - 0.5 * mass * v * v / energy] }
        });
        let v = 0.1 + 0.9 * at[0];
        assert!((v / (2.0 * energy / mass).sqrt() - 1.0).abs() < 5e-3, "{v}");
    }
}
