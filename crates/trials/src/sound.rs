//! What a sound door keeps whatever its limits are. A setting that breaks one of these is not proposed.

use tautleaf_physics::{
    Door, EnergyBalance, Figure, Judge, Known, Limit, Outcome, Rule, Run, Verdict, judge,
};

/// A leaf that meets a stop faster than this times its creep speed was not slowed down for it.
pub const SLOWED_DOWN: f64 = 1.2;

/// A wheel that is off its rail for this time comes down on it at g t/2 = 0.05 m/s, which is heard (judgement), s.
const LIFTED_S: f64 = 0.01;

/// What a sound door keeps: ends met at creep speed, cords within their allowable tension, every strand taut, every wheel on its
/// rail.
pub fn soundness() -> Vec<Limit> {
    let keep = |key: &str, figure, rule, unit: &str, source: &str| Limit {
        unit: unit.to_owned(),
        source: source.to_owned(),
        known: Known::SoundDoor,
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
            "strands_taut",
            Figure::SlackTime,
            Rule::AtMost(0.0),
            "s",
            "a strand that goes slack snaps tight: the door jerks and the belt wears",
        ),
        keep(
            "wheels_on_the_rail",
            Figure::LiftTime,
            Rule::AtMost(LIFTED_S),
            "s",
            "a wheel that leaves its rail for long comes down on it hard, and wears the anti-lift roller",
        ),
    ]
}

/// What a sound door keeps on figures that none of these limits may fail a door by: one of the user's own says how much is allowed.
pub(crate) fn sound_beside(limits: &[&Limit]) -> Vec<Limit> {
    let own = |limit: &Limit| limits.iter().any(|mine| mine.figure == limit.figure && mine.may_fail());
    soundness().into_iter().filter(|limit| !own(limit)).collect()
}

/// Whether the balance of energy of a run is open by more than is promised.
pub(crate) fn is_balance_open(run: &Run) -> bool {
    run.energy.relative_residual() > EnergyBalance::PROMISED
}

/// What a sound door keeps and this one does not, beside what the verdicts judge.
pub(crate) fn broken(door: &Door, run: &Run, verdicts: &[Verdict]) -> Vec<Verdict> {
    let limits: Vec<_> = verdicts.iter().map(|verdict| &verdict.limit).collect();
    let mut judged = judge(door, run, &sound_beside(&limits), 0.0);
    judged.retain(|verdict| verdict.outcome == Outcome::Over);
    judged
}
