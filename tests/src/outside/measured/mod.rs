//! Measured records. They are not ours to give away: the folder named by `TAUTLEAF_DATA` holds them where they are at hand.

use std::path::PathBuf;

use super::Skipped;

pub mod emps;
mod fit;
pub mod two_mass;

/// Columns of a record, without its heading.
///
/// # Errors
/// Says why where the folder is not named or the file is not in it.
///
/// # Panics
/// Where a line has something else than N numbers: a record that is at hand must be whole.
fn columns<const N: usize>(file: &str) -> Result<Vec<[f64; N]>, Skipped> {
    let Some(folder) = std::env::var_os("TAUTLEAF_DATA") else {
        return Err(Skipped(format!("TAUTLEAF_DATA does not name the folder that holds {file}")));
    };
    let path = PathBuf::from(folder).join(file);
    let text =
        std::fs::read_to_string(&path).map_err(|error| Skipped(format!("{}: {error}", path.display())))?;
    let rows = text.lines().enumerate().skip(1).filter(|(_, line)| !line.trim().is_empty());
    let numbers = |(number, line): (usize, &str)| {
        let cells: Option<Vec<f64>> = line.split(',').map(|cell| cell.trim().parse().ok()).collect();
        let row = cells.and_then(|cells| <[f64; N]>::try_from(cells).ok());
        row.unwrap_or_else(|| panic!("{}:{}: not {N} numbers", path.display(), number + 1))
    };
    Ok(rows.map(numbers).collect())
}
