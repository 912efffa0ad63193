//! Unsaved work, recent files, keys and pointers: what stays when the window goes.

mod steps;

use std::fs;
use std::path::PathBuf;

use eframe::egui::{self, Key, Modifiers, accesskit::Role};
use egui_kittest::kittest::Queryable;
use steps::*;
use tautleaf_app::axis::Axis;
use tautleaf_app::state::Popup;

fn empty_folder(name: &str) -> PathBuf {
    let folder = folder().join(name);
    let _ = fs::remove_dir_all(&folder);
    folder
}

/// As a window that was killed leaves it: the lock is gone with its process, the file stays.
fn killed_with_a_leaf_of(folder: &std::path::Path, kg: f64) {
    let mut test = window_keeping_in(folder);
    move_slider(&mut test, "Leaf mass", kg);
    let kept = fs::read_dir(folder).expect("the folder").filter_map(Result::ok);
    let kept = kept.map(|entry| entry.path()).find(|path| path.to_string_lossy().ends_with("unsaved.toml"));
    let kept = kept.expect("unsaved work is kept soon after a change");
    fs::rename(&kept, folder.join("killed.unsaved.toml")).expect("renamed");
}

#[test]
fn work_that_a_killed_window_left_behind_is_offered_and_taken_back() {
    let folder = empty_folder("killed");
    killed_with_a_leaf_of(&folder, 133.0);

    let mut test = window_keeping_in(&folder);
    assert!(test.query_by_label("Work that was not saved is still here").is_some());
    click(&mut test, "Take it back");
    assert_eq!(mass(&test), 133.0);
    assert!(test.state().state().document.is_dirty(), "it is still not saved");
    assert!(test.state().state().view.popup.is_none());
    drop(test);
    fs::remove_dir_all(folder).expect("cleaned up");
}

/// What was held comes back with it, and saving it then loses none of what lay beside the file. The file is told from the root
/// on, so that a start elsewhere saves no other one.
#[test]
fn what_was_held_comes_back_with_unsaved_work() {
    let folder = empty_folder("killed with runs");
    fs::create_dir_all(&folder).expect("a folder for tests");
    let door = folder.join("door.toml");
    fs::copy(scenarios().join("bi-parting.toml"), &door).expect("copied");
    let mut test = window_keeping_in(&folder);
    open(&mut test, &door);
    click(&mut test, "Hold this run");
    test.key_press_modifiers(Modifiers::COMMAND, Key::S);
    settle(&mut test);
    move_slider(&mut test, "Leaf mass", 77.0);
    let all = || fs::read_dir(&folder).expect("the folder").filter_map(Result::ok).map(|entry| entry.path());
    for ending in ["unsaved.toml", "unsaved.held", "path"] {
        let kept = all().find(|path| path.to_string_lossy().ends_with(ending)).expect("kept");
        fs::rename(&kept, folder.join(format!("killed.{ending}"))).expect("renamed");
    }
    let from = fs::read_to_string(folder.join("killed.path")).expect("where it came from");
    assert!(PathBuf::from(from).is_absolute());

    let mut test = window_keeping_in(&folder);
    click(&mut test, "Take it back");
    let document = &test.state().state().document;
    assert_eq!((document.path(), document.held().all().len()), (Some(&*door), 1));
    test.key_press_modifiers(Modifiers::COMMAND, Key::S);
    settle(&mut test);
    assert_eq!(fs::read_dir(folder.join("door.held")).expect("still there").count(), 1);
    assert_eq!(tautleaf_scenario::read(&door).expect("a door").parameters.leaf.mass_kg, 77.0);
    drop(test);
    assert!(!all().any(|path| path.to_string_lossy().contains("unsaved")), "nothing is kept twice");
    fs::remove_dir_all(folder).expect("cleaned up");
}

#[test]
fn work_that_is_thrown_away_is_offered_no_more() {
    let folder = empty_folder("thrown away");
    killed_with_a_leaf_of(&folder, 133.0);
    let mut test = window_keeping_in(&folder);
    click(&mut test, "Throw it away");
    assert_eq!(mass(&test), 95.0);
    drop(test);
    let test = window_keeping_in(&folder);
    assert!(test.query_by_label("Work that was not saved is still here").is_none());
    drop(test);
    fs::remove_dir_all(folder).expect("cleaned up");
}

#[test]
fn what_is_saved_is_not_kept_twice() {
    let folder = empty_folder("saved");
    let mut test = window_keeping_in(&folder);
    move_slider(&mut test, "Leaf mass", 120.0);
    click(&mut test, "Undo");
    let left = fs::read_dir(&folder).expect("the folder").filter_map(Result::ok);
    let left: Vec<_> = left.map(|entry| entry.file_name()).collect();
    assert!(left.iter().all(|name| !name.to_string_lossy().contains("unsaved")), "{left:?}");
    drop(test);
    fs::remove_dir_all(folder).expect("cleaned up");
}

#[test]
fn a_file_that_was_opened_is_one_click_away_the_next_time() {
    let folder = empty_folder("recent");
    let mut test = window_keeping_in(&folder);
    open(&mut test, &scenarios().join("bi-parting.toml"));
    drop(test);
    let mut test = window_keeping_in(&folder);
    click(&mut test, "Open");
    click(&mut test, "bi-parting.toml");
    assert!(test.state().state().document.scenario().title.contains("pair"));
    drop(test);
    fs::remove_dir_all(folder).expect("cleaned up");
}

#[test]
fn the_pointers_of_the_first_start_go_away_for_good() {
    let folder = empty_folder("pointers");
    let mut test = window_keeping_in(&folder);
    assert!(test.query_by_label_contains("Move a slider on the left").is_some());
    click(&mut test, "Understood, do not show again");
    assert!(test.query_by_label_contains("Move a slider on the left").is_none());
    drop(test);
    let test = window_keeping_in(&folder);
    assert!(test.query_by_label_contains("Move a slider on the left").is_none());
    drop(test);
    fs::remove_dir_all(folder).expect("cleaned up");
}

/// A file as the desktop drops it.
#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &std::path::Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        fs::read(&self.0).map_err(|error| error.to_string())
    }
}

#[test]
fn a_dropped_file_is_opened() {
    let mut test = window();
    let path = scenarios().join("bi-parting.toml");
    test.input_mut().dropped_files.push(std::sync::Arc::new(Dropped(path)));
    settle(&mut test);
    assert!(test.state().state().document.scenario().title.contains("pair"));
}

#[test]
fn closing_with_unsaved_changes_asks_first() {
    let mut test = window();
    move_slider(&mut test, "Leaf mass", 120.0);
    let events = &mut test.input_mut().viewports.entry(egui::ViewportId::ROOT).or_default().events;
    events.push(egui::ViewportEvent::Close);
    test.step();
    test.step();
    assert_eq!(test.state().state().view.popup, Some(Popup::Unsaved));
    click(&mut test, "Cancel");
    assert_eq!(mass(&test), 120.0);
}

#[test]
fn the_keys_do_what_the_list_says() {
    let mut test = window();
    test.key_press(Key::F1);
    settle(&mut test);
    for (_, what) in tautleaf_app::action::SHORTCUTS {
        assert!(test.query_all_by_label(what).next().is_some(), "{what}");
    }
    click(&mut test, "Close");
    test.key_press(Key::O);
    settle(&mut test);
    assert_eq!(test.state().state().view.axis, Axis::Opening);
    test.key_press(Key::T);
    settle(&mut test);
    assert_eq!(test.state().state().view.axis, Axis::Time);
    test.key_press(Key::H);
    settle(&mut test);
    assert_eq!(test.state().state().document.held().all().len(), 1);
    test.key_press(Key::Period);
    settle(&mut test);
    assert!(test.state().state().view.cursor.is_some_and(|moment| moment.t_s > 0.0));
    test.key_press(Key::Space);
    test.run_steps(3);
    assert!(test.state().state().view.playing);
    test.key_press_modifiers(Modifiers::COMMAND, Key::O);
    settle(&mut test);
    assert!(test.query_by_role_and_label(Role::TextInput, "Path").is_some());
}

#[test]
fn a_chart_is_saved_as_a_table_and_as_a_drawing_and_copied() {
    let folder = empty_folder("charts");
    fs::create_dir_all(&folder).expect("a folder for tests");
    let mut test = window();
    for (item, name, begins) in [
        ("Save as CSV", "tension.csv", "curve,time (s),strand tension (N)\n"),
        ("Save as SVG", "tension.svg", "<svg "),
        ("Save as PNG", "tension.png", "\u{89}PNG"),
    ] {
        click(&mut test, "Copy or save strand tension");
        click(&mut test, item);
        test.get_by_role_and_label(Role::TextInput, "Path").focus();
        test.run_steps(2);
        test.key_press_modifiers(Modifiers::COMMAND, Key::A);
        test.event(egui::Event::Text(folder.join(name).display().to_string()));
        test.run_steps(2);
        click(&mut test, "Save file");
        settle(&mut test);
        let bytes = fs::read(folder.join(name)).expect("it was saved");
        // one character, one byte
        let text: String = bytes.into_iter().map(char::from).collect();
        assert!(text.starts_with(begins), "{name}");
    }
    click(&mut test, "Copy or save speed");
    click(&mut test, "Copy as CSV");
    assert!(test.query_by_label("Speed was copied as CSV.").is_some());
    fs::remove_dir_all(folder).expect("cleaned up");
}

#[test]
fn held_runs_are_saved_with_the_document_and_come_back_with_it() {
    let folder = empty_folder("held");
    fs::create_dir_all(&folder).expect("a folder for tests");
    let path = folder.join("shop.toml");
    fs::copy(scenarios().join("reference-glass.toml"), &path).expect("copied");
    let mut test = window();
    open(&mut test, &path);
    click(&mut test, "Hold this run");
    move_slider(&mut test, "Leaf mass", 140.0);
    test.key_press_modifiers(Modifiers::COMMAND, Key::S);
    settle(&mut test);
    assert!(!test.state().state().document.held().is_unsaved());

    let mut test = window();
    open(&mut test, &path);
    assert_eq!(mass(&test), 140.0);
    let held = test.state().state().document.held().all();
    let names: Vec<_> =
        held.iter().map(|held| (held.name.as_str(), held.scenario.parameters.leaf.mass_kg)).collect();
    assert_eq!(names, [("Run 1", 95.0)]);
    fs::remove_dir_all(folder).expect("cleaned up");
}

/// A path is typed as soon as it is asked for; nothing of it reaches the door behind. Another file is not replaced unasked.
#[test]
fn a_path_is_typed_at_once_and_another_file_is_only_replaced_after_a_question() {
    let folder = empty_folder("replace");
    fs::create_dir_all(&folder).expect("a folder for tests");
    let other = folder.join("hot.toml");
    fs::write(&other, "schema = 1\n").expect("a folder for tests");
    let mut test = window();
    test.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    settle(&mut test);
    // without the ending, which is added
    test.event(egui::Event::Text(other.with_extension("").display().to_string()));
    test.run_steps(2);
    test.key_press(Key::Enter);
    settle(&mut test);
    assert!(test.state().state().document.held().all().is_empty(), "the h of the path holds no run");
    assert!(test.query_by_label("Replace hot.toml?").is_some());
    assert_eq!(fs::read_to_string(&other).expect("still there"), "schema = 1\n");
    click(&mut test, "Cancel");
    test.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    settle(&mut test);
    test.key_press_modifiers(Modifiers::COMMAND, Key::A);
    test.event(egui::Event::Text(other.display().to_string()));
    test.run_steps(2);
    test.key_press(Key::Enter);
    settle(&mut test);
    click(&mut test, "Replace it");
    assert!(tautleaf_scenario::read(&other).is_ok_and(|saved| saved.title.contains("reference")));
    assert_eq!(test.state().state().document.path(), Some(&*other));
    fs::remove_dir_all(folder).expect("cleaned up");
}

#[test]
fn the_built_in_examples_are_opened_and_the_door_is_named() {
    let mut test = window();
    click(&mut test, "Open");
    test.get_by_label("Belt too loose").click_accesskit();
    settle(&mut test);
    let document = &test.state().state().document;
    assert_eq!((document.scenario().title.as_str(), document.path()), ("Belt too loose", None));
    assert!(!document.is_dirty());
    click(&mut test, "Belt too loose: give it another name");
    test.event(egui::Event::Text("Shop entrance".to_owned()));
    test.run_steps(2);
    click(&mut test, "Use this name");
    assert_eq!(test.state().state().document.scenario().title, "Shop entrance");
    click(&mut test, "Undo");
    assert_eq!(test.state().state().document.scenario().title, "Belt too loose");
}

/// A held run gets its name in the list of them.
#[test]
fn a_held_run_is_given_a_name() {
    let mut test = window();
    click(&mut test, "Hold this run");
    test.get_by_role_and_label(egui::accesskit::Role::ComboBox, "Compared with Run 1").click();
    settle(&mut test);
    let field = test.get_by_role_and_label(Role::TextInput, "Name").rect().center();
    test.hover_at(field);
    test.drag_at(field);
    test.step();
    test.drop_at(field);
    settle(&mut test);
    test.key_press_modifiers(Modifiers::COMMAND, Key::A);
    test.event(egui::Event::Text("before".to_owned()));
    test.run_steps(2);
    test.key_press(Key::Enter);
    settle(&mut test);
    assert_eq!(test.state().state().document.held().all()[0].name, "before");
}

/// Dark colours that were chosen are there at the next start; a file that the program is started with is nothing to undo.
#[test]
fn colours_stay_and_a_first_file_is_no_step() {
    let folder = empty_folder("colours");
    let mut test = window_keeping_in(&folder);
    assert!(!test.state().state().view.dark);
    click(&mut test, "Dark colours");
    drop(test);
    let mut test = window_keeping_in(&folder);
    assert!(test.state().state().view.dark);
    open(&mut test, &scenarios().join("bi-parting.toml"));
    let document = &test.state().state().document;
    assert_eq!((document.undoable(), document.is_dirty()), (None, false));
    drop(test);
    fs::remove_dir_all(folder).expect("cleaned up");
}
