//! Many cycles of a door: what one setting does to the verdicts, and what to turn.

mod advise;
mod parallel;
mod remedy;
mod settings;
mod site;

pub use advise::{Advice, Effect, advise, changed};
pub use parallel::in_parallel;
pub use remedy::{Change, Remedy, remedy};
pub use settings::{Setting, Turn, settings_for};
pub use site::{SITE, SiteSetting};
