//! The closing edge ends and stiffens in the cold; the opening movement is tested where something stands behind the open leaf.

use tautleaf_physics::parameters::{LeafForce, ObstructionAction};
use tautleaf_physics::{Band, Door, EventKind, Figure, Limit, Outcome, Parameters, Rule, Verdict};
use tautleaf_trials::{Assessment, Criteria, Effort};

/// A door of 80 kg with an edge without a damper, judged by one limit.
fn assessed(change: impl Fn(&mut Parameters), limit: Limit) -> (Assessment, Verdict) {
    let mut p = Parameters::default();
    p.edge.damping_n_s_per_m = 0.0;
    change(&mut p);
    let door = Door::try_from(p).unwrap();
    let criteria = Criteria { limits: vec![limit], close_margin: 0.0, gaps_m: None };
    let assessment = criteria.assess(&door, Effort::AsJudged);
    let verdict = assessment.verdicts[0].clone();
    (assessment, verdict)
}

fn behind_at_most(force_n: f64) -> Limit {
    Limit::at_most("rear_impact_force_max", Figure::RearImpactForce, force_n)
}

#[test]
fn what_stands_behind_the_open_leaf_has_to_be_measured() {
    let (assessment, verdict) = assessed(|_| (), behind_at_most(1400.0));
    assert_eq!(verdict.outcome, Outcome::NotJudged);
    let door = Door::try_from(Parameters::default()).unwrap();
    assert!(verdict.why.unwrap().contains("measure the distance behind the open leaf"));
    assert!(assessment.standing(&door).fails(), "what nobody tested is not green");
}

#[test]
fn a_wall_near_the_open_leaf_is_struck_and_one_far_away_is_not() {
    let at =
        |clearance_m: f64| assessed(|p| p.rear.clearance_m = Some(clearance_m), behind_at_most(1400.0)).1;
    // 92 kg at 0.6 m/s on 200 N/mm and 500 N/mm in a row: v sqrt(k m) is 2170 N
    let near = at(0.1);
    assert_eq!(near.outcome, Outcome::Over, "{:?}", near.value);
    assert!((2000.0..2500.0).contains(&near.value.unwrap()), "{:?}", near.value);
    assert!(near.why.unwrap().contains("behind leaf 1, 500 mm"));
    let far = at(0.6);
    assert_eq!((far.outcome, far.value), (Outcome::Within, Some(0.0)));
    assert!(far.why.unwrap().contains("600 mm are free"));
    // the open leaf just comes to the tester of 500 mm, and its overshoot leans on it
    let just = at(0.5);
    assert_eq!(just.outcome, Outcome::Within);
    assert!(just.value.unwrap() < 100.0, "{:?}", just.value);
}

/// At 300 mm the leaf brakes already, so that it is the band beyond that decides.
#[test]
fn each_gap_behind_the_leaf_has_its_own_band() {
    let band = |above_m, to_m, at_most| Band { above_m, to_m, at_most };
    let bands = |far| Rule::AtMostByGap(vec![band(0.0, 0.4, 3000.0), band(0.4, f64::INFINITY, far)]);
    let judged = |far| {
        let limit = Limit::of_user("rear_impact_force_max", Figure::RearImpactForce, bands(far));
        assessed(|p| p.rear.clearance_m = Some(0.1), limit).1
    };
    assert_eq!(judged(3000.0).outcome, Outcome::Within);
    let over = judged(1000.0);
    assert_eq!((over.outcome, over.allowed), (Outcome::Over, Some(1000.0)));
}

/// E = k_1 s at the knee: up to there the edge is a spring, k_1 in a row with the tester, beyond it a harder one.
#[test]
fn an_edge_that_is_pressed_flat_strikes_harder_and_says_so() {
    let limit = || Limit::at_most("edge_travel_used_max", Figure::EdgeTravelUsed, 1.0);
    let (soft, kept) = assessed(|p| p.edge.travel_m = Some(0.1), limit());
    assert_eq!(kept.outcome, Outcome::Within, "{:?}", kept.value);
    let (flat, over) = assessed(|p| p.edge.travel_m = Some(0.005), limit());
    assert_eq!(over.outcome, Outcome::Over);
    let impact = |assessment: &Assessment| assessment.run.figures.get(Figure::ImpactForce).unwrap();
    assert!(impact(&flat) > 1.3 * impact(&soft), "{} and {} N", impact(&flat), impact(&soft));
    // the force on the edge that just begins to be flat
    let used = kept.value.unwrap();
    assert!((used * 0.1 * 40e3 / impact(&soft) - 1.0).abs() < 1e-3, "{used} of 0.1 m, {} N", impact(&soft));
}

/// exp(0.01 x 30) = 1.35 at -10 C: 54 N/mm instead of 40. What strikes harder by the root of both stiffnesses in a row with
/// 500 N/mm is the same leaf, warm or cold: only the edge knows of the ambient here.
#[test]
fn a_cold_edge_is_a_stiffer_one() {
    let limit = || Limit::at_most("impact_force_max", Figure::ImpactForce, 1e6);
    let value = |change: &dyn Fn(&mut Parameters)| {
        let with = |p: &mut Parameters| {
            p.edge.travel_m = Some(1.0);
            change(p);
        };
        assessed(with, limit()).1.value.unwrap()
    };
    let cold = value(&|p| p.duty.ambient_c = -10.0);
    let stiffer = value(&|p| p.edge.stiffness_n_per_m *= (0.3_f64).exp());
    let hot = value(&|p| p.duty.ambient_c = 40.0);
    assert!((cold / stiffer - 1.0).abs() < 1e-9 && cold > 1.1 * hot, "{cold}, {stiffer}, {hot} N");
}

/// Limits judge what is read: a tester that reads 4 % more makes 4 % more of the same force.
#[test]
fn limits_judge_what_the_tester_reads() {
    let limit = || Limit::at_most("impact_force_max", Figure::ImpactForce, 1e6);
    let (exact, says) = assessed(|_| (), limit());
    let (high, more) = assessed(|p| p.tester.reads = 1.04, limit());
    assert_eq!(exact.run.figures, high.run.figures);
    assert!((more.value.unwrap() / says.value.unwrap() - 1.04).abs() < 1e-12);
}

/// Stopped on its first way open by something that yields later, the door is told to open again: that way is tested.
#[test]
fn the_way_on_which_the_leaf_gets_there_is_the_one_that_is_tested() {
    let held_up = |p: &mut Parameters| {
        p.rear.clearance_m = Some(0.1);
        p.obstruction.action = ObstructionAction::Stop;
        p.timeline.open_again_s = Some(6.0);
        let lock = LeafForce { constant_n: -2000.0, from_m: 0.1, end_s: 5.0, ..LeafForce::default() };
        p.forces.push(lock);
    };
    let (assessment, verdict) = assessed(held_up, behind_at_most(1400.0));
    let stopped = assessment.run.events.iter().any(|event| event.kind == EventKind::Stopped);
    assert!(stopped && assessment.run.finished, "the case has gone");
    assert_eq!(verdict.outcome, Outcome::Over, "{:?} {:?}", verdict.value, verdict.why);
}
