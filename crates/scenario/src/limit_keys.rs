//! The limits that a door file can set, one entry each.

use std::sync::LazyLock;

use tautleaf_physics::{Figure, Judge, Limit, LimitName, Quantity, Rule};

/// Which way a limit bounds its figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// At most.
    Most,
    /// At least.
    Least,
}

/// A limit that a door file can set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LimitKey {
    /// Key in the section `[limits]`.
    pub key: &'static str,
    /// The figure that it judges.
    pub figure: Figure,
    /// Which way.
    pub bound: Bound,
    /// Whether it may differ from gap to gap of the force test.
    pub by_gap: bool,
}

impl LimitKey {
    /// Quantity of the value.
    pub fn quantity(&self) -> Quantity {
        self.figure.quantity()
    }

    /// A limit set by the user: `value` in SI, shown in the unit `unit`.
    pub fn set_to(&self, value: f64, unit: &str, judge: Judge) -> Limit {
        let rule = match self.bound {
            Bound::Most => Rule::AtMost(value),
            Bound::Least => Rule::AtLeast(value),
        };
        self.with_rule(rule, unit, judge)
    }

    pub(crate) fn with_rule(&self, rule: Rule, unit: &str, judge: Judge) -> Limit {
        Limit {
            unit: unit.to_owned(),
            source: "set in the door file".to_owned(),
            judge,
            ..Limit::of_user(self.key, self.figure, rule)
        }
    }
}

/// Every limit that a door file can set, in the order of the figures. Jerk has none: ISO 18738 measures it and does not judge it;
/// the ratcheting reserve has none: no published torque of tooth jump exists.
pub static LIMIT_KEYS: LazyLock<Vec<LimitKey>> = LazyLock::new(|| {
    let entry = |&figure: &Figure| {
        let (key, bound, by_gap) = match figure.limit() {
            LimitName::Never => return None,
            LimitName::Most(key) => (key, Bound::Most, false),
            LimitName::MostByGap(key) => (key, Bound::Most, true),
            LimitName::Least(key) => (key, Bound::Least, false),
        };
        Some(LimitKey { key, figure, bound, by_gap })
    };
    Figure::ALL.iter().filter_map(entry).collect()
});

/// The entry for a key.
pub fn limit_key(key: &str) -> Option<&'static LimitKey> {
    LIMIT_KEYS.iter().find(|entry| entry.key == key)
}
