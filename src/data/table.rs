//! Rows and cells of a table, read on demand.

/// A table as `build.rs` lays it out from its CSV file; numbers have their lowest byte first.
#[derive(Clone, Copy)]
pub struct Encoded {
    /// The column names in order.
    pub columns: &'static [&'static str],
    /// The text of all cells, row by row, without anything between them.
    pub cells: &'static str,
    /// Four bytes a row: where it starts in `cells`; then once more where the last row ends.
    pub starts: &'static [u8],
    /// Two bytes a cell: where it ends, from the start of its row.
    pub ends: &'static [u8],
    /// Two bytes a row: the rows in the order of their first cells, those of one key in the order of the file.
    pub order: &'static [u8],
}

/// One embedded table.
///
/// The first column is the key. The rows are in the order of their keys already when the program starts, so a look-up
/// is a binary search that touches a dozen rows, and a table nobody asks costs nothing.
pub struct Table {
    name: &'static str,
    text: Encoded,
}

/// One row of a table; cheap to copy.
#[derive(Clone, Copy)]
pub struct Row {
    table: &'static Table,
    number: u32,
}

impl Table {
    /// A table of this name as it was laid out.
    pub const fn new(name: &'static str, text: Encoded) -> Self {
        Table { name, text }
    }

    /// The file's name.
    pub fn name(&self) -> &'static str {
        self.name
    }

    /// The column names in order.
    pub fn columns(&self) -> &'static [&'static str] {
        self.text.columns
    }

    /// Every row, in the order of the file.
    pub fn rows(&'static self) -> impl Iterator<Item = Row> + Clone {
        (0..self.len()).map(move |number| Row {
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
    pub fn find<'a>(&'static self, key: &'a str) -> impl Iterator<Item = Row> + use<'a> {
        let (mut low, mut high) = (0, self.len());
        while low < high {
            let middle = low + (high - low) / 2;
            match self.in_order(middle).at(0) < key {
                true => low = middle + 1,
                false => high = middle,
            }
        }
        let sorted = (low..self.len()).map(|place| self.in_order(place));
        sorted.take_while(move |row| row.at(0) == key)
    }

    /// The row of this number, counted from 0 without head lines.
    pub fn row(&'static self, number: u32) -> Option<Row> {
        (number < self.len()).then_some(Row {
            table: self,
            number,
        })
    }

    fn len(&self) -> u32 {
        (self.text.order.len() / 2) as u32
    }

    /// The row at a place in the order of the keys.
    fn in_order(&'static self, place: u32) -> Row {
        Row {
            table: self,
            number: u32::from(short(self.text.order, place as usize)),
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
        position.map_or("", |at| self.at(at))
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
        (0..self.table.columns().len()).map(move |at| self.at(at))
    }

    /// Its number in the table, from 0, without head lines.
    pub fn number(self) -> u32 {
        self.number
    }

    /// The table it belongs to.
    pub fn table(self) -> &'static Table {
        self.table
    }

    /// The cell at a position.
    fn at(self, position: usize) -> &'static str {
        let text = &self.table.text;
        let start = long(text.starts, self.number as usize) as usize;
        let cell = self.number as usize * text.columns.len() + position;
        let from = match position {
            0 => 0,
            _ => short(text.ends, cell - 1),
        };
        let to = short(text.ends, cell);
        &text.cells[start + usize::from(from)..start + usize::from(to)]
    }
}

/// For messages about a row: its table and its cells.
impl std::fmt::Display for Row {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let cells: Vec<&str> = self.cells().collect();
        write!(f, "{}: {}", self.table.name, cells.join(","))
    }
}

fn short(bytes: &[u8], at: usize) -> u16 {
    u16::from_le_bytes([bytes[2 * at], bytes[2 * at + 1]])
}

fn long(bytes: &[u8], at: usize) -> u32 {
    let four = &bytes[4 * at..4 * at + 4];
    u32::from_le_bytes([four[0], four[1], four[2], four[3]])
}
