//! Every shipped scenario tuned: what is promised is run again from the text of a door file and found so.

use tautleaf_physics::{Door, EventKind, Outcome};
use tautleaf_scenario::{parse, to_text};
use tautleaf_tests::shipped_scenarios;
use tautleaf_trials::tune::{Goal, TuneError, Tuning, tune};
use tautleaf_trials::{Assessment, Effort, Reserve, Watch, changed, in_parallel};

#[test]
fn what_is_tuned_keeps_its_promise_on_every_shipped_scenario() {
    let scenarios = shipped_scenarios();
    let outcomes = in_parallel(scenarios.len(), |index| {
        let (name, scenario) = &scenarios[index];
        let door = Door::try_from(scenario.parameters.clone()).unwrap();
        let bench = scenario.bench(Effort::WithImpact);
        let tuning = Tuning {
            goal: Goal::Fastest,
            reserve: Reserve::USUAL,
            probability: None,
            runs: 0,
            seed: 1,
            threads: 1,
            most_evaluations: 40,
        };
        let tuned = match tune(&door, &bench, &[], &tuning, &Watch::nobody()) {
            Ok(tuned) => tuned,
            Err(TuneError::NoCycle) => return (None, true),
            Err(error) => panic!("{name}: {error}"),
        };
        let mut again = scenario.clone();
        again.parameters = changed(&scenario.parameters, &tuned.changes);
        let again = parse(&to_text(&again), "again.toml").unwrap_or_else(|error| panic!("{name}: {error}"));
        let door = Door::try_from(again.parameters.clone()).unwrap();
        let Assessment { run, verdicts, .. } = bench.criteria.assess(&door, bench.effort);
        let slack = run.events.iter().any(|event| matches!(event.kind, EventKind::SlackBegins { .. }));
        let over = verdicts
            .into_iter()
            .filter(|verdict| verdict.outcome == Outcome::Over)
            .filter(|verdict| verdict.limit.judge == tautleaf_physics::Judge::Limit)
            .count();
        println!("{name}: {} changes, promised {}, over {over}", tuned.changes.len(), tuned.keeps);
        let done = run.finished || run.lost_power().is_some();
        (Some(tuned.keeps), !tuned.keeps || (done && over == 0 && !slack))
    });
    for ((_, promise_kept), (name, _)) in outcomes.iter().zip(&scenarios) {
        assert!(promise_kept, "{name}");
    }
    // no setting takes a joint out of the rail, or the play out of a gear
    let cannot = ["knock-at-two-thirds", "worn-gear"];
    for ((promised, _), (name, _)) in outcomes.iter().zip(&scenarios) {
        println!("{name}: {promised:?}");
        if !cannot.contains(&name.trim_end_matches(".toml")) {
            assert!(promised.is_none_or(|promised| promised), "{name}: no settings were found");
        }
    }
}

/// With its margins alone made greater the reference comes to eight doors in ten: in the others braking comes too late for a
/// current that was turned down. Tuned along with some of them it comes to as many as are wanted, of doors drawn anew.
#[test]
fn the_reference_is_tuned_as_surely_as_is_wanted() {
    let (_, scenario) =
        shipped_scenarios().into_iter().find(|(name, _)| name.starts_with("reference")).unwrap();
    let door = Door::try_from(scenario.parameters.clone()).unwrap();
    let bench = scenario.bench(Effort::WithImpact);
    let tuning = Tuning {
        goal: Goal::Fastest,
        reserve: Reserve::USUAL,
        probability: Some(0.95),
        runs: 400,
        seed: 1,
        threads: 2,
        most_evaluations: 120,
    };
    let tuned = tune(&door, &bench, &scenario.spreads, &tuning, &Watch::nobody()).unwrap();
    let all = tuned.all.and_then(|all| all.share()).unwrap();
    println!("{all} of doors drawn anew, {} cycles", tuned.cycles);
    assert!(tuned.keeps && all >= 0.95, "{all}");
}
