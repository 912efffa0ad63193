//! The only place that touches threads, files and dialogs.

pub mod held_files;
pub mod store;

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use tautleaf_scenario::{ReadError, SaveError, Scenario};

/// Runs something beside the window.
pub fn beside(work: impl FnOnce() + Send + 'static) {
    std::thread::spawn(work);
}

/// Does something, and tells how long that took.
pub fn timed<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let begun = Instant::now();
    let done = work();
    (done, begun.elapsed())
}

/// Does two things at once, the first on another core.
pub fn both<A: Send, B>(first: impl FnOnce() -> A + Send, second: impl FnOnce() -> B) -> (A, B) {
    std::thread::scope(|scope| {
        let first = scope.spawn(first);
        let second = second();
        match first.join() {
            Ok(first) => (first, second),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}

/// Reads a door file.
///
/// # Errors
/// Every problem of the file.
pub fn read(path: &Path) -> Result<Scenario, ReadError> {
    tautleaf_scenario::read(path)
}

/// Saves a door file.
///
/// # Errors
/// Why it could not; the file is then as it was.
pub fn save(path: &Path, scenario: &Scenario) -> Result<(), SaveError> {
    tautleaf_scenario::save(path, scenario)
}

/// The path from the root on, where that can be told.
pub fn whole(path: &Path) -> PathBuf {
    std::path::absolute(path).unwrap_or_else(|_| path.to_owned())
}

/// Whether there is a file.
pub fn is_there(path: &Path) -> bool {
    path.exists()
}

/// Writes a file whole, or not at all.
///
/// # Errors
/// Why it could not; the file is then as it was.
pub fn write(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    tautleaf_scenario::replace(path, bytes)
}

/// Asks where to save a chart. `None`: nothing was picked, or this desktop has no file dialog.
pub fn pick_for_chart(name: &str, (format, ending): (&str, &str)) -> Option<PathBuf> {
    let dialog = rfd::FileDialog::new().add_filter(format, &[ending]);
    dialog.set_title("Save the chart").set_file_name(name).save_file()
}

/// Asks which file to open. `None`: none was picked, or this desktop has no file dialog.
pub fn pick_to_open() -> Option<PathBuf> {
    dialog().set_title("Open a door file").pick_file()
}

/// Asks where to save. `None`: nothing was picked, or this desktop has no file dialog.
pub fn pick_to_save(name: &str) -> Option<PathBuf> {
    dialog().set_title("Save the door file").set_file_name(name).save_file()
}

fn dialog() -> rfd::FileDialog {
    rfd::FileDialog::new().add_filter("Door files", &["toml"])
}
