//! What a sound door keeps whatever its limits are. A setting that breaks one of these is not proposed.

use tautleaf_physics::{Figure, Judge, Known, Limit, Rule};

use crate::assess::Criteria;

/// A leaf that meets a stop faster than this times its creep speed was not slowed down for it.
pub const SLOWED_DOWN: f64 = 1.2;

/// What a sound door keeps: ends met at creep speed, cords within their allowable tension, every wheel on its rail.
pub fn soundness() -> Vec<Limit> {
    let keep = |key: &str, figure, rule, unit: &str, source: &str| Limit {
        unit: unit.to_owned(),
        source: source.to_owned(),
        known: Known::Judgement,
        judge: Judge::Limit,
        ..Limit::of_user(key, figure, rule)
    };
    vec![
        keep(
            "ends_met_at_creep_speed",
            Figure::StopSpeed,
            Rule::AtMost(SLOWED_DOWN),
            "",
            "a leaf that meets its stop faster than it creeps bangs and wears it",
        ),
        keep(
            "cords_within_allowable_tension",
            Figure::GreatestTension,
            Rule::AllowableTension,
            "N",
            "0.4 % strain, about what makers' tables allow",
        ),
        keep(
            "wheels_on_the_rail",
            Figure::LiftTime,
            Rule::AtMost(0.0),
            "s",
            "a wheel that leaves its rail rattles and wears the anti-lift roller",
        ),
    ]
}

impl Criteria {
    /// The same, with what a sound door keeps as limits among the others.
    ///
    /// One that the user has a limit of their own on the same figure for is the user's to set.
    pub fn with_soundness(&self) -> Self {
        let own = |limit: &Limit| {
            let same = |mine: &Limit| mine.figure == limit.figure && mine.may_fail();
            self.limits.iter().any(same)
        };
        let more = soundness().into_iter().filter(|limit| !own(limit));
        Self { limits: self.limits.iter().cloned().chain(more).collect(), ..self.clone() }
    }
}
