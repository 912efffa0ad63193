//! What the window keeps for itself between starts: unsaved work, recent files, whether the pointers were read.
//!
//! Unsaved work lies in a file of its own for each window, beside a lock that its process holds. A file whose lock is
//! free was left behind by a window that did not end as it should.

use std::fs::{self, File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;

use tautleaf_scenario::{SaveError, Scenario};

use crate::outside::held_files::{self, Saved};

/// Most recent files that are listed.
const MOST_RECENT: usize = 8;
const RECENT: &str = "recent.txt";
const POINTERS: &str = "pointers-read";
const COLOURS: &str = "colours";
const KEPT: &str = "unsaved.toml";
const LOCK: &str = "lock";
const PATH: &str = "path";

/// Windows of this process, so that each has a name of its own.
static COUNT: AtomicU32 = AtomicU32::new(0);

/// The folder of one window.
#[derive(Debug)]
pub struct Store {
    folder: PathBuf,
    name: String,
    /// Held for as long as the window is there.
    _lock: File,
}

/// Work that a window left behind unsaved.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftBehind {
    /// The door as it was.
    pub scenario: Scenario,
    /// The file that it came from.
    pub path: Option<PathBuf>,
    /// The runs that were held with it: name and door.
    pub held: Vec<Saved>,
    /// How long ago it was kept.
    pub ago: Option<Duration>,
    /// Name of its files in the folder.
    name: String,
}

/// Where this desktop keeps such things; `None` where it does not say.
pub fn folder() -> Option<PathBuf> {
    let from =
        |variable: &str| std::env::var_os(variable).map(PathBuf::from).filter(|path| path.is_absolute());
    let home = || from("HOME");
    let folder = if cfg!(windows) {
        from("LOCALAPPDATA")
    } else if cfg!(target_os = "macos") {
        home().map(|home| home.join("Library/Application Support"))
    } else {
        from("XDG_STATE_HOME").or_else(|| home().map(|home| home.join(".local/state")))
    };
    Some(folder?.join("tautleaf"))
}

impl Store {
    /// Opens the folder, making it if need be.
    ///
    /// # Errors
    /// The folder cannot be written to.
    pub fn open(folder: &Path) -> io::Result<Self> {
        fs::create_dir_all(folder)?;
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let name = format!("{}-{count}", std::process::id());
        let lock = File::create(folder.join(format!("{name}.{LOCK}")))?;
        lock.try_lock().map_err(io::Error::from)?;
        Ok(Self { folder: folder.to_owned(), name, _lock: lock })
    }

    fn file(&self, name: &str, ending: &str) -> PathBuf {
        self.folder.join(format!("{name}.{ending}"))
    }

    /// Keeps unsaved work with the runs that are held. What was kept before stays whole until this is whole.
    ///
    /// # Errors
    /// The disk does not take it.
    pub fn keep(&self, scenario: &Scenario, path: Option<&Path>, held: &[Saved]) -> Result<(), SaveError> {
        let kept = self.file(&self.name, KEPT);
        tautleaf_scenario::save(&kept, scenario)?;
        held_files::save(&kept, held)?;
        let from = path.map_or_else(String::new, |path| path.display().to_string());
        // Without it the work is still there, only not where it came from.
        let _ = fs::write(self.file(&self.name, PATH), from);
        Ok(())
    }

    /// Lets go of what was kept: it is saved, or not wanted.
    pub fn forget(&self) {
        self.remove(&self.name, &[KEPT, PATH]);
        self.remove_held(&self.name);
    }

    /// Lets go of the held runs that were kept with unsaved work.
    fn remove_held(&self, name: &str) {
        // What cannot be removed takes up room, no more.
        let _ = held_files::save(&self.file(name, KEPT), &[]);
    }

    /// What windows left behind that did not end as they should.
    pub fn left_behind(&self) -> Vec<LeftBehind> {
        let Ok(entries) = fs::read_dir(&self.folder) else { return Vec::new() };
        let files: Vec<String> =
            entries.filter_map(|entry| entry.ok()?.file_name().into_string().ok()).collect();
        let ending = |ending: &'static str| {
            let name_of = move |file: &String| Some(file.strip_suffix(ending)?.strip_suffix('.')?.to_owned());
            files.iter().filter_map(name_of).filter(|name| !self.is_alive(name)).collect::<Vec<String>>()
        };
        let mut names = ending(KEPT);
        // Locks of windows that were killed with nothing unsaved.
        for name in ending(LOCK).iter().filter(|name| !names.contains(name)) {
            self.remove(name, &[LOCK]);
        }
        names.sort();
        names.into_iter().filter_map(|name| self.read_left(name)).collect()
    }

    fn read_left(&self, name: String) -> Option<LeftBehind> {
        let scenario = tautleaf_scenario::read(&self.file(&name, KEPT)).ok()?;
        let path = fs::read_to_string(self.file(&name, PATH)).ok();
        let path = path.filter(|path| !path.is_empty()).map(PathBuf::from);
        let kept = fs::metadata(self.file(&name, KEPT)).and_then(|about| about.modified());
        let ago = kept.ok().and_then(|kept| kept.elapsed().ok());
        let held = held_files::read(&self.file(&name, KEPT));
        Some(LeftBehind { scenario, path, held, ago, name })
    }

    fn is_alive(&self, name: &str) -> bool {
        if *name == self.name {
            return true;
        }
        let lock = File::open(self.file(name, LOCK));
        lock.is_ok_and(|lock| matches!(lock.try_lock(), Err(TryLockError::WouldBlock)))
    }

    /// Takes over what was left behind: from now on it is this window's.
    ///
    /// # Errors
    /// The files cannot be renamed; they are then where they were.
    pub fn take(&self, left: &LeftBehind) -> io::Result<()> {
        fs::rename(self.file(&left.name, KEPT), self.file(&self.name, KEPT))?;
        let _ = fs::rename(self.file(&left.name, PATH), self.file(&self.name, PATH));
        let _ = held_files::save(&self.file(&self.name, KEPT), &left.held);
        self.remove_held(&left.name);
        self.remove(&left.name, &[LOCK]);
        Ok(())
    }

    /// Throws away what was left behind.
    pub fn throw_away(&self, left: &LeftBehind) {
        self.remove(&left.name, &[KEPT, PATH, LOCK]);
        self.remove_held(&left.name);
    }

    fn remove(&self, name: &str, endings: &[&str]) {
        for ending in endings {
            // What is not there need not be removed.
            let _ = fs::remove_file(self.file(name, ending));
        }
    }

    /// Files that were opened or saved last, the latest first; those that are gone are left out.
    pub fn recent(&self) -> Vec<PathBuf> {
        let text = fs::read_to_string(self.folder.join(RECENT)).unwrap_or_default();
        text.lines().map(PathBuf::from).filter(|path| path.is_file()).take(MOST_RECENT).collect()
    }

    /// Puts a file at the head of them.
    pub fn note_recent(&self, path: &Path) {
        let Ok(path) = std::path::absolute(path) else { return };
        let mut all = self.recent();
        all.retain(|other| *other != path);
        all.insert(0, path);
        all.truncate(MOST_RECENT);
        let text: String = all.iter().map(|path| format!("{}\n", path.display())).collect();
        // A list that could not be written is no loss to speak of.
        let _ = fs::write(self.folder.join(RECENT), text);
    }

    /// Whether dark colours were chosen last; `None`: none were.
    pub fn dark(&self) -> Option<bool> {
        let text = fs::read_to_string(self.folder.join(COLOURS)).ok()?;
        match text.trim() {
            "dark" => Some(true),
            "light" => Some(false),
            _ => None,
        }
    }

    /// They were chosen.
    pub fn set_dark(&self, dark: bool) {
        // It is only a matter of looks.
        let _ = fs::write(self.folder.join(COLOURS), if dark { "dark" } else { "light" });
    }

    /// Whether the pointers of the first start were read.
    pub fn pointers_read(&self) -> bool {
        self.folder.join(POINTERS).exists()
    }

    /// They were.
    pub fn set_pointers_read(&self) {
        let _ = fs::write(self.folder.join(POINTERS), "");
    }
}

impl Drop for Store {
    fn drop(&mut self) {
        self.remove(&self.name, &[LOCK]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(name: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("tautleaf-store-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        folder
    }

    fn door(kg: f64) -> Scenario {
        let mut scenario = crate::example::scenario();
        scenario.parameters.leaf.mass_kg = kg;
        scenario
    }

    #[test]
    fn work_of_a_window_that_is_open_is_not_left_behind() {
        let folder = folder("open");
        let (first, second) = (Store::open(&folder).expect("one"), Store::open(&folder).expect("two"));
        first.keep(&door(111.0), None, &[]).expect("kept");
        assert_eq!(second.left_behind(), Vec::new());
        fs::remove_dir_all(folder).expect("cleaned up");
    }

    #[test]
    fn work_of_a_window_that_is_gone_is_taken_over_with_the_file_that_it_came_from() {
        let folder = folder("gone");
        let gone = Store::open(&folder).expect("a folder");
        gone.keep(&door(111.0), Some(Path::new("/doors/shop.toml")), &[("before".to_owned(), door(99.0))])
            .expect("kept");
        drop(gone);
        let store = Store::open(&folder).expect("a folder");
        let left = store.left_behind();
        assert_eq!(left.len(), 1);
        assert_eq!(left[0].scenario.parameters.leaf.mass_kg, 111.0);
        assert_eq!(left[0].path.as_deref(), Some(Path::new("/doors/shop.toml")));
        store.take(&left[0]).expect("renamed");
        assert_eq!(store.left_behind(), Vec::new(), "it is this window's now");
        store.forget();
        drop(store);
        assert_eq!(Store::open(&folder).expect("a folder").left_behind(), Vec::new());
        fs::remove_dir_all(folder).expect("cleaned up");
    }

    #[test]
    fn the_lock_of_a_killed_window_that_had_nothing_unsaved_is_cleared_away() {
        let folder = folder("locks");
        fs::create_dir_all(&folder).expect("a folder");
        let stale = folder.join("1-0.lock");
        fs::write(&stale, "").expect("written");
        let (other, store) = (Store::open(&folder).expect("one"), Store::open(&folder).expect("two"));
        assert_eq!(store.left_behind(), Vec::new());
        assert!(!stale.exists());
        assert!(folder.join(format!("{}.lock", other.name)).exists(), "a window that is open keeps its lock");
        fs::remove_dir_all(folder).expect("cleaned up");
    }

    #[test]
    fn the_latest_file_heads_the_list_and_stands_in_it_once() {
        let folder = folder("recent");
        let store = Store::open(&folder).expect("a folder");
        let paths = ["a.toml", "b.toml"].map(|name| folder.join(name));
        for path in [&paths[0], &paths[1], &paths[0]] {
            fs::write(path, "schema = 1").expect("written");
            store.note_recent(path);
        }
        assert_eq!(store.recent(), paths);
        fs::remove_file(&paths[0]).expect("removed");
        assert_eq!(store.recent(), &paths[1..], "what is gone is not listed");
        fs::remove_dir_all(folder).expect("cleaned up");
    }
}
