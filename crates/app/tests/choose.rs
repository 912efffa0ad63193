//! Choosing a drive in the window.

mod steps;

use eframe::egui::accesskit::Role;
use egui_kittest::kittest::Queryable;
use steps::*;
use tautleaf_app::action::Action;
use tautleaf_app::state::Popup;
use tautleaf_app::trials::Trial;
use tautleaf_trials::choose::{Rank, Tried};

fn chosen() -> Test {
    let mut test = window();
    test.state_mut().send(Action::ShowPart("Drive"));
    settle(&mut test);
    test.run_steps(30);
    click(&mut test, "Choose a drive");
    click(&mut test, "Try every drive");
    test.run_steps(30);
    test
}

#[test]
fn a_drive_is_taken_into_the_door_in_one_step_and_another_after_it() {
    let mut test = chosen();
    let voltage = |test: &Test| test.state().state().document.scenario().parameters.supply.voltage_v;
    let before = test.state().state().document.scenario().parameters.clone();
    assert!(
        test.query_by_label_contains("of 24 drives meet the requirements, ranked by the smallest").is_some()
    );
    assert!(test.query_by_label_contains("lifting aids").is_some(), "cautions stand beside it");

    click(&mut test, "Take 24 V, planetary 9:1, 45 W");
    let taken = test.state().state().document.scenario().parameters.clone();
    assert_eq!((taken.gear.ratio, taken.motor.rated_current_a), (9.0, 2.7));
    assert!(taken.belt != before.belt && taken.opening != before.opening);
    let live = test.state().state().live.clone().expect("a run");
    let over = live.verdicts.iter().filter(|verdict| {
        verdict.limit.judge == tautleaf_physics::Judge::Limit
            && verdict.outcome == tautleaf_physics::Outcome::Over
    });
    assert_eq!(over.count(), 0, "what was promised is kept in the window");

    click(&mut test, "Take 24 V, worm 15:1, 60 W");
    assert_eq!(test.state().state().document.scenario().parameters.gear.ratio, 15.0);
    for _ in 0..2 {
        test.state_mut().send(Action::Undo);
        settle(&mut test);
    }
    assert!(test.state().state().document.scenario().parameters == before);
    assert!(voltage(&test) == 24.0 && !test.state().state().document.is_dirty());
}

#[test]
fn what_was_found_for_another_door_cannot_be_taken() {
    let mut test = chosen();
    test.state_mut().send(Action::HidePopup);
    settle(&mut test);
    move_slider(&mut test, "Leaf mass", 150.0);
    test.state_mut().send(Action::Show(Popup::Trial(Trial::Choose)));
    settle(&mut test);
    assert!(test.query_by_label_contains("The door has changed since").is_some());
    let before = test.state().state().document.scenario().clone();
    test.state_mut().send(Action::TakeDrive(0));
    settle(&mut test);
    assert!(*test.state().state().document.scenario() == before);
}

#[test]
fn a_search_can_be_stopped_and_keeps_what_it_has() {
    let mut test = window();
    test.state_mut().send(Action::Show(Popup::Trial(Trial::Choose)));
    test.run_steps(2);
    test.get_by_label("Try every drive").click();
    test.run_steps(3);
    test.get_by_label("Stop").click();
    settle(&mut test);
    let drives = &test.state().state().trials.drives;
    let found = drives.found.as_ref().expect("what was done");
    assert!(found.choice.stopped && drives.going.is_none());
    assert!(found.choice.tried.len() < 24 * 12);
    assert!(test.query_by_label_contains("Stopped before all had been tried").is_some());
}

#[test]
fn another_rule_ranks_at_once_without_a_search() {
    let mut test = chosen();
    test.get_by_role_and_label(Role::RadioButton, "Ranked by: Least energy").click();
    settle(&mut test);
    let drives = &test.state().state().trials.drives;
    let choice = &drives.found.as_ref().expect("found").choice;
    // what has less than the whole reserve comes after what has it, by the tenths of it that it has; each of them by its energy
    let place = |tried: &Tried| {
        let tenths = if tried.has_reserve() { 11.0 } else { (10.0 * tried.part_had()).floor() };
        (-tenths, tried.energy_j.expect("a cycle was run"))
    };
    let places: Vec<(f64, f64)> = choice.tried.iter().filter(|tried| tried.does()).map(place).collect();
    assert!(choice.choosing.rank == Rank::Energy && places.len() > 50);
    assert!(places.windows(2).all(|two| two[0] <= two[1]), "{places:?}");
    assert!(choice.tried.windows(2).all(|two| !two[1].has_reserve() || two[0].has_reserve()));
}
