//! A finished result as text, JSON, CSV and SVG.
//!
//! [`Judged`] is a door that was run and judged; the other modules only write it down. Nothing here prints.
//!
//! ```
//! use tautleaf_report::{Judged, Palette, table};
//!
//! let scenario = tautleaf_scenario::parse("schema = 1\n[limits]\nclosing_speed_max = \"0.2 m/s\"\n", "shop.toml")?;
//! let judged = Judged::of(&scenario)?;
//! assert!(judged.fails());
//! assert!(table::run(&judged, &Palette::PLAIN).contains("closing.speed 0.3 m/s ->"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod choose;
mod columns;
mod figures_text;
mod force_text;
pub mod json;
mod judged;
mod palette;
pub mod presets;
mod program;
pub mod remark_words;
pub mod resolved;
pub mod rows;
pub mod samples;
pub mod svg;
pub mod table;
mod tone_words;
mod trials;
mod verdict_text;
mod warm_text;
mod way_back;
pub mod words;
mod workbench;

pub use choose::{
    CatalogueReport, ChooseReport, MapReport, RANKS, bound_label, in_words, lacking_of, nothing_left,
    rank_in_words, reason as reason_in_words, restriction_in_words,
};
pub use judged::{ForceTestError, GapTooWide, Judged};
pub use palette::Palette;
pub use program::{PROGRAM, RESULT_SCHEMA, VERSION};
pub use trials::{
    AdviceReport, SpreadReport, SurelyError, SweepReport, TuneReport, in_site_words, lacking_with_the_plan,
    more_margin, notes_on_runs, nothing_to_turn, turned_for_the_reserve, worth_showing,
};
pub use trials::{probability, reserve_words, spread, tune};
pub use way_back::WayBack;
pub use workbench::{BeltReport, HangReport, TonesReport};
