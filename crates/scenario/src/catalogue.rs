//! Catalogues of drives and belts: those of the program, and files of the user's own.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use tautleaf_physics::Field;
use tautleaf_trials::choose::catalogue::{
    BELT_FIELDS, BeltKind, Catalogue, Commutation, Cord, DRIVE_FIELDS, Drive, GearKind, WHOLE, drive_problems,
};
use tautleaf_trials::choose::data_sheet::{FOLLOWS, SHEET_FIELDS};
use toml_edit::{Document, Item, TableLike};

use crate::data_sheet;
use crate::parse::{LARGEST_FILE, schema, syntax};
use crate::parse_keys::{keys, listed, short};
use crate::parse_ratings::{CLASSES, name};
use crate::problem::{FileProblem, ReadError};
use crate::reading::{Entry, Reading, described};

const DRIVES: &str = include_str!("../../../assets/catalogue/drives.toml");
const BELTS: &str = include_str!("../../../assets/catalogue/belts.toml");
/// What the program's own entries are said to be from.
const OWN: &str = "tautleaf";
/// Most files of a folder that are read.
const MOST_FILES: usize = 200;

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| {
    let read = |text, name| match parse_catalogue(text, name) {
        Ok(catalogue) => catalogue,
        Err(problems) => panic!("a catalogue that is part of the program cannot be read:\n{problems}"),
    };
    let mut all = read(DRIVES, "assets/catalogue/drives.toml");
    all.belts = read(BELTS, "assets/catalogue/belts.toml").belts;
    all.drives.iter_mut().for_each(|drive| drive.from = OWN.to_owned());
    all.belts.iter_mut().for_each(|belt| belt.from = OWN.to_owned());
    all
});

const COMMUTATIONS: &[(&str, Commutation)] =
    &[("brushed", Commutation::Brushed), ("brushless", Commutation::Brushless)];
/// The words for gears.
pub const GEARS: &[(&str, GearKind)] =
    &[("worm", GearKind::Worm), ("planetary", GearKind::Planetary), ("direct", GearKind::Direct)];
const CORDS: &[(&str, Cord)] = &[("steel", Cord::Steel), ("glass", Cord::Glass), ("aramid", Cord::Aramid)];

/// The drives and belts of the program: invented, generic ones.
pub fn catalogue() -> &'static Catalogue {
    &CATALOGUE
}

/// The drives and belts of the program and those of every `.toml` file of a folder, in the order of their names.
///
/// # Errors
/// Every problem of every file, and a folder that cannot be read or holds no such file.
pub fn with_folder(folder: &Path) -> Result<Catalogue, ReadError> {
    let name = folder.display().to_string();
    let cannot =
        |error: std::io::Error| ReadError::whole(&name, "this folder cannot be read", error.to_string());
    let mut files: Vec<PathBuf> = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(cannot)? {
        let path = entry.map_err(cannot)?.path();
        if path.extension().is_some_and(|end| end == "toml") {
            files.push(path);
        }
    }
    files.sort();
    if files.is_empty() || files.len() > MOST_FILES {
        let found = format!("{} catalogue files are here", files.len());
        let would_do =
            format!("1 to {MOST_FILES} files that end in .toml, with sections [[drive]] or [[belt]]");
        return Err(ReadError::whole(&name, found, would_do));
    }
    let mut all = catalogue().clone();
    let mut problems = Vec::new();
    for path in files {
        match read_catalogue(&path) {
            Ok(more) => {
                all.drives.extend(more.drives);
                all.belts.extend(more.belts);
            }
            Err(error) => problems.extend(error.problems),
        }
    }
    if problems.is_empty() {
        problems.extend(twins(&all));
    }
    if problems.is_empty() { Ok(all) } else { Err(ReadError { problems }) }
}

/// Reads one catalogue file.
///
/// # Errors
/// Every problem with the file or its text, see [`parse_catalogue`].
pub fn read_catalogue(path: &Path) -> Result<Catalogue, ReadError> {
    let name = path.display().to_string();
    let would_do = "name a file of text in TOML, saved as UTF-8, of at most 1 MiB";
    let whole = |found: String| ReadError::whole(&name, found, would_do);
    let about = std::fs::metadata(path).map_err(|error| whole(format!("cannot be opened: {error}")))?;
    if about.is_dir() {
        return Err(ReadError::whole(&name, "this is a folder", "name one of the catalogue files in it"));
    }
    if !about.is_file() || about.len() > LARGEST_FILE {
        return Err(whole("this is no catalogue file".to_owned()));
    }
    let text = std::fs::read_to_string(path).map_err(|error| whole(format!("cannot be read: {error}")))?;
    parse_catalogue(&text, &name)
}

/// Reads the text of a catalogue. `name` is what problems call the file.
///
/// # Errors
/// Every problem: syntax, schema, unknown and missing keys, units, impossible values, what cannot be together, and two
/// entries of one name.
pub fn parse_catalogue(text: &str, name: &str) -> Result<Catalogue, ReadError> {
    let mut reading = Reading::new(name, text);
    let document = match Document::parse(text) {
        Ok(document) => document,
        Err(error) => {
            syntax(&mut reading, text, &error);
            return Err(ReadError { problems: reading.problems });
        }
    };
    let mut catalogue = Catalogue::default();
    if schema(&mut reading, document.as_table()) {
        for entry in reading.entries(document.as_table()) {
            match entry.name {
                "schema" => {}
                "drive" => catalogue.drives = drives(&mut reading, entry, name),
                "belt" => catalogue.belts = belts(&mut reading, entry, name),
                _ => reading.unknown("", entry, ["schema", "drive", "belt"].into_iter(), std::iter::empty()),
            }
        }
        if reading.problems.is_empty() && catalogue.drives.is_empty() && catalogue.belts.is_empty() {
            reading.wrong(None, "", "no drive and no belt is in it", "write a section [[drive]] or [[belt]]");
        }
    }
    names_once(&mut reading, "drive", catalogue.drives.iter().map(|drive| &drive.name));
    names_once(&mut reading, "belt", catalogue.belts.iter().map(|belt| &belt.name));
    if reading.problems.is_empty() {
        return Ok(catalogue);
    }
    reading.problems.sort_by_key(|problem| problem.line);
    Err(ReadError { problems: reading.problems })
}

fn drives(reading: &mut Reading<'_>, entry: Entry<'_>, file: &str) -> Vec<Drive> {
    listed(reading, "drive", entry)
        .into_iter()
        .map(|(path, table)| drive(reading, &path, table, file))
        .collect()
}

fn drive(reading: &mut Reading<'_>, path: &str, table: &dyn TableLike, file: &str) -> Drive {
    let words: Vec<&'static str> =
        ["name", "motor", "gear", "insulation"].into_iter().chain(data_sheet::keys()).collect();
    let before = reading.problems.len();
    let mut drive = Drive { from: file.to_owned(), ..Drive::default() };
    let sheet = RefCell::default();
    keys(
        reading,
        "drive",
        path,
        table,
        DRIVE_FIELDS,
        &mut drive,
        &words,
        |reading, entry, drive| match entry.name {
            "name" => drive.name = name(reading, "drive.name", entry),
            "motor" => {
                drive.commutation = reading.choice("drive.motor", entry, COMMUTATIONS).unwrap_or_default()
            }
            "gear" => drive.gear = reading.choice("drive.gear", entry, GEARS).unwrap_or_default(),
            "insulation" => {
                drive.insulation = reading.choice("drive.insulation", entry, CLASSES).unwrap_or_default()
            }
            _ => data_sheet::key(reading, entry, &mut sheet.borrow_mut()),
        },
    );
    drive.typed =
        reading.entries(table).iter().map(|entry| (entry.name.to_owned(), described(entry.item))).collect();
    let read_well = reading.problems.len() == before;
    if read_well {
        data_sheet::fill(reading, path, table, &sheet.into_inner(), &mut drive);
    }
    // what follows from a key that is wrong is not missing
    let sound = reading.problems.len() == before;
    let sheet_is_typed = SHEET_FIELDS.iter().any(|field| table.contains_key(short(field.key)));
    let may_follow =
        |key: &str| !sound && sheet_is_typed && FOLLOWS.iter().any(|(follows, _)| *follows == key);
    complete(reading, path, DRIVE_FIELDS, &drive, &["name", "motor", "gear"], table, &may_follow);
    whole_numbers(reading, path, DRIVE_FIELDS, &drive);
    if reading.problems.len() == before {
        for (key, found, would_do) in drive_problems(&drive) {
            let key = data_sheet::typed_by(table, key);
            reading.wrong(reading.line_in(path, short(key)), key, found, would_do);
        }
    }
    drive
}

fn belts(reading: &mut Reading<'_>, entry: Entry<'_>, file: &str) -> Vec<BeltKind> {
    let read = |(path, table): (String, &dyn TableLike), reading: &mut Reading<'_>| {
        let mut belt = BeltKind { from: file.to_owned(), ..BeltKind::default() };
        keys(
            reading,
            "belt",
            &path,
            table,
            BELT_FIELDS,
            &mut belt,
            &["name", "cord"],
            |reading, entry, belt| match entry.name {
                "name" => belt.name = name(reading, "belt.name", entry),
                _ => belt.cord = reading.choice("belt.cord", entry, CORDS).unwrap_or_default(),
            },
        );
        complete(reading, &path, BELT_FIELDS, &belt, &["name", "cord"], table, &|_| false);
        whole_numbers(reading, &path, BELT_FIELDS, &belt);
        belt
    };
    listed(reading, "belt", entry).into_iter().map(|one| read(one, reading)).collect()
}

/// Every key without a default has to be written, or to follow from what is. `excused` are keys that are not asked for.
fn complete<T>(
    reading: &mut Reading<'_>,
    path: &str,
    fields: &'static [Field<T>],
    read: &T,
    words: &[&'static str],
    table: &dyn TableLike,
    excused: &dyn Fn(&str) -> bool,
) {
    let needed =
        fields.iter().filter(|field| (field.get)(read).is_some_and(f64::is_nan) && !excused(field.key));
    let missing: Vec<&str> = needed
        .map(|field| short(field.key))
        .chain(words.iter().copied())
        .filter(|key| !table.contains_key(key))
        .collect();
    if !missing.is_empty() {
        let line = reading.lines.get(path).copied();
        let section = path.split('.').next().unwrap_or_default().to_owned();
        let name = table.get("name").and_then(Item::as_str).unwrap_or("without a name");
        let found = format!("\"{}\" has no {}", name.escape_debug(), missing.join(", "));
        let mut would_do = "write each of them with its unit".to_owned();
        if section == "drive" {
            for (key, from) in FOLLOWS.iter().filter(|(key, _)| missing.contains(&short(key))) {
                would_do += &format!("; {} follows from {from}", short(key));
            }
        }
        reading.wrong(line, &section, found, would_do);
    }
}

fn whole_numbers<T>(reading: &mut Reading<'_>, path: &str, fields: &'static [Field<T>], of: &T) {
    for field in fields.iter().filter(|field| WHOLE.contains(&field.key)) {
        if let Some(value) = (field.get)(of).filter(|value| value.fract() != 0.0 && value.is_finite()) {
            let line = reading.line_in(path, short(field.key));
            reading.wrong(line, field.key, format!("found {value}"), "write a whole number");
        }
    }
}

/// Two entries of one file with the same name.
fn names_once<'n>(reading: &mut Reading<'_>, section: &str, names: impl Iterator<Item = &'n String>) {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for (n, name) in names.enumerate().filter(|(_, name)| !name.is_empty()) {
        if let Some(first) = seen.insert(name, n) {
            let at = |n: usize| reading.lines.get(&format!("{section}.{n}.name")).copied();
            let (line, first) = (at(n), at(first).unwrap_or_default());
            let found = format!("\"{}\" is the name of the one in line {first} too", name.escape_debug());
            reading.wrong(line, &format!("{section}.name"), found, "give it another name");
        }
    }
}

/// Two entries of different files with the same name.
fn twins(all: &Catalogue) -> Vec<FileProblem> {
    let mut problems = Vec::new();
    let drives = all.drives.iter().map(|drive| ("drive.name", &drive.name, &drive.from));
    let belts = all.belts.iter().map(|belt| ("belt.name", &belt.name, &belt.from));
    let mut seen: BTreeMap<(&str, &str), &str> = BTreeMap::new();
    for (key, name, from) in drives.chain(belts) {
        if let Some(other) = seen.insert((key, name), from) {
            problems.push(FileProblem {
                file: from.clone(),
                line: None,
                key: key.to_owned(),
                entry: None,
                found: format!("\"{name}\" is there already, from {other}"),
                would_do: "give it another name".to_owned(),
            });
        }
    }
    problems
}
