//! What many cycles of a door say, as text and JSON.

mod advise;
mod change_object;
pub mod probability;
mod site_words;
pub mod spread;
pub(crate) mod sweep;
pub mod tune;

pub use advise::{AdviceReport, more_margin, worth_showing};
pub use site_words::in_site_words;
pub use spread::SpreadReport;
pub use sweep::{SweepReport, notes_on_runs};
pub use tune::TuneReport;
