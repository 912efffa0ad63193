//! Any bytes as a part of a study: joined or refused, never a panic; rows that were taken are written and read back the same.

#![no_main]

use std::path::{Path, PathBuf};

use libfuzzer_sys::fuzz_target;
use tautleaf_report::rows::{Columns, CsvRows, Gathered, Part, PartError, gather};
use tautleaf_trials::Row;

fuzz_target!(|bytes: &[u8]| {
    let (first, second) = (file("first"), file("second"));
    std::fs::write(&first, bytes).expect("there is room for it");
    match rows_of(&first) {
        Ok((gathered, rows)) => {
            write(&second, &gathered, &rows);
            let (_, again) = rows_of(&second).expect("what was written can be read");
            assert!(again == rows, "what was written reads back different");
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
});

/// A file of this process alone.
fn file(name: &str) -> PathBuf {
    std::env::temp_dir().join(format!("tautleaf-{name}-{}.csv", std::process::id()))
}

fn rows_of(file: &Path) -> Result<(Gathered, Vec<Row>), PartError> {
    let gathered = gather(vec![Part::open(file)?])?;
    let mut rows = Vec::new();
    gathered.rows(|row| {
        rows.push(row.clone());
        Ok::<(), PartError>(())
    })?;
    Ok((gathered, rows))
}

fn write(file: &Path, gathered: &Gathered, rows: &[Row]) {
    let out = std::fs::File::create(file).expect("there is room for it");
    let mut csv = CsvRows::begin(out, &gathered.from, Columns::of_spread(&gathered.study)).expect("it can be written");
    for row in rows {
        csv.row(row).expect("it can be written");
    }
    csv.flush().expect("it can be written");
}
