//! Door files: text with units <-> parameters and limits.
//!
//! ```
//! let text = "schema = 1\n[leaf]\nmass = \"190 lb\"\n[limits]\nstall_force_max = \"67 N\"\n";
//! let scenario = tautleaf_scenario::parse(text, "shop.toml")?;
//! assert_eq!(scenario.parameters.leaf.mass_kg, 190.0 * 0.453_592_37);
//! assert_eq!(tautleaf_scenario::limits_of(&scenario).len(), 1);
//!
//! let error = tautleaf_scenario::parse("schema = 1\n[leaf]\nmass = \"80\"\n", "shop.toml").unwrap_err();
//! assert_eq!(
//!     error.to_string(),
//!     "shop.toml:3: leaf.mass: \"80\" has no unit; write a mass such as \"80 kg\" or \"176 lb\""
//! );
//! # Ok::<(), tautleaf_scenario::ReadError>(())
//! ```
#![cfg_attr(not(test), warn(clippy::unwrap_used))]

#[macro_use]
extern crate uom;

mod catalogue;
mod cautions;
mod choices;
mod commented;
mod commented_drive;
mod data_sheet;
mod file;
mod limit_keys;
mod over;
mod parse;
mod parse_keys;
mod parse_limits;
mod parse_ratings;
mod parse_rule;
mod parse_spread;
mod presets;
mod problem;
mod problem_words;
mod reading;
mod scenario;
mod studies;
pub mod units;
mod unmeasured;
mod write;

pub use catalogue::{GEARS, catalogue, parse_catalogue, read_catalogue, with_folder};
pub use cautions::{BELT_WORK, CAUTIONS, IN_THE_OPENING, LEAF_WORK, NOT_PROOF, POWER_OFF};
pub use commented::commented;
pub use commented_drive::commented_drive;
pub use file::{SaveError, parse_bytes, read, replace, save};
pub use limit_keys::{Bound, LIMIT_KEYS, LimitKey, limit_key};
pub use over::{AxisProblem, OverError, axis, axis_between};
pub use parse::{LARGEST_FILE, SCHEMA, parse};
pub use parse_limits::WIDEST_GAP_M;
pub use parse_ratings::{CLASSES as INSULATION_CLASSES, check_name};
pub use parse_rule::MOST_GAPS;
pub use presets::{Preset, known_in_words, may_fail_a_door, preset, presets};
pub use problem::{FileProblem, ReadError};
pub use problem_words::{ProblemWords, problem_words};
pub use scenario::{DEFAULT_CLOSE_MARGIN, LimitSettings, Origin, Scenario, limits_of};
pub use units::UnitSystem;
pub use unmeasured::unmeasured;
pub use write::to_text;
