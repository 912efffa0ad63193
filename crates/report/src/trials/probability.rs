//! A probability that was counted, in words and in JSON.

use serde::Serialize;
use tautleaf_trials::spread::Probability;

use crate::words;

/// A share, and between what it lies.
pub fn share_and_interval(probability: &Probability) -> [String; 2] {
    let percent = |share: f64| format!("{} %", places(100.0 * share));
    let share = probability.share().map_or("-".to_owned(), percent);
    [share, format!("{} to {}", percent(probability.from), percent(probability.to))]
}

/// A percentage with a digit behind the point, near an end with two; never one that says more than is so.
pub fn places(percent: f64) -> String {
    if percent <= 0.0 || percent >= 100.0 {
        words::decimals(percent.clamp(0.0, 100.0), 0)
    } else if !(1.0..=99.0).contains(&percent) {
        words::decimals(percent.clamp(0.01, 99.99), 2)
    } else {
        words::decimals(percent, 1)
    }
}

#[derive(Serialize)]
pub(crate) struct ProbabilityObject {
    share: Option<f64>,
    from: f64,
    to: f64,
    times: u64,
    of: u64,
}

impl ProbabilityObject {
    pub fn of(probability: &Probability) -> Self {
        let Probability { times, of, from, to } = *probability;
        Self { share: probability.share(), from, to, times, of }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_percentage_never_says_all_or_nothing_where_it_is_not() {
        assert_eq!((places(0.0), places(100.0)), ("0".to_owned(), "100".to_owned()));
        assert_eq!((places(99.999), places(0.0001)), ("99.99".to_owned(), "0.01".to_owned()));
        assert_eq!((places(97.24), places(99.62)), ("97.2".to_owned(), "99.62".to_owned()));
    }
}
