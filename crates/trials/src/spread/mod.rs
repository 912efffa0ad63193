//! Tolerance studies: what never is quite as drawn, and how sure the limits are kept all the same.
//!
//! [`inputs_of`] says what spreads, [`Study`] draws and runs, [`Tally`] adds up.

mod cells;
mod distribution;
mod drawing;
mod figure_tally;
mod listed;
mod sensitivity;
mod study;
mod tally;
mod usual;
mod wilson;

pub use cells::{CELLS, PILOT};
pub use distribution::{Distribution, Shape, ShapeError};
pub use drawing::{MOST_INPUTS, Sampling, draw};
pub use figure_tally::{FigureTally, HISTOGRAM_PARTS, PERCENTILES, Statistics};
pub use listed::{Input, ListedShape, Spread, SpreadError, SpreadProblem, Undrawable, inputs_of};
pub use sensitivity::chance_correlation;
pub use study::{MOST_RUNS, Study, USUAL_RUNS, part_of};
pub use tally::{Checkpoint, Findings, LimitFindings, Tally};
pub use usual::usual_keys;
pub use wilson::Probability;
