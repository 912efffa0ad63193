//! Reads the figures off a run (PHYSICS of each: DEVELOPERS.md, figures). The table of figures says what reads which.

pub(crate) mod closing;
pub(crate) mod comfort;
pub(crate) mod duty;
pub(crate) mod force;
pub(crate) mod gathered;
pub(crate) mod happenings;
pub(crate) mod phases;
pub(crate) mod record;
pub(crate) mod slack;
pub(crate) mod smooth;
pub(crate) mod times;
pub(crate) mod totals;
