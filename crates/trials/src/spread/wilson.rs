//! How sure a probability is that was counted.

/// Two-sided 95 % of the normal distribution.
const Z: f64 = 1.959_963_984_540_054;

/// A probability that was counted, with its 95 % interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Probability {
    /// How often it was so.
    pub times: u64,
    /// Of how many.
    pub of: u64,
    /// Lower end of the interval.
    pub from: f64,
    /// Upper end.
    pub to: f64,
}

impl Probability {
    /// Wilson's score interval without correction (Wilson 1927, J. Am. Stat. Assoc. 22:209):
    ///
    /// ```text
    /// (p + z^2/2n -+ z sqrt(p (1 - p)/n + z^2/4n^2)) / (1 + z^2/n),  z = 1.96
    /// ```
    ///
    /// Of nothing, it may be anything from 0 to 1. It holds for independent draws.
    pub fn counted(times: u64, of: u64) -> Self {
        if of == 0 {
            return Self { times, of, from: 0.0, to: 1.0 };
        }
        let (n, p) = (of as f64, times as f64 / of as f64);
        let scale = 1.0 + Z * Z / n;
        let middle = (p + Z * Z / (2.0 * n)) / scale;
        let half = Z * (p * (1.0 - p) / n + Z * Z / (4.0 * n * n)).sqrt() / scale;
        // the ends are exact where nothing or everything was counted
        let from = if times == 0 { 0.0 } else { (middle - half).max(0.0) };
        let to = if times == of { 1.0 } else { (middle + half).min(1.0) };
        Self { times, of, from, to }
    }

    /// The share that was counted; `None` of nothing.
    pub fn share(&self) -> Option<f64> {
        (self.of > 0).then(|| self.times as f64 / self.of as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Newcombe 1998, Statistics in Medicine 17:857, table I, method 3 (score without correction), 95 %, four decimals;
    /// the numbers are from memory.
    #[test]
    fn intervals_are_those_of_the_published_table() {
        for (times, of, from, to) in [
            (81, 263, 0.2553, 0.3662),
            (15, 148, 0.0624, 0.1605),
            (0, 20, 0.0, 0.1611),
            (1, 29, 0.0061, 0.1718),
        ] {
            let found = Probability::counted(times, of);
            assert!((found.from - from).abs() < 5e-5 && (found.to - to).abs() < 5e-5, "{found:?}");
        }
    }

    #[test]
    fn an_interval_narrows_with_more_trials_and_holds_the_share() {
        let mut width = 1.0;
        for of in [10, 100, 1000, 10_000] {
            let found = Probability::counted(of * 9 / 10, of);
            assert!(found.from < 0.9 && 0.9 < found.to && found.to - found.from < width);
            width = found.to - found.from;
        }
        assert_eq!(Probability::counted(0, 0), Probability { times: 0, of: 0, from: 0.0, to: 1.0 });
        assert_eq!(Probability::counted(7, 7).to, 1.0);
    }
}
