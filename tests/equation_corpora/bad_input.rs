//! What must be refused: with a fitting kind, a place, a way out, and soon.

use std::fs;
use std::time::Duration;

use aludel::shell::balanced;

use crate::{coefficients, every_row};

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
