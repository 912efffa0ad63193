//! How sure a door keeps its limits, in the window.

mod steps;

use eframe::egui::accesskit::Role;
use egui_kittest::kittest::Queryable;
use steps::*;
use tautleaf_app::action::Action;
use tautleaf_app::trials::Trial;
use tautleaf_physics::Figure;
use tautleaf_scenario::UnitSystem;

/// So many doors drawn.
fn drawn(runs: &str) -> Test {
    let mut test = window();
    open_trial(&mut test, Trial::Spread);
    write(&mut test, "Runs", runs);
    click(&mut test, "Draw doors");
    test
}

#[test]
fn each_limit_has_its_likelihood_and_each_figure_its_spread() {
    let mut test = drawn("80");
    let found = test.state().state().trials.spread.found.as_ref().expect("a study");
    assert_eq!((found.findings.trials, found.wanted, found.study.seed), (80, 80, 1));
    let kept = found.findings.keeps_all;
    assert_eq!(kept.of, 80);
    assert!(test.query_by_label_contains("Opens, closes and keeps every limit").is_some());

    test.get_by_role_and_label(Role::RadioButton, "Look at Closing time").click();
    settle(&mut test);
    assert_eq!(test.state().state().trials.spread_shown, Some(Figure::ClosingTime));
    let picture = spoken(&test, "Closing time: ");
    assert!(picture.contains("median") && picture.contains(" s,"), "{picture}");
    // half of the variance of the closing time comes from the temperature of the winding
    assert!(test.query_by_label("Winding temperature").is_some());

    test.get_by_role_and_label(Role::RadioButton, "Look at Peak energy, one leaf").click();
    test.state_mut().send(Action::SetUnits(UnitSystem::Us));
    settle(&mut test);
    let picture = spoken(&test, "Peak energy, one leaf: ");
    assert!(picture.contains("ft lbf") && picture.contains("the limit is drawn"), "{picture}");
}

#[test]
fn any_figure_can_be_looked_at_not_only_those_that_are_limited() {
    let mut test = drawn("40");
    let first = test.state().state().trials.spread_shown.expect("one is looked at");
    test.get_by_role_and_label(Role::ComboBox, &format!("Figure: {}", first.label())).click();
    settle(&mut test);
    test.get_by_role_and_label(Role::Button, Figure::PeakCurrent.label()).click_accesskit();
    settle(&mut test);
    assert_eq!(test.state().state().trials.spread_shown, Some(Figure::PeakCurrent));
    assert!(spoken(&test, "Peak current: ").contains(" A"));
    assert!(matches!(
        test.state().state().view.popup,
        Some(tautleaf_app::state::Popup::Trial(Trial::Spread))
    ));
}

#[test]
fn the_same_seed_draws_the_same_doors() {
    let findings = |test: &Test| {
        let found = test.state().state().trials.spread.found.as_ref().expect("a study");
        found.findings.clone()
    };
    let mut test = drawn("20");
    let first = findings(&test);
    click(&mut test, "Draw doors");
    assert_eq!(findings(&test), first);
    write(&mut test, "Seed", "2");
    click(&mut test, "Draw doors");
    assert!(findings(&test) != first);
}

#[test]
fn a_study_can_be_stopped_and_keeps_the_runs_that_it_made() {
    let mut test = window();
    open_trial(&mut test, Trial::Spread);
    write(&mut test, "Runs", "100000");
    test.get_by_label("Draw doors").click();
    test.run_steps(2);
    let far =
        |test: &Test| test.state().state().trials.going(Trial::Spread).map_or(0.0, |going| going.share());
    for _ in 0..4000 {
        test.step();
        if far(&test) > 1e-4 {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
    // the clock of the test stands nearly still: it is given time to tell how much is left
    test.run_steps(60);
    assert!(test.query_by_label_contains("of 100000 runs, about").is_some(), "the time left is told");
    test.get_by_label("Stop").click();
    settle(&mut test);
    let found = test.state().state().trials.spread.found.as_ref().expect("what was done");
    assert!((1..100_000).contains(&found.findings.trials), "{}", found.findings.trials);
    assert_eq!(found.findings.keeps_all.of, found.findings.trials);
    let said = format!("Stopped after {} of 100000 runs", found.findings.trials);
    assert!(test.query_by_label_contains(&said).is_some());
}

#[test]
fn what_cannot_be_read_is_said_and_nothing_is_run() {
    for (runs, said) in [("2000000000", "write one from 1 to 1000000000"), ("some", "is no number of runs")] {
        let test = drawn(runs);
        let spread = &test.state().state().trials.spread;
        assert!(spread.found.is_none() && spread.going.is_none());
        assert!(test.query_by_label_contains(said).is_some(), "{said}");
    }
}

#[test]
fn what_was_drawn_of_another_door_says_so() {
    let mut test = drawn("20");
    test.state_mut().send(Action::HidePopup);
    settle(&mut test);
    move_slider(&mut test, "Leaf mass", 120.0);
    open_trial(&mut test, Trial::Spread);
    assert!(test.query_by_label_contains("The door has changed since").is_some());
}
