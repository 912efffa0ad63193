//! What a user does in the window and what comes of it, through the names that a screen reader reads.

mod steps;

use std::path::Path;

use eframe::egui::{self, Key, Modifiers, Pos2, accesskit::Role};
use egui_kittest::kittest::{NodeT, Queryable};
use steps::*;
use tautleaf_app::charts::{Kind, MarkKind};
use tautleaf_app::example;
use tautleaf_physics::{Figure, Outcome};
use tautleaf_scenario::UnitSystem;

#[test]
fn a_heavier_leaf_changes_the_curves_and_a_verdict() {
    let mut test = window();
    let before = peak(&chart(&test, Kind::Energy));
    assert_eq!(verdict(&test, Figure::PeakEnergyLeaf).outcome, Outcome::Within);

    move_slider(&mut test, "Leaf mass", 160.0);

    assert_eq!(mass(&test), 160.0);
    let energy = chart(&test, Kind::Energy);
    assert!(peak(&energy) > 1.3 * before, "{} after {before}", peak(&energy));
    assert!(!energy.over.is_empty(), "what lies over the limit is shaded");
    assert!(energy.marks.iter().any(|mark| mark.kind == MarkKind::Over), "the worst point is marked");
    assert_eq!(verdict(&test, Figure::PeakEnergyLeaf).outcome, Outcome::Over);
    let row = names(&test).into_iter().find(|name| name.starts_with("Peak energy, one leaf"));
    assert!(row.as_ref().is_some_and(|row| row.contains(" % over")), "{row:?}");
}

/// What the pointer is told on hover, a screen reader says too: meaning, usual range, default and source.
#[test]
fn each_slider_and_its_value_are_described_with_their_source() {
    let test = window();
    for role in [Role::Slider, Role::SpinButton] {
        let node = test.get_by_role_and_label(role, "Edge stiffness");
        let described = node.accesskit_node().description().expect("a description");
        let source = tautleaf_physics::number("edge.stiffness").expect("in the table").source;
        assert!(described.contains(&format!("Source: {source}.")), "{described}");
        for part in ["Usual ", "Default ", "In a door file: edge.stiffness"] {
            assert!(described.contains(part), "{described}");
        }
    }
    let sliders = test.get_all_by_role(Role::Slider);
    let silent = sliders.filter(|node| {
        let described = node.accesskit_node().description().unwrap_or_default();
        // that of time is no number of the door
        !described.contains("Source: ") && node.accesskit_node().label().as_deref() != Some("Time")
    });
    let silent: Vec<String> = silent.filter_map(|node| node.accesskit_node().label()).collect();
    assert!(silent.is_empty(), "{silent:?}");
}

/// 1 lb = 0.45359237 kg, exact.
#[test]
fn pounds_can_be_typed_into_a_field_of_kilograms() {
    let mut test = window();
    type_into(&mut test, "Leaf mass", "190 lb");
    assert_eq!(mass(&test), 190.0 * 0.453_592_37);
    assert!(test.state().state().view.notice.is_none());
}

#[test]
fn a_mass_typed_in_seconds_is_refused_with_a_reason_and_changes_nothing() {
    let mut test = window();
    type_into(&mut test, "Leaf mass", "190 s");
    assert_eq!(mass(&test), 95.0);
    let notice = test.state().state().view.notice.clone().expect("a message");
    assert!(notice.lines[0].contains("kg"), "{notice:?}");
    assert!(test.query_by_label("Leaf mass was not changed.").is_some());
    click(&mut test, "Dismiss");
    assert!(test.query_by_label("Leaf mass was not changed.").is_none());
}

#[test]
fn leaving_a_value_field_untouched_is_no_change() {
    let mut test = window();
    test.get_by_role_and_label(Role::SpinButton, "Closing acceleration").click();
    test.run_steps(2);
    test.key_press(Key::Enter);
    settle(&mut test);
    assert!(!test.state().state().document.is_dirty());
}

#[test]
fn a_drag_of_a_slider_is_one_step_to_undo() {
    let mut test = window();
    let rail = test.get_by_role_and_label(Role::Slider, "Leaf mass").rect();
    let at = |part: f32| Pos2::new(rail.left() + part * rail.width(), rail.center().y);
    test.drag_at(at(0.3));
    test.step();
    let mut seen = Vec::new();
    for part in [0.4, 0.5, 0.6, 0.7] {
        test.hover_at(at(part));
        test.run_steps(2);
        seen.push(mass(&test));
    }
    test.drop_at(at(0.7));
    settle(&mut test);
    assert!(seen.windows(2).all(|pair| pair[0] < pair[1]), "it moves all along: {seen:?}");
    assert!(mass(&test) > 200.0);

    test.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut test);
    assert_eq!(mass(&test), 95.0);
    assert!(!test.state().state().document.is_dirty());

    click(&mut test, "Redo");
    assert!(mass(&test) > 200.0);
}

#[test]
fn the_new_curves_are_there_in_the_frame_of_the_move() {
    let mut test = window();
    let before = peak(&chart(&test, Kind::Energy));
    test.get_by_role_and_label(Role::Slider, "Leaf mass").set_value_accesskit(160.0);
    test.step();
    assert_eq!(mass(&test), 160.0);
    assert!(peak(&chart(&test, Kind::Energy)) > 1.3 * before);
}

#[test]
fn reset_brings_the_default_back() {
    let mut test = window();
    click(&mut test, "Reset Leaf mass");
    assert_eq!(mass(&test), tautleaf_physics::Parameters::default().leaf.mass_kg);
    assert!(test.query_by_label("Reset Leaf mass").is_none(), "there is nothing left to reset");
    click(&mut test, "Undo");
    assert_eq!(mass(&test), 95.0);
}

#[test]
fn a_broken_file_is_told_line_by_line_and_the_door_stays() {
    let path = folder().join("broken.toml");
    let text = "schema = 1\ntitle = \"Broken\"\n[leaf]\nmass = \"80\"\nstroke = \"1 kg\"\nwidht = \"1 m\"\n";
    std::fs::write(&path, text).expect("a folder for tests");
    let mut test = window();
    open(&mut test, &path);

    let notice = test.state().state().view.notice.clone().expect("a message");
    assert!(notice.wrong);
    assert!(notice.head.contains("3 problems"), "{}", notice.head);
    assert!(test.query_by_label(&notice.lines[0]).is_some(), "the first stands there");
    assert!(test.query_by_label(&notice.lines[1]).is_none(), "the others on demand");
    click(&mut test, "2 more");
    for (line, key) in [(4, "leaf.mass"), (5, "leaf.stroke"), (6, "leaf.widht")] {
        let told = notice.lines.iter().find(|told| told.contains(&format!("broken.toml:{line}: {key}")));
        let told = told.unwrap_or_else(|| panic!("{key} in {:?}", notice.lines));
        assert!(test.query_by_label(told).is_some(), "{told}");
    }
    assert_eq!(test.state().state().document.scenario().title, example::scenario().title);
    assert_eq!(mass(&test), 95.0);
}

#[test]
fn a_missing_file_is_told_and_the_door_stays() {
    let mut test = window();
    open(&mut test, Path::new("/nowhere/door.toml"));
    assert!(test.state().state().view.notice.as_ref().is_some_and(|notice| notice.wrong));
    assert_eq!(mass(&test), 95.0);
}

#[test]
fn a_good_file_is_opened_and_saved_elsewhere_and_reads_back_identical() {
    let mut test = window();
    open(&mut test, &scenarios().join("bi-parting.toml"));
    assert!(test.state().state().document.scenario().title.contains("pair"));
    type_into(&mut test, "Leaf mass", "130 lb");
    assert!(test.state().state().document.is_dirty());

    let path = folder().join("saved.toml");
    let _ = std::fs::remove_file(&path); // of a test before
    click(&mut test, "Save as");
    test.get_by_role_and_label(Role::TextInput, "Path").focus();
    test.run_steps(2);
    test.key_press_modifiers(Modifiers::COMMAND, Key::A);
    test.event(egui::Event::Text(path.display().to_string()));
    test.run_steps(2);
    click(&mut test, "Save file");

    let document = &test.state().state().document;
    assert!(!document.is_dirty());
    assert_eq!(document.path(), Some(&*path));
    let read_back = tautleaf_scenario::read(&path).expect("a door file");
    assert_eq!(&read_back, document.scenario());
}

#[test]
fn us_units_show_everywhere_at_once() {
    let mut test = window();
    click(&mut test, "Units: US");
    assert_eq!(test.state().state().units(), UnitSystem::Us);
    let value = test.get_by_role_and_label(Role::SpinButton, "Leaf mass").value().unwrap_or_default();
    assert!(value.contains("lb"), "the field shows {value}");
    assert_eq!(chart(&test, Kind::Speed).unit, "in/s");
    assert_eq!(chart(&test, Kind::Force).unit, "lbf");
    let stall = names(&test).into_iter().find(|name| name.starts_with("Stall force"));
    assert!(stall.as_ref().is_some_and(|row| row.contains("lbf")), "{stall:?}");
    assert_eq!(mass(&test), 95.0, "showing it in pounds does not change it");
    type_into(&mut test, "Leaf mass", "200");
    assert_eq!(mass(&test), 200.0 * 0.453_592_37);
}

#[test]
fn the_setting_that_is_offered_brings_the_verdict_back_within() {
    let mut test = window();
    move_slider(&mut test, "Closing speed", 0.42);
    assert_eq!(verdict(&test, Figure::TopSpeedClosing).outcome, Outcome::Over);

    let offer = |name: &String| name.starts_with("Try closing speed") && name.ends_with("top speed closing");
    let offered = names(&test).into_iter().find(offer).expect("an offer beside the verdict");
    click(&mut test, &offered);

    let outcome = verdict(&test, Figure::TopSpeedClosing).outcome;
    assert!(matches!(outcome, Outcome::Within | Outcome::Close), "{outcome:?}");
    click(&mut test, "Undo");
    assert_eq!(test.state().state().document.scenario().parameters.closing.speed_m_per_s, 0.42);
}

/// Half an ampere does not move the reference leaf: no limit may read as kept by a door that stands still.
#[test]
fn a_door_that_never_opens_is_not_within_all_limits() {
    let mut test = window();
    move_slider(&mut test, "Opening current limit", 0.5);
    assert!(test.query_by_label("Does not open and close").is_some());
    assert!(test.query_by_label("Within all limits").is_none());
}

#[test]
fn clicking_a_verdict_points_at_its_worst_moment() {
    let mut test = window();
    let worst = verdict(&test, Figure::PeakEnergyLeaf).at.expect("a moment");
    let row = names(&test).into_iter().find(|name| name.starts_with("Peak energy, one leaf")).expect("a row");
    click(&mut test, &row);
    assert_eq!(test.state().state().view.cursor, Some(worst));
    click(&mut test, "Point at no moment");
    assert_eq!(test.state().state().view.cursor, None);
}

#[test]
fn an_impossible_door_is_explained_and_the_last_run_stays() {
    let mut test = window();
    let before = peak(&chart(&test, Kind::Speed));
    move_slider(&mut test, "Closing creep distance", 200.0);
    // Shorter than its own creep distance.
    type_into(&mut test, "Stroke", "150 mm");
    assert!(!test.state().state().refused.is_empty());
    assert!(test.query_by_label_contains("This door cannot be run.").is_some());
    assert!(test.query_by_label_contains("Closing creep distance: ").is_some());
    assert!(peak(&chart(&test, Kind::Speed)) > 0.5 * before, "the charts still show a run");
    click(&mut test, "Undo");
    assert!(test.state().state().refused.is_empty());
    assert!(test.query_by_label_contains("This door cannot be run.").is_none());
}

#[test]
fn a_value_beyond_the_slider_is_shown_as_it_is() {
    let mut test = window();
    type_into(&mut test, "Leaf mass", "900 kg");
    assert_eq!(mass(&test), 900.0);
    let value = test.get_by_role_and_label(Role::SpinButton, "Leaf mass").value().unwrap_or_default();
    assert!(value.starts_with("900"), "{value}");
    assert!(test.state().state().live.as_ref().is_some_and(|live| !live.warnings.is_empty()));
}

/// Nothing that can be set in a file is missing in the window.
#[test]
fn every_number_of_a_door_has_its_slider() {
    let mut test = window_of_size([1280.0, 7000.0]);
    for part in [
        "Rollers and rail",
        "Drive",
        "Controller",
        "Stops",
        "What happens on the way",
        "Belt at the workbench",
        "Use and surroundings",
    ] {
        click(&mut test, part);
    }
    if test.query_by_label("Other").is_some() {
        click(&mut test, "Other");
    }
    let folds =
        test.query_all_by_label_contains("More about").filter_map(|node| node.accesskit_node().label());
    for fold in folds.collect::<Vec<_>>() {
        click(&mut test, &fold);
    }
    let mut unset = Vec::new();
    // The example has one leaf only.
    for field in tautleaf_physics::FIELDS.iter().filter(|field| field.key != "leaf.second_mass") {
        let name = tautleaf_app::words::name_of(field.key);
        if test.query_by_role_and_label(Role::Slider, &name).is_none() {
            assert!(test.query_by_label(&format!("Set {name}")).is_some(), "{}: {name}", field.key);
            unset.push(field.key);
        }
    }
    assert!(
        unset.contains(&"controller.jerk") && unset.len() < tautleaf_physics::FIELDS.len() / 5,
        "{unset:?}"
    );
    click(&mut test, "Set Controller jerk");
    assert!(test.state().state().document.scenario().parameters.controller.jerk_m_per_s3.is_some());
    assert!(test.query_by_role_and_label(Role::Slider, "Controller jerk").is_some());
}

#[test]
fn a_file_without_limits_says_how_to_set_some() {
    let path = folder().join("no limits.toml");
    std::fs::write(&path, "schema = 1\ntitle = \"Bare\"\n").expect("a folder for tests");
    let mut test = window();
    open(&mut test, &path);
    assert!(test.query_by_label("No limits set").is_some());
    click(&mut test, "Set limits");
    assert!(test.query_by_label("Published, to start from").is_some());
    click(&mut test, "Low-energy sliding door, Europe");
    click(&mut test, "Close");
    assert!(test.query_by_label("No limits set").is_none());
    let live = test.state().state().live.as_ref().expect("a run");
    assert!(live.verdicts.len() > 4);
}

#[test]
fn nothing_is_drawn_while_nothing_changes() {
    let mut test = window();
    let frames = test.run();
    assert!(frames <= 3, "{frames} frames although nothing happens");
}

#[test]
fn the_cautions_are_one_click_away() {
    let mut test = window();
    assert!(test.query_by_label_contains("A simulation is not proof").is_some());
    click(&mut test, "All cautions");
    for caution in tautleaf_scenario::CAUTIONS {
        assert!(test.query_by_label(caution).is_some(), "{caution}");
    }
    click(&mut test, "Understood");
    assert!(test.query_by_label(tautleaf_scenario::CAUTIONS[0]).is_none());
}

#[test]
fn everything_that_can_be_operated_has_a_name() {
    for size in [[1280.0, 720.0], [1920.0, 1080.0]] {
        let test = window_of_size(size);
        let roles = [Role::Slider, Role::SpinButton, Role::Button, Role::TextInput, Role::RadioButton];
        let mut named = 0;
        for node in roles.into_iter().flat_map(|role| test.query_all_by_role(role)) {
            let label = node.accesskit_node().label().unwrap_or_default();
            assert!(!label.trim().is_empty(), "what is at {:?} has no name", node.rect());
            named += 1;
        }
        assert!(named > 40, "{named} are there");
    }
}

#[test]
fn colours_change_between_light_and_dark() {
    let mut test = window();
    click(&mut test, "Dark colours");
    assert!(test.state().state().view.dark);
    assert_eq!(test.ctx.theme(), egui::Theme::Dark);
    click(&mut test, "Light colours");
    assert_eq!(test.ctx.theme(), egui::Theme::Light);
}
