//! The doorway as it is drawn: where everything is, and how it is painted.

pub mod elevation;
pub mod paint;
pub mod person;
