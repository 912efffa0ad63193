//! Door files on disk.

use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use crate::parse::{LARGEST_FILE, parse};
use crate::problem::ReadError;
use crate::scenario::Scenario;
use crate::write::to_text;

/// Reads a door file.
///
/// # Errors
/// Every problem with the file or its text, see [`parse`].
pub fn read(path: &Path) -> Result<Scenario, ReadError> {
    let name = path.display().to_string();
    let cannot = |error: &io::Error| ReadError::whole(&name, "cannot be opened", reason(error));
    let about = fs::metadata(path).map_err(|error| cannot(&error))?;
    if about.is_dir() {
        return Err(ReadError::whole(&name, "this is a folder", "name a door file in it"));
    }
    if !about.is_file() {
        let would_do = "name a file, or - to read standard input";
        return Err(ReadError::whole(&name, "this is no ordinary file", would_do));
    }
    if about.len() > LARGEST_FILE {
        let found = format!("{} bytes are too many for a door file", about.len());
        return Err(ReadError::whole(&name, found, "a door file has at most 1 MiB"));
    }
    let mut bytes = Vec::new();
    let read = File::open(path).and_then(|file| file.take(LARGEST_FILE + 1).read_to_end(&mut bytes));
    read.map_err(|error| cannot(&error))?;
    parse_bytes(&bytes, &name)
}

/// Reads a door file's bytes. `name` is what problems call the file.
///
/// # Errors
/// As [`parse`]; also for bytes that are no text.
pub fn parse_bytes(bytes: &[u8], name: &str) -> Result<Scenario, ReadError> {
    match str::from_utf8(bytes) {
        Ok(text) => parse(text, name),
        Err(error) => {
            let line = 1 + bytes.iter().take(error.valid_up_to()).filter(|&&byte| byte == b'\n').count();
            let found = format!("this is not text in UTF-8 (line {line})");
            Err(ReadError::whole(name, found, "a door file is text in TOML, saved as UTF-8"))
        }
    }
}

fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => {
            "there is no such file; check its name, or write one with `tautleaf new`".to_owned()
        }
        io::ErrorKind::PermissionDenied => "its permissions do not let you read it".to_owned(),
        _ => error.to_string(),
    }
}

/// Why a door file was not saved. The file on disk is as it was.
#[derive(Debug, thiserror::Error)]
pub enum SaveError {
    /// The scenario cannot be read back: a number is not possible, or not finite.
    #[error("{path}: not saved, because it could not be read again:\n{why}", path = .path.display())]
    WouldNotLoad {
        /// Where it was to be saved.
        path: PathBuf,
        /// What is wrong with it.
        why: ReadError,
    },
    /// The scenario would read back as another one.
    #[error("{path}: not saved, because it would not read back the same; remove limits that no file can hold", path = .path.display())]
    WouldChange {
        /// Where it was to be saved.
        path: PathBuf,
    },
    /// The disk did not take it.
    #[error("{path}: not saved: {source}; check that the folder exists, can be written and has room", path = .path.display())]
    Disk {
        /// Where it was to be saved.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
}

/// Saves a scenario: it reads back identical, and at no moment is there half a file.
///
/// # Errors
/// [`SaveError`]; the file on disk is then as it was.
pub fn save(path: &Path, scenario: &Scenario) -> Result<(), SaveError> {
    let text = to_text(scenario);
    let again = parse(&text, &path.display().to_string())
        .map_err(|why| SaveError::WouldNotLoad { path: path.to_owned(), why })?;
    if again != *scenario {
        return Err(SaveError::WouldChange { path: path.to_owned() });
    }
    replace(path, text.as_bytes()).map_err(|source| SaveError::Disk { path: path.to_owned(), source })
}

/// Puts a whole new file in the place of `path`, keeping its permissions. A link keeps pointing where it does.
///
/// # Errors
/// Why it could not; the file is then as it was.
pub fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if path.is_dir() {
        return Err(io::Error::new(io::ErrorKind::IsADirectory, "this is a folder"));
    }
    let mut file = tempfile::Builder::new().prefix(".tautleaf-").suffix(".tmp").tempfile_in(folder)?;
    file.write_all(bytes)?;
    match fs::metadata(&path) {
        Ok(old) if old.permissions().readonly() => {
            return Err(io::Error::new(io::ErrorKind::PermissionDenied, "the file is write-protected"));
        }
        Ok(old) => fs::set_permissions(file.path(), old.permissions())?,
        Err(_) => usual_permissions(file.as_file())?,
    }
    file.as_file().sync_all()?;
    file.persist(&path).map_err(|error| error.error)?;
    // The new name is on disk only once the folder is; where folders cannot be synced, the file still is.
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}

/// A new file is readable by others, as any file that a program writes; temporary files are not.
#[cfg(unix)]
fn usual_permissions(file: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn usual_permissions(_file: &File) -> io::Result<()> {
    Ok(())
}
