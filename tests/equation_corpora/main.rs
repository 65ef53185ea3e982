//! Every row of the collected equations, answered; each test prints its figure and fails on any row that is not right.
//!
//! Where the rows come from and how their answers were verified: tests/corpora/equations/README.md.

#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "tests read the collected equations, look at the clock and print their figures"
)]

use std::fs;

use aludel::equation::{Balance, Reaction, balance, parse_equation};
use aludel::matter::{Notation, Species};
use num_bigint::BigInt;

mod bad_input;
mod several;
mod workings;

/// Rows of a table as cells, by the name of their column.
struct Table {
    names: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    fn read(name: &str) -> Table {
        let path = format!(
            "{}/tests/corpora/equations/{name}.tsv",
            env!("CARGO_MANIFEST_DIR")
        );
        let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
        let mut lines = text.split('\n').filter(|line| !line.is_empty());
        let cells = |line: &str| line.split('\t').map(str::to_owned).collect::<Vec<_>>();
        Table {
            names: lines.next().map(cells).unwrap(),
            rows: lines.map(cells).collect(),
        }
    }

    fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row {
            names: &self.names,
            cells,
        })
    }
}

struct Row<'t> {
    names: &'t [String],
    cells: &'t [String],
}

impl Row<'_> {
    fn get(&self, name: &str) -> &str {
        let at = self
            .names
            .iter()
            .position(|n| n == name)
            .unwrap_or_else(|| panic!("no column {name}"));
        self.cells.get(at).map_or("", String::as_str)
    }
}

/// Answers every row and lists those that are not right.
fn every_row(name: &str, right: impl Fn(&Row<'_>) -> Result<(), String>) {
    let table = Table::read(name);
    let wrong: Vec<String> = table
        .rows()
        .filter_map(|row| {
            right(&row)
                .err()
                .map(|why| format!("{}: {why}", row.get("id")))
        })
        .collect();
    let total = table.rows.len();
    println!("{name}: {} of {total} rows right", total - wrong.len());
    assert!(
        wrong.is_empty(),
        "{name}: {} of {total} rows wrong\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert!(total > 0, "{name} is empty");
}

fn answer(text: &str) -> Result<Balance, String> {
    let skeleton = parse_equation(text).map_err(|fault| format!("{text}: not read: {fault:?}"))?;
    balance(&skeleton).map_err(|why| format!("{text}: {why:?}"))
}

fn coefficients(terms: &[(BigInt, Species)]) -> String {
    terms
        .iter()
        .map(|(n, _)| n.to_string())
        .collect::<Vec<_>>()
        .join(" ")
}

fn has_coefficients(reaction: &Reaction, row: &Row<'_>) -> Result<(), String> {
    let found = (coefficients(&reaction.left), coefficients(&reaction.right));
    if (found.0.as_str(), found.1.as_str()) == (row.get("left"), row.get("right")) {
        Ok(())
    } else {
        Err(format!(
            "{} instead of {} | {}",
            reaction.to_text(Notation::Plain),
            row.get("left"),
            row.get("right")
        ))
    }
}

fn unique(text: &str, row: &Row<'_>) -> Result<(), String> {
    match answer(text)? {
        Balance::Unique(reaction) => has_coefficients(&reaction, row),
        other => Err(format!("{text}: {other:?}")),
    }
}

fn unique_rows(name: &str) {
    every_row(name, |row| unique(row.get("equation"), row));
}

#[test]
fn textbook() {
    unique_rows("textbook");
}

#[test]
fn school() {
    unique_rows("school");
}

#[test]
fn modelseed_sample() {
    unique_rows("modelseed_sample");
}

#[test]
fn combustion() {
    unique_rows("combustion");
}

#[test]
fn burnt_compounds() {
    unique_rows("burnt_compounds");
}

/// The coefficients that some rows give wrongly on purpose do not change the answer.
#[test]
fn notation() {
    unique_rows("notation");
}

/// The same species with the same coefficients, in whatever order.
fn same_reaction(found: &Reaction, expected: &str) -> Result<(), String> {
    let expected_skeleton = parse_equation(expected).map_err(|fault| format!("{fault:?}"))?;
    let side = |terms: &[aludel::equation::Term]| {
        let mut all: Vec<String> = terms
            .iter()
            .map(|t| {
                format!(
                    "{} {}",
                    t.coefficient
                        .as_ref()
                        .map_or("1".to_owned(), |n| n.to_plain()),
                    t.species
                )
            })
            .collect();
        all.sort();
        all
    };
    let found_side = |terms: &[(BigInt, Species)]| {
        let mut all: Vec<String> = terms.iter().map(|(n, s)| format!("{n} {s}")).collect();
        all.sort();
        all
    };
    let same = side(&expected_skeleton.left) == found_side(&found.left)
        && side(&expected_skeleton.right) == found_side(&found.right);
    same.then_some(())
        .ok_or_else(|| format!("{} instead of {expected}", found.to_text(Notation::Plain)))
}

#[test]
fn completion() {
    every_row("completion", |row| {
        let text = format!("{} in {}", row.get("skeleton"), row.get("medium"));
        let found = answer(&text)?;
        let reaction = found
            .reaction()
            .ok_or_else(|| format!("{text}: {found:?}"))?;
        same_reaction(reaction, row.get("balanced"))
    });
}
