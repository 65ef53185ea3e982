//! Columns and paragraphs for a page of 80 columns.

use unicode_width::UnicodeWidthStr;

/// The columns of a page.
pub const WIDTH: usize = 80;

/// Which side the cells of a column stand on.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Align {
    /// Words.
    Left,
    /// Figures, with their decimal points below each other.
    Point,
}

/// Rows as lines, two blanks between the columns; rows may be shorter than `columns`.
///
/// ```
/// use aludel::report::page::{Align, table};
/// let rows = [vec!["Fe".into(), "55.845".into()], vec!["H".into(), "1".into()]];
/// assert_eq!(table(&rows, &[Align::Left, Align::Point]), "Fe  55.845\nH    1\n");
/// ```
pub fn table(rows: &[Vec<String>], columns: &[Align]) -> String {
    let mut cells: Vec<Vec<String>> = rows.to_vec();
    for (column, align) in columns.iter().enumerate() {
        if *align == Align::Point {
            align_points(&mut cells, column);
        }
        pad(&mut cells, column, *align);
    }
    let lines = cells.iter().map(|row| row.join("  "));
    lines.map(|line| format!("{}\n", line.trim_end())).collect()
}

/// Text broken into lines of at most [`WIDTH`] columns, the second and later ones indented; blanks in front stay.
///
/// ```
/// assert_eq!(aludel::report::page::wrapped("  short", 4), "  short\n");
/// ```
pub fn wrapped(text: &str, indent: usize) -> String {
    let words = text.trim_start_matches(' ');
    let lines = lines(words, text.len() - words.len(), indent);
    lines.into_iter().map(|line| line + "\n").collect()
}

/// The same as lines, the first one indented too.
pub(super) fn lines(text: &str, first: usize, later: usize) -> Vec<String> {
    let (first, later) = (" ".repeat(first), " ".repeat(later));
    let options = textwrap::Options::new(WIDTH)
        .initial_indent(&first)
        .subsequent_indent(&later)
        .break_words(false)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .wrap_algorithm(textwrap::WrapAlgorithm::FirstFit);
    let lines = textwrap::wrap(text, options).into_iter();
    lines.map(|line| line.into_owned()).collect()
}

/// How a column of cells stands best: by its points if all of it is figures.
pub fn suits(rows: &[Vec<String>], column: usize) -> Align {
    let cells = rows.iter().filter_map(|row| row.get(column));
    let mut words = cells.filter(|cell| !is_figure(cell));
    if words.next().is_some() {
        Align::Left
    } else {
        Align::Point
    }
}

/// Whether a cell is a number, perhaps with a spread and a unit.
fn is_figure(text: &str) -> bool {
    let text = text.strip_prefix('(').unwrap_or(text);
    text.starts_with(|c: char| c.is_ascii_digit() || "+-−±".contains(c))
}

/// Figures get blanks behind, so that what stands before the point ends in the same place. Words are left alone.
fn align_points(rows: &mut [Vec<String>], column: usize) {
    let behind = |text: &str| {
        let point = text.find('.').or_else(|| text.find(' '));
        point.map_or(0, |at| text[at..].width())
    };
    let figures = rows
        .iter()
        .filter_map(|row| row.get(column))
        .filter(|text| is_figure(text));
    let widest = figures.map(|text| behind(text)).max().unwrap_or(0);
    for text in rows.iter_mut().filter_map(|row| row.get_mut(column)) {
        if is_figure(text) {
            text.push_str(&" ".repeat(widest - behind(text)));
        }
    }
}

fn pad(rows: &mut [Vec<String>], column: usize, align: Align) {
    let width = rows
        .iter()
        .filter_map(|row| row.get(column))
        .map(|text| text.width())
        .max()
        .unwrap_or(0);
    for text in rows.iter_mut().filter_map(|row| row.get_mut(column)) {
        let blanks = " ".repeat(width - text.width());
        *text = match align {
            Align::Left => format!("{text}{blanks}"),
            Align::Point => format!("{blanks}{text}"),
        };
    }
}
