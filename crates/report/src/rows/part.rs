//! Parts of a study, written by different runs of the program, joined to what one run would have given.

use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};

use tautleaf_scenario::{ReadError, Scenario, parse};
use tautleaf_trials::Row;
use tautleaf_trials::spread::{Study, part_of};

use super::columns::Columns;
use super::csv::read;
use super::provenance::Provenance;
use crate::{RESULT_SCHEMA, VERSION};

/// Why parts cannot be joined.
#[derive(Debug, thiserror::Error)]
pub enum PartError {
    /// It cannot be opened or read.
    #[error("{file}: cannot be read: {source}", file = .file.display())]
    Io {
        /// The file.
        file: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
    /// It was not written by a tolerance study.
    #[error("{file}: this is no part of a study; write parts with `tautleaf spread FILE --part K/N --csv OUT`", file = .file.display())]
    NoPart {
        /// The file.
        file: PathBuf,
    },
    /// Another version wrote it.
    #[error("{file}:1: written by version {version}, this is {VERSION}; write all parts with one version", file = .file.display())]
    OtherVersion {
        /// The file.
        file: PathBuf,
        /// Its version.
        version: String,
    },
    /// It belongs to another study.
    #[error("{file}:1: its {what} is not that of {other}; join parts of one door file with one seed and number of runs", file = .file.display(), other = .other.display())]
    OtherStudy {
        /// The file.
        file: PathBuf,
        /// What differs.
        what: &'static str,
        /// The file that it differs from.
        other: PathBuf,
    },
    /// The door in it cannot be read.
    #[error("{file}:1: the door file in it cannot be used:\n{source}", file = .file.display())]
    Door {
        /// The file.
        file: PathBuf,
        /// Why.
        source: ReadError,
    },
    /// A line of it is no trial of this study.
    #[error("{file}:{line}: this is not trial {index} of the study: {why}; write this part again", file = .file.display())]
    Row {
        /// The file.
        file: PathBuf,
        /// The line.
        line: u64,
        /// The trial that was to come next.
        index: u64,
        /// What is wrong.
        why: &'static str,
    },
    /// It ends early.
    #[error("{file}: it ends before trial {index}, its last is to be {last}; write this part again", file = .file.display())]
    Ends {
        /// The file.
        file: PathBuf,
        /// The first that is missing.
        index: u64,
        /// The last that it should have.
        last: u64,
    },
    /// A part is missing.
    #[error("part {part}/{parts} is missing; name the files of all parts")]
    Missing {
        /// Which.
        part: u64,
        /// Of how many.
        parts: u64,
    },
    /// A part is there twice.
    #[error("{file}: this part is named twice", file = .file.display())]
    Twice {
        /// The file.
        file: PathBuf,
    },
}

/// One part, whose first line has been read.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// The file.
    pub file: PathBuf,
    /// Where its rows are from.
    pub from: Provenance,
}

impl Part {
    /// Reads where the rows of a part are from.
    ///
    /// # Errors
    /// What is wrong with the file.
    pub fn open(file: &Path) -> Result<Self, PartError> {
        let from = header(file)?.0;
        Ok(Self { file: file.to_owned(), from })
    }

    /// Which part of how many it is; a whole study is part 1 of 1.
    fn place(&self) -> (u64, u64) {
        self.from.part.unwrap_or((1, 1))
    }
}

/// Longest first line of a part, bytes: it holds the door file, which has at most 1 MiB and may be escaped.
const LONGEST_HEADER: u64 = 8 << 20;

/// The first line of a part, and what comes after it.
fn header(file: &Path) -> Result<(Provenance, BufReader<File>), PartError> {
    let io = |source| PartError::Io { file: file.to_owned(), source };
    if !file.metadata().map_err(io)?.is_file() {
        return Err(PartError::NoPart { file: file.to_owned() });
    }
    let mut reader = BufReader::new(File::open(file).map_err(io)?);
    let mut line = Vec::new();
    reader.by_ref().take(LONGEST_HEADER).read_until(b'\n', &mut line).map_err(io)?;
    let from = line.strip_prefix(b"# ").and_then(|json| serde_json::from_slice::<Provenance>(json).ok());
    let of_study = |from: &Provenance| {
        from.command == "spread"
            && from.schema == RESULT_SCHEMA
            && from.seed.is_some()
            && from.drawn_by().is_some()
    };
    let from = from.ok_or_else(|| PartError::NoPart { file: file.to_owned() })?;
    if from.version != VERSION {
        return Err(PartError::OtherVersion { file: file.to_owned(), version: from.version });
    }
    if !of_study(&from) {
        return Err(PartError::NoPart { file: file.to_owned() });
    }
    Ok((from, reader))
}

/// All parts of one study, in order.
#[derive(Debug)]
pub struct Gathered {
    parts: Vec<Part>,
    /// The door.
    pub scenario: Scenario,
    /// The study.
    pub study: Study,
    /// Where the rows of the whole are from.
    pub from: Provenance,
}

/// Sees that the parts are all those of one study.
///
/// # Errors
/// What is missing or does not belong.
pub fn gather(mut parts: Vec<Part>) -> Result<Gathered, PartError> {
    parts.sort_by_key(Part::place);
    let first = parts.first().cloned().ok_or(PartError::Missing { part: 1, parts: 1 })?;
    let whole = |part: &Part| Provenance { part: None, ..part.from.clone() };
    let from = whole(&first);
    for part in &parts {
        let own = whole(part);
        let differs = [
            ("door file", own.door != from.door || own.file != from.file),
            ("seed", own.seed != from.seed),
            ("number of runs", own.runs != from.runs),
            ("sampling", own.sampling != from.sampling),
            ("number of parts", part.place().1 != first.place().1),
            ("force test", own != from),
        ];
        if let Some((what, _)) = differs.into_iter().find(|(_, differs)| *differs) {
            return Err(PartError::OtherStudy { file: part.file.clone(), what, other: first.file });
        }
    }
    let count = first.place().1;
    for (n, part) in parts.iter().enumerate() {
        let wanted = n as u64 + 1;
        if part.place().0 < wanted {
            return Err(PartError::Twice { file: part.file.clone() });
        }
        if part.place().0 > wanted {
            return Err(PartError::Missing { part: wanted, parts: count });
        }
    }
    if (parts.len() as u64) < count {
        return Err(PartError::Missing { part: parts.len() as u64 + 1, parts: count });
    }
    let door = |source| PartError::Door { file: first.file.clone(), source };
    let scenario = parse(&from.door, &from.file).map_err(door)?;
    let (seed, sampling) = (from.seed.unwrap_or_default(), from.drawn_by().unwrap_or_default());
    let study = scenario.study(seed, sampling, from.effort()).map_err(door)?;
    Ok(Gathered { parts, scenario, study, from })
}

impl Gathered {
    /// Every row of every part, in order, each checked to be what this study draws.
    ///
    /// # Errors
    /// What is wrong with a part; what `take` refuses.
    pub fn rows<E: From<PartError>>(&self, mut take: impl FnMut(&Row) -> Result<(), E>) -> Result<(), E> {
        let columns = Columns::of_spread(&self.study);
        for part in &self.parts {
            let (from, reader) = header(&part.file)?;
            let (place, parts) = part.place();
            let mut wanted = part_of(from.runs, place, parts);
            let mut lines = csv::Reader::from_reader(reader);
            let file = || part.file.clone();
            let mut record = csv::StringRecord::new();
            loop {
                // the reader counts from behind the first line
                let line = |at: Option<&csv::Position>| at.map_or(0, |at| at.line() + 1);
                let broken_at = |line, index, why| PartError::Row { file: file(), line, index, why };
                if !lines.read_record(&mut record).map_err(|error| {
                    broken_at(line(error.position()), wanted.start, "it is no line of CSV")
                })? {
                    break;
                }
                let here = line(record.position());
                let broken = |index, why| broken_at(here, index, why);
                let index = wanted.next().ok_or_else(|| broken(wanted.end, "there is no more to come"))?;
                let row = read(&record, &columns).ok_or_else(|| broken(index, "it has other columns"))?;
                if row.index != index {
                    return Err(broken(index, "it has another index").into());
                }
                if row.values != self.study.drawn(index).1 {
                    return Err(broken(index, "its numbers are not those that are drawn").into());
                }
                take(&row)?;
            }
            if let Some(index) = wanted.next() {
                return Err(PartError::Ends { file: file(), index, last: wanted.end - 1 }.into());
            }
        }
        Ok(())
    }
}
