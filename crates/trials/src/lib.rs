//! Many cycles of a door: what one setting does to the verdicts.

mod remedy;
mod settings;

pub use remedy::{Change, Remedy, remedy};
pub use settings::{Setting, Turn, settings_for};
