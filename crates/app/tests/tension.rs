//! Between which tensions the belt works, and how that moves.

mod steps;

use eframe::egui::{self, Key};
use egui_kittest::kittest::Queryable;
use steps::*;
use tautleaf_app::state::Popup;

fn tension(test: &Test) -> f64 {
    test.state().state().document.scenario().parameters.belt.tension_n
}

fn revision_drawn(test: &Test) -> u64 {
    test.state().state().tension_map.as_ref().expect("it was asked for").revision
}

#[test]
fn the_picture_of_the_tension_is_reached_from_its_bounds_and_by_a_key() {
    let mut test = window();
    assert!(test.state().state().tension_map.is_none(), "nobody asked for it yet");
    click(&mut test, "How leaf and speeds move these bounds");
    assert_eq!(test.state().state().view.popup, Some(Popup::Tension));
    assert!(test.state().state().tension_map.is_some());
    click(&mut test, "Close");
    test.key_press(Key::F8);
    settle(&mut test);
    assert_eq!(test.state().state().view.popup, Some(Popup::Tension));
    let over_mass = spoken(&test, "Tension that works over leaf mass");
    assert!(over_mass.contains("at 95.0 from "), "{over_mass}");
}

#[test]
fn a_click_in_it_sets_the_tension_and_the_picture_follows() {
    let mut test = window();
    test.key_press(Key::F8);
    settle(&mut test);
    let chart = test.get_by_label_contains("Tension that works over leaf mass").rect();
    let at = egui::pos2(chart.center().x, chart.top() + 0.4 * chart.height());
    test.hover_at(at);
    test.step();
    test.drag_at(at);
    test.step();
    test.drop_at(at);
    settle(&mut test);
    assert!(tension(&test) > 400.0, "{} N", tension(&test));
    assert_eq!(revision_drawn(&test), test.state().state().document.revision());
    click(&mut test, "Close");
    click(&mut test, "Undo");
    assert_eq!(tension(&test), 300.0);
    assert_eq!(test.state().state().document.undoable(), None, "one step");
}

/// A shaft that bears little bounds the tension from above: both strands of a pulley pull it the same way.
#[test]
fn what_a_shaft_bears_bounds_the_tension_from_above() {
    let mut test = window();
    let limit = tautleaf_app::limit_edits::LimitEdit::Value {
        key: "shaft_load_max".to_owned(),
        value: 900.0,
        dragging: false,
    };
    test.state().send(tautleaf_app::action::Action::EditLimits(limit));
    settle(&mut test);
    let window = test.state().state().tension_window.as_ref().expect("a window");
    let (_, high) = window.ends();
    assert!(high < 450.0, "at most half of what it bears: {high} N");
    // The bound comes from one run, and bearing drag grows a little with tension: some newtons either side of it.
    type_into(&mut test, "Belt tension", &format!("{:.1} N", high - 2.0));
    let load = verdict(&test, tautleaf_physics::Figure::ShaftLoad);
    assert!(load.margin.expect("judged") > 0.0, "{load:?}");
    type_into(&mut test, "Belt tension", &format!("{:.1} N", high + 4.0));
    let load = verdict(&test, tautleaf_physics::Figure::ShaftLoad);
    assert!(load.margin.expect("judged") < 0.0, "{load:?}");
}
