//! Files of many trials, written as the trials come.

use std::fs::File;
use std::io::{self, BufWriter, ErrorKind, Write};
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use tautleaf_report::rows::{Columns, CsvRows, ParquetRows, Provenance, RowsError};
use tautleaf_trials::{BLOCK, Row};

use crate::failure::Failure;
use crate::input::is_dash;
use crate::run::spare_the_door_file;
use crate::trial_args::TrialOuts;

type Out = Box<dyn Write + Send>;

/// The files that were asked for.
pub(crate) struct TrialFiles {
    csv: Option<(PathBuf, CsvRows<Out>)>,
    parquet: Option<(PathBuf, ParquetRows<Out>)>,
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
            let rows = CsvRows::begin(open(path)?, from, columns.clone());
            rows.map(|rows| (path.clone(), rows)).map_err(|error| not_written(path, error))
        });
        let parquet = outs.parquet.as_ref().map(|path| {
            let rows = ParquetRows::begin(open(path)?, from, columns.clone());
            rows.map(|rows| (path.clone(), rows)).map_err(|error| not_written(path, error))
        });
        Ok(Self { csv: csv.transpose()?, parquet: parquet.transpose()?, unflushed: 0 })
    }

    /// One more row. Breaks off where whoever reads it has seen enough.
    pub fn row(&mut self, row: &Row) -> Result<ControlFlow<()>, Failure> {
        self.unflushed += 1;
        // so that a program that is killed leaves what it did
        let flush = self.unflushed >= BLOCK;
        if flush {
            self.unflushed = 0;
        }
        let mut flow = ControlFlow::Continue(());
        if let Some((path, csv)) = &mut self.csv {
            let written = csv.row(row).and_then(|()| if flush { csv.flush() } else { Ok(()) });
            flow = heard(path, written)?;
        }
        if let Some((path, parquet)) = &mut self.parquet
            && heard(path, parquet.row(row))?.is_break()
        {
            flow = ControlFlow::Break(());
        }
        Ok(flow)
    }

    /// Ends them.
    pub fn finish(self) -> Result<(), Failure> {
        let csv = self.csv.map(|(path, mut csv)| (path, csv.flush()));
        let parquet = self.parquet.map(|(path, parquet)| (path, parquet.finish()));
        for (path, written) in csv.into_iter().chain(parquet) {
            // there is nothing left to break off
            let _ = heard(&path, written)?;
        }
        Ok(())
    }
}

fn open(path: &Path) -> Result<Out, Failure> {
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
fn heard(path: &Path, written: Result<(), RowsError>) -> Result<ControlFlow<()>, Failure> {
    match written {
        Ok(()) => Ok(ControlFlow::Continue(())),
        Err(error) if is_dash(path) && error.io_kind() == Some(ErrorKind::BrokenPipe) => {
            Ok(ControlFlow::Break(()))
        }
        Err(error) => Err(not_written(path, error)),
    }
}
