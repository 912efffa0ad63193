//! Door files: text with units <-> parameters and limits.
#![cfg_attr(not(test), warn(clippy::unwrap_used))]

#[macro_use]
extern crate uom;

mod cautions;
mod commented;
mod file;
mod limit_keys;
mod parse;
mod parse_limits;
mod presets;
mod problem;
mod reading;
mod scenario;
pub mod units;
mod write;

pub use cautions::CAUTIONS;
pub use commented::commented;
pub use file::{SaveError, parse_bytes, read, save};
pub use limit_keys::{Bound, LIMIT_KEYS, LimitKey, limit_key};
pub use parse::{LARGEST_FILE, SCHEMA, parse};
pub use presets::{Preset, known_in_words, may_fail_a_door, preset, presets};
pub use problem::{FileProblem, ReadError};
pub use scenario::{DEFAULT_CLOSE_MARGIN, LimitSettings, Origin, Scenario, limits_of};
pub use units::UnitSystem;
pub use write::to_text;
