//! Many cycles of a door: what one setting does to the verdicts, what to turn, what tolerances do, what a range of
//! settings does.
//!
//! A trial is a pure function of its input; trials run on several threads and come in the order of their indices, so
//! that results do not depend on how the work was shared out.

mod advise;
mod assess;
pub mod choose;
mod in_order;
mod parallel;
mod remark;
mod remedy;
mod reserve;
mod row;
mod settable;
mod site;
mod sound;
pub mod spread;
mod sure;
mod sweep;
mod trial;
pub mod tune;
mod watch;

pub use advise::{Advice, Effect, advise, advise_surely, changed};
pub use assess::{Assessment, Criteria, Effort, Standing, fails, is_unfinished, is_untested};
pub use in_order::{BLOCK, in_order};
pub use parallel::{cores, in_parallel};
pub use remark::{Remark, RemarkKind, hardest_jolt, remarks, stops_met_fast};
pub use remedy::{Change, Remedy, remedy};
pub use reserve::Reserve;
pub use row::{Row, figures_of, names_of};
pub use settable::{NoSuchNumber, Settable};
pub use site::{SITE, SiteSetting};
pub use sound::{SLOWED_DOWN, soundness};
pub use sure::{Sure, Surely};
pub use sweep::{Axis, AxisError, MOST_COMBINATIONS, MOST_VALUES, Sweep, SweepError, USUAL_VALUES};
pub use trial::{Bench, Ended, Judged, Trial};
pub use watch::Watch;
