//! What is proposed lies inside what is allowed and not on its edge; where it cannot, that is said, and nothing is called kept
//! that is not. Every promise is run again by the judge.

use tautleaf_physics::{Door, Figure, Limit, Outcome, Parameters, Verdict};
use tautleaf_trials::tune::{Goal, Tuned, Tuning, tune};
use tautleaf_trials::{Bench, Change, Criteria, Effort, Reserve, Watch, advise, changed};

fn criteria(limits: &[Limit]) -> Criteria {
    Criteria { limits: limits.to_vec(), close_margin: 0.1, gaps_m: None }
}

fn door() -> Door {
    Door::try_from(Parameters::default()).unwrap()
}

/// A figure of a door as it is, SI.
fn value(door: &Door, figure: Figure) -> f64 {
    let limits = [Limit::at_most("x_max", figure, 1.0)];
    criteria(&limits).assess(door, Effort::AsJudged).verdicts[0].value.unwrap()
}

/// The verdicts of a door with changes, run from scratch.
fn again(limits: &[Limit], changes: &[Change]) -> Vec<Verdict> {
    let door = Door::try_from(changed(&Parameters::default(), changes)).unwrap();
    let assessment = criteria(limits).assess(&door, Effort::AsJudged);
    assert!(assessment.run.finished);
    assessment.verdicts
}

/// 3 % left of the energy: a tenth is given back, by the speed that carries most of it.
#[test]
fn advice_gives_a_limit_that_is_kept_by_a_hair_its_reserve() {
    let energy = value(&door(), Figure::PeakEnergyLeaf);
    let limits = [Limit::at_most("kinetic_energy_max", Figure::PeakEnergyLeaf, energy / 0.97)];
    let advice = advise(&door(), &criteria(&limits), Reserve::USUAL, &Watch::nobody());
    assert!(!advice.was_over());
    let plan = advice.plan.clone().expect("a plan");
    assert!(!plan.is_empty() && advice.lacking().next().is_none(), "{plan:?}");
    let margin = again(&limits, &plan)[0].margin.unwrap();
    assert!((0.1..0.16).contains(&margin), "the least that does, rounded: {margin}");
    // who asks for none is told that nothing has to be turned
    let advice = advise(&door(), &criteria(&limits), Reserve::NONE, &Watch::nobody());
    assert_eq!(advice.plan, Some(Vec::new()));
}

/// Faster carries more energy, slower takes more time: with 3 % left of both, neither can have a tenth.
#[test]
fn advice_says_what_cannot_have_its_reserve_and_breaks_nothing_for_it() {
    let door = door();
    let limits = [
        Limit::at_most(
            "kinetic_energy_max",
            Figure::PeakEnergyLeaf,
            value(&door, Figure::PeakEnergyLeaf) / 0.97,
        ),
        Limit::at_most("opening_time_max", Figure::OpeningTime, value(&door, Figure::OpeningTime) / 0.97),
        Limit::at_most(
            "peak_acceleration_max",
            Figure::PeakAcceleration,
            value(&door, Figure::PeakAcceleration) / 0.97,
        ),
    ];
    let advice = advise(&door, &criteria(&limits), Reserve::USUAL, &Watch::nobody());
    let lacking: Vec<&str> = advice.lacking().map(|verdict| verdict.limit.key.as_str()).collect();
    assert!(!lacking.is_empty());
    for verdict in again(&limits, advice.plan.as_deref().expect("nothing is over")) {
        assert_ne!(verdict.outcome, Outcome::Over, "{}", verdict.limit.key);
        assert_eq!(Reserve::USUAL.is_lacking(&verdict), lacking.contains(&verdict.limit.key.as_str()));
    }
}

fn tuned(limits: &[Limit], reserve: Reserve) -> Tuned {
    let bench = Bench { criteria: criteria(limits), effort: Effort::AsJudged };
    let tuning = Tuning {
        goal: Goal::Fastest,
        reserve,
        probability: None,
        runs: 0,
        seed: 1,
        threads: 1,
        most_evaluations: 60,
    };
    tune(&door(), &bench, &[], &tuning, &Watch::nobody()).unwrap()
}

/// m v^2/2: a leaf of 80 kg that may carry 6 J goes 0.387 m/s at its edge, and 0.367 m/s with a tenth of it left.
#[test]
fn the_shortest_cycle_lies_inside_its_limit_and_not_on_its_edge() {
    let limits = [Limit::at_most("kinetic_energy_max", Figure::PeakEnergyLeaf, 6.0)];
    let margin = |found: &Tuned| again(&limits, &found.changes)[0].margin.unwrap();
    let edge = tuned(&limits, Reserve::NONE);
    assert!(edge.keeps && margin(&edge) < 0.095, "{}", margin(&edge));
    let inside = tuned(&limits, Reserve::USUAL);
    assert!(inside.keeps && inside.lacking.is_empty());
    assert!((0.1 - 1e-9..0.2).contains(&margin(&inside)), "{}", margin(&inside));
    let speed = inside.after.get(Figure::TopSpeedClosing).unwrap();
    // a short search leaves a little more than it has to
    assert!((0.94..1.005).contains(&(speed / (2.0 * 0.9 * 6.0 / 80.0_f64).sqrt())), "{speed}");
    // the slackest strand keeps a tenth of the tension that the belt was given
    let given = changed(&Parameters::default(), &inside.changes).belt.tension_n;
    assert!(inside.after.get(Figure::LeastTension).unwrap() >= 0.1 * given, "of {given} N");
}

/// An opening time and an energy that leave room for each other, but not for a tenth of both: d/t and m v^2/2 move against each
/// other. All is kept, and both are told to have less.
#[test]
fn a_reserve_that_cannot_be_had_is_shared_out_and_said() {
    // the shortest opening with all of 6 J and with 0.9 of them, as found above with the same search
    let energy = Limit::at_most("kinetic_energy_max", Figure::PeakEnergyLeaf, 6.0);
    let opening = |found: &Tuned| found.after.get(Figure::OpeningTime).unwrap();
    let edge = opening(&tuned(std::slice::from_ref(&energy), Reserve::NONE));
    let limits = [energy, Limit::at_most("opening_time_max", Figure::OpeningTime, 1.04 * edge)];
    let found = tuned(&limits, Reserve::USUAL);
    assert!(found.keeps, "{:?}", found.changes);
    assert!(!found.lacking.is_empty(), "4 % of time are 8 % of energy");
    for (n, verdict) in again(&limits, &found.changes).iter().enumerate() {
        assert_ne!(verdict.outcome, Outcome::Over, "{}", verdict.limit.key);
        assert_eq!(found.lacking.contains(&n), Reserve::USUAL.is_lacking(verdict), "{:?}", verdict.margin);
    }
}

#[test]
fn the_shortest_cycle_is_the_first_goal_only_where_a_limit_says_how_hard_a_door_may_hit() {
    let first = |limit: Limit| Goal::first(&[limit]);
    assert_eq!(first(Limit::at_most("e", Figure::PeakEnergyLeaf, 10.0)), Goal::Fastest);
    assert_eq!(first(Limit::at_most("f", Figure::ImpactForce, 400.0)), Goal::Fastest);
    assert_eq!(first(Limit::at_most("v", Figure::TopSpeedClosing, 0.3)), Goal::Fastest);
    // a leaf that stands may push no harder: how hard one hits that moves is not said
    assert_eq!(first(Limit::at_most("s", Figure::StallForceGreatest, 150.0)), Goal::Calmest);
    assert_eq!(first(Limit::at_most("t", Figure::ClosingTime, 6.0)), Goal::Calmest);
    let advisory =
        Limit { judge: tautleaf_physics::Judge::Advisory, ..Limit::at_most("f", Figure::ImpactForce, 400.0) };
    assert_eq!((first(advisory), Goal::first(&[])), (Goal::Calmest, Goal::Calmest));
}
