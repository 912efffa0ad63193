//! Text in columns, and text of limited width.

use unicode_width::UnicodeWidthStr;

/// Width of everything that is written for a terminal.
pub(crate) const WIDTH: usize = 100;

/// Which side a column keeps to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    Left,
    Right,
}

/// Rows with every column as wide as its widest cell, two spaces apart. Trailing spaces are left out.
pub(crate) fn aligned(rows: &[Vec<String>], sides: &[Side]) -> Vec<String> {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let widths: Vec<usize> = (0..columns)
        .map(|c| rows.iter().filter_map(|row| row.get(c)).map(|cell| cell.width()).max().unwrap_or(0))
        .collect();
    let line = |row: &Vec<String>| {
        let cells: Vec<String> = row
            .iter()
            .enumerate()
            .map(|(c, cell)| {
                let space = " ".repeat(widths[c] - cell.width());
                match sides.get(c) {
                    Some(Side::Right) => format!("{space}{cell}"),
                    _ => format!("{cell}{space}"),
                }
            })
            .collect();
        cells.join("  ").trim_end().to_owned()
    };
    rows.iter().map(line).collect()
}

/// Text folded to the width of a terminal, each line with its indent.
pub(crate) fn folded(text: &str, first: &str, rest: &str) -> Vec<String> {
    let options = textwrap::Options::new(WIDTH)
        .initial_indent(first)
        .subsequent_indent(rest)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .word_separator(textwrap::WordSeparator::AsciiSpace);
    textwrap::wrap(text, options).into_iter().map(|line| line.into_owned()).collect()
}

/// A name as long as a column is wide.
pub(crate) fn clipped(name: &str, most: usize) -> String {
    match name.char_indices().nth(most.saturating_sub(2)) {
        Some((end, _)) if name.chars().count() > most => format!("{}..", &name[..end]),
        _ => name.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_of_a_column_share_its_width() {
        let rows = [vec!["a".to_owned(), "1.5".to_owned()], vec!["long".to_owned(), "12".to_owned()]];
        assert_eq!(aligned(&rows, &[Side::Left, Side::Right]), ["a     1.5", "long   12"]);
    }

    #[test]
    fn no_folded_line_is_wider_than_the_terminal() {
        let lines = folded(&"word ".repeat(80), "  ", "    ");
        assert!(lines.len() > 3 && lines.iter().all(|line| line.width() <= WIDTH));
        assert!(lines[0].starts_with("  word") && lines[1].starts_with("    word"));
    }
}
