//! Values counted in cells, so that percentiles, a histogram and ranks are had without holding every value.
//!
//! The first [`PILOT`] values are held as they are: up to there everything is exact. Their range, widened by itself on
//! both sides, is then divided into [`CELLS`] equal cells, a 340th of that range each, in which all values are
//! counted; what lies beyond goes to the last cell on its side. Memory does not grow with the number of values, and
//! the same values in the same order always give the same cells.

/// Values that are held before cells are laid out.
pub const PILOT: usize = 1024;
/// Cells over three times the range of the first values.
pub const CELLS: usize = 1024;

/// Values with the shares of the inputs that they came from.
#[derive(Clone, Debug)]
pub(super) struct Cells {
    inputs: usize,
    least: f64,
    most: f64,
    held: Held,
}

#[derive(Clone, Debug)]
enum Held {
    /// Every value, and the shares of all inputs in one row after another.
    Each { values: Vec<f64>, shares: Vec<f64> },
    /// Counts, and sums of the shares.
    Counted { from: f64, width: f64, counts: Vec<u64>, sums: Vec<f64> },
}

/// Values that count as equal, in rising order.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Group {
    /// Between which values they lie; the same where they are known exactly.
    pub from: f64,
    /// Upper end.
    pub to: f64,
    /// How many.
    pub count: u64,
    /// Sum of the shares of each input.
    pub sums: Vec<f64>,
}

impl Cells {
    pub fn new(inputs: usize) -> Self {
        let held = Held::Each { values: Vec::new(), shares: Vec::new() };
        Self { inputs, least: f64::INFINITY, most: f64::NEG_INFINITY, held }
    }

    pub fn add(&mut self, value: f64, shares: &[f64]) {
        self.least = self.least.min(value);
        self.most = self.most.max(value);
        match &mut self.held {
            Held::Each { values, shares: rows } => {
                values.push(value);
                rows.extend_from_slice(shares);
                if values.len() == PILOT {
                    self.lay_out();
                }
            }
            Held::Counted { from, width, counts, sums } => {
                let cell = cell_of(value, *from, *width);
                counts[cell] += 1;
                let own = &mut sums[cell * shares.len()..(cell + 1) * shares.len()];
                own.iter_mut().zip(shares).for_each(|(sum, share)| *sum += share);
            }
        }
    }

    /// From values to cells.
    fn lay_out(&mut self) {
        let Held::Each { values, shares } = &self.held else { return };
        let (values, shares) = (values.clone(), shares.clone());
        let span = self.most - self.least;
        // where all are equal so far, what is not equal lies to either side
        let span = if span > 0.0 { span } else { self.most.abs().max(1e-9) * 1e-6 };
        self.held = Held::Counted {
            from: self.least - span,
            width: 3.0 * span / CELLS as f64,
            counts: vec![0; CELLS],
            sums: vec![0.0; CELLS * self.inputs],
        };
        for (n, &value) in values.iter().enumerate() {
            self.add(value, &shares[n * self.inputs..(n + 1) * self.inputs]);
        }
    }

    pub fn range(&self) -> (f64, f64) {
        (self.least, self.most)
    }

    /// Values that count as equal, in rising order.
    pub fn groups(&self) -> Vec<Group> {
        match &self.held {
            Held::Each { values, shares } => {
                let mut order: Vec<usize> = (0..values.len()).collect();
                order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
                let mut groups: Vec<Group> = Vec::new();
                for n in order {
                    let own = &shares[n * self.inputs..(n + 1) * self.inputs];
                    match groups.last_mut().filter(|last| last.to == values[n]) {
                        Some(last) => {
                            last.count += 1;
                            last.sums.iter_mut().zip(own).for_each(|(sum, share)| *sum += share);
                        }
                        None => groups.push(Group {
                            from: values[n],
                            to: values[n],
                            count: 1,
                            sums: own.to_vec(),
                        }),
                    }
                }
                groups
            }
            Held::Counted { from, width, counts, sums } => {
                let filled = counts.iter().enumerate().filter(|(_, count)| **count > 0);
                let group = |(cell, &count): (usize, &u64)| {
                    let low = if cell == 0 { self.least } else { from + width * cell as f64 };
                    let high = if cell == CELLS - 1 { self.most } else { from + width * (cell + 1) as f64 };
                    Group {
                        from: low.clamp(self.least, self.most),
                        to: high.clamp(self.least, self.most),
                        count,
                        sums: sums[cell * self.inputs..(cell + 1) * self.inputs].to_vec(),
                    }
                };
                filled.map(group).collect()
            }
        }
    }
}

/// The cell of a value; beyond either end the last one on that side.
fn cell_of(value: f64, from: f64, width: f64) -> usize {
    (((value - from) / width).floor().max(0.0) as usize).min(CELLS - 1)
}

/// The value below which a share of all lies, between groups and within them on a straight line.
///
/// Of single values, the one at `share (n - 1)` counted from 0, between neighbours on a straight line.
pub(super) fn percentile(groups: &[Group], share: f64) -> Option<f64> {
    let count: u64 = groups.iter().map(|group| group.count).sum();
    let at = share * (count.checked_sub(1)? as f64);
    let mut before = 0.0;
    for (n, group) in groups.iter().enumerate() {
        let inside = at - before;
        let last = group.count as f64 - 1.0;
        if inside <= last {
            let part = if last > 0.0 { inside / last } else { 0.5 };
            return Some(group.from + part * (group.to - group.from));
        }
        if inside < last + 1.0 {
            let next = groups.get(n + 1).map_or(group.to, |next| next.from);
            return Some(group.to + (inside - last) * (next - group.to));
        }
        before += group.count as f64;
    }
    groups.last().map(|group| group.to)
}

/// How many of all lie in each of so many equal parts between least and most.
pub(super) fn histogram(groups: &[Group], (least, most): (f64, f64), parts: usize) -> Vec<u64> {
    let mut counts = vec![0; parts];
    for group in groups {
        let middle = 0.5 * (group.from + group.to);
        let part = if most > least { (middle - least) / (most - least) * parts as f64 } else { 0.0 };
        counts[(part as usize).min(parts - 1)] += group.count;
    }
    counts
}

#[cfg(test)]
mod tests {
    use super::*;

    fn filled(values: impl Iterator<Item = f64>) -> Cells {
        let mut cells = Cells::new(1);
        values.for_each(|value| cells.add(value, &[0.25]));
        cells
    }

    #[test]
    fn few_values_are_held_as_they_are() {
        let cells = filled([3.0, 1.0, 2.0, 2.0].into_iter());
        let groups = cells.groups();
        let said: Vec<_> =
            groups.iter().map(|group| (group.from, group.to, group.count, group.sums[0])).collect();
        assert_eq!(said, [(1.0, 1.0, 1, 0.25), (2.0, 2.0, 2, 0.5), (3.0, 3.0, 1, 0.25)]);
        // of 1 2 2 3: a quarter of the way along is three quarters from 1 to 2
        assert_eq!(percentile(&groups, 0.25), Some(1.75));
        assert_eq!(percentile(&groups, 0.5), Some(2.0));
        assert_eq!((percentile(&groups, 0.0), percentile(&groups, 1.0)), (Some(1.0), Some(3.0)));
        assert_eq!(percentile(&[], 0.5), None);
        assert_eq!(histogram(&groups, cells.range(), 2), [1, 3]);
    }

    /// Numbers evenly spread from 0 to 1 by the golden ratio: each percentile is its own share.
    #[test]
    fn percentiles_of_many_values_are_right_to_a_cell() {
        let cells = filled((0..100_000).map(|n| (f64::from(n) * 0.618_033_988_749_895).fract()));
        let groups = cells.groups();
        assert!(groups.len() <= CELLS);
        assert_eq!(groups.iter().map(|group| group.count).sum::<u64>(), 100_000);
        for percent in [1, 5, 25, 50, 75, 95, 99] {
            let share = f64::from(percent) / 100.0;
            let found = percentile(&groups, share).unwrap();
            assert!((found - share).abs() < 3.0 / CELLS as f64, "{found} {share}");
        }
        let counts = histogram(&groups, cells.range(), 10);
        assert!(counts.iter().all(|count| count.abs_diff(10_000) < 350), "{counts:?}");
    }

    #[test]
    fn what_comes_late_and_far_off_is_counted_at_the_end() {
        let late = filled((0..4000).map(|n| {
            if n < 3000 {
                7.0
            } else if n % 2 == 0 {
                70.0
            } else {
                -70.0
            }
        }));
        let groups = late.groups();
        assert_eq!(late.range(), (-70.0, 70.0));
        assert_eq!(groups.iter().map(|group| group.count).sum::<u64>(), 4000);
        assert!((percentile(&groups, 0.5).unwrap() - 7.0).abs() < 1e-5);
        assert_eq!(percentile(&groups, 1.0), Some(70.0));
    }
}
