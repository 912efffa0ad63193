//! The way to the trials: by menu, by key, and from one to the other.

mod steps;

use eframe::egui::{Key, accesskit::Role};
use egui_kittest::kittest::{NodeT, Queryable};
use steps::*;
use tautleaf_app::state::Popup;
use tautleaf_app::trials::Trial;

fn popup(test: &Test) -> Option<Popup> {
    test.state().state().view.popup.clone()
}

#[test]
fn each_trial_is_in_the_menu_and_has_a_key_in_the_list_of_keys() {
    let mut test = window();
    for trial in Trial::ALL {
        click(&mut test, "Trials");
        let keys = test.ctx.format_shortcut(&trial.shortcut());
        click(&mut test, &format!("{} {keys}", trial.name()));
        assert_eq!(popup(&test), Some(Popup::Trial(trial)));
        test.key_press(Key::Escape);
        settle(&mut test);
        assert_eq!(popup(&test), None);
        open_trial(&mut test, trial);
        assert_eq!(popup(&test), Some(Popup::Trial(trial)));
        test.key_press(Key::F1);
        settle(&mut test);
        assert!(test.query_by_label(&keys).is_some() && test.query_by_label(trial.name()).is_some());
        click(&mut test, "Close");
    }
}

#[test]
fn from_one_trial_the_others_are_reached() {
    let mut test = window();
    open_trial(&mut test, Trial::Advise);
    for trial in Trial::ALL {
        let name = format!("Trial: {}", trial.name());
        test.get_by_role_and_label(Role::RadioButton, &name).click();
        settle(&mut test);
        assert_eq!(popup(&test), Some(Popup::Trial(trial)));
    }
}

/// The menu is opened and a trial chosen without a pointer.
#[test]
fn the_menu_is_reached_with_the_keyboard() {
    let mut test = window();
    test.get_by_label("Trials").focus();
    test.run_steps(2);
    test.key_press(Key::Enter);
    settle(&mut test);
    let first = test.get_by_label("What to turn F2");
    assert!(!first.accesskit_node().is_disabled());
    first.focus();
    test.run_steps(2);
    test.key_press(Key::Enter);
    settle(&mut test);
    assert_eq!(popup(&test), Some(Popup::Trial(Trial::Advise)));
}

/// What is under way goes on while the popup is closed, and other trials stand beside it.
#[test]
fn a_trial_goes_on_while_it_is_not_looked_at() {
    let mut test = window();
    open_trial(&mut test, Trial::Spread);
    write(&mut test, "Runs", "400");
    test.get_by_label("Draw doors").click();
    test.run_steps(2);
    test.key_press(Key::Escape);
    test.run_steps(3);
    assert_eq!(popup(&test), None);
    assert!(test.query_by_label_contains("Trials: ").is_some(), "the bar says how far it is");
    settle(&mut test);
    assert!(test.query_by_label("Trials").is_some());
    assert!(test.state().state().trials.spread.found.is_some());
}

/// Names of everything that can be pressed or typed into are told apart by a screen reader.
#[test]
fn every_control_of_every_trial_has_a_name() {
    let mut test = window();
    for trial in Trial::ALL {
        open_trial(&mut test, trial);
        let named = |role: Role| {
            let nodes = test.query_all_by_role(role);
            nodes.map(|node| node.accesskit_node().label().unwrap_or_default()).collect::<Vec<_>>()
        };
        for role in [Role::Button, Role::RadioButton, Role::TextInput, Role::ComboBox] {
            assert!(
                named(role).iter().all(|name| !name.trim().is_empty()),
                "{trial:?} {role:?}: {:?}",
                named(role)
            );
        }
    }
}
