//! One or two settings at many values, every combination run and judged.

use std::ops::ControlFlow;
use std::sync::atomic::AtomicBool;

use tautleaf_physics::{Door, Parameters};

use crate::in_order::in_order;
use crate::row::Row;
use crate::settable::Settable;
use crate::trial::Bench;

/// Most values of one axis.
pub const MOST_VALUES: usize = 10_000;
/// Most combinations of a sweep, whose results are all held.
pub const MOST_COMBINATIONS: u64 = 100_000;

/// Values of one number, and of each of two, where nobody says how many.
pub const USUAL_VALUES: [usize; 2] = [11, 7];

/// A number and the values that it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// The number.
    pub settable: Settable,
    /// Its values, SI, in the order of the axis.
    pub values: Vec<f64>,
}

/// Why there is no such axis.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum AxisError {
    /// One value more than it needs, or too many.
    #[error("{0} values are too few or too many; write from 2 to {MOST_VALUES}")]
    Count(usize),
    /// Both ends are the same.
    #[error("it begins and ends at the same value")]
    Ends,
    /// A value that the number cannot have, SI.
    #[error("{value} is not possible")]
    Impossible {
        /// The value.
        value: f64,
    },
}

/// Why there is no such sweep.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SweepError {
    /// It has more combinations than can be held.
    #[error("{0} combinations are too many; write fewer values, at most {MOST_COMBINATIONS} combinations")]
    TooMany(u64),
    /// Both axes are of one number.
    #[error("{0} is on both axes; name another key")]
    Twice(String),
}

impl Axis {
    /// So many values at equal distances, both ends included, whole where the number counts things.
    ///
    /// # Errors
    /// Why there is none.
    pub fn new(settable: Settable, from: f64, to: f64, count: usize) -> Result<Self, AxisError> {
        if !(2..=MOST_VALUES).contains(&count) {
            return Err(AxisError::Count(count));
        }
        let (low, high) = settable.possible();
        if let Some(value) = [from, to].into_iter().find(|value| !(low..=high).contains(value)) {
            return Err(AxisError::Impossible { value });
        }
        if from == to {
            return Err(AxisError::Ends);
        }
        let step = |n: usize| {
            let share = n as f64 / (count - 1) as f64;
            from * (1.0 - share) + to * share
        };
        let mut values: Vec<f64> = (0..count)
            .map(step)
            .map(|value| if settable.is_whole() { value.round() } else { value })
            .collect();
        values.dedup();
        if values.len() < 2 {
            return Err(AxisError::Ends);
        }
        Ok(Self { settable, values })
    }
}

/// A door with one or two of its numbers at many values.
#[derive(Clone, Debug)]
pub struct Sweep {
    /// The door as it is.
    pub door: Parameters,
    /// What is varied; the first axis varies slowest.
    pub axes: Vec<Axis>,
    /// What is measured and judged.
    pub bench: Bench,
}

impl Sweep {
    /// A sweep of a door.
    ///
    /// # Errors
    /// More combinations than can be held, or one number on two axes.
    pub fn new(door: &Door, axes: Vec<Axis>, bench: Bench) -> Result<Self, SweepError> {
        let count = axes.iter().fold(1u64, |count, axis| count.saturating_mul(axis.values.len() as u64));
        if count > MOST_COMBINATIONS {
            return Err(SweepError::TooMany(count));
        }
        if let [first, second] = axes.as_slice()
            && first.settable == second.settable
        {
            return Err(SweepError::Twice(first.settable.key()));
        }
        Ok(Self { door: door.given().clone(), axes, bench })
    }

    /// How many combinations there are.
    pub fn trials(&self) -> u64 {
        self.axes.iter().map(|axis| axis.values.len() as u64).product()
    }

    /// The values of combination `index`, one an axis, SI.
    pub fn values(&self, index: u64) -> Vec<f64> {
        let mut left = index;
        let mut values: Vec<f64> = Vec::with_capacity(self.axes.len());
        for axis in self.axes.iter().rev() {
            let count = axis.values.len() as u64;
            values.push(axis.values[(left % count) as usize]);
            left /= count;
        }
        values.reverse();
        values
    }

    /// Runs combination `index`.
    pub fn row(&self, index: u64) -> Row {
        let values = self.values(index);
        let mut p = self.door.clone();
        for (axis, &value) in self.axes.iter().zip(&values) {
            axis.settable.set(&mut p, value);
        }
        Row { index, values, trial: self.bench.trial(p) }
    }

    /// Runs every combination on so many threads and hands them over in order; see [`in_order()`].
    pub fn run(
        &self,
        threads: usize,
        stop: &AtomicBool,
        mut take: impl FnMut(Row) -> ControlFlow<()>,
    ) -> u64 {
        in_order(0..self.trials(), threads, stop, |index| self.row(index), |_, row| take(row))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::{Criteria, Effort};
    use tautleaf_physics::Figure;

    fn axis(key: &str, from: f64, to: f64, count: usize) -> Result<Axis, AxisError> {
        Axis::new(Settable::find(key, &Parameters::default()).unwrap(), from, to, count)
    }

    #[test]
    fn an_axis_has_both_its_ends_and_may_go_down() {
        assert_eq!(axis("closing.speed", 0.2, 0.4, 3).unwrap().values, [0.2, 0.30000000000000004, 0.4]);
        let down = axis("leaf.mass", 100.0, 60.0, 5).unwrap().values;
        assert_eq!((down[0], down[4]), (100.0, 60.0));
        assert_eq!(axis("pulleys.teeth", 20.0, 22.0, 9).unwrap().values, [20.0, 21.0, 22.0]);
    }

    #[test]
    fn what_is_no_axis_is_refused() {
        assert_eq!(axis("leaf.mass", 60.0, 80.0, 1).unwrap_err(), AxisError::Count(1));
        assert_eq!(axis("leaf.mass", 60.0, 60.0, 4).unwrap_err(), AxisError::Ends);
        assert_eq!(axis("leaf.mass", -60.0, 60.0, 4).unwrap_err(), AxisError::Impossible { value: -60.0 });
        assert!(matches!(axis("leaf.mass", f64::NAN, 60.0, 4), Err(AxisError::Impossible { .. })));
    }

    #[test]
    fn every_combination_is_run_once_with_the_first_axis_slowest() {
        let door = Door::try_from(Parameters::default()).unwrap();
        let bench = Bench { criteria: Criteria::default(), effort: Effort::NoForceTest };
        let axes =
            vec![axis("leaf.mass", 60.0, 80.0, 2).unwrap(), axis("closing.speed", 0.2, 0.3, 3).unwrap()];
        let sweep = Sweep::new(&door, axes.clone(), bench.clone()).unwrap();
        let mut rows = Vec::new();
        sweep.run(2, &AtomicBool::new(false), |row| {
            rows.push(row);
            ControlFlow::Continue(())
        });
        assert_eq!(rows.len(), 6);
        assert_eq!(rows[4].values[0], 80.0);
        assert!((rows[4].values[1] - 0.25).abs() < 1e-12);
        // energy of a leaf goes with its mass, top speed with the speed set
        let top = |n: usize| rows[n].trial.get(Figure::TopSpeedClosing).unwrap();
        assert!((top(4) - 0.25).abs() < 0.02 && (top(1) - 0.25).abs() < 0.02);

        let twice = vec![axes[0].clone(), axes[0].clone()];
        assert_eq!(
            Sweep::new(&door, twice, bench.clone()).unwrap_err(),
            SweepError::Twice("leaf.mass".to_owned())
        );
        let many =
            vec![axis("leaf.mass", 60.0, 80.0, 1000).unwrap(), axis("closing.speed", 0.2, 0.3, 101).unwrap()];
        assert_eq!(Sweep::new(&door, many, bench).unwrap_err(), SweepError::TooMany(101_000));
    }
}
