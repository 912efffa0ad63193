//! Held runs beside their document: `shop.toml` has a folder `shop.held` with one ordinary door file for each.
//!
//! A file is named `02 softer braking.toml`: its place, then the name of the run.

use std::fs;
use std::path::{Path, PathBuf};

use tautleaf_scenario::{SaveError, Scenario};

/// A held run as it lies on the disk: its name and its door.
pub type Saved = (String, Scenario);

/// The folder that belongs to a document.
fn folder(document: &Path) -> PathBuf {
    document.with_extension("held")
}

/// The name of a file without what a file system does not take.
fn file_name(place: usize, name: &str) -> String {
    let plain = |c: char| if c.is_alphanumeric() || " -_.,+()".contains(c) { c } else { '_' };
    let name: String = name.chars().take(60).map(plain).collect();
    format!("{:02} {}.toml", place + 1, name.trim())
}

/// The name of the run in a file of ours; `None`: the file is none of ours.
fn name_of(file: &Path) -> Option<String> {
    let stem = file.file_stem()?.to_str()?;
    let (place, name) = stem.split_once(' ')?;
    let ours = place.len() == 2 && place.bytes().all(|byte| byte.is_ascii_digit());
    (ours && file.extension()? == "toml" && !name.is_empty()).then(|| name.to_owned())
}

/// Files of ours in the folder of a document, in their order.
fn files(document: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder(document)) else { return Vec::new() };
    let paths = entries.filter_map(|entry| Some(entry.ok()?.path()));
    let mut files: Vec<PathBuf> = paths.filter(|path| name_of(path).is_some()).collect();
    files.sort();
    files
}

/// Reads the held runs of a document. A file that is no door file any more is left alone.
pub fn read(document: &Path) -> Vec<Saved> {
    let read = |file: &PathBuf| Some((name_of(file)?, tautleaf_scenario::read(file).ok()?));
    files(document).iter().filter_map(read).collect()
}

/// Saves the held runs of a document; those that were let go are removed.
///
/// # Errors
/// The disk does not take one of them; those before it are saved.
pub fn save(document: &Path, runs: &[Saved]) -> Result<(), SaveError> {
    let before = files(document);
    if runs.is_empty() && before.is_empty() {
        return Ok(());
    }
    let folder = folder(document);
    fs::create_dir_all(&folder).map_err(|source| SaveError::Disk { path: folder.clone(), source })?;
    let mut kept = Vec::new();
    for (place, (name, scenario)) in runs.iter().enumerate() {
        let path = folder.join(file_name(place, name));
        tautleaf_scenario::save(&path, scenario)?;
        kept.push(path);
    }
    for file in before.iter().filter(|file| !kept.contains(file)) {
        // What cannot be removed comes back at the next start: no loss.
        let _ = fs::remove_file(file);
    }
    // Gone with its last file; anything else in it keeps it.
    let _ = fs::remove_dir(&folder);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn document(name: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("tautleaf-held-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).expect("a folder for tests");
        folder.join("shop.toml")
    }

    fn run(name: &str, kg: f64) -> Saved {
        let mut scenario = crate::example::scenario();
        scenario.parameters.leaf.mass_kg = kg;
        (name.to_owned(), scenario)
    }

    #[test]
    fn held_runs_come_back_in_their_order_with_their_names() {
        let document = document("order");
        let runs = [run("softer braking", 101.0), run("Run 1", 102.0), run("Run 1", 103.0)];
        save(&document, &runs).expect("saved");
        assert_eq!(read(&document), runs);
        save(&document, &runs[1..]).expect("saved");
        assert_eq!(read(&document), runs[1..]);
        save(&document, &[]).expect("saved");
        assert!(!folder(&document).exists(), "an empty folder does not stay");
        fs::remove_dir_all(document.parent().expect("a folder")).expect("cleaned up");
    }

    #[test]
    fn a_file_that_is_none_of_ours_is_neither_read_nor_removed() {
        let document = document("foreign");
        save(&document, &[run("Run 1", 101.0)]).expect("saved");
        let notes = folder(&document).join("notes.toml");
        fs::write(&notes, "mine").expect("written");
        save(&document, &[]).expect("saved");
        assert_eq!(read(&document), Vec::new());
        assert!(notes.exists());
        fs::remove_dir_all(document.parent().expect("a folder")).expect("cleaned up");
    }

    #[test]
    fn a_name_that_no_file_system_takes_is_made_one_that_it_does() {
        assert_eq!(file_name(0, "a/b: 95 kg?"), "01 a_b_ 95 kg_.toml");
    }
}
