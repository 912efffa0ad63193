//! What drive and belt are called and rated for, set in the window.

mod steps;

use eframe::egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::kittest::{NodeT, Queryable};
use steps::*;
use tautleaf_app::action::Action;
use tautleaf_app::state::Popup;
use tautleaf_physics::parameters::InsulationClass;
use tautleaf_physics::{Figure, Outcome, RATING_FIELDS, Ratings, Verdict};
use tautleaf_scenario::{Scenario, UnitSystem};

const SHAFT: &str = "Rating: radial load on the shaft";
const CURRENT: &str = "Rating: rated current";
const DRIVE: &str = "Name of the drive";

fn opened() -> Test {
    let mut test = window();
    to_ratings(&mut test);
    test
}

/// As a user comes to them.
fn to_ratings(test: &mut Test) {
    test.key_press(Key::F7);
    settle(test);
    click(test, "Set here: Ratings of drive and belt");
    assert_eq!(test.state().state().view.popup, Some(Popup::Ratings));
}

fn scenario(test: &Test) -> &Scenario {
    test.state().state().document.scenario()
}

fn ratings(test: &Test) -> &Ratings {
    &scenario(test).ratings
}

/// Writes into a field and leaves it.
fn enter(test: &mut Test, name: &str, text: &str) {
    write(test, name, text);
    test.key_press(Key::Enter);
    settle(test);
}

fn empty(test: &mut Test, name: &str) {
    test.get_by_role_and_label(Role::TextInput, name).focus();
    test.run_steps(2);
    test.key_press_modifiers(Modifiers::COMMAND, Key::A);
    test.run_steps(2);
    test.key_press(Key::Delete);
    test.run_steps(2);
    test.key_press(Key::Enter);
    settle(test);
}

/// What stands in a field.
fn stands(test: &Test, name: &str) -> String {
    test.get_by_role_and_label(Role::TextInput, name).accesskit_node().value().unwrap_or_default()
}

/// What became of the rating on a figure, if it is rated.
fn rated(test: &Test, figure: Figure) -> Option<Verdict> {
    let live = test.state().state().live.as_ref().expect("a run");
    let mine = |verdict: &&Verdict| verdict.limit.is_rating() && verdict.limit.figure == Some(figure);
    live.verdicts.iter().find(mine).cloned()
}

#[test]
fn a_rating_is_entered_judged_in_the_window_and_taken_back_in_one_step() {
    let mut test = opened();
    let before = scenario(&test).clone();
    assert_eq!(rated(&test, Figure::ShaftLoad), None);

    enter(&mut test, SHAFT, "200 N");
    let verdict = rated(&test, Figure::ShaftLoad).expect("rated");
    assert_eq!((verdict.allowed, verdict.outcome), (Some(200.0), Outcome::Over));
    assert_eq!(stands(&test, SHAFT), "200 N");
    enter(&mut test, DRIVE, "  24 V, 60 W ");
    assert_eq!(ratings(&test).drive, "24 V, 60 W");
    let verdict = rated(&test, Figure::ShaftLoad).expect("rated");
    assert_eq!(verdict.limit.source, "rating of the drive \"24 V, 60 W\"");

    click(&mut test, "Close");
    let shown = test.query_all_by_label_contains("Radial load on the shaft (rating)").count();
    assert!(shown > 0, "among the verdicts");
    click(&mut test, "Undo");
    assert_eq!((ratings(&test).drive.as_str(), ratings(&test).shaft_load_n), ("", Some(200.0)));
    click(&mut test, "Undo");
    assert_eq!((scenario(&test), rated(&test, Figure::ShaftLoad)), (&before, None));
    assert_eq!(test.state().state().document.undoable(), None);
    assert_eq!(test.query_all_by_label_contains("Radial load on the shaft (rating)").count(), 0);
}

#[test]
fn what_is_no_rating_is_refused_with_its_reason_and_stays_in_the_field_to_be_mended() {
    let mut test = opened();
    enter(&mut test, SHAFT, "900 N");
    let good = scenario(&test).clone();
    for (text, reason) in [
        ("4 kg", "is a mass"),
        ("-5 N", "is not possible; write something between 1.00 N and 1000000 N; 900 N still counts"),
        ("0", "0 N is not possible"),
        ("2000 kN", "2000000 N is not possible"),
        ("strong", "900 N still counts"),
        ("nan", "900 N still counts"),
    ] {
        enter(&mut test, SHAFT, text);
        assert_eq!(scenario(&test), &good, "{text}");
        assert_eq!(stands(&test, SHAFT), text);
        assert!(test.query_by_label_contains(reason).is_some(), "{text}: {reason}");
        let spoken = test.get_by_role_and_label(Role::TextInput, SHAFT).accesskit_node().description();
        assert!(spoken.is_some_and(|spoken| spoken.contains("Radial load that the shaft")), "{text}");
    }
    // what is typed beside it loses nothing, and what is mended counts
    enter(&mut test, DRIVE, &"x".repeat(61));
    assert_eq!((scenario(&test), stands(&test, DRIVE).len()), (&good, 61));
    assert!(test.query_by_label_contains("61 characters do not count; write a name of 1 to 60").is_some());
    assert_eq!(stands(&test, SHAFT), "nan");
    enter(&mut test, SHAFT, "0.95 kN");
    assert_eq!(ratings(&test).shaft_load_n, Some(950.0));
    assert!(test.query_by_label_contains("still counts").is_none());
    click(&mut test, "Close");
    click(&mut test, "Undo");
    assert_eq!(scenario(&test), &good);
}

#[test]
fn an_emptied_field_is_not_rated_and_escape_lets_what_was_typed_go() {
    let mut test = opened();
    enter(&mut test, SHAFT, "900 N");
    empty(&mut test, SHAFT);
    assert_eq!((ratings(&test).shaft_load_n, rated(&test, Figure::ShaftLoad)), (None, None));
    enter(&mut test, DRIVE, "A");
    empty(&mut test, DRIVE);
    assert!(ratings(&test).is_empty());
    let before = scenario(&test).clone();
    write(&mut test, SHAFT, "100 N");
    test.key_press(Key::Escape);
    settle(&mut test);
    assert_eq!(scenario(&test), &before);
    to_ratings(&mut test);
    assert_eq!((stands(&test, SHAFT).as_str(), scenario(&test)), ("", &before));
}

#[test]
fn a_rating_that_is_still_being_typed_counts_when_the_popup_is_closed() {
    let mut test = opened();
    write(&mut test, SHAFT, "900 N");
    click(&mut test, "Close");
    assert_eq!(test.state().state().view.popup, None);
    assert_eq!(ratings(&test).shaft_load_n, Some(900.0));
}

/// Tab goes from field to field in the order in which they stand.
#[test]
fn every_rating_is_reached_by_keys_and_says_what_it_is() {
    let mut test = opened();
    let all = || RATING_FIELDS.iter().map(tautleaf_app::rating_edits::spoken);
    let fields: Vec<String> = all().chain([DRIVE.to_owned(), "Name of the belt".to_owned()]).collect();
    for name in &fields {
        let field = test.get_by_role_and_label(Role::TextInput, name);
        let says = field.accesskit_node().description().unwrap_or_default();
        assert!(says.contains("In a door file: ratings."), "{name}: {says}");
    }
    test.get_by_role_and_label(Role::TextInput, DRIVE).focus();
    test.run_steps(2);
    let mut reached = std::collections::BTreeSet::new();
    for _ in 0..20 {
        let focused =
            fields.iter().filter(|name| test.get_by_role_and_label(Role::TextInput, name).is_focused());
        reached.extend(focused.cloned());
        test.key_press(Key::Tab);
        test.run_steps(2);
    }
    assert_eq!(reached.len(), fields.len(), "{reached:?}");
}

/// IEC 60085: class F bears 155 C.
#[test]
fn an_insulation_class_is_chosen_and_let_go() {
    let mut test = opened();
    let before = scenario(&test).clone();
    click(&mut test, "Rating: insulation class: F");
    assert_eq!(ratings(&test).insulation, Some(InsulationClass::F));
    assert_eq!(rated(&test, Figure::WindingTemperature).expect("rated").allowed, Some(155.0));
    click(&mut test, "Rating: insulation class: not rated");
    assert_eq!(scenario(&test), &before);
}

/// As in a file: the motor takes its rated current from the ratings where it says none itself.
#[test]
fn the_motor_follows_the_rated_current_and_goes_back_with_it() {
    let mut test = opened();
    let motor = |test: &Test| scenario(test).parameters.motor.rated_current_a;
    let before = motor(&test);
    enter(&mut test, CURRENT, "2.5 A");
    assert_eq!((motor(&test), ratings(&test).rated_current_a), (2.5, Some(2.5)));
    empty(&mut test, CURRENT);
    assert_eq!((motor(&test), ratings(&test).rated_current_a), (before, None));
}

/// 1 lbf = 4.4482216152605 N, exact.
#[test]
fn ratings_are_shown_and_typed_in_the_units_of_the_window() {
    let mut test = opened();
    enter(&mut test, SHAFT, "900 N");
    test.state().send(Action::SetUnits(UnitSystem::Us));
    settle(&mut test);
    assert_eq!(stands(&test, SHAFT), "202 lbf");
    // left as it stands it stays as exact as it was
    test.get_by_role_and_label(Role::TextInput, SHAFT).focus();
    test.run_steps(2);
    test.key_press(Key::Enter);
    settle(&mut test);
    assert_eq!(ratings(&test).shaft_load_n, Some(900.0));
    enter(&mut test, SHAFT, "200");
    assert_eq!(ratings(&test).shaft_load_n, Some(200.0 * 4.448_221_615_260_5));
}

#[test]
fn ratings_are_saved_with_the_file_and_read_back_and_its_comments_stay() {
    let path = folder().join("ratings of the window.toml");
    std::fs::write(&path, "# mine\nschema = 1\n[leaf]\nmass = \"90 kg\" # glass\n")
        .expect("a file for tests");
    let mut test = window();
    open(&mut test, &path);
    to_ratings(&mut test);
    enter(&mut test, DRIVE, "24 V, worm 15:1, 60 W");
    enter(&mut test, "Name of the belt", "5M, 15 mm");
    let typed = ["600 N", "0.9 kN", "12 A", "4.5 A", "3000 1/min", "6 A"];
    for (field, text) in RATING_FIELDS.iter().zip(typed) {
        enter(&mut test, &tautleaf_app::rating_edits::spoken(field), text);
    }
    click(&mut test, "Rating: insulation class: F");
    let entered = scenario(&test).clone();
    let expected = Ratings {
        drive: "24 V, worm 15:1, 60 W".to_owned(),
        belt: "5M, 15 mm".to_owned(),
        shaft_load_n: Some(600.0),
        allowable_tension_n: Some(900.0),
        peak_current_a: Some(12.0),
        rated_current_a: Some(4.5),
        // 3000 a minute are 100 pi rad/s (arithmetic)
        maximum_speed_rad_per_s: entered.ratings.maximum_speed_rad_per_s,
        insulation: Some(InsulationClass::F),
        supply_current_a: Some(6.0),
    };
    assert_eq!(entered.ratings, expected);
    let speed = entered.ratings.maximum_speed_rad_per_s.expect("rated");
    assert!((speed - 100.0 * std::f64::consts::PI).abs() < 1e-9, "{speed}");
    test.key_press_modifiers(Modifiers::COMMAND, Key::S);
    settle(&mut test);
    let saved = std::fs::read_to_string(&path).expect("saved");
    assert!(saved.contains("# mine") && saved.contains("# glass") && saved.contains("[ratings]"), "{saved}");
    assert!(!saved.contains("[motor]"), "the motor takes it from the ratings\n{saved}");
    assert_eq!(tautleaf_scenario::read(&path).expect("a door file"), entered);
}
