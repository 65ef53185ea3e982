//! Pictures in characters, for a terminal and for paper without graphics.

use unicode_width::UnicodeWidthStr;

/// A bar as long as its share of `whole`; what is there at all has one character at least.
pub(super) fn bar(value: f64, whole: f64, columns: usize) -> String {
    let share = (value / whole * columns as f64).round().max(0.0) as usize;
    let least = usize::from(value > 0.0);
    "█".repeat(share.clamp(least, columns))
}

/// Marks on a line of `columns`, at shares of it from 0 to 1; a later one stands over an earlier one.
pub(super) fn marks(all: &[(f64, char)], columns: usize) -> String {
    let mut line = vec!['·'; columns];
    for (share, mark) in all {
        let at = (share * (columns - 1) as f64).round().max(0.0) as usize;
        line[at.min(columns - 1)] = *mark;
    }
    line.into_iter().collect()
}

/// Rows with their first cells in columns of one width, the last one as it is.
pub(super) fn rows(all: &[Vec<String>]) -> Vec<String> {
    let columns = all.iter().map(Vec::len).max().unwrap_or(0);
    let width = |column: usize| {
        let cells = all.iter().filter_map(|row| row.get(column));
        cells.map(|cell| cell.width()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..columns).map(width).collect();
    let row = |row: &Vec<String>| {
        let cells = row.iter().zip(&widths);
        let padded =
            cells.map(|(cell, width)| format!("{cell}{}", " ".repeat(width - cell.width())));
        padded.collect::<Vec<_>>().join("  ").trim_end().to_owned()
    };
    all.iter().map(row).collect()
}
