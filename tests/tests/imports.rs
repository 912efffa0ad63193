//! Imports run one way: between the crates, and between the files of the equations, which form no circle.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

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

/// Every file of a crate by its path as a module, with its text up to its tests.
fn modules(root: &Path) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut folders = vec![root.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let name =
                path.strip_prefix(root).unwrap().with_extension("").to_string_lossy().replace('/', "::");
            if path.extension().is_some_and(|extension| extension == "rs") && !name.ends_with("tests") {
                let text = std::fs::read_to_string(&path).unwrap();
                let text = text.split("#[cfg(test)]").next().unwrap_or_default().to_owned();
                found.insert(name.strip_suffix("::mod").unwrap_or(&name).to_owned(), text);
            }
        }
    }
    found
}

/// What follows `use crate::` in a file, one path each, lists taken apart.
fn imports(text: &str) -> Vec<String> {
    let mut paths = Vec::new();
    for statement in text.split("use crate::").skip(1) {
        let statement: String = statement.split(';').next().unwrap_or_default().split_whitespace().collect();
        match statement.split_once('{') {
            Some((stem, list)) => {
                paths.extend(list.trim_end_matches('}').split(',').map(|name| format!("{stem}{name}")));
            }
            None => paths.push(statement),
        }
    }
    paths
}

/// The modules that each imports.
fn arrows(modules: &BTreeMap<String, String>) -> BTreeMap<&str, BTreeSet<&str>> {
    let module_of = |path: &str| {
        let mut path = path;
        loop {
            if let Some((name, _)) = modules.get_key_value(path) {
                return Some(name.as_str());
            }
            path = path.rsplit_once("::")?.0;
        }
    };
    let of = |(name, text): (&'_ String, &'_ String)| -> BTreeSet<&str> {
        let all = imports(text);
        all.iter().filter_map(|path| module_of(path)).filter(|to| to != name).collect()
    };
    modules.iter().map(|module| (module.0.as_str(), of(module))).collect()
}

/// A circle of imports, if there is one.
fn circle<'a>(arrows: &BTreeMap<&'a str, BTreeSet<&'a str>>) -> Option<Vec<&'a str>> {
    let mut left: BTreeMap<&str, BTreeSet<&str>> = arrows.clone();
    // what imports nothing that is left is in no circle
    while let Some(end) = left.iter().find(|(_, to)| to.is_empty()).map(|(name, _)| *name) {
        left.remove(end);
        left.values_mut().for_each(|to| _ = to.remove(end));
    }
    (!left.is_empty()).then(|| left.into_keys().collect())
}

#[test]
fn the_files_of_the_equations_form_no_circle() {
    let modules = modules(&crates().join("physics/src"));
    assert!(modules.len() > 60, "{}", modules.len());
    let arrows = arrows(&modules);
    // what the reading of imports itself has to find
    assert!(arrows["plant"].contains("contact") && arrows["reading::force"].contains("reading::record"));
    assert_eq!(circle(&arrows), None);
    let mut tied = arrows.clone();
    tied.entry("contact").or_default().insert("plant");
    assert!(circle(&tied).is_some(), "a circle is seen");
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
