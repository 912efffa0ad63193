//! An axis with ticks at round numbers.
//!
//! The axis of plotters 0.3.7 never ends its search for ticks on some ranges.

use std::ops::Range;

use plotters::coord::ranged1d::{DefaultFormatting, KeyPointHint, Ranged};

/// A linear axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Axis {
    from: f64,
    to: f64,
}

impl Axis {
    /// From 0 to `to`; what is not a length becomes 1.
    pub fn to(to: f64) -> Self {
        Self { from: 0.0, to: if to.is_finite() && to > 0.0 { to } else { 1.0 } }
    }

    /// Between two values, the lower one first; what is not a length becomes 0 to 1.
    pub fn between(from: f64, to: f64) -> Self {
        let length = to - from;
        if length.is_finite() && length > 0.0 { Self { from, to } } else { Self::to(1.0) }
    }

    /// Round numbers along the axis, at most `most`, in steps of 1, 2 or 5.
    fn ticks(self, most: usize) -> Vec<f64> {
        let length = self.to - self.from;
        let Some(least_step) = (most >= 2).then(|| length / (most - 1) as f64) else {
            return vec![self.from];
        };
        let decade = 10f64.powf(least_step.log10().floor());
        let steps = [1.0, 2.0, 5.0, 10.0].map(|digit| digit * decade);
        let step = steps.into_iter().find(|step| *step >= least_step).unwrap_or(steps[3]);
        let first = (self.from / step - 1e-9).ceil();
        let count = (self.to / step - first + 1e-9).floor().clamp(0.0, (most - 1) as f64) as usize;
        (0..=count).map(|n| (first + n as f64) * step).collect()
    }
}

impl Ranged for Axis {
    type FormatOption = DefaultFormatting;
    type ValueType = f64;

    fn map(&self, value: &f64, (from, to): (i32, i32)) -> i32 {
        let share = ((value - self.from) / (self.to - self.from)).clamp(-10.0, 10.0);
        from + (share * f64::from(to - from)).round() as i32
    }

    fn key_points<Hint: KeyPointHint>(&self, hint: Hint) -> Vec<f64> {
        self.ticks(hint.max_num_points())
    }

    fn range(&self) -> Range<f64> {
        self.from..self.to
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_few() {
        assert_eq!(Axis::to(12.3).ticks(8), [0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 12.0]);
        assert_eq!(Axis::to(0.37).ticks(5), [0.0, 0.1, 0.2, 0.30000000000000004]);
        assert_eq!(Axis::to(1.0).ticks(6), [0.0, 0.2, 0.4, 0.6000000000000001, 0.8, 1.0]);
    }

    #[test]
    fn an_axis_that_does_not_begin_at_nothing_has_its_ticks_between_its_ends() {
        assert_eq!(
            Axis::between(0.21, 0.48).ticks(8),
            [0.25, 0.30000000000000004, 0.35000000000000003, 0.4, 0.45]
        );
        assert_eq!(Axis::between(-2.0, 2.0).ticks(5), [-2.0, -1.0, 0.0, 1.0, 2.0]);
        assert_eq!(Axis::between(3.0, 3.0), Axis::to(1.0));
    }

    #[test]
    fn every_range_has_a_bounded_number_of_ticks() {
        for n in 0..200_000 {
            let to = 1e-6 * 1.0002f64.powi(n % 150_000) * (1.0 + n as f64 * 1e-7);
            for most in [0, 1, 2, 6, 10, 11] {
                let ticks = Axis::to(to).ticks(most).len();
                assert!(ticks >= 1 && ticks <= most.max(1), "{to} {most} {ticks}");
            }
        }
        for odd in [0.0, -1.0, f64::NAN, f64::INFINITY, 5e-324, f64::MAX] {
            assert!(Axis::to(odd).ticks(10).len() <= 10);
        }
    }
}
