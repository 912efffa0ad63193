//! What many cycles of a door say, as text and JSON.

mod advise;
mod change_object;
pub mod probability;
pub mod reserve_words;
mod site_words;
pub mod spread;
pub(crate) mod surely;
pub(crate) mod sweep;
pub mod tune;

pub use advise::{
    AdviceReport, lacking_with_the_plan, more_margin, nothing_to_turn, turned_for_the_reserve, worth_showing,
};
pub use site_words::in_site_words;
pub use spread::SpreadReport;
pub use surely::SurelyError;
pub use sweep::{SweepReport, notes_on_runs};
pub use tune::TuneReport;
