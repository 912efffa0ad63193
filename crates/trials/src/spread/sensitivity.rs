//! Which inputs matter to a figure: rank correlation and first-order Sobol' indices, from the trials themselves.

use super::cells::Group;

/// Strips that the share of an input is divided into.
const STRIPS: usize = 64;
/// Trials that a strip must have on average; with fewer, neighbouring strips are joined.
const LEAST_IN_A_STRIP: u64 = 20;
/// Fewer strips than this tell nothing.
const FEWEST_STRIPS: usize = 4;

/// Sums over the trials for one input and one figure.
#[derive(Clone, Debug)]
pub(super) struct Strips {
    counts: [u64; STRIPS],
    /// Sums of the figure, less its first value.
    sums: [f64; STRIPS],
    share_sum: f64,
    share_squares: f64,
}

impl Strips {
    pub fn new() -> Self {
        Self { counts: [0; STRIPS], sums: [0.0; STRIPS], share_sum: 0.0, share_squares: 0.0 }
    }

    /// `difference` is the figure less its first value.
    pub fn add(&mut self, share: f64, difference: f64) {
        let strip = ((share * STRIPS as f64) as usize).min(STRIPS - 1);
        self.counts[strip] += 1;
        self.sums[strip] += difference;
        self.share_sum += share;
        self.share_squares += share * share;
    }

    /// First-order Sobol' index: the part of the figure's variance that goes when this input is known,
    /// Var(E[y|x])/Var(y), from the means in strips of the input's share, less what chance puts there:
    ///
    /// ```text
    /// S = 1 - (SS_within/(n - M))/(SS/(n - 1))         M strips, SS the sum of squares about the mean
    /// ```
    ///
    /// It holds where the inputs are drawn independently. `squares` is SS. `None`: too few trials, or no variance.
    pub fn first_order(&self, squares: f64) -> Option<f64> {
        let n: u64 = self.counts.iter().sum();
        let mut strips = STRIPS;
        while n < LEAST_IN_A_STRIP * strips as u64 {
            strips /= 2;
        }
        if strips < FEWEST_STRIPS || squares <= 0.0 {
            return None;
        }
        let joined = STRIPS / strips;
        let mean = self.sums.iter().sum::<f64>() / n as f64;
        let mut between = 0.0;
        let mut filled = 0;
        for (counts, sums) in self.counts.chunks(joined).zip(self.sums.chunks(joined)) {
            let count = counts.iter().sum::<u64>();
            if count > 0 {
                let own = sums.iter().sum::<f64>() / count as f64;
                between += count as f64 * (own - mean) * (own - mean);
                filled += 1;
            }
        }
        let within = (squares - between).max(0.0) / (n - filled) as f64;
        Some((1.0 - within / (squares / (n - 1) as f64)).clamp(0.0, 1.0))
    }

    /// Spearman's rank correlation of figure and input, -1 to 1; the input's rank is its share, the figure's rank is
    /// the middle of its group. `None`: fewer than three trials, or one value only.
    pub fn rank_correlation(&self, groups: &[Group], input: usize) -> Option<f64> {
        let n: u64 = groups.iter().map(|group| group.count).sum();
        if n < 3 {
            return None;
        }
        let middle = n as f64 / 2.0;
        let mean = self.share_sum / n as f64;
        let (mut before, mut both, mut ranks) = (0.0, 0.0, 0.0);
        for group in groups {
            let count = group.count as f64;
            let rank = before + count / 2.0 - middle;
            both += rank * (group.sums[input] - count * mean);
            ranks += count * rank * rank;
            before += count;
        }
        let shares = self.share_squares - n as f64 * mean * mean;
        let scale = (ranks * shares).sqrt();
        (scale > 0.0).then(|| (both / scale).clamp(-1.0, 1.0))
    }
}

/// Rank correlation beyond which chance alone is left behind: three standard deviations of none, 3/sqrt(n - 1).
pub fn chance_correlation(trials: u64) -> f64 {
    3.0 / ((trials.max(2) - 1) as f64).sqrt()
}
