//! How a number spreads: uniform, triangular or normal, each truncated where one likes.

use statrs::distribution::{ContinuousCDF, Normal};

/// The shape of a distribution, before truncation. All values in the unit of the number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// Everything between two ends is as likely.
    Uniform {
        /// Lower end.
        from: f64,
        /// Upper end.
        to: f64,
    },
    /// Likeliest at its peak, and less and less towards two ends.
    Triangular {
        /// Lower end.
        from: f64,
        /// Likeliest value, an end or between them.
        peak: f64,
        /// Upper end.
        to: f64,
    },
    /// The bell curve.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation, above 0.
        deviation: f64,
    },
}

/// A distribution that numbers can be drawn from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Distribution {
    shape: Shape,
    least: f64,
    most: f64,
    /// Shares of the untruncated shape that lie below the two truncations.
    below: (f64, f64),
}

/// Why there is no such distribution.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ShapeError {
    /// The ends are in the wrong order, or equal.
    #[error("its ends are in the wrong order")]
    Ends,
    /// The peak is beyond an end.
    #[error("its peak lies outside its ends")]
    Peak,
    /// The standard deviation is not above zero.
    #[error("its deviation is not above zero")]
    Deviation,
    /// Less than a billionth of it is left.
    #[error("nothing of it lies between least and most")]
    NothingLeft,
}

/// Share of a shape that must be left by its truncation.
const LEAST_SHARE: f64 = 1e-9;

impl Distribution {
    /// A shape of which only what lies between `least` and `most` counts; they may be infinite.
    ///
    /// # Errors
    /// Why there is none.
    pub fn new(shape: Shape, least: f64, most: f64) -> Result<Self, ShapeError> {
        match shape {
            Shape::Uniform { from, to } if !is_above(to, from) => return Err(ShapeError::Ends),
            Shape::Triangular { from, to, .. } if !is_above(to, from) => return Err(ShapeError::Ends),
            Shape::Triangular { from, peak, to } if !(from..=to).contains(&peak) => {
                return Err(ShapeError::Peak);
            }
            Shape::Normal { deviation, .. } if !is_above(deviation, 0.0) => {
                return Err(ShapeError::Deviation);
            }
            _ => {}
        }
        let below = (shape.share_below(least), shape.share_below(most));
        if !is_above(below.1 - below.0, LEAST_SHARE) {
            return Err(ShapeError::NothingLeft);
        }
        Ok(Self { shape, least, most, below })
    }

    /// The shape before truncation.
    pub fn shape(&self) -> Shape {
        self.shape
    }

    /// The values between which it is truncated; infinite where it is not.
    pub fn truncation(&self) -> (f64, f64) {
        (self.least, self.most)
    }

    /// The value below which this share of it lies, share in 0 to 1: the inverse of its distribution function.
    pub fn value(&self, share: f64) -> f64 {
        let (low, high) = self.below;
        self.shape.value(low + share * (high - low)).clamp(self.least, self.most)
    }

    /// Share of it that lies below a value.
    pub fn share_below(&self, value: f64) -> f64 {
        let (low, high) = self.below;
        ((self.shape.share_below(value) - low) / (high - low)).clamp(0.0, 1.0)
    }
}

/// What is no number is not above anything.
fn is_above(value: f64, other: f64) -> bool {
    value > other
}

fn standard() -> Normal {
    Normal::standard()
}

impl Shape {
    /// Distribution function.
    fn share_below(&self, x: f64) -> f64 {
        match *self {
            Self::Uniform { from, to } => ((x - from) / (to - from)).clamp(0.0, 1.0),
            Self::Triangular { from, to, .. } if x <= from || x >= to => f64::from(x >= to),
            Self::Triangular { from, peak, to } => {
                let width = to - from;
                if x < peak {
                    (x - from) * (x - from) / (width * (peak - from))
                } else {
                    1.0 - (to - x) * (to - x) / (width * (to - peak))
                }
            }
            Self::Normal { mean, deviation } => standard().cdf((x - mean) / deviation),
        }
    }

    /// Its inverse.
    fn value(&self, share: f64) -> f64 {
        match *self {
            Self::Uniform { from, to } => from + share * (to - from),
            Self::Triangular { from, peak, to } => {
                let width = to - from;
                if share * width < peak - from {
                    from + (share * width * (peak - from)).sqrt()
                } else {
                    to - ((1.0 - share) * width * (to - peak)).sqrt()
                }
            }
            Self::Normal { mean, deviation } => mean + deviation * standard().inverse_cdf(share),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const OPEN: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

    fn all() -> Vec<Distribution> {
        let made = |shape, (least, most)| Distribution::new(shape, least, most).unwrap();
        vec![
            made(Shape::Uniform { from: -2.0, to: 5.0 }, OPEN),
            made(Shape::Uniform { from: -2.0, to: 5.0 }, (0.0, 9.0)),
            made(Shape::Triangular { from: 1.0, peak: 2.0, to: 6.0 }, OPEN),
            made(Shape::Triangular { from: 1.0, peak: 1.0, to: 6.0 }, OPEN),
            made(Shape::Triangular { from: 1.0, peak: 6.0, to: 6.0 }, (2.0, 5.5)),
            made(Shape::Normal { mean: 95.0, deviation: 2.0 }, OPEN),
            made(Shape::Normal { mean: 95.0, deviation: 2.0 }, (94.0, 99.0)),
            made(Shape::Normal { mean: 0.0, deviation: 1e-3 }, (-2e-3, f64::INFINITY)),
        ]
    }

    #[test]
    fn a_value_has_its_share_below_it_and_values_rise_with_their_share() {
        for distribution in all() {
            let mut before = f64::NEG_INFINITY;
            for n in 1..1000 {
                let share = f64::from(n) / 1000.0;
                let value = distribution.value(share);
                // the library's normal distribution is good for eleven digits
                assert!((distribution.share_below(value) - share).abs() < 1e-10, "{distribution:?} {share}");
                assert!(value > before, "{distribution:?} {share}");
                let (least, most) = distribution.truncation();
                assert!((least..=most).contains(&value), "{distribution:?} {share}");
                before = value;
            }
        }
    }

    /// Mean and variance in closed form: (a+b)/2, (b-a)^2/12; (a+b+c)/3, (a^2+b^2+c^2-ab-ac-bc)/18; of a normal
    /// distribution truncated on both sides at one deviation: 0 and 1 - 2 phi(1)/(2 Phi(1) - 1) = 0.291 125.
    #[test]
    fn mean_and_variance_are_those_of_the_textbook() {
        let check = |shape, (least, most), mean: f64, variance: f64| {
            let distribution = Distribution::new(shape, least, most).unwrap();
            let n = 200_000;
            let values: Vec<f64> =
                (0..n).map(|i| distribution.value((f64::from(i) + 0.5) / f64::from(n))).collect();
            let found = values.iter().sum::<f64>() / f64::from(n);
            let spread = values.iter().map(|value| (value - found).powi(2)).sum::<f64>() / f64::from(n);
            assert!((found - mean).abs() < 1e-4, "{found} {mean}");
            assert!((spread - variance).abs() < 3e-4 * variance, "{spread} {variance}");
        };
        check(Shape::Uniform { from: 1.0, to: 4.0 }, OPEN, 2.5, 9.0 / 12.0);
        let (a, b, c) = (1.0, 6.0, 2.0);
        let variance: f64 = (a * a + b * b + c * c - a * b - a * c - b * c) / 18.0;
        check(Shape::Triangular { from: a, peak: c, to: b }, OPEN, 3.0, variance);
        check(Shape::Normal { mean: 3.0, deviation: 0.5 }, OPEN, 3.0, 0.25);
        check(Shape::Normal { mean: 0.0, deviation: 1.0 }, (-1.0, 1.0), 0.0, 0.291_125);
    }

    /// Quantiles of the normal distribution: Wichura, AS 241 (Applied Statistics 37, 1988), its check values, from memory.
    #[test]
    fn normal_quantiles_are_the_published_ones() {
        let normal = Distribution::new(Shape::Normal { mean: 0.0, deviation: 1.0 }, OPEN.0, OPEN.1).unwrap();
        for (share, quantile) in [(0.25, -0.674_489_750_196_081_7), (0.001, -3.090_232_306_167_814)] {
            assert!((normal.value(share) - quantile).abs() < 1e-9, "{}", normal.value(share));
        }
    }

    #[test]
    fn what_is_no_distribution_is_refused() {
        let error = |shape, least, most| Distribution::new(shape, least, most).unwrap_err();
        assert_eq!(error(Shape::Uniform { from: 2.0, to: 2.0 }, OPEN.0, OPEN.1), ShapeError::Ends);
        assert_eq!(
            error(Shape::Triangular { from: 2.0, peak: 9.0, to: 4.0 }, OPEN.0, OPEN.1),
            ShapeError::Peak
        );
        assert_eq!(error(Shape::Normal { mean: 2.0, deviation: 0.0 }, OPEN.0, OPEN.1), ShapeError::Deviation);
        assert_eq!(error(Shape::Normal { mean: 2.0, deviation: 0.1 }, 5.0, 6.0), ShapeError::NothingLeft);
        assert_eq!(error(Shape::Uniform { from: 2.0, to: 3.0 }, 2.9, 2.1), ShapeError::NothingLeft);
        assert_eq!(error(Shape::Uniform { from: f64::NAN, to: 3.0 }, OPEN.0, OPEN.1), ShapeError::Ends);
    }
}
