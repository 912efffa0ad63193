//! What a run shows beside its figures, in a sentence each: a strand that goes slack, a knock, a stuck leaf.

use tautleaf_physics::parameters::Hanger;
use tautleaf_physics::{Event, EventKind, Figure, Moment, Outcome, Quantity, Rule, Verdict};
use tautleaf_report::words::fault_name;
use tautleaf_scenario::UnitSystem;
use tautleaf_trials::SLOWED_DOWN;

use crate::live::{Live, moment_of};
use crate::slack::{Stretch, strand, stretches};
use crate::words;

/// One sentence about a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Remark {
    /// What it says.
    pub text: String,
    /// The moment that it speaks of.
    pub at: Option<Moment>,
}

/// Everything worth a word about a run.
pub fn remarks(live: &Live, system: UnitSystem) -> Vec<Remark> {
    let mut remarks = Vec::new();
    remarks.extend(slack(live, system));
    for (at, speed) in knocks(live) {
        let speed = words::value(Quantity::Speed, speed, system);
        let text = format!("Knocks: a leaf runs into the stop at {speed}, faster than it should creep.");
        remarks.push(Remark { text, at: Some(at) });
    }
    remarks.extend(rail_knock(live, system));
    remarks.extend(lift(live));
    remarks.extend(between_gaps(live, system));
    remarks.extend(obstruction(live));
    let given_up = live.run.events.iter().find(|event| event.kind == EventKind::TimedOut);
    remarks.extend(given_up.map(|event| Remark {
        text: "The door did not finish in the time allowed: the run was given up.".to_owned(),
        at: Some(event.at),
    }));
    remarks
}

/// The time in which a strand was slack longest before it snapped tight.
pub(crate) fn longest_snap(live: &Live) -> Option<Stretch> {
    let all = stretches(&live.run.events, live.end());
    all.into_iter().filter(|stretch| stretch.ends).max_by(|a, b| a.lasts_s().total_cmp(&b.lasts_s()))
}

fn slack(live: &Live, system: UnitSystem) -> Option<Remark> {
    let all = stretches(&live.run.events, live.end());
    let longest = all.iter().max_by(|a, b| a.lasts_s().total_cmp(&b.lasts_s()))?;
    let long = lasting(longest.lasts_s());
    let second = longest.span >= live.door.ring().bodies;
    let name = strand(&live.door, longest.span);
    let (name, tighter) = if second {
        (format!("the {name}"), "A tighter second belt")
    } else {
        (format!("the strand {name}"), "A tighter belt")
    };
    let often = if all.len() > 1 { format!("{} times, longest", all.len()) } else { "once,".to_owned() };
    let text = match longest_snap(live) {
        Some(snap) if snap == *longest => format!(
            "Jerks: {name} goes slack {often} for {long}, and snaps tight {}. {tighter} or softer acceleration \
             and braking keep it taut.",
            words::moment(snap.to, system)
        ),
        _ => format!("Hangs: {name} goes slack {often} for {long}."),
    };
    Some(Remark { text, at: Some(longest.to) })
}

/// Stops that were met faster than a creeping leaf would: when, and at which speed (m/s).
pub(crate) fn knocks(live: &Live) -> Vec<(Moment, f64)> {
    let parameters = live.door.parameters();
    let knock = |event: &Event| {
        let EventKind::StopHit { speed_m_per_s, .. } = event.kind else { return None };
        let way = if speed_m_per_s < 0.0 { parameters.closing } else { parameters.opening };
        let speed = speed_m_per_s.abs();
        (speed > SLOWED_DOWN * way.creep_speed_m_per_s).then_some((event.at, speed))
    };
    live.run.events.iter().filter_map(knock).collect()
}

/// A jolt of this is felt: what a leaf does at a joint beyond its usual ramps, m/s2. Judgement.
const FELT_M_PER_S2: f64 = 1.0;

/// The hardest jolt of a wheel that rolls over a step or a bump.
fn rail_knock(live: &Live, system: UnitSystem) -> Option<Remark> {
    let crossings =
        live.run.events.iter().filter(|event| matches!(event.kind, EventKind::FaultPassed { .. }));
    let Event { at, kind } = hardest_jolt(live)?;
    let EventKind::FaultPassed { leaf, hanger, fault, acceleration_m_per_s2: hardest } = *kind else {
        return None;
    };
    let what = fault_name(&live.door, fault);
    let which = if live.door.leaves() > 1 { format!(" of leaf {leaf}") } else { String::new() };
    let say = |quantity, value| words::value(quantity, value, system);
    let text = format!(
        "Knocks: the {} wheel{which} rolls over {what} at {} open and jolts the leaf by {}, {} crossings in all. Dress the rail there, \
         or cross it slower.",
        hanger_name(hanger),
        say(Quantity::Length, at.clear_opening_m),
        say(Quantity::Acceleration, hardest),
        crossings.count(),
    );
    Some(Remark { text, at: Some(*at) })
}

/// The hardest jolt of a wheel on its rail that is felt.
pub(crate) fn hardest_jolt(live: &Live) -> Option<&Event> {
    let jolt = |event: &&Event| match event.kind {
        EventKind::FaultPassed { acceleration_m_per_s2, .. } => acceleration_m_per_s2,
        _ => 0.0,
    };
    let hardest = live.run.events.iter().max_by(|a, b| jolt(a).total_cmp(&jolt(b)))?;
    (jolt(&hardest) >= FELT_M_PER_S2).then_some(hardest)
}

fn hanger_name(hanger: Hanger) -> &'static str {
    if hanger == Hanger::Leading { "leading" } else { "trailing" }
}

/// Wheels that leave the rail, said once.
fn lift(live: &Live) -> Option<Remark> {
    let lifts = live.run.events.iter().filter(|event| matches!(event.kind, EventKind::WheelLifts { .. }));
    let first = lifts.clone().next()?;
    let EventKind::WheelLifts { leaf, hanger } = first.kind else { return None };
    let which = if live.door.leaves() > 1 { format!(" of leaf {leaf}") } else { String::new() };
    let hanger = hanger_name(hanger);
    let often = times(lifts.count());
    let text = format!(
        "The {hanger} wheel{which} lifts off the rail{often}: it rattles, and the anti-lift carries."
    );
    let at = live.run.figures.reading(Figure::LiftTime).and_then(|reading| reading.at);
    Some(Remark { text, at: at.or(Some(first.at)) })
}

/// Between the gaps of the force test the impact may be over a limit that every tested gap keeps.
fn between_gaps(live: &Live, system: UnitSystem) -> Option<Remark> {
    let verdict = |verdict: &&Verdict| {
        verdict.limit.figure == Some(Figure::ImpactForce) && verdict.outcome != Outcome::Over
    };
    let allowed = |rule: &Rule, gap_m: f64| match rule {
        Rule::AtMost(most) => Some(*most),
        Rule::AtMostByGap(bands) => bands.iter().find(|band| band.holds(gap_m)).map(|band| band.at_most),
        _ => None,
    };
    let limits = || live.verdicts.iter().filter(verdict).map(|verdict| &verdict.limit.rule);
    let over = live.profile_known()?.iter().filter_map(|gap| {
        let force = gap.impact_force_n?;
        let most = limits().filter_map(|rule| allowed(rule, gap.gap_m)).fold(f64::INFINITY, f64::min);
        (force > most).then_some((force / most, force, most, gap.gap_m))
    });
    let (_, force, most, gap_m) = over.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let say = |force| words::value(Quantity::Force, force, system);
    let text = format!(
        "Between the tested gaps the impact is over: {} of {} at {}. Add that gap to the force test, under Limits.",
        say(force),
        say(most),
        words::value(Quantity::ShortLength, gap_m, system)
    );
    let at = live.closing_sample_at(gap_m).map(moment_of);
    Some(Remark { text, at })
}

fn obstruction(live: &Live) -> Option<Remark> {
    let noticed = live.run.events.iter().filter(|event| event.kind == EventKind::ObstructionNoticed);
    let first = noticed.clone().next()?;
    let often = times(noticed.count());
    let met = live.run.events.iter().any(|event| matches!(event.kind, EventKind::Touched { .. }));
    let text = if met {
        format!("The controller notices that something is in the way{often}.")
    } else {
        format!("Nothing is in the way, but the controller takes the stuck leaf for an obstruction{often}.")
    };
    Some(Remark { text, at: Some(first.at) })
}

/// A short time in whole milliseconds.
pub(crate) fn lasting(time_s: f64) -> String {
    format!("{:.0} ms", 1e3 * time_s)
}

/// `, 7 times`; nothing for once.
pub(crate) fn times(count: usize) -> String {
    if count > 1 { format!(", {count} times") } else { String::new() }
}

#[cfg(test)]
mod tests {
    use tautleaf_physics::parameters::{Fault, FaultKind};
    use tautleaf_scenario::Scenario;

    use super::*;

    fn told(change: impl FnOnce(&mut Scenario)) -> Vec<String> {
        let mut scenario = crate::example::scenario();
        change(&mut scenario);
        let live = Live::of(&scenario).expect("a door");
        remarks(&live, UnitSystem::Si).into_iter().map(|remark| remark.text).collect()
    }

    /// Without its impact forces over the whole travel, which is worked out apart.
    #[test]
    fn the_reference_door_is_worth_no_remark() {
        assert_eq!(told(|_| ()), Vec::<String>::new());
    }

    #[test]
    fn a_loose_belt_is_said_to_jerk_once_with_its_strand_and_moment() {
        let said = told(|scenario| {
            scenario.parameters.belt.tension_n = 50.0;
            scenario.parameters.closing.braking_m_per_s2 = 1.5;
        });
        assert_eq!(said.len(), 1, "{said:?}");
        assert!(said[0].starts_with("Jerks: the strand drive to leaf goes slack"), "{said:?}");
        assert!(said[0].contains("m open"), "{said:?}");
    }

    /// Just below 200 mm the table of the example allows 400 N, above it 700 N: at 180 mm the leaf is faster than at the 50 mm
    /// that are tested there. Tested at 180 mm too it is no remark but a verdict.
    #[test]
    fn what_is_over_between_the_tested_gaps_is_told() {
        let told_with = |gaps: &[f64], edge_n_per_m: f64| {
            let mut scenario = crate::example::scenario();
            scenario.limits.gaps_m = Some(gaps.to_vec());
            scenario.parameters.edge.stiffness_n_per_m = edge_n_per_m;
            let live = Live::of(&scenario).expect("a door");
            let _ = live.profile();
            let between = |remark: &Remark| remark.text.starts_with("Between the tested gaps");
            remarks(&live, UnitSystem::Si).iter().filter(|remark| between(remark)).count()
        };
        assert_eq!(told_with(&[0.05, 0.3, 0.5], 20e3), 1);
        assert_eq!(told_with(&[0.05, 0.18, 0.3, 0.5], 20e3), 0, "the verdict says it");
        assert_eq!(told_with(&[0.05, 0.3, 0.5], 6e3), 0, "a soft edge keeps it everywhere");
    }

    /// A joint of 0.8 mm under the wheels is felt; one of a hundredth of that is not.
    #[test]
    fn a_joint_that_knocks_is_told_with_its_place_and_one_that_does_not_is_not() {
        let joint = |height_m: f64| {
            told(|scenario| {
                let at_m = 1.2;
                let step = Fault { kind: FaultKind::Step, at_m, height_m, ..Fault::default() };
                scenario.parameters.faults = vec![step];
            })
        };
        let said = joint(0.0008);
        let knocks: Vec<_> = said.iter().filter(|text| text.starts_with("Knocks: the ")).collect();
        assert_eq!(knocks.len(), 1, "{said:?}");
        assert!(knocks[0].contains("m open") && knocks[0].contains("m/s²"), "{knocks:?}");
        assert!(joint(0.000_008).iter().all(|text| !text.starts_with("Knocks: the ")));
    }

    /// A leaf that its motor hardly moves is held up again and again.
    #[test]
    fn a_stuck_leaf_is_told_once_with_a_count() {
        let said = told(|scenario| scenario.parameters.opening.current_limit_a = 0.5);
        let stuck: Vec<_> = said.iter().filter(|text| text.contains("takes the stuck leaf")).collect();
        assert_eq!(stuck.len(), 1, "{said:?}");
    }
}
