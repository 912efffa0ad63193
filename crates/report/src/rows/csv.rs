//! Rows as CSV: where they are from as JSON in the first line, behind a `#`; then names; then one line a trial.

use std::io::{self, Write};

use tautleaf_physics::Figure;
use tautleaf_trials::{Ended, Judged, Row, Trial};

use super::columns::{Columns, ended};
use super::provenance::Provenance;

/// Why rows were not written.
#[derive(Debug, thiserror::Error)]
pub enum RowsError {
    /// What the system says.
    #[error(transparent)]
    Io(#[from] io::Error),
    /// What the writer of CSV says.
    #[error(transparent)]
    Csv(#[from] csv::Error),
    /// What the writer of Parquet says.
    #[error(transparent)]
    Parquet(#[from] parquet::errors::ParquetError),
    /// What the writer of JSON says.
    #[error(transparent)]
    Json(#[from] serde_json::Error),
}

impl RowsError {
    /// What kind of trouble the system has, if it is the system's.
    pub fn io_kind(&self) -> Option<io::ErrorKind> {
        match self {
            Self::Io(error) => Some(error.kind()),
            Self::Csv(error) => match error.kind() {
                csv::ErrorKind::Io(error) => Some(error.kind()),
                _ => None,
            },
            Self::Json(error) => error.io_error_kind(),
            Self::Parquet(parquet::errors::ParquetError::External(error)) => {
                error.downcast_ref::<io::Error>().map(io::Error::kind)
            }
            Self::Parquet(_) => None,
        }
    }
}

/// Rows being written, as they come.
pub struct CsvRows<W: Write> {
    writer: csv::Writer<W>,
    columns: Columns,
}

impl<W: Write> CsvRows<W> {
    /// Begins with where the rows are from, and the names of the columns.
    ///
    /// # Errors
    /// What the writer says.
    pub fn begin(mut out: W, from: &Provenance, columns: Columns) -> Result<Self, RowsError> {
        writeln!(out, "# {}", serde_json::to_string(from)?)?;
        let mut writer = csv::Writer::from_writer(out);
        writer.write_record(columns.names())?;
        Ok(Self { writer, columns })
    }

    /// One more row. Numbers are the shortest decimals that read back as the same number; what was not given is empty.
    ///
    /// # Errors
    /// What the writer says.
    pub fn row(&mut self, row: &Row) -> Result<(), RowsError> {
        let number = |value: f64| format!("{:?}", value + 0.0);
        let or_empty = |value: Option<f64>| value.map_or(String::new(), number);
        self.writer.write_field(row.index.to_string())?;
        self.writer.write_field(ended(row.trial.ended))?;
        for &value in &row.values {
            self.writer.write_field(number(value))?;
        }
        for &figure in &self.columns.figures {
            self.writer.write_field(or_empty(row.trial.get(figure)))?;
        }
        for judged in &row.trial.judged {
            self.writer.write_field(judged.kept.map_or("", |kept| if kept { "1" } else { "0" }))?;
            self.writer.write_field(or_empty(judged.margin))?;
        }
        self.writer.write_record(None::<&[u8]>)?;
        Ok(())
    }

    /// Hands what is written so far to the system.
    ///
    /// # Errors
    /// What the system says.
    pub fn flush(&mut self) -> Result<(), RowsError> {
        Ok(self.writer.flush()?)
    }
}

/// A line of CSV as a row again; `None` if it is none of these columns.
pub(super) fn read(record: &csv::StringRecord, columns: &Columns) -> Option<Row> {
    let mut cells = record.iter();
    let index = cells.next()?.parse().ok()?;
    let word = cells.next()?;
    let state =
        [Ended::Done, Ended::Unfinished, Ended::NotBuilt].into_iter().find(|state| ended(*state) == word)?;
    let values = columns.inputs.iter().map(|_| cells.next()?.parse().ok()).collect::<Option<Vec<f64>>>()?;
    let mut figures = vec![None; Figure::ALL.len()];
    for &figure in &columns.figures {
        figures[figure as usize] = optional(cells.next()?)?;
    }
    let mut judged = Vec::with_capacity(columns.limits.len());
    for _ in &columns.limits {
        let kept = match cells.next()? {
            "" => None,
            "0" => Some(false),
            "1" => Some(true),
            _ => return None,
        };
        // why a limit was not judged is not in the rows: a study counts it as not judged either way
        judged.push(Judged { kept, margin: optional(cells.next()?)?, untested: false });
    }
    cells.next().is_none().then_some(Row { index, values, trial: Trial { ended: state, figures, judged } })
}

/// An empty cell, or a number; `None` if it is neither.
#[expect(clippy::option_option, reason = "a cell may hold nothing, and may be wrong")]
fn optional(cell: &str) -> Option<Option<f64>> {
    if cell.is_empty() {
        return Some(None);
    }
    cell.parse().ok().filter(|number: &f64| number.is_finite()).map(Some)
}
