//! Many cycles of a door: what one setting does to the verdicts.

mod remedy;

pub use remedy::{Remedy, Turn, remedy, settings_for};
