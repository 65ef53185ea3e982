//! A CSV text into rows and cells, read on demand.

use std::sync::OnceLock;

use rustc_hash::FxHashMap;

/// One embedded table.
///
/// The text has `#` lines on top, then one line of column names, then one line a row; a cell with a comma stands in
/// double quotes and holds none itself. The first column is the key: rows are found by it through an index that is
/// made when the table is first asked, so a table nobody asks costs nothing.
pub struct Table {
    name: &'static str,
    text: &'static str,
    index: OnceLock<Index>,
}

struct Index {
    columns: Vec<&'static str>,
    lines: Vec<&'static str>,
    /// The first row of a key, and for each row the next one with the same key.
    first: FxHashMap<&'static str, u32>,
    next: Vec<Option<u32>>,
}

/// One row of a table; cheap to copy.
#[derive(Clone, Copy)]
pub struct Row {
    table: &'static Table,
    number: u32,
}

impl Table {
    /// A table of this name and text; nothing is read yet.
    pub const fn new(name: &'static str, text: &'static str) -> Self {
        Table {
            name,
            text,
            index: OnceLock::new(),
        }
    }

    /// The file's name.
    pub fn name(&self) -> &'static str {
        self.name
    }

    /// The column names in order.
    pub fn columns(&'static self) -> &'static [&'static str] {
        &self.index().columns
    }

    /// Every row, in the order of the file.
    pub fn rows(&'static self) -> impl Iterator<Item = Row> {
        let last = self.index().lines.len() as u32;
        (0..last).map(move |number| Row {
            table: self,
            number,
        })
    }

    /// The rows whose first cell is `key`, in the order of the file.
    ///
    /// ```
    /// use aludel::data;
    /// let densities: Vec<_> = data::DENSITY.find("HCl").collect();
    /// assert_eq!(densities[0].cell("density_g_cm3"), "1.0031");
    /// assert_eq!(data::DENSITY.find("Xx").count(), 0);
    /// ```
    pub fn find(&'static self, key: &str) -> impl Iterator<Item = Row> {
        let index = self.index();
        let first = index.first.get(key).copied();
        std::iter::successors(first, |number| index.next[*number as usize]).map(move |number| Row {
            table: self,
            number,
        })
    }

    /// The row of this number, counted from 0 without head lines.
    pub fn row(&'static self, number: u32) -> Option<Row> {
        ((number as usize) < self.index().lines.len()).then_some(Row {
            table: self,
            number,
        })
    }

    fn index(&'static self) -> &'static Index {
        self.index.get_or_init(|| Index::of(self.text))
    }
}

impl Index {
    fn of(text: &'static str) -> Index {
        let mut lines = text.lines().filter(|line| !line.starts_with('#'));
        let columns = lines
            .next()
            .map_or(Vec::new(), |head| head.split(',').collect());
        let lines: Vec<&str> = lines.filter(|line| !line.is_empty()).collect();
        let mut first = FxHashMap::default();
        let mut next = vec![None; lines.len()];
        // From the last to the first, so that each row finds its successor already there.
        for (number, line) in lines.iter().enumerate().rev() {
            let key = cells(line).next().unwrap_or("");
            next[number] = first.insert(key, number as u32);
        }
        Index {
            columns,
            lines,
            first,
            next,
        }
    }
}

impl Row {
    /// The cell of a column, empty if nothing is there.
    ///
    /// A column that does not exist gives an empty cell too; the table tests read every column that the program
    /// names.
    pub fn cell(self, column: &str) -> &'static str {
        let position = self.table.columns().iter().position(|name| *name == column);
        debug_assert!(position.is_some(), "{}: {column}", self.table.name);
        position.map_or("", |at| cells(self.line()).nth(at).unwrap_or(""))
    }

    /// The cell of a column, `None` if it is empty.
    pub fn filled(self, column: &str) -> Option<&'static str> {
        Some(self.cell(column)).filter(|cell| !cell.is_empty())
    }

    /// The cell as a floating-point number for a model; `None` if it is empty or no number.
    pub fn float(self, column: &str) -> Option<f64> {
        self.cell(column).parse().ok()
    }

    /// Every cell in order.
    pub fn cells(self) -> impl Iterator<Item = &'static str> {
        cells(self.line())
    }

    /// Its number in the table, from 0, without head lines.
    pub fn number(self) -> u32 {
        self.number
    }

    /// The table it belongs to.
    pub fn table(self) -> &'static Table {
        self.table
    }

    /// The whole line as it stands in the file.
    pub fn line(self) -> &'static str {
        self.table.index().lines[self.number as usize]
    }
}

/// The cells of one line; quotes around a cell are taken off.
fn cells(line: &'static str) -> impl Iterator<Item = &'static str> {
    let mut rest = Some(line);
    std::iter::from_fn(move || {
        let text = rest?;
        if let Some(quoted) = text.strip_prefix('"') {
            let (cell, after) = quoted.split_once('"').unwrap_or((quoted, ""));
            rest = after.strip_prefix(',');
            return Some(cell);
        }
        let (cell, after) = match text.split_once(',') {
            Some((cell, after)) => (cell, Some(after)),
            None => (text, None),
        };
        rest = after;
        Some(cell)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    static SMALL: Table = Table::new(
        "small.csv",
        "# g\nformula,phase,note\nH2O,l,\"wet, cold\"\nCO2,g,\nH2O,g,hot\n",
    );

    #[test]
    fn rows_are_found_by_their_first_cell_in_order() {
        let phases: Vec<_> = SMALL.find("H2O").map(|row| row.cell("phase")).collect();
        assert_eq!(phases, ["l", "g"]);
        assert_eq!(SMALL.find("CO2").count(), 1);
        assert_eq!(SMALL.find("N2").count(), 0);
    }

    #[test]
    fn quoted_cells_keep_their_commas() {
        let row = SMALL.row(0).unwrap();
        assert_eq!(row.cell("note"), "wet, cold");
        assert_eq!(row.cells().count(), 3);
        assert_eq!(SMALL.row(1).unwrap().filled("note"), None);
    }
}
