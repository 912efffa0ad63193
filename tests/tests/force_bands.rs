//! A limit on the closing force is kept only where it was tested: at the end of each band and where the leaf is fastest in it.

use std::path::Path;

use tautleaf_physics::{Band, Door, Figure, Limit, Outcome, Rule, Verdict};
use tautleaf_scenario::{Scenario, catalogue};
use tautleaf_trials::choose::{Choosing, choose};
use tautleaf_trials::tune::{Goal, TuneError, Tuning, tune};
use tautleaf_trials::{Assessment, Bench, Effort, Reserve, Standing, Watch, advise};

/// The reference door with a harder edge, which exceeds the table of forces where the leaf is fastest.
fn reference() -> Scenario {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios/reference-glass.toml");
    let mut scenario = tautleaf_scenario::read(&file).unwrap();
    scenario.parameters.edge.stiffness_n_per_m = 20e3;
    scenario
}

fn assessed(scenario: &Scenario) -> (Door, Assessment) {
    let door = scenario.door().unwrap();
    let assessment = scenario.criteria().assess(&door, Effort::Everything);
    (door, assessment)
}

fn impact(assessment: &Assessment) -> &Verdict {
    let of_impact = |verdict: &&Verdict| verdict.limit.figure == Some(Figure::ImpactForce);
    assessment.verdicts.iter().find(of_impact).unwrap()
}

/// v sqrt(k m) at 0.3 m/s on 20 N/mm with 115 kg moving is 455 N; the drive that pushes on makes it 472 N. At 50 mm the leaf creeps:
/// 112 N.
#[test]
fn a_band_is_judged_where_the_leaf_is_fastest_in_it() {
    let (_, assessment) = assessed(&reference());
    let verdict = impact(&assessment);
    assert_eq!(verdict.outcome, Outcome::Over);
    assert!((verdict.value.unwrap() - 472.0).abs() < 1.0, "{:?}", verdict.value);
    assert!(verdict.gap_m.unwrap() <= 0.2 && verdict.allowed == Some(400.0));
    let at = |gap_m: f64| {
        let gap = assessment.run.force.iter().find(|gap| (gap.gap_m - gap_m).abs() < 1e-9).unwrap();
        gap.impact_force_n.unwrap()
    };
    assert!(at(0.05) < 120.0 && (at(0.2) - 472.0).abs() < 1.0);
}

#[test]
fn a_band_that_was_not_tested_where_the_leaf_is_fastest_is_not_judged() {
    let mut scenario = reference();
    scenario.limits.gaps_m = Some(vec![0.05, 0.3, 0.5]);
    let (_, assessment) = assessed(&scenario);
    let verdict = impact(&assessment);
    assert_eq!(verdict.outcome, Outcome::NotJudged);
    let why = verdict.why.as_deref().unwrap();
    assert!(why.contains("nothing was tested where the leaf is fastest up to 200 mm"), "{why}");
    // a gap near the upper end of the band tests it
    scenario.limits.gaps_m = Some(vec![0.05, 0.195, 0.3, 0.5, 0.64]);
    assert_eq!(impact(&assessed(&scenario).1).outcome, Outcome::Over);
}

/// The reference door judged by one impact limit of its own, at the gaps of a user.
fn by_impact(rule: Rule, gaps_m: Option<Vec<f64>>) -> Scenario {
    let mut scenario = reference();
    scenario.limits.presets.clear();
    scenario.limits.own = vec![Limit::of_user("impact_force_max", Figure::ImpactForce, rule)];
    scenario.limits.gaps_m = gaps_m;
    scenario
}

/// One limit for all gaps is a band without an end: 112 N at 50 mm says nothing about the 472 N where the leaf is fastest.
#[test]
fn a_band_without_an_end_is_tested_by_no_gap_but_its_fastest_place() {
    let at_most = || Rule::AtMost(400.0);
    let (door, creeping) = assessed(&by_impact(at_most(), Some(vec![0.05])));
    assert_eq!(impact(&creeping).outcome, Outcome::NotJudged, "{:?}", impact(&creeping).value);
    assert!(creeping.standing(&door).fails());
    let (_, found) = assessed(&by_impact(at_most(), None));
    assert_eq!(impact(&found).outcome, Outcome::Over);
}

/// In a door file the first band that a gap lies in counts: 472 N up to 200 mm are within 700 N though a later band allows 400 N at
/// every gap; above 200 mm that later one rules.
#[test]
fn of_bands_that_overlap_the_first_one_rules() {
    let all = Band { above_m: 0.0, to_m: f64::INFINITY, at_most: 400.0 };
    let near = Band { above_m: 0.0, to_m: 0.2, at_most: 700.0 };
    let (_, assessment) = assessed(&by_impact(Rule::AtMostByGap(vec![near, all]), None));
    let verdict = impact(&assessment);
    assert_eq!((verdict.outcome, verdict.allowed), (Outcome::Over, Some(400.0)));
    assert!(verdict.gap_m.unwrap() > 0.2, "{:?}", verdict.gap_m);
    let far = Band { at_most: 1400.0, ..all };
    let (_, kept) = assessed(&by_impact(Rule::AtMostByGap(vec![near, far]), None));
    assert_eq!(impact(&kept).outcome, Outcome::Within);
    // the first 400 N hides nothing of the part that the later band rules alone
    let gaps = Some(vec![0.05, 0.2]);
    let (_, half) = assessed(&by_impact(Rule::AtMostByGap(vec![near, far]), gaps));
    assert_eq!(impact(&half).outcome, Outcome::NotJudged);
}

#[test]
fn why_a_band_is_not_judged_is_true_where_no_gap_lies_in_it() {
    let mut scenario = by_impact(Rule::AtMost(400.0), Some(vec![0.3]));
    scenario.limits.own = vec![Limit::at_most("end_force_max", Figure::StallForceLast50, 150.0)];
    let (_, assessment) = assessed(&scenario);
    assert_eq!(assessment.verdicts[0].outcome, Outcome::NotJudged);
    assert_eq!(assessment.verdicts[0].why.as_deref(), Some("no gap up to 50 mm was tested"));
}

/// Whoever proposes settings asks the same judge: what nobody tested is no success.
#[test]
fn no_command_counts_a_limit_that_was_not_tested_as_kept() {
    let tuning = Tuning {
        goal: Goal::Fastest,
        reserve: Reserve::NONE,
        probability: None,
        runs: 0,
        seed: 1,
        threads: 1,
        most_evaluations: 10,
    };
    for gaps in [vec![0.05], Vec::new()] {
        let scenario = by_impact(Rule::AtMost(400.0), Some(gaps));
        let (door, criteria) = (scenario.door().unwrap(), scenario.criteria());
        let bench = Bench { criteria: criteria.clone(), effort: Effort::AsJudged };
        let refused = tune(&door, &bench, &[], &tuning, &Watch::nobody());
        assert_eq!(
            refused.map(|tuned| tuned.changes),
            Err(TuneError::Untested(vec!["impact_force_max".to_owned()]))
        );
        let advice = advise(&door, &criteria, Reserve::USUAL, &Watch::nobody());
        assert!(advice.standing.fails(), "{:?}", advice.standing);
        let choice = choose(&door, &criteria, catalogue(), &Choosing::default(), &|_, _| true);
        assert!(choice.tried.iter().all(|tried| !tried.does()));
    }
}

#[test]
fn a_limit_that_no_gap_tested_is_not_green() {
    let mut scenario = reference();
    scenario.limits.gaps_m = Some(Vec::new());
    let (door, assessment) = assessed(&scenario);
    assert_eq!(assessment.standing(&door), Standing::NotJudged(1), "the stall force");
    assert!(assessment.standing(&door).fails());
}

/// ((109.96 - 4.50)/1.3333 - 1.36 - 16.22) N: pull at 3.5 A less bearing and rotor, through the gear, less return pulley, rolling and
/// brush.
#[test]
fn a_gauge_that_is_leaned_on_slowly_reads_what_friction_leaves() {
    let (door, assessment) = assessed(&reference());
    let (p, derived) = (door.parameters(), door.derived());
    let bearing = p.pulleys.bearing_friction * p.pulleys.bearing_diameter_ratio * 2.0 * p.belt.tension_n;
    let drag = bearing + p.pulleys.drag_n;
    let rotor = p.motor.rotor_friction_n_m * p.gear.ratio / door.ring().radius_m;
    let leaf = p.rollers.resistance * p.leaf.mass_kg * 9.80665 + p.seal.brush_n_per_m * p.leaf.height_m;
    let pull = derived.pull_per_ampere_n * p.closing.current_limit_a;
    let expected = (pull - drag - rotor) / (1.0 + derived.gear_loss) - drag - leaf;
    assert!((expected - 61.5).abs() < 0.1, "{expected}");
    let slow = assessment.run.figures.get(Figure::StallForceSlow).unwrap();
    assert!((slow - expected).abs() < 0.01, "{slow} instead of {expected}");
    let first = assessment.run.figures.get(Figure::StallForce).unwrap();
    let settled = assessment.run.figures.get(Figure::StallForceSettled).unwrap();
    let greatest = assessment.run.figures.get(Figure::StallForceGreatest).unwrap();
    assert_eq!(greatest, first.max(settled).max(slow));
}
