//! When and where something was so, and a number with it.

use serde::{Deserialize, Serialize};

/// When and where something was so.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Moment {
    /// Time since the first command, s.
    pub t_s: f64,
    /// Clear opening then, m.
    pub clear_opening_m: f64,
}

/// One figure as read off a run.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// Its value in the SI unit of its quantity.
    pub value: f64,
    /// When it was so, where that has a meaning.
    pub at: Option<Moment>,
}
