//! The physics of a belt-driven sliding door: parameters -> door -> cycle -> figures -> verdicts.
//!
//! No files, no clock, no printing, no text units. SI inside, always.

pub mod fields;
pub mod parameters;

pub use parameters::Parameters;
