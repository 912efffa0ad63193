//! A change of a setting in JSON.

use serde::Serialize;
use tautleaf_physics::{Door, checks, number};
use tautleaf_scenario::UnitSystem;
use tautleaf_trials::Change;

use super::in_site_words;

#[derive(Serialize)]
pub(super) struct ChangeObject {
    key: &'static str,
    from: f64,
    to: f64,
    unit_si: &'static str,
    words: String,
}

impl ChangeObject {
    pub fn of(change: &Change, door: &Door, system: UnitSystem) -> Self {
        Self {
            key: change.key,
            from: change.from,
            to: change.to,
            unit_si: number(change.key).map_or("", |number| checks::si_unit(number.quantity)),
            words: in_site_words(change, door, system),
        }
    }
}
