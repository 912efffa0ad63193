//! What the door is judged by, set in the window.

mod steps;

use eframe::egui::{Key, accesskit::Role};
use egui_kittest::kittest::Queryable;
use steps::*;
use tautleaf_app::state::Popup;
use tautleaf_physics::{Figure, Judge, Outcome, Rule};
use tautleaf_scenario::limits_of;

fn limits(test: &Test) -> Vec<tautleaf_physics::Limit> {
    limits_of(test.state().state().document.scenario())
}

fn opened() -> Test {
    let mut test = window();
    test.key_press(Key::F7);
    settle(&mut test);
    assert_eq!(test.state().state().view.popup, Some(Popup::Limits));
    test
}

/// The field for it.
const VALUE: &str = "Value of the limit to add";

/// Chooses a figure in the list and types what it is limited to.
fn add(test: &mut Test, figure: Figure, text: &str) {
    let list = test.get_all_by_role(Role::ComboBox).next().expect("one list");
    list.click();
    settle(test);
    test.get_by_role_and_label(Role::Button, figure.label()).click_accesskit();
    settle(test);
    write(test, VALUE, text);
    click(test, "Add");
}

#[test]
fn a_limit_is_added_typed_judged_and_taken_away_each_one_step_to_undo() {
    let mut test = opened();
    let before = limits(&test);
    add(&mut test, Figure::PeakCurrent, "4 A");
    assert_eq!(verdict(&test, Figure::PeakCurrent).allowed, Some(4.0));
    assert_eq!(verdict(&test, Figure::PeakCurrent).outcome, Outcome::Over);

    type_into(&mut test, "Limit on peak current", "9 A");
    assert_eq!(verdict(&test, Figure::PeakCurrent).outcome, Outcome::Within);

    click(&mut test, "Over peak current: advises");
    assert_eq!(verdict(&test, Figure::PeakCurrent).limit.judge, Judge::Advisory);

    click(&mut test, "Take away the limit on peak current");
    assert_eq!(limits(&test), before);
    click(&mut test, "Close");
    for _ in 0..4 {
        click(&mut test, "Undo");
    }
    assert_eq!(limits(&test), before);
    assert_eq!(test.state().state().document.undoable(), None);
}

#[test]
fn a_limit_that_cannot_be_is_refused_with_a_reason() {
    let mut test = opened();
    let before = limits(&test);
    add(&mut test, Figure::PeakCurrent, "4 kg");
    assert_eq!(limits(&test), before);
    assert!(test.query_by_label_contains("is a mass").is_some());
    write(&mut test, VALUE, "-4 A");
    click(&mut test, "Add");
    assert_eq!(limits(&test), before);
    assert!(test.query_by_label_contains("is not possible").is_some());
    write(&mut test, VALUE, "4000 mA");
    click(&mut test, "Add");
    assert_eq!(limits(&test).len(), before.len() + 1);
    assert!(test.query_by_label_contains("is not possible").is_none());
}

#[test]
fn a_published_limit_is_made_ones_own_and_comes_back() {
    let mut test = opened();
    let published = limits(&test).into_iter().find(|limit| limit.figure == Some(Figure::ImpactForce));
    let published = published.expect("the example compares with it");
    click(&mut test, "Change the limit on impact force");
    let own = verdict(&test, Figure::ImpactForce).limit;
    assert_eq!((&own.preset, &own.rule), (&None, &published.rule));
    assert_eq!(own.judge, published.judge);

    type_into(&mut test, "Most of band 2", "500 N");
    let Rule::AtMostByGap(bands) = verdict(&test, Figure::ImpactForce).limit.rule else { panic!("bands") };
    assert_eq!(bands[1].at_most, 500.0);
    let count = bands.len();
    click(&mut test, "Take away band 1");
    click(&mut test, "Add a band of gaps");
    let Rule::AtMostByGap(bands) = verdict(&test, Figure::ImpactForce).limit.rule else { panic!("bands") };
    assert_eq!((bands.len(), bands[0].above_m), (count, 0.0));

    click(&mut test, "Take away the limit on impact force");
    assert_eq!(verdict(&test, Figure::ImpactForce).limit, published);
}

#[test]
fn gaps_of_the_force_test_and_what_counts_as_close_are_set_here() {
    let mut test = opened();
    write(&mut test, "Force test at gaps of", "80 mm, 0.4 m");
    test.key_press(Key::Enter);
    settle(&mut test);
    let gaps = |test: &Test| {
        let live = test.state().state().live.as_ref().expect("a run");
        live.run.force.iter().map(|gap| gap.gap_m).collect::<Vec<_>>()
    };
    assert_eq!(gaps(&test), [0.08, 0.4]);
    write(&mut test, "Force test at gaps of", "80 mm, 0 mm");
    test.key_press(Key::Enter);
    settle(&mut test);
    assert_eq!(gaps(&test), [0.08, 0.4]);
    assert!(test.query_by_label_contains("wider than nothing").is_some());

    write(&mut test, "Force test at gaps of", "80 mm, 5 m");
    test.key_press(Key::Enter);
    settle(&mut test);
    assert_eq!(gaps(&test), [0.08, 0.4], "this door opens 1 m");
    assert!(test.query_by_label_contains("is no gap of this door").is_some());

    assert_eq!(verdict(&test, Figure::PeakEnergyLeaf).outcome, Outcome::Within);
    type_into(&mut test, "Close to a limit: less to spare than", "20");
    assert_eq!(verdict(&test, Figure::PeakEnergyLeaf).outcome, Outcome::Close);
}
