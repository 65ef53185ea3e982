//! Every row of the collected equations, answered; each test prints its figure and fails on any row that is not right.
//!
//! Where the rows come from and how their answers were verified: tests/corpora/equations/README.md.

#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "tests read the collected equations, look at the clock and print their figures"
)]

use std::fs;

use aludel::equation::{Balance, NoWorking, Reaction, SettledBy, balance, parse_equation, working};
use aludel::matter::{Notation, Species};

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

fn coefficients(terms: &[(num_bigint::BigInt, Species)]) -> String {
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
    let found_side = |terms: &[(num_bigint::BigInt, Species)]| {
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

/// Rows whose expected answer does not follow from their couples, and why; here the balances are listed and the user fixes
/// a ratio.
const NOT_SETTLED: [(&str, &str); 2] = [
    // `CO + CO2 + H2 -> CH4 + H2O` (am072) has the same form, two oxidised forms of one element with one product, and is
    // listed as ambiguous; that NO and NO2 react one to one is a fact of kinetics.
    ("am043", "NO = NO2"),
    // `KClO3 -> KCl + KClO4 + O2` (am058) has the same form, one state going up and down beside O2, and is listed as
    // ambiguous; that a half of the xenon is oxidised is a finding of experiment.
    ("am051", "Na4XeO6 = Xe"),
];

#[test]
fn ambiguous() {
    every_row("ambiguous", |row| {
        let text = row.get("equation");
        let nullity: usize = row.get("nullity").parse().map_err(|e| format!("{e}"))?;
        if let Some((_, constraint)) = NOT_SETTLED.iter().find(|(id, _)| *id == row.get("id")) {
            assert_eq!(
                *constraint,
                row.get("constraint"),
                "the exception is for another row"
            );
            let open = answer(text)?;
            let (a, b) = constraint.split_once(" = ").ok_or("no relation")?;
            return match (open, answer(&format!("{text}, with {a} : {b} = 1 : 1"))?) {
                (
                    Balance::Open { freedom, .. },
                    Balance::Settled {
                        reaction,
                        by: SettledBy::Ratio,
                        ..
                    },
                ) if freedom == nullity => has_coefficients(&reaction, row),
                other => Err(format!("{text}: {other:?}")),
            };
        }
        match (row.get("verdict"), answer(text)?) {
            (
                "unique by couples",
                Balance::Settled {
                    reaction,
                    by: SettledBy::HalfReactions,
                    freedom,
                },
            ) if freedom == nullity => has_coefficients(&reaction, row),
            ("ambiguous", Balance::Open { freedom, .. }) if freedom == nullity => Ok(()),
            (verdict, found) => Err(format!("{text}: {verdict}, but {found:?}")),
        }
    });
}

/// The freedom is that of the row, and the balances listed need every species, or the couples settle it.
#[test]
fn ambiguous_data() {
    let settled = std::cell::Cell::new(0);
    every_row("ambiguous_data", |row| {
        let text = row.get("equation");
        let nullity: usize = row.get("nullity").parse().map_err(|e| format!("{e}"))?;
        match answer(text)? {
            Balance::Open { freedom, balances }
                if freedom == nullity && balances.len() >= freedom =>
            {
                let skeleton = parse_equation(text).map_err(|fault| format!("{fault:?}"))?;
                let taken = |species: &Species| {
                    balances
                        .iter()
                        .any(|b| b.left.iter().chain(&b.right).any(|(_, s)| s == species))
                };
                let idle = skeleton.terms().find(|(_, term)| !taken(&term.species));
                idle.map_or(Ok(()), |(_, term)| {
                    Err(format!("{text}: {} in no balance", term.species))
                })
            }
            Balance::Settled { freedom, .. } if freedom == nullity => {
                settled.set(settled.get() + 1);
                Ok(())
            }
            other => Err(format!("{text}: freedom {nullity}, but {other:?}")),
        }
    });
    println!(
        "ambiguous_data: {} of these settled by couples",
        settled.get()
    );
}

#[test]
fn infeasible() {
    every_row("infeasible", |row| {
        match parse_equation(row.get("equation")) {
            Err(fault) => Err(format!("not read: {fault:?}")),
            Ok(skeleton) => match balance(&skeleton) {
                Err(_) => Ok(()),
                Ok(found) => Err(format!("{}: {found:?}", row.get("equation"))),
            },
        }
    });
}

/// A pseudo-element is refused, whatever the rest of the equation.
#[test]
fn pseudo() {
    every_row("pseudo", |row| match parse_equation(row.get("equation")) {
        Err(_) => Ok(()),
        Ok(skeleton) => Err(format!("read: {skeleton:?}")),
    });
}

/// A lone species that changes its place or shape only balances one to one; two or more of them, each on both sides,
/// are refused, as `NaCl + H2O -> NaCl + H2O` of the bad inputs must be.
#[test]
fn both_sides() {
    every_row("both_sides", |row| {
        let text = row.get("equation");
        let expected = !row.get("left").is_empty();
        let (left, right) = text.split_once(" -> ").ok_or("no arrow")?;
        let mut sides = [left, right].map(|side| side.split(" + ").collect::<Vec<_>>());
        sides.iter_mut().for_each(|side| side.sort_unstable());
        // Listed without an answer, but 2 + 1 + 2 + 1 | 2 + 2 + 1 balances: C 42 + 8, H 54 + 2 + 10, O 28 + 2 + 1, charge
        // -4 + 2 on either side.
        let expected = expected || row.get("id") == "rxn06914";
        let nothing_happens = sides[0] == sides[1] && sides[0].len() > 1;
        match answer(text) {
            Ok(Balance::Unique(reaction)) if expected => has_coefficients(&reaction, row),
            Ok(Balance::Open { freedom, .. })
                if expected && freedom.to_string() == row.get("nullity") =>
            {
                Ok(())
            }
            Err(_) if !expected || nothing_happens => Ok(()),
            other => Err(format!("{text}: {other:?}")),
        }
    });
}

/// Inputs that must be refused are refused, at some place of the input; legal ones are answered. Which kind of message
/// each gets is tested where messages are made.
#[test]
fn bad_input() {
    every_row("bad_input", |row| {
        let input = match row.get("kind") {
            "literal" => {
                serde_json::from_str::<String>(row.get("input")).map_err(|e| format!("{e}"))?
            }
            _ => built(row.get("input"))?,
        };
        let started = std::time::Instant::now();
        let found = parse_equation(input.trim()).map(|skeleton| balance(&skeleton));
        let refused = match &found {
            Err(fault) if fault.span.end > input.trim().len() => {
                return Err(format!("the place {:?} is not in the input", fault.span));
            }
            Err(_) | Ok(Err(_)) => true,
            Ok(Ok(_)) => false,
        };
        // The limit is one for a release build on an idle machine; here it only catches what never ends.
        if started.elapsed().as_secs() > 60 {
            return Err(format!("took {:?}", started.elapsed()));
        }
        match (row.get("expected"), refused) {
            ("error", true) | ("legal", false) | ("either", _) => Ok(()),
            (expected, _) => Err(format!("{:?}: {expected}, but {found:?}", row.get("input"))),
        }
    });
}

/// The inputs that are described because they are too large to be written down.
fn built(recipe: &str) -> Result<String, String> {
    let r = |text: &str, n: usize| text.repeat(n);
    Ok(match recipe {
        r#""(" * 10000 + "H" + ")" * 10000 + " -> H2""# => {
            r("(", 10_000) + "H" + &r(")", 10_000) + " -> H2"
        }
        r#""(" * 1000000 + "H" + ")" * 1000000 + " -> H2""# => {
            r("(", 1_000_000) + "H" + &r(")", 1_000_000) + " -> H2"
        }
        r#""(" * 100000"# => r("(", 100_000),
        r#""H2 + O2 -> " + "H2O + " * 100000 + "H2O""# => {
            "H2 + O2 -> ".to_owned() + &r("H2O + ", 100_000) + "H2O"
        }
        r#""H2 + O2 -> H2O" + " " * 10000000"# => "H2 + O2 -> H2O".to_owned() + &r(" ", 10_000_000),
        r#""9" * 100000 + " H2 + O2 -> H2O""# => r("9", 100_000) + " H2 + O2 -> H2O",
        r#""C" + "9" * 100000 + "H4 + O2 -> CO2 + H2O""# => {
            "C".to_owned() + &r("9", 100_000) + "H4 + O2 -> CO2 + H2O"
        }
        r#""Fe^" + "9" * 100000 + "+ + e^- -> Fe""# => {
            "Fe^".to_owned() + &r("9", 100_000) + "+ + e^- -> Fe"
        }
        r#""·".join(["CuSO4"] + ["H2O"] * 50000) + " -> CuSO4 + H2O""# => {
            "CuSO4".to_owned() + &r("·H2O", 50_000) + " -> CuSO4 + H2O"
        }
        r#""H2 + O2 " + "-> " * 100000 + "H2O""# => {
            "H2 + O2 ".to_owned() + &r("-> ", 100_000) + "H2O"
        }
        r#""((((((((((C9)9)9)9)9)9)9)9)9)9)9 -> C""# => r("(", 10) + "C9" + &r(")9", 10) + " -> C",
        r#""(" * 40 + "C" + ")9" * 40 + " -> C""# => r("(", 40) + "C" + &r(")9", 40) + " -> C",
        r#""\u0301" * 100000 + "H2 -> H2O""# => r("\u{301}", 100_000) + "H2 -> H2O",
        r#"bytes([0x48, 0x32, 0xff, 0xfe, 0x20]).decode("latin-1") + "-> H2""# => {
            "H2\u{ff}\u{fe} -> H2".to_owned()
        }
        r#""\n" * 100000"# => r("\n", 100_000),
        r#"" + ".join(["H2", "O2"] * 20000) + " -> H2O""# => {
            r("H2 + O2 + ", 19_999) + "H2 + O2 -> H2O"
        }
        _ => return Err(format!("no such recipe: {recipe}")),
    })
}

/// The half-reactions of the completions: the electrons transferred, and each couple as the row gives it.
#[test]
fn workings() {
    every_row("completion", |row| {
        let text = format!("{} in {}", row.get("skeleton"), row.get("medium"));
        let skeleton = parse_equation(&text).map_err(|fault| format!("{fault:?}"))?;
        let found = working(&skeleton).map_err(|why| format!("{text}: {why:?}"))?;
        let electrons = aludel::number::Exact::from(found.electrons.clone()) * &found.factor;
        if electrons.to_plain() != row.get("electrons") {
            return Err(format!(
                "{text}: {electrons} electrons, not {}",
                row.get("electrons")
            ));
        }
        for (half, column) in [
            (&found.oxidation, "oxidation"),
            (&found.reduction, "reduction"),
        ] {
            let own = |terms: &[(num_bigint::BigInt, Species)]| {
                let mut all: Vec<String> = terms
                    .iter()
                    .filter(|(_, s)| !s.is_electron() && !["H2O", "H^+", "OH^-"].contains(&s.key()))
                    .map(|(_, s)| s.plain().to_owned())
                    .collect();
                all.sort();
                all.join(" + ")
            };
            let (left, right) = row.get(column).split_once("->").ok_or("no arrow")?;
            let sorted = |side: &str| {
                let mut all: Vec<&str> = side
                    .split(" + ")
                    .map(str::trim)
                    .filter(|s| !s.is_empty())
                    .collect();
                all.sort_unstable();
                all.join(" + ")
            };
            let expected = (sorted(left), sorted(right));
            let got = (own(&half.reaction.left), own(&half.reaction.right));
            if got != expected {
                return Err(format!("{text}: {column} {got:?} instead of {expected:?}"));
            }
        }
        Ok(())
    });
}

/// The textbook equations in which an oxidation number changes: how many have a working that adds up to the answer.
#[test]
fn textbook_workings() {
    let (mut worked, mut plain, mut unclear) = (0, 0, Vec::new());
    for row in Table::read("textbook").rows() {
        let text = row.get("equation");
        match working(&parse_equation(text).unwrap()) {
            Ok(_) => worked += 1,
            Err(NoWorking::NoRedox) => plain += 1,
            Err(why) => unclear.push(format!("{text}: {why:?}")),
        }
    }
    println!(
        "textbook: {worked} redox equations with a working, {plain} others, {} unclear",
        unclear.len()
    );
    assert!(worked >= 175, "unclear:\n{}", unclear.join("\n"));
}
