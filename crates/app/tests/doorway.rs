//! The doorway and time, by the names that a screen reader reads.

mod steps;

use eframe::egui::{self, Key, Modifiers, accesskit::Role};
use egui_kittest::kittest::Queryable;
use steps::*;
use tautleaf_physics::Figure;
use tautleaf_physics::parameters::FaultKind;

#[test]
fn time_runs_when_played_and_stands_when_paused() {
    let mut test = window();
    test.get_by_label("Play").click();
    test.run_steps(30);
    let at = |test: &Test| test.state().state().view.cursor.map_or(0.0, |moment| moment.t_s);
    let played = at(&test);
    assert!((0.3..0.7).contains(&played), "half a second of frames: {played}");
    test.get_by_label("Pause").click();
    test.run_steps(3);
    let paused = at(&test);
    test.run_steps(10);
    assert_eq!(at(&test), paused);
    click(&mut test, "Step on");
    assert!((at(&test) - paused - 0.010).abs() < 0.001, "ten samples further");
    test.key_press_modifiers(Modifiers::SHIFT, Key::Period);
    settle(&mut test);
    assert!((at(&test) - paused - 0.011).abs() < 0.001, "and one more");
    click(&mut test, "Step back");
    click(&mut test, "Step back");
    assert!(at(&test) < paused);
    test.key_press(Key::S);
    settle(&mut test);
    assert_eq!(test.state().state().view.rate, 0.25);
    assert!(test.query_by_label("Speed of time, now 1/4").is_some());
}

#[test]
fn dragging_the_leaf_moves_in_time() {
    let mut test = window();
    let leaf = test.get_by_label_contains("Leaf 1: drag to move in time").rect();
    let (from, to) = (leaf.center(), leaf.center() + egui::vec2(60.0, 0.0));
    test.hover_at(from);
    test.step();
    test.drag_at(from);
    test.step();
    for part in 1..=6 {
        test.hover_at(from + egui::vec2(10.0 * part as f32, 0.0));
        test.run_steps(2);
    }
    test.drop_at(to);
    settle(&mut test);
    let moment = test.state().state().view.cursor.expect("a moment");
    let moved = test.get_by_label_contains("Leaf 1: drag to move in time").rect().left() - leaf.left();
    assert!(moment.clear_opening_m > 0.1, "{moment:?}");
    assert!((moved - 60.0).abs() < 5.0, "the leaf follows the pointer: {moved}");
}

#[test]
fn clicking_a_part_of_the_doorway_shows_its_sliders() {
    let mut test = window();
    let shows = |test: &Test, name: &str| test.query_by_role_and_label(Role::Slider, name).is_some();
    assert!(!shows(&test, "Gear ratio"), "folded at first");
    click(&mut test, "Drive: show its sliders");
    assert!(shows(&test, "Gear ratio"));
    click(&mut test, "Rollers and rail: show its sliders");
    assert!(shows(&test, "Rail slope"));
}

#[test]
fn what_is_in_the_way_can_be_dragged_to_another_gap_in_one_step() {
    let mut test = window();
    let text = "schema = 1\n[obstacle]\ngap = \"400 mm\"\n";
    let path = folder().join("in the way.toml");
    std::fs::write(&path, text).expect("a folder for tests");
    open(&mut test, &path);
    let gap = |test: &Test| test.state().state().document.scenario().parameters.obstacle.map(|o| o.gap_m);
    let at = test.get_by_label_contains("What is in the way").rect().center();
    test.hover_at(at);
    test.step();
    test.drag_at(at);
    test.step();
    for part in 1..=4 {
        test.hover_at(at + egui::vec2(10.0 * part as f32, 0.0));
        test.run_steps(2);
    }
    test.drop_at(at + egui::vec2(40.0, 0.0));
    settle(&mut test);
    assert!(gap(&test).is_some_and(|gap| gap > 0.45), "{:?}", gap(&test));
    click(&mut test, "Undo");
    assert_eq!(gap(&test), Some(0.4));
}

/// A second door file is not needed to see what a fault of the rail does: it is added, moved and taken away here.
#[test]
fn a_part_is_added_changed_and_taken_away_and_each_is_one_step_to_undo() {
    let mut test = window_of_size([1280.0, 7000.0]);
    let parameters = |test: &Test| test.state().state().document.scenario().parameters.clone();
    let plain = parameters(&test);
    let time = |test: &Test| {
        let live = test.state().state().live.as_ref().expect("a run");
        live.run.figures.get(Figure::ClosingTime).expect("it closes")
    };
    let before = time(&test);

    click(&mut test, "+ Force");
    assert_eq!(parameters(&test).forces.len(), 1);
    move_slider(&mut test, "Force 1 constant", 40.0);
    assert_eq!(parameters(&test).forces[0].constant_n, 40.0);
    assert_ne!(time(&test), before, "the run is another one");
    click(&mut test, "+ Force");
    assert_eq!(parameters(&test).forces.len(), 2);
    click(&mut test, "Take away force 2");
    assert_eq!(parameters(&test).forces.len(), 1);
    click(&mut test, "Take away force 1");
    assert_eq!(parameters(&test), plain);
    assert_eq!(time(&test), before);
    for _ in 0..4 {
        test.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        settle(&mut test);
    }
    assert_eq!(parameters(&test).forces.len(), 1, "four of five steps are taken back");

    click(&mut test, "+ Rail fault");
    click(&mut test, "Kind of fault: Sag");
    assert_eq!(parameters(&test).faults[0].kind, FaultKind::Sag);
    click(&mut test, "The leaf opens: Pair");
    assert_eq!(test.state().state().live.as_ref().expect("a run").door.edges(), 2);
}
