//! Every row of the collected equations, answered; each test prints its figure and fails on any row that is not right.
//!
//! Where the rows come from and how their answers were verified: tests/corpora/equations/README.md.

#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "tests read the collected equations, look at the clock and print their figures"
)]

use std::collections::BTreeMap;
use std::fs;
use std::time::Duration;

use aludel::equation::{
    Balance, NoWorking, Reaction, SettledBy, Side, Term, Transfer, balance, parse_equation,
    transfers, working,
};
use aludel::matter::{Notation, Species};
use aludel::number::Exact;
use aludel::shell::balanced;
use num_bigint::BigInt;
use num_rational::BigRational;

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

#[test]
fn ambiguous() {
    every_row("ambiguous", |row| {
        let text = row.get("equation");
        let nullity: usize = row.get("nullity").parse().map_err(|e| format!("{e}"))?;
        match (row.get("verdict"), answer(text)?) {
            (
                "unique by couples",
                Balance::Settled {
                    reaction,
                    by: SettledBy::HalfReactions,
                    freedom,
                },
            ) if freedom == nullity => has_coefficients(&reaction, row),
            ("ambiguous", Balance::Open { freedom, balances }) if freedom == nullity => {
                is_a_sum(&coefficients_of(row.get("one_solution"))?, &balances)
            }
            (verdict, found) => Err(format!("{text}: {verdict}, but {found:?}")),
        }
    });
}

/// Species with their net coefficients, positive on the right.
type Net = BTreeMap<String, BigInt>;

fn net(terms: impl Iterator<Item = (BigInt, String)>) -> Net {
    let mut net = Net::new();
    for (n, species) in terms {
        *net.entry(species).or_default() += n;
    }
    net
}

fn net_of(reaction: &Reaction) -> Net {
    let left = reaction
        .left
        .iter()
        .map(|(n, s)| (-n.clone(), format!("< {s}")));
    let right = reaction
        .right
        .iter()
        .map(|(n, s)| (n.clone(), format!("> {s}")));
    net(left.chain(right))
}

/// The coefficients of a balanced equation as text, those of the two sides apart.
fn coefficients_of(text: &str) -> Result<Net, String> {
    let skeleton = parse_equation(text).map_err(|fault| format!("{text}: {fault:?}"))?;
    let term = |(side, term): (Side, &Term)| {
        let n = term
            .coefficient
            .as_ref()
            .map_or(BigInt::from(1), |n| n.numerator().clone());
        match side {
            Side::Left => (-n, format!("< {}", term.species)),
            Side::Right => (n, format!("> {}", term.species)),
        }
    };
    Ok(net(skeleton.terms().map(term)))
}

/// Coefficients in two columns of a row, put before the species of its equation.
fn with_columns(row: &Row<'_>) -> Result<Net, String> {
    let skeleton = parse_equation(row.get("equation")).map_err(|fault| format!("{fault:?}"))?;
    let side = |terms: &[Term], column: &str, sign: i64, mark: &str| {
        let numbers = row.get(column).split(' ').map(str::parse::<i64>);
        let numbers: Vec<i64> = numbers
            .collect::<Result<_, _>>()
            .map_err(|e| format!("{e}"))?;
        if numbers.len() != terms.len() {
            return Err(format!("{column} has {} numbers", numbers.len()));
        }
        let pairs = numbers.iter().zip(terms);
        Ok(pairs
            .map(|(n, t)| (BigInt::from(n * sign), format!("{mark} {}", t.species)))
            .collect::<Vec<_>>())
    };
    let left = side(&skeleton.left, "left", -1, "<")?;
    let right = side(&skeleton.right, "right", 1, ">")?;
    Ok(net(left.into_iter().chain(right)))
}

/// Whether a balance is a sum of elementary ones: as long as something is left, some elementary balance whose species are
/// all among those left can be taken from it until one of them is used up.
fn is_a_sum(wanted: &Net, balances: &[Reaction]) -> Result<(), String> {
    let elementary: Vec<Net> = balances.iter().map(net_of).collect();
    let mut left: BTreeMap<String, BigRational> = wanted
        .iter()
        .map(|(s, n)| (s.clone(), BigRational::from(n.clone())))
        .collect();
    loop {
        left.retain(|_, n| *n != BigRational::from(BigInt::from(0)));
        if left.is_empty() {
            return Ok(());
        }
        let within = |one: &&Net| one.keys().all(|s| left.contains_key(s));
        let Some(one) = elementary.iter().find(within) else {
            return Err(format!(
                "{left:?} is left of {wanted:?}, which no elementary balance is within"
            ));
        };
        let times = one
            .iter()
            .map(|(s, n)| &left[s] / n)
            .min()
            .ok_or("an empty balance")?;
        for (species, n) in one {
            *left.get_mut(species).ok_or("no such species")? -= &times * n;
        }
    }
}

/// The balance of the table is a sum of the elementary ones listed, or the answer that the couples settle.
#[test]
fn ambiguous_data() {
    let settled = std::cell::Cell::new(0);
    every_row("ambiguous_data", |row| {
        let text = row.get("equation");
        let nullity: usize = row.get("nullity").parse().map_err(|e| format!("{e}"))?;
        match answer(text)? {
            Balance::Open { freedom, balances } if freedom == nullity => {
                is_a_sum(&with_columns(row)?, &balances)
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

/// What changes only its place or shape balances with itself; where several balances are possible, that of the table is a
/// sum of them.
#[test]
fn both_sides() {
    every_row("both_sides", |row| {
        let text = row.get("equation");
        // Listed without an answer, but 2 + 1 + 2 + 1 -> 2 + 2 + 1 balances: C 42 + 8, H 54 + 2 + 10, O 28 + 2 + 1, charge
        // -4 + 2 on either side.
        let unsolved = row.get("left").is_empty() && row.get("id") != "rxn06914";
        match answer(text) {
            Ok(Balance::Unique(reaction)) if !unsolved => has_coefficients(&reaction, row),
            Ok(Balance::Open { freedom, balances })
                if !unsolved && freedom.to_string() == row.get("nullity") =>
            {
                let wanted = match row.get("id") {
                    "rxn06914" => coefficients_of(
                        "2 C21H27N7O14P2^2- + O2 + 2 H^+ + C8H10O -> 2 H2O + 2 C21H26N7O14P2^- + C8H10O",
                    )?,
                    _ => with_columns(row)?,
                };
                is_a_sum(&wanted, &balances)
            }
            Err(_) if unsolved => Ok(()),
            other => Err(format!("{text}: {other:?}")),
        }
    });
}

/// The kinds of message that fit a category of bad input; docs/errors.md lists them.
fn fitting_kinds(category: &str) -> &'static [&'static str] {
    match category {
        "unknown symbol" => &["unknown-element"],
        "wrong case" => &["unknown-element", "letter-case"],
        "wrong case or element missing" => &["one-sided"],
        "brackets" => &["brackets"],
        "charge" => &[
            "malformed-charge",
            "charge-without-species",
            "charge-too-large",
            "electron-charge",
            "zero-charge",
        ],
        "structure" => &[
            "missing-species",
            "no-arrow",
            "malformed-equation",
            "brackets",
        ],
        "numbers" => &[
            "zero-coefficient",
            "zero-count",
            "malformed-coefficient",
            "malformed-equation",
            "letter-case",
            "leading-zero",
            "count-too-large",
        ],
        "hydrate" => &["malformed-hydrate", "zero-hydrate"],
        "phase" => &["unknown-phase", "two-phases", "brackets", "unknown-element"],
        "unicode" => &["foreign-letter", "malformed-equation", "not-text"],
        "cannot be balanced" => &[
            "one-sided",
            "conflict",
            "unusable-species",
            "unstated-medium",
        ],
        "both sides" => &["nothing-happens"],
        "size" => &[
            "too-deep",
            "too-long",
            "too-large",
            "brackets",
            "count-too-large",
            "charge-too-large",
            "malformed-coefficient",
            "missing-species",
            "foreign-letter",
            "malformed-equation",
            "conflict",
        ],
        _ => &[],
    }
}

/// A written input is answered within 100 ms, an oversized one within 2 s. That holds for a release build (`cargo test
/// --release --test equation_corpora bad_input`); without optimisation, on a busy machine, it takes longer.
fn time_limit(kind: &str) -> Duration {
    let limit = Duration::from_millis(if kind == "literal" { 100 } else { 2000 });
    if cfg!(debug_assertions) {
        limit * 20
    } else {
        limit
    }
}

/// The coefficients that the remark on a legal row gives: `superscript charges: 1 1 1`.
fn stated_coefficients(remark: &str) -> Option<String> {
    let numbers = remark.trim_end_matches(')');
    let from = numbers
        .rfind(|c: char| !c.is_ascii_digit() && c != ' ')
        .map_or(0, |at| at + 1);
    let numbers = numbers[from..].trim();
    (numbers.split(' ').count() > 1).then(|| numbers.to_owned())
}

/// Inputs that must be refused are, with a kind that fits, at the offending place and with a way out; legal ones have the
/// coefficients of the row.
#[test]
fn bad_input() {
    let kinds = std::cell::RefCell::new(std::collections::BTreeSet::new());
    let checked = std::cell::Cell::new(0);
    every_row("bad_input", |row| {
        let input = match row.get("kind") {
            "literal" => {
                serde_json::from_str::<String>(row.get("input")).map_err(|e| format!("{e}"))?
            }
            _ => built(row.get("input"))?,
        };
        let started = std::time::Instant::now();
        let found = balanced(&input);
        let limit = time_limit(row.get("kind"));
        if started.elapsed() > limit {
            return Err(format!("{:?} instead of {limit:?}", started.elapsed()));
        }
        match (row.get("expected"), found) {
            ("error" | "either", Err((message, _))) => {
                kinds.borrow_mut().insert(message.kind);
                let fits = fitting_kinds(row.get("category").trim_end_matches(", legal"));
                if !fits.contains(&message.kind) {
                    return Err(format!(
                        "{:?}: {}: {}",
                        row.get("input"),
                        message.kind,
                        message.title
                    ));
                }
                let in_text = message
                    .labels
                    .iter()
                    .all(|(span, _)| span.end <= input.len());
                let way_out = !message.hints.is_empty();
                (in_text && way_out && !message.labels.is_empty())
                    .then_some(())
                    .ok_or_else(|| format!("no place or no way out: {message:?}"))
            }
            ("legal" | "either", Ok(found)) => {
                let Some(stated) = stated_coefficients(row.get("wrong")) else {
                    return Ok(());
                };
                checked.set(checked.get() + 1);
                let reaction = found.balance.reaction().ok_or("no single answer")?;
                let own = format!(
                    "{} {}",
                    coefficients(&reaction.left),
                    coefficients(&reaction.right)
                );
                (own == stated)
                    .then_some(())
                    .ok_or(format!("{own} instead of {stated}"))
            }
            (expected, found) => Err(format!("{:?}: {expected}, but {found:?}", row.get("input"))),
        }
    });
    println!(
        "bad_input: the coefficients of {} legal rows are right",
        checked.get()
    );
    assert!(checked.get() >= 12);
    let documented =
        fs::read_to_string(format!("{}/docs/errors.md", env!("CARGO_MANIFEST_DIR"))).unwrap();
    for kind in kinds.into_inner() {
        assert!(
            documented.contains(&format!("| `{kind}` |")),
            "{kind} is not in docs/errors.md"
        );
    }
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
        let electrons = Exact::from(found.electrons.clone()) * &found.factor;
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
            let own = |terms: &[(BigInt, Species)]| {
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

/// The textbook equations in which an oxidation number changes: most part into half-reactions that add up to the answer, and
/// for the rest the electrons given off are those taken up.
#[test]
fn textbook_workings() {
    let (mut halves, mut lone, mut plain, mut counted) = (0, 0, 0, Vec::new());
    for row in Table::read("textbook").rows() {
        let text = row.get("equation");
        let skeleton = parse_equation(text).unwrap();
        let found = balance(&skeleton).unwrap();
        let all = transfers(found.reaction().unwrap());
        match working(&skeleton) {
            Ok(_) => halves += 1,
            Err(NoWorking::HalfReaction) => lone += 1,
            Err(NoWorking::NoRedox) => plain += 1,
            Err(NoWorking::Unclear) => {
                let total: Exact = all.iter().map(Transfer::electrons).sum();
                assert!(total.is_zero() && !all.is_empty(), "{text}: {all:?}");
                counted.push(text.to_owned());
            }
            Err(why) => panic!("{text}: {why:?}"),
        }
    }
    println!(
        "textbook: {halves} with half-reactions, {lone} half-reactions themselves, {plain} without redox, {} by electrons:",
        counted.len()
    );
    println!("{}", counted.join("\n"));
    assert!(
        halves >= 195 && counted.len() <= 10,
        "{halves}; {}",
        counted.join("\n")
    );
}
