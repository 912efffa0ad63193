//! Files of many trials, written as the trials come.

use std::fs::File;
use std::io::{self, BufWriter, ErrorKind, Write};
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use tautleaf_report::rows::{Columns, CsvRows, Provenance, RowsError};
use tautleaf_trials::{BLOCK, Row};

use crate::args::TrialOuts;
use crate::failure::Failure;
use crate::input::is_dash;
use crate::run::spare_the_door_file;

/// The files that were asked for.
pub(crate) struct TrialFiles {
    csv: Option<(PathBuf, CsvRows<Box<dyn Write>>)>,
    unflushed: u64,
}

impl TrialFiles {
    /// Opens them. What is there already is written over, but for the door file.
    pub fn begin(
        outs: &TrialOuts,
        door: &Path,
        from: &Provenance,
        columns: &Columns,
    ) -> Result<Self, Failure> {
        outs.check()?;
        for out in outs.all() {
            spare_the_door_file(door, out)?;
        }
        let csv = outs.csv.as_ref().map(|path| {
            let rows = CsvRows::begin(open(path)?, from, columns.clone())
                .map_err(|error| not_written(path, error))?;
            Ok::<_, Failure>((path.clone(), rows))
        });
        Ok(Self { csv: csv.transpose()?, unflushed: 0 })
    }

    /// One more row. Breaks off where whoever reads it has seen enough.
    pub fn row(&mut self, row: &Row) -> Result<ControlFlow<()>, Failure> {
        self.unflushed += 1;
        if let Some((path, csv)) = &mut self.csv {
            let mut written = csv.row(row);
            // so that a program that is killed leaves what it did
            if written.is_ok() && self.unflushed >= BLOCK {
                written = csv.flush();
            }
            if let Err(error) = written {
                return heard(path, error);
            }
        }
        if self.unflushed >= BLOCK {
            self.unflushed = 0;
        }
        Ok(ControlFlow::Continue(()))
    }

    /// Ends them.
    pub fn finish(self) -> Result<(), Failure> {
        if let Some((path, mut csv)) = self.csv
            && let Err(error) = csv.flush()
        {
            let _ = heard(&path, error)?;
        }
        Ok(())
    }
}

fn open(path: &Path) -> Result<Box<dyn Write>, Failure> {
    if is_dash(path) {
        return Ok(Box::new(BufWriter::new(io::stdout())));
    }
    let file = File::create(path).map_err(|source| Failure::Write { path: path.to_owned(), source })?;
    Ok(Box::new(BufWriter::new(file)))
}

fn not_written(path: &Path, error: RowsError) -> Failure {
    Failure::Rows { path: path.to_owned(), source: error }
}

/// A reader that has seen enough is no failure.
fn heard(path: &Path, error: RowsError) -> Result<ControlFlow<()>, Failure> {
    if is_dash(path) && error.io_kind() == Some(ErrorKind::BrokenPipe) {
        Ok(ControlFlow::Break(()))
    } else {
        Err(not_written(path, error))
    }
}
