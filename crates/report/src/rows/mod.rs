//! Rows of many trials, one a trial: as CSV, to be read again, and as Parquet.

mod columns;
mod csv;
mod parquet;
mod part;
mod provenance;

pub use self::columns::Columns;
pub(crate) use self::columns::ended;
pub use self::csv::{CsvRows, RowsError};
pub use self::parquet::ParquetRows;
pub use self::part::{Gathered, Part, PartError, gather};
pub use self::provenance::Provenance;
