//! Settings tuned for a goal, in the window.

mod steps;

use eframe::egui::accesskit::Role;
use egui_kittest::kittest::{NodeT, Queryable};
use steps::*;
use tautleaf_app::action::Action;
use tautleaf_app::trials::Trial;
use tautleaf_app::trials::tuning::Settings;
use tautleaf_physics::{Judge, Outcome};
use tautleaf_trials::tune::Goal;

fn found(test: &Test) -> &Settings {
    test.state().state().trials.tuned.found.as_ref().expect("settings")
}

fn cycle_time_s(test: &Test) -> f64 {
    let live = test.state().state().live.as_ref().expect("a run");
    let times = [tautleaf_physics::Figure::OpeningTime, tautleaf_physics::Figure::ClosingTime];
    times.iter().filter_map(|figure| live.run.figures.get(*figure)).sum()
}

#[test]
fn settings_are_found_taken_in_one_step_and_undone() {
    let mut test = window();
    open_trial(&mut test, Trial::Tune);
    click(&mut test, "Tune it");
    assert!(
        test.query_by_label_contains(
            "Tuned for the shortest cycle: every limit that may fail the door is kept"
        )
        .is_some()
    );
    assert!(test.query_all_by_label("holds it back").count() > 0);
    let picture = spoken(&test, "What more margin of energy and force costs");
    assert!(picture.contains("0 % more: ") && picture.contains("30 % more: "), "{picture}");

    let (before, time_s) = (test.state().state().document.scenario().clone(), cycle_time_s(&test));
    click(&mut test, "Take these settings");
    assert!(cycle_time_s(&test) < 0.9 * time_s, "{} s of {time_s} s", cycle_time_s(&test));
    let live = test.state().state().live.as_ref().expect("a run");
    let over = |verdict: &&tautleaf_physics::Verdict| {
        verdict.limit.judge == Judge::Limit && verdict.outcome == Outcome::Over
    };
    assert_eq!(live.verdicts.iter().filter(over).count(), 0, "what was promised is kept in the window");
    assert!(test.query_by_label_contains("The door has these settings now").is_some());
    assert!(test.get_by_label("Take these settings").accesskit_node().is_disabled(), "once is enough");

    test.state_mut().send(Action::Undo);
    settle(&mut test);
    assert!(*test.state().state().document.scenario() == before, "one step");
    assert!(
        !test.get_by_label("Take these settings").accesskit_node().is_disabled(),
        "it is that door again"
    );

    test.state_mut().send(Action::HidePopup);
    settle(&mut test);
    move_slider(&mut test, "Leaf mass", 120.0);
    open_trial(&mut test, Trial::Tune);
    assert!(test.query_by_label_contains("The door has changed since").is_some());
    let heavy = test.state().state().document.scenario().clone();
    test.state_mut().send(Action::TakeTuned);
    settle(&mut test);
    assert!(*test.state().state().document.scenario() == heavy, "they belong to another door");
}

#[test]
fn a_tuning_for_another_goal_is_stopped_and_keeps_the_best_so_far() {
    let mut test = window();
    open_trial(&mut test, Trial::Tune);
    test.get_by_role_and_label(Role::RadioButton, "Tuned for: Calmest").click();
    test.run_steps(2);
    test.get_by_role_and_label(Role::RadioButton, "Limits kept in: 95 %").click();
    test.run_steps(2);
    test.get_by_label("Tune it").click();
    test.run_steps(2);
    for _ in 0..8000 {
        let far = test.state().state().trials.going(Trial::Tune).map_or(1.0, |going| going.share());
        if far > 0.02 {
            break;
        }
        test.step();
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
    // the clock of the test stands nearly still: it is given time to tell how much is left
    test.run_steps(60);
    assert!(test.query_by_label_contains(" %, about").is_some(), "the time left is told");
    test.get_by_label("Stop").click();
    settle(&mut test);
    let found = found(&test);
    assert!(
        found.stopped && found.asked.goal == Some(Goal::Calmest) && found.asked.probability == Some(0.95)
    );
    assert!(!found.tuned.changes.is_empty(), "the best so far");
    assert!(test.query_by_label_contains("Stopped: the best that was found until then").is_some());
}

#[test]
fn a_door_that_loses_power_cannot_be_tuned_and_says_why() {
    let mut test = window();
    let power_lost = tautleaf_physics::number("timeline.power_lost").expect("in the table");
    test.state_mut().send(Action::Set { number: power_lost, value: Some(1.0), dragging: false });
    settle(&mut test);
    open_trial(&mut test, Trial::Tune);
    click(&mut test, "Tune it");
    let tuned = &test.state().state().trials.tuned;
    assert!(tuned.found.is_none() && tuned.going.is_none());
    assert!(test.query_by_label_contains("this run has no opening and closing time").is_some());
}
