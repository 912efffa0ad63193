//! What is wrong with a door file, and where.

use std::fmt;

use crate::problem_words::ordinal;

/// Most problems that are listed; a file with more is not a door file.
pub(crate) const MOST_LISTED: usize = 50;

/// One thing that is wrong in a file, or worth a word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileProblem {
    /// The file, as the user named it.
    pub file: String,
    /// Line, counted from 1; `None` where nothing in the file says it: a default, or the file as a whole.
    pub line: Option<usize>,
    /// Dotted key, as in a door file; empty for the file as a whole.
    pub key: String,
    /// Which entry of the list of forces or faults, from 0; `None`: the key stands in no list.
    pub entry: Option<usize>,
    /// What was found.
    pub found: String,
    /// What would do.
    pub would_do: String,
}

impl fmt::Display for FileProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "{}:{line}: ", self.file)?,
            // a door that was drawn and not read from a file
            None if self.file.is_empty() => {}
            None => write!(f, "{}: ", self.file)?,
        }
        match (self.entry, self.key.split_once('.')) {
            (Some(entry), Some((list, name))) => write!(f, "the {} [[{list}]]: {name}: ", ordinal(entry))?,
            _ if self.key.is_empty() => {}
            _ => write!(f, "{}: ", self.key)?,
        }
        write!(f, "{}; {}", self.found, self.would_do)
    }
}

/// Everything that keeps a door file from being used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub struct ReadError {
    /// Every problem, in the order of the file; at least one.
    pub problems: Vec<FileProblem>,
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (n, problem) in self.problems.iter().take(MOST_LISTED).enumerate() {
            if n > 0 {
                writeln!(f)?;
            }
            write!(f, "{problem}")?;
        }
        match self.problems.len().saturating_sub(MOST_LISTED) {
            0 => Ok(()),
            more => write!(f, "\nand {more} more"),
        }
    }
}

impl ReadError {
    /// One problem with the file as a whole.
    pub(crate) fn whole(file: &str, found: impl Into<String>, would_do: impl Into<String>) -> Self {
        let (file, found, would_do) = (file.to_owned(), found.into(), would_do.into());
        let (line, key, entry) = (None, String::new(), None);
        Self { problems: vec![FileProblem { file, line, key, entry, found, would_do }] }
    }
}
