//! What is kept of one figure over many trials.

use super::cells::{self, Cells};
use super::sensitivity::Strips;

/// Shares of which the percentiles are told.
pub const PERCENTILES: [f64; 7] = [0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99];
/// Parts of a histogram, between least and greatest value.
pub const HISTOGRAM_PARTS: usize = 16;

/// Sums over the trials for one figure. Its size does not depend on their number.
#[derive(Clone, Debug)]
pub struct FigureTally {
    count: u64,
    first: f64,
    mean: f64,
    squares: f64,
    cells: Cells,
    strips: Vec<Strips>,
}

/// What the trials say of one figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Statistics {
    /// Trials that gave it.
    pub count: u64,
    /// Mean.
    pub mean: f64,
    /// Standard deviation over n - 1; 0 of a single one.
    pub deviation: f64,
    /// Least value.
    pub least: f64,
    /// Greatest value.
    pub greatest: f64,
    /// Values below which the shares of [`PERCENTILES`] lie: exact up to [`super::PILOT`] trials, beyond that to a
    /// 340th of the range of the first of them.
    pub percentiles: [f64; PERCENTILES.len()],
    /// How many lie in each of [`HISTOGRAM_PARTS`] equal parts from least to greatest.
    pub histogram: Vec<u64>,
    /// Spearman's rank correlation with each input.
    pub rank_correlations: Vec<Option<f64>>,
    /// First-order Sobol' index of each input.
    pub first_order: Vec<Option<f64>>,
}

impl Statistics {
    /// Whether its values differ by more than rounding.
    pub fn spreads(&self) -> bool {
        self.greatest - self.least > ROUNDING * self.greatest.abs().max(self.least.abs())
    }
}

/// Relative differences below this are rounding.
const ROUNDING: f64 = 1e-9;

impl FigureTally {
    /// Of nothing yet.
    pub fn new(inputs: usize) -> Self {
        Self {
            count: 0,
            first: 0.0,
            mean: 0.0,
            squares: 0.0,
            cells: Cells::new(inputs),
            strips: vec![Strips::new(); inputs],
        }
    }

    /// One more trial: the value of the figure, and the share of each input.
    pub fn add(&mut self, value: f64, shares: &[f64]) {
        if self.count == 0 {
            self.first = value;
        }
        self.count += 1;
        // Welford's recurrence
        let off = value - self.mean;
        self.mean += off / self.count as f64;
        self.squares += off * (value - self.mean);
        self.cells.add(value, shares);
        for (strips, &share) in self.strips.iter_mut().zip(shares) {
            strips.add(share, value - self.first);
        }
    }

    /// What the trials so far say; `None` of none.
    pub fn statistics(&self) -> Option<Statistics> {
        if self.count == 0 {
            return None;
        }
        let groups = self.cells.groups();
        let (least, greatest) = self.cells.range();
        let mut statistics = Statistics {
            count: self.count,
            mean: self.mean,
            deviation: (self.squares / (self.count.max(2) - 1) as f64).sqrt(),
            least,
            greatest,
            percentiles: PERCENTILES.map(|share| cells::percentile(&groups, share).unwrap_or(least)),
            histogram: cells::histogram(&groups, (least, greatest), HISTOGRAM_PARTS),
            rank_correlations: vec![None; self.strips.len()],
            first_order: vec![None; self.strips.len()],
        };
        // on rounding nothing hangs
        if statistics.spreads() {
            for (n, strips) in self.strips.iter().enumerate() {
                statistics.rank_correlations[n] = strips.rank_correlation(&groups, n);
                statistics.first_order[n] = strips.first_order(self.squares);
            }
        }
        Some(statistics)
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::spread::{Distribution, Sampling, Shape, draw};

    /// Statistics of a function of uniform shares, over so many trials.
    fn of(
        inputs: usize,
        trials: u64,
        sampling: Sampling,
        seed: u64,
        f: impl Fn(&[f64]) -> f64,
    ) -> Statistics {
        let mut tally = FigureTally::new(inputs);
        for index in 0..trials {
            let shares: Vec<f64> =
                (0..inputs).map(|place| draw(sampling, seed, index, place, &format!("x{place}"))).collect();
            tally.add(f(&shares), &shares);
        }
        tally.statistics().unwrap()
    }

    /// sin x1 + a sin^2 x2 + b x3^4 sin x1, each x uniform from -pi to pi; a = 7, b = 0.1.
    fn ishigami(shares: &[f64]) -> f64 {
        let x = |n: usize| PI * (2.0 * shares[n] - 1.0);
        x(0).sin() + 7.0 * x(1).sin().powi(2) + 0.1 * x(2).powi(4) * x(0).sin()
    }

    /// First-order indices of the Ishigami function: 0.3139, 0.4424, 0 (Ishigami & Homma 1990; Saltelli et al. 2008,
    /// Global Sensitivity Analysis, section 2.9.3). In closed form V = a^2/8 + b pi^4/5 + b^2 pi^8/18 + 1/2, V1 = (1 + b pi^4/5)^2/2,
    /// V2 = a^2/8. Half of its variance comes in the interaction of x1 and x3, which is noise to the strips.
    #[test]
    fn the_ishigami_function_has_its_published_first_order_indices() {
        let variance = 49.0 / 8.0 + 0.1 * PI.powi(4) / 5.0 + 0.01 * PI.powi(8) / 18.0 + 0.5;
        for sampling in [Sampling::Random, Sampling::Sobol] {
            let found = of(3, 40_000, sampling, 1, ishigami);
            for (input, published) in [0.3139, 0.4424, 0.0].into_iter().enumerate() {
                let index = found.first_order[input].unwrap();
                // the standard error of 40 000 trials is about 0.004
                assert!((index - published).abs() < 0.012, "{sampling:?} {input}: {index} {published}");
            }
            assert!((found.deviation.powi(2) - variance).abs() < 0.02 * variance, "{}", found.deviation);
            // the mean is a/2
            assert!((found.mean - 3.5).abs() < 0.06, "{}", found.mean);
            // x2 acts both ways alike: ranks do not see it, indices do
            assert!(found.rank_correlations[1].unwrap().abs() < chance(40_000));
            assert!(found.rank_correlations[0].unwrap() > 0.4);
        }
    }

    fn chance(trials: u64) -> f64 {
        crate::spread::chance_correlation(trials)
    }

    /// y = 3 x1 + 2 x2 - x3 with normal x of deviations 1, 1.5, 2: variance 9 + 9 + 4 = 22, S = 9/22, 9/22, 4/22,
    /// and ranks of normal numbers correlate by (6/pi) asin(r/2), r = sqrt(S) (Pearson 1907).
    #[test]
    fn a_linear_response_has_its_closed_form_variance_indices_and_rank_correlations() {
        let deviations = [1.0, 1.5, 2.0];
        let normal = deviations
            .map(|deviation| Distribution::new(Shape::Normal { mean: 10.0, deviation }, -1e9, 1e9).unwrap());
        let f = |shares: &[f64]| {
            3.0 * normal[0].value(shares[0]) + 2.0 * normal[1].value(shares[1]) - normal[2].value(shares[2])
        };
        for sampling in [Sampling::Random, Sampling::Sobol] {
            let found = of(3, 20_000, sampling, 3, f);
            assert!((found.mean - 40.0).abs() < 4.0 * (22.0_f64 / 20_000.0).sqrt(), "{}", found.mean);
            // the standard error of a variance is its sqrt(2/n): 1 %
            assert!((found.deviation.powi(2) / 22.0 - 1.0).abs() < 0.03, "{}", found.deviation.powi(2));
            for (input, (part, sign)) in [(9.0, 1.0), (9.0, 1.0), (4.0, -1.0)].into_iter().enumerate() {
                let index: f64 = part / 22.0;
                let rank = sign * 6.0 / PI * (index.sqrt() / 2.0).asin();
                assert!((found.first_order[input].unwrap() - index).abs() < 0.02, "{input} {found:?}");
                assert!((found.rank_correlations[input].unwrap() - rank).abs() < 0.02, "{input} {found:?}");
            }
            // of a normal figure, 5 % lie 1.645 deviations below its mean
            assert!((found.percentiles[1] - (40.0 - 1.644_85 * 22.0_f64.sqrt())).abs() < 0.15, "{found:?}");
        }
    }

    /// The mean of a smooth figure is nearer to its value with evenly filling points: that is what they are for.
    #[test]
    fn sobol_points_find_the_mean_of_a_smooth_figure_more_closely_than_random_ones() {
        let f = |shares: &[f64]| shares.iter().map(|share| 1.0 + (share - 0.5)).product::<f64>();
        let error = |sampling| {
            let off: f64 = (0..20).map(|seed| (of(4, 1024, sampling, seed, f).mean - 1.0).powi(2)).sum();
            (off / 20.0).sqrt()
        };
        let (random, sobol) = (error(Sampling::Random), error(Sampling::Sobol));
        assert!(sobol < random / 10.0, "{sobol} {random}");
    }

    #[test]
    fn what_does_not_spread_has_no_sensitivity() {
        let same = of(2, 500, Sampling::Random, 1, |_| 0.1 + 0.2);
        assert_eq!((same.least, same.greatest, same.deviation), (same.mean, same.mean, 0.0));
        assert!(same.first_order.iter().chain(&same.rank_correlations).all(Option::is_none), "{same:?}");
        assert!(FigureTally::new(2).statistics().is_none());
        let few = of(1, 10, Sampling::Random, 1, |shares| shares[0]);
        assert!(few.first_order[0].is_none() && few.rank_correlations[0].unwrap() > 0.9);
    }
}
