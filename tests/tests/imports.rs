//! Imports run one way: between the crates, and between the files of a crate, which form no circle.

use std::path::{Path, PathBuf};

use tautleaf_tests::modules::{self, arrows, circles, modules, paths};

/// The crates, each importing only from those before it.
const CRATES: [&str; 7] = ["physics", "trials", "scenario", "report", "cli", "app", "tautleaf"];

fn crates() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates")
}

#[test]
fn a_crate_imports_only_from_those_before_it_and_terminal_and_window_know_nothing_of_each_other() {
    for (place, name) in CRATES.iter().enumerate() {
        let manifest = std::fs::read_to_string(crates().join(name).join("Cargo.toml")).unwrap();
        let (_, dependencies) = manifest.split_once("[dependencies]").unwrap();
        let dependencies = dependencies.split("\n[").next().unwrap_or_default();
        for line in dependencies.lines().filter_map(|line| line.strip_prefix("tautleaf-")) {
            let dependency = line.split(['.', ' ', '=']).next().unwrap_or_default();
            let before = CRATES.iter().position(|known| *known == dependency).unwrap() < place;
            assert!(before && (*name, dependency) != ("app", "cli"), "{name} imports {dependency}");
        }
    }
}

#[test]
fn no_files_of_a_crate_import_each_other_in_a_circle() {
    for name in ["physics", "trials", "scenario", "report", "cli", "app"] {
        let circles = circles(&arrows(&modules(&crates().join(name).join("src"))));
        assert!(circles.is_empty(), "{name}: {circles:#?}");
    }
}

#[test]
fn every_way_to_use_a_file_is_seen() {
    let arrows = arrows(&modules(&crates().join("physics/src")));
    assert!(arrows.len() > 60, "{}", arrows.len());
    assert!(arrows["plant"].contains("contact") && arrows["reading::force"].contains("reading::record"));
    let arrows_of = |files: &[(&str, &str)]| {
        modules::arrows(&files.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect())
    };
    let uses = |text: &str| {
        let tree = [("", "mod a; mod b;"), ("a", "mod c; pub use c::Deep;"), ("a::c", text), ("b", "")];
        let uses = arrows_of(&tree).remove("a::c").unwrap();
        uses.into_iter().collect::<Vec<_>>().join(" ")
    };
    assert_eq!(uses("use std::fs; use c::d; fn f() { std::mem::take(x) }"), "");
    assert_eq!(uses("use crate::b::B;"), "b");
    assert_eq!(uses("use crate::{a::A, b::{self, B as Other}};"), "a b");
    assert_eq!(uses("use super::A;"), "a");
    assert_eq!(uses("fn f() { super::super::b::f() }"), "b");
    assert_eq!(uses("pub(crate) fn f(b: crate::b::B) {}"), "b");
    assert_eq!(uses("use crate::VERSION;"), "lib");
    // what a file passes on is used where it is written
    let passed_on =
        [("", "mod a; mod b;"), ("a", "mod c; pub use c::Deep;"), ("a::c", ""), ("b", "use crate::a::Deep;")];
    assert!(arrows_of(&passed_on)["b"].contains("a::c") && arrows_of(&passed_on)["a"].contains("a::c"));
    let mut tied = arrows;
    tied.get_mut("contact").unwrap().insert("plant".to_owned());
    let seen = circles(&tied);
    assert!(seen.len() == 1 && seen[0].contains("contact") && seen[0].contains("plant"), "{seen:?}");
}

/// The equations stay readable, testable and portable.
#[test]
fn the_equations_know_no_files_clock_threads_or_printing() {
    for (name, text) in modules(&crates().join("physics/src")) {
        for foreign in
            ["std::fs", "std::thread", "std::time", "std::env", "println!", "eprintln!", "egui", "toml"]
        {
            assert!(!text.contains(foreign), "{name}: {foreign}");
        }
    }
}

/// Whether a path names what runs a door.
fn runs_a_door(path: &str) -> bool {
    const RUN: [&str; 9] =
        ["cycle", "warm_run", "remedy", "advise", "tune", "choose", "load_map", "in_order", "in_parallel"];
    let is_ours = path.starts_with("tautleaf_physics::") || path.starts_with("tautleaf_trials::");
    is_ours && path.rsplit("::").next().is_some_and(|name| RUN.contains(&name))
}

#[test]
fn a_panel_runs_no_door_starts_no_thread_and_touches_no_file() {
    let modules = modules(&crates().join("app/src"));
    let panels: Vec<_> = modules.iter().filter(|(name, _)| name.starts_with("panels")).collect();
    assert!(panels.len() > 20, "{}", panels.len());
    for (name, text) in panels {
        let running: Vec<String> = paths(text).into_iter().filter(|path| runs_a_door(path)).collect();
        assert!(running.is_empty(), "{name}: {running:?}");
        for foreign in ["std::thread", "std::fs", "crate::jobs", ".jobs", "::work(", ".assess", ".run("] {
            assert!(!text.contains(foreign), "{name}: {foreign}");
        }
    }
}

/// Everything else there only writes down what these hold.
#[test]
fn in_report_only_what_a_report_is_made_from_runs_a_door() {
    let modules = modules(&crates().join("report/src"));
    let runs = |text: &str| text.contains(".assess") || paths(text).iter().any(|path| runs_a_door(path));
    let running: Vec<&str> =
        modules.iter().filter(|(_, text)| runs(text)).map(|(name, _)| name.as_str()).collect();
    let made_from = ["choose", "choose::load_map", "judged", "resolved", "trials::advise", "way_back"];
    assert_eq!(running, made_from);
}

#[test]
fn nothing_outside_the_terminal_prints_or_ends_the_program() {
    const LOUD: [&str; 6] = ["print!(", "println!(", "dbg!(", "stdout(", "stderr(", "process::exit("];
    let loud = |name: &str| {
        let modules = modules(&crates().join(name).join("src"));
        let loud = modules.into_iter().filter(|(_, text)| LOUD.iter().any(|word| text.contains(word)));
        loud.map(|(file, _)| file).collect::<Vec<_>>()
    };
    assert!(loud("cli").contains(&"output".to_owned()), "printing is seen");
    for name in CRATES.into_iter().filter(|name| *name != "cli") {
        // the program itself hands on the exit code of the terminal
        let rest: Vec<String> = loud(name).into_iter().filter(|file| file != "main").collect();
        assert!(rest.is_empty(), "{name}: {rest:?}");
    }
}
