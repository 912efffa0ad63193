//! A door is done where its leaves are, not where its controller takes them to be.

use tautleaf_physics::{CycleOptions, Door, EventKind, Figure, Outcome, Run, cycle};
use tautleaf_scenario::parse;
use tautleaf_trials::{Effort, Standing};

fn stands(text: &str) -> (Door, Run, Standing) {
    let scenario = parse(&format!("schema = 1\n{text}"), "door.toml").expect("a door file");
    let door = scenario.door().expect("a door");
    let found = scenario.criteria().assess(&door, Effort::AsJudged);
    let standing = found.standing(&door);
    (door, found.run, standing)
}

/// A lock of 200 N is stronger than a learning run: both ends are found where the leaf stands.
#[test]
fn a_learning_run_against_a_lock_has_learned_nothing() {
    let (_, run, standing) = stands(
        "[timeline]\nrun = \"learning\"\n[[force]]\nname = \"lock\"\nfrom = \"0 mm\"\nto = \"20 mm\"\nconstant = \"-200 N\"\n\
         [limits]\nkinetic_energy_max = \"15 J\"\n",
    );
    let ends = run.events.iter().filter(|event| matches!(event.kind, EventKind::EndFound { .. })).count();
    assert_eq!(ends, 2, "the controller is content");
    let learned = run.figures.get(Figure::LearnedStroke).expect("a stroke");
    assert!(learned < 0.01, "{learned} m");
    assert!(!run.finished && matches!(standing, Standing::Unfinished(_)) && standing.fails());
}

#[test]
fn a_learning_run_that_finds_its_ends_is_done() {
    let (_, run, standing) =
        stands("[timeline]\nrun = \"learning\"\n[limits]\nkinetic_energy_max = \"15 J\"\n");
    assert!(run.finished && !standing.fails(), "{standing:?}");
}

/// 3 N/mm of belt give 20 mm and more where the leaf is held back by 60 N: the motor arrives, the leaf does not.
#[test]
fn a_leaf_that_its_belt_leaves_short_of_the_end_has_not_opened() {
    let (door, run, standing) = stands(
        "[belt]\nspecific_stiffness = \"0.1 kN/mm\"\ntension = \"100 N\"\n[opening]\nspeed = \"0.1 m/s\"\nbraking = \"0.1 m/s2\"\n\
         [closing]\nspeed = \"0.1 m/s\"\n[obstruction]\nspeed = \"1 mm/s\"\n[[force]]\nname = \"spring\"\nfrom = \"900 mm\"\nto = \"1100 mm\"\nconstant = \"-60 N\"\n\
         [limits]\nkinetic_energy_max = \"15 J\"\n",
    );
    let widest = cycle(&door, &CycleOptions::default())
        .samples
        .iter()
        .map(|sample| sample.clear_opening_m)
        .fold(0.0, f64::max);
    assert!(widest < 0.995, "{widest}");
    assert!(!run.finished && standing.fails(), "{standing:?}");
}

#[test]
fn what_no_battery_holds_is_told_with_its_true_reason_and_is_not_green() {
    let why = |supply: &str| {
        let scenario = parse(&format!("schema = 1\n{supply}[limits]\nbattery_cycles_min = 5\n"), "door.toml");
        let scenario = scenario.expect("a door file");
        let door = scenario.door().expect("a door");
        let found = scenario.criteria().assess(&door, Effort::AsJudged);
        assert_eq!(found.verdicts[0].outcome, Outcome::NotJudged);
        assert!(found.standing(&door).fails(), "nothing was judged at all");
        found.verdicts[0].why.clone().expect("a reason")
    };
    assert!(why("").contains("no battery"), "{}", why(""));
    let battery = "[supply]\nkind = \"battery\"\n";
    assert!(why(battery).contains("supply.capacity"), "{}", why(battery));
}
