//! Lays the tables of `src/data` out for looking up, so that a program that starts reads only the rows it asks for.
//!
//! Each CSV file becomes an expression of type `Encoded` (`src/data/table.rs`): the cells behind each other without commas
//! and quotes, where each of them ends, and the rows in the order of their first cell. Every row that cannot be read is
//! reported before the build stops.
//!
//! Three tables are made from the others: every listed formula, the same by the elements it names, and every other spelling
//! of one.

#![allow(
    clippy::disallowed_methods,
    reason = "a build script reads and writes files"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;
use std::path::{Path, PathBuf};
use std::{env, fs};

#[path = "src/data/letters.rs"]
mod letters;

use letters::elements_named;

type Fallible<T> = Result<T, Box<dyn Error>>;

fn main() -> Fallible<()> {
    println!("cargo::rerun-if-changed=build.rs");
    let out = PathBuf::from(env::var_os("OUT_DIR").ok_or("cargo names no folder for the tables")?);
    let mut faults = Vec::new();
    let mut listed = Listed::default();
    for folder in ["src/data", "src/data/safety"] {
        println!("cargo::rerun-if-changed={folder}");
        for file in csv_files(Path::new(folder))? {
            println!("cargo::rerun-if-changed={}", file.display());
            match Laid::read(&file) {
                Ok(table) => {
                    listed.take_in(&table, &file);
                    table.write(&out, &file)?;
                }
                Err(of_file) => faults.extend(of_file),
            }
        }
    }
    listed
        .by_formula()?
        .write(&out, Path::new("formulas.csv"))?;
    listed.by_elements()?.write(&out, Path::new("listed.csv"))?;
    listed
        .by_spelling()?
        .write(&out, Path::new("spelled.csv"))?;
    match faults.is_empty() {
        true => Ok(()),
        false => Err(format!("rows that cannot be read:\n{}", faults.join("\n")).into()),
    }
}

fn csv_files(folder: &Path) -> Fallible<Vec<PathBuf>> {
    let entries = fs::read_dir(folder)?.collect::<Result<Vec<_>, _>>()?;
    let mut files: Vec<PathBuf> = entries.iter().map(fs::DirEntry::path).collect();
    files.retain(|path| path.extension().is_some_and(|kind| kind == "csv"));
    files.sort();
    Ok(files)
}

/// A table as it is laid out.
#[derive(Default)]
struct Laid {
    columns: Vec<String>,
    cells: String,
    /// Where each row starts in `cells`, and at last where they end.
    starts: Vec<u32>,
    /// Where each cell ends, from the start of its row.
    ends: Vec<u16>,
    /// Rows by their first cell, those of one key in the order of the file.
    by_key: BTreeMap<String, Vec<u16>>,
}

impl Laid {
    /// All faults of a file if there are any.
    fn read(file: &Path) -> Result<Laid, Vec<String>> {
        let mut laid = Laid::default();
        let mut faults = Vec::new();
        let mut fault = |what: &dyn std::fmt::Display| {
            faults.push(format!("{}: {what}", file.display()));
        };
        let reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_path(file);
        let mut reader = match reader {
            Ok(reader) => reader,
            Err(error) => return Err(vec![format!("{}: {error}", file.display())]),
        };
        match reader.headers() {
            Ok(head) => laid.columns = head.iter().map(str::to_owned).collect(),
            Err(error) => fault(&error),
        }
        for row in reader.records() {
            let taken = match &row {
                Ok(row) => laid.take_in(row).map_err(|error| error.to_string()),
                Err(error) => Err(error.to_string()),
            };
            if let Err(error) = taken {
                fault(&error);
            }
        }
        laid.starts.push(laid.cells.len() as u32);
        match faults.is_empty() {
            true => Ok(laid),
            false => Err(faults),
        }
    }

    fn take_in(&mut self, row: &csv::StringRecord) -> Fallible<()> {
        let start = self.cells.len();
        let number = u16::try_from(self.starts.len())?;
        self.starts.push(u32::try_from(start)?);
        for cell in row {
            self.cells.push_str(cell);
            self.ends.push(u16::try_from(self.cells.len() - start)?);
        }
        let key = row.get(0).unwrap_or_default().to_owned();
        self.by_key.entry(key).or_default().push(number);
        Ok(())
    }

    /// A table that is made of others.
    fn of(columns: [&str; 2], rows: impl IntoIterator<Item = [String; 2]>) -> Fallible<Laid> {
        let mut laid = Laid {
            columns: columns.map(str::to_owned).into(),
            ..Laid::default()
        };
        for row in rows {
            laid.take_in(&csv::StringRecord::from(row.to_vec()))?;
        }
        laid.starts.push(u32::try_from(laid.cells.len())?);
        Ok(laid)
    }

    /// The cells of a column; none where there is no such column.
    fn column(&self, name: &str) -> impl Iterator<Item = &str> {
        let at = self.columns.iter().position(|column| column == name);
        let rows = at.map_or(0, |_| self.starts.len() - 1);
        (0..rows).map(move |row| self.cell(row, at.unwrap_or_default()))
    }

    fn cell(&self, row: usize, at: usize) -> &str {
        let cell = row * self.columns.len() + at;
        let from = if at == 0 { 0 } else { self.ends[cell - 1] };
        let start = self.starts[row] as usize;
        &self.cells[start + usize::from(from)..start + usize::from(self.ends[cell])]
    }

    fn write(&self, out: &Path, file: &Path) -> Fallible<()> {
        let name = file.file_name().ok_or("a file without a name")?;
        let beside = |part: &str| out.join(name).with_extension(part);
        let starts = self.starts.iter().flat_map(|at| at.to_le_bytes());
        let ends = self.ends.iter().flat_map(|at| at.to_le_bytes());
        let order = self.by_key.values().flatten();
        let order = order.flat_map(|number| number.to_le_bytes());
        fs::write(beside("cells"), &self.cells)?;
        fs::write(beside("starts"), starts.collect::<Vec<u8>>())?;
        fs::write(beside("ends"), ends.collect::<Vec<u8>>())?;
        fs::write(beside("order"), order.collect::<Vec<u8>>())?;
        let stem = Path::new(name).with_extension("");
        let stem = stem.display();
        let expression = format!(
            "Encoded {{ columns: &{:?}, cells: include_str!(\"{stem}.cells\"), starts: include_bytes!(\"{stem}.starts\"), \
             ends: include_bytes!(\"{stem}.ends\"), order: include_bytes!(\"{stem}.order\") }}",
            self.columns
        );
        fs::write(beside("csv.rs"), expression)?;
        Ok(())
    }
}

/// The formulas of all tables, and what else they are written as.
#[derive(Default)]
struct Listed {
    formulas: BTreeSet<String>,
    /// Each spelling with the formulas it was found beside.
    spellings: BTreeMap<String, BTreeSet<String>>,
    /// Those of `spelling.csv`.
    decided: BTreeSet<String>,
}

impl Listed {
    fn take_in(&mut self, table: &Laid, file: &Path) {
        for column in ["formula", "solid"] {
            for formula in table.column(column).filter(|cell| !cell.is_empty()) {
                self.formulas.insert(formula.to_owned());
                for bare in without_square_brackets(formula) {
                    self.spell(&bare, formula);
                }
            }
        }
        let own = file.ends_with("spelling.csv");
        let written = if own { "spelling" } else { "alternatives" };
        self.decided
            .extend(table.column("spelling").map(str::to_owned));
        for (spelling, formula) in table.column(written).zip(table.column("formula")) {
            self.spell(spelling, formula);
        }
    }

    fn spell(&mut self, spelling: &str, formula: &str) {
        if !spelling.is_empty() && spelling != formula {
            let formulas = self.spellings.entry(spelling.to_owned()).or_default();
            formulas.insert(formula.to_owned());
        }
    }

    fn by_formula(&self) -> Fallible<Laid> {
        let rows = self.formulas.iter();
        let rows = rows.map(|formula| [formula.clone(), elements_named(formula)]);
        Laid::of(["formula", "elements"], rows)
    }

    fn by_elements(&self) -> Fallible<Laid> {
        let rows = self.formulas.iter();
        let rows = rows.map(|formula| [elements_named(formula), formula.clone()]);
        Laid::of(["elements", "formula"], rows)
    }

    /// A spelling that is listed itself, or stands beside two formulas, is nobody's other spelling, unless
    /// `spelling.csv` says so.
    fn by_spelling(&self) -> Fallible<Laid> {
        let rows = self.spellings.iter().filter_map(|(spelling, formulas)| {
            let only = formulas.first().filter(|_| formulas.len() == 1)?;
            let free = !self.formulas.contains(spelling) || self.decided.contains(spelling);
            free.then(|| [spelling.clone(), only.clone()])
        });
        Laid::of(["spelling", "formula"], rows)
    }
}

/// A formula with round brackets in the place of its square ones, and without them where no number follows:
/// `K4Fe(CN)6` for `K4[Fe(CN)6]`. Empty for a formula without square brackets.
fn without_square_brackets(formula: &str) -> [String; 2] {
    if !formula.contains('[') {
        return [String::new(), String::new()];
    }
    let round = formula.replace('[', "(").replace(']', ")");
    let mut bare = String::new();
    let mut open = Vec::new();
    for (at, letter) in formula.char_indices() {
        let counted = |close: usize| {
            let next = formula[close + 1..].chars().next();
            next.is_some_and(|next| next.is_ascii_digit())
        };
        match letter {
            '[' => {
                let close = formula[at..].find(']').map(|close| at + close);
                let kept = close.is_some_and(counted);
                open.push(kept);
                bare.extend(kept.then_some('('));
            }
            ']' => bare.extend(open.pop().unwrap_or(false).then_some(')')),
            letter => bare.push(letter),
        }
    }
    [bare, round]
}
