//! What to turn on site, in the window.

mod steps;

use egui_kittest::kittest::{NodeT, Queryable};
use steps::*;
use tautleaf_app::action::Action;
use tautleaf_app::state::Popup;
use tautleaf_app::trials::Trial;
use tautleaf_physics::{Judge, Outcome};

/// A leaf so heavy that it carries too much energy, and what was worked out for it.
fn advised() -> Test {
    let mut test = window();
    move_slider(&mut test, "Leaf mass", 140.0);
    click(&mut test, "Trials");
    click(&mut test, "What to turn F2");
    click(&mut test, "Work it out");
    test
}

fn over(test: &Test) -> usize {
    let live = test.state().state().live.as_ref().expect("a run");
    let over = |verdict: &&tautleaf_physics::Verdict| {
        verdict.limit.judge == Judge::Limit && verdict.outcome == Outcome::Over
    };
    live.verdicts.iter().filter(over).count()
}

fn closing_speed(test: &Test) -> f64 {
    test.state().state().document.scenario().parameters.closing.speed_m_per_s
}

#[test]
fn the_least_that_brings_every_limit_back_is_tried_in_one_step_and_undone() {
    let mut test = advised();
    assert!(over(&test) > 0);
    // one beside the slider of the tension, one here
    let cautions =
        test.query_all_by_label("Isolate mains and battery and block the leaf before you touch the belt");
    assert_eq!(cautions.count(), 2, "cautions stand beside it");
    let before = test.state().state().document.scenario().clone();
    click(&mut test, "Try the least that brings every limit back");
    assert_eq!(over(&test), 0, "what was promised is kept in the window");
    assert!(test.query_by_label_contains("The door has changed since").is_some());
    let again = test.get_by_label("Try the least that brings every limit back");
    assert!(again.accesskit_node().is_disabled(), "it belongs to the door before");

    test.state_mut().send(Action::Undo);
    settle(&mut test);
    assert!(*test.state().state().document.scenario() == before);
    assert!(test.query_by_label_contains("The door has changed since").is_none(), "it is that door again");
}

#[test]
fn one_step_of_one_setting_is_tried() {
    let mut test = advised();
    let before = closing_speed(&test);
    click(&mut test, "Try closing speed 0.3 m/s to 0.27 m/s");
    assert!((closing_speed(&test) - 0.9 * before).abs() < 1e-9);
}

#[test]
fn in_us_units_it_speaks_of_inches_and_pounds() {
    let mut test = advised();
    test.state_mut().send(Action::SetUnits(tautleaf_scenario::UnitSystem::Us));
    settle(&mut test);
    let spoken: Vec<String> = names(&test).into_iter().filter(|name| name.starts_with("Try ")).collect();
    assert!(spoken.len() > 10 && spoken.iter().any(|name| name.contains(" lbf")), "{spoken:?}");
    assert!(spoken.iter().all(|name| !name.contains("m/s") && !name.contains(" N")), "{spoken:?}");
    assert!(test.query_by_label_contains("The door has changed since").is_none());
}

#[test]
fn it_is_stopped_and_keeps_what_it_has() {
    let mut test = window();
    move_slider(&mut test, "Leaf mass", 140.0);
    test.state_mut().send(Action::Show(Popup::Trial(Trial::Advise)));
    test.run_steps(2);
    test.get_by_label("Work it out").click();
    test.run_steps(2);
    test.get_by_label("Stop").click();
    settle(&mut test);
    let found = test.state().state().trials.advice.found.as_ref().expect("what was done");
    assert!(found.advice.stopped && found.advice.plan.is_none() && !found.advice.before.is_empty());
    assert!(test.query_by_label_contains("It was stopped before that was worked out").is_some());
}

#[test]
fn a_door_that_cannot_be_run_cannot_be_tried() {
    let mut test = window();
    type_into(&mut test, "Leaf mass", "0.0001 kg");
    move_slider(&mut test, "Stroke", 0.4);
    test.state_mut().send(Action::Set {
        number: tautleaf_physics::number("belt.clamp").expect("in the table"),
        value: Some(15.0),
        dragging: false,
    });
    settle(&mut test);
    assert!(!test.state().state().refused.is_empty());
    test.state_mut().send(Action::Show(Popup::Trial(Trial::Advise)));
    settle(&mut test);
    assert!(test.get_by_label("Work it out").accesskit_node().is_disabled());
    test.state_mut().send(Action::Begin(Trial::Advise));
    settle(&mut test);
    let advice = &test.state().state().trials.advice;
    assert!(advice.found.is_none() && advice.refused.is_some());
}
