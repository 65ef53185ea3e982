//! Balanced equations as text and as JSON.

use std::fmt::Write;

use num_bigint::BigInt;
use serde::Serialize;

use crate::equation::{Balance, Quick, Reaction, SettledBy, Skeleton};
use crate::matter::{Element, Notation, Species};
use crate::number::Exact;

/// The equation, or the elementary ones where there are several balances; one a line.
///
/// ```
/// use aludel::{equation::{balance, parse_equation}, matter::Notation, report};
/// let found = balance(&parse_equation("Fe + Cl2 -> FeCl3").unwrap()).unwrap();
/// assert_eq!(report::balance(&found, Notation::Printed), "2 Fe + 3 Cl₂ → 2 FeCl₃\n");
/// ```
pub fn balance(found: &Balance, notation: Notation) -> String {
    match found {
        Balance::Unique(reaction) => reaction.to_text(notation) + "\n",
        Balance::Settled {
            reaction,
            by,
            freedom,
        } => format!(
            "{}\none of {freedom} independent balances, settled by {}\n",
            reaction.to_text(notation),
            match by {
                SettledBy::Ratio => "the ratio given",
                SettledBy::HalfReactions => "its half-reactions",
                SettledBy::Coefficients => "the coefficients given",
            }
        ),
        Balance::Open { balances, .. } => balances
            .iter()
            .map(|reaction| reaction.to_text(notation) + "\n")
            .collect(),
    }
}

/// How often each element and the charge stand on either side: the count anybody can make to check an equation.
pub fn count(reaction: &Reaction, notation: Notation) -> String {
    let mut page = String::new();
    for element in elements(reaction) {
        let of = |species: &Species| species.composition().count(element);
        line(element.symbol(), reaction, notation, of, &mut page);
    }
    let of = |species: &Species| Exact::from(species.charge());
    if reaction
        .left
        .iter()
        .chain(&reaction.right)
        .any(|(_, s)| s.charge() != 0)
    {
        line("charge", reaction, notation, of, &mut page);
    }
    page
}

fn elements(reaction: &Reaction) -> Vec<Element> {
    let all = reaction.left.iter().chain(&reaction.right);
    let mut elements: Vec<Element> = all
        .flat_map(|(_, species)| species.composition().iter().map(|(element, _)| element))
        .collect();
    elements.sort_unstable();
    elements.dedup();
    elements
}

fn line(
    name: &str,
    reaction: &Reaction,
    notation: Notation,
    of: impl Fn(&Species) -> Exact,
    page: &mut String,
) {
    let minus = |text: String| {
        if notation == Notation::Ascii {
            text
        } else {
            text.replace('-', "−")
        }
    };
    let side = |terms: &[(BigInt, Species)]| {
        let counted = terms
            .iter()
            .map(|(n, species)| (Exact::from(n.clone()), of(species)));
        let counted: Vec<(Exact, Exact)> = counted.filter(|(_, count)| !count.is_zero()).collect();
        let times = if notation == Notation::Ascii {
            "*"
        } else {
            "·"
        };
        let products: Vec<String> = counted
            .iter()
            .map(|(n, count)| {
                let count = if count.is_negative() {
                    format!("({})", count.to_plain())
                } else {
                    count.to_plain()
                };
                minus(format!("{}{times}{count}", n.to_plain()))
            })
            .collect();
        let total: Exact = counted.iter().map(|(n, count)| n * count).sum();
        match products.len() {
            0 => "0".to_owned(),
            _ => format!("{} = {}", products.join(" + "), minus(total.to_plain())),
        }
    };
    let _ = writeln!(
        page,
        "  {name:<6}  {}  |  {}",
        side(&reaction.left),
        side(&reaction.right)
    );
}

/// One balance as JSON; keys are a contract, see docs/json.md.
#[derive(Debug, Serialize)]
pub struct BalanceJson {
    /// The skeleton in plain notation, balanced if there is one balance.
    equation: String,
    unique: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    freedom: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    settled_by: Option<&'static str>,
    #[serde(flatten)]
    sides: Sides,
}

#[derive(Debug, Serialize)]
#[serde(untagged)]
enum Sides {
    One(BothSides),
    Several { balances: Vec<BothSides> },
}

#[derive(Debug, Serialize)]
struct BothSides {
    left: Vec<TermJson>,
    right: Vec<TermJson>,
}

/// Coefficients are text, because they can exceed 64 bits.
#[derive(Debug, Serialize)]
struct TermJson {
    formula: String,
    coefficient: String,
}

impl BalanceJson {
    /// The object of a balance found for `skeleton`.
    pub fn of(found: &Balance, skeleton: &Skeleton) -> Self {
        let (freedom, settled_by, sides) = match found {
            Balance::Unique(reaction) => (None, None, Sides::One(both(reaction))),
            Balance::Settled {
                reaction,
                by,
                freedom,
            } => {
                let by = match by {
                    // Coefficients are ratios of all species at once.
                    SettledBy::Ratio | SettledBy::Coefficients => "ratio",
                    SettledBy::HalfReactions => "half-reactions",
                };
                (Some(*freedom), Some(by), Sides::One(both(reaction)))
            }
            Balance::Open { freedom, balances } => {
                let balances = balances.iter().map(both).collect();
                (Some(*freedom), None, Sides::Several { balances })
            }
        };
        let equation = found
            .reaction()
            .map(|reaction| reaction.to_text(Notation::Plain));
        BalanceJson {
            equation: equation.unwrap_or_else(|| skeleton.to_text(Notation::Plain)),
            unique: freedom.is_none(),
            freedom,
            settled_by,
            sides,
        }
    }
}

/// The object that [`BalanceJson`] gives for the same equation, after the number of its line; without the detour, since
/// formulas of the quick kind hold nothing that JSON would have to escape.
pub fn quick_json(found: &Quick<'_>, line: u64, out: &mut Vec<u8>) {
    out.extend_from_slice(b"{\"line\":");
    digits(line, out);
    out.extend_from_slice(b",\"equation\":\"");
    quick_side(found.left(), out);
    out.extend_from_slice(b" -> ");
    quick_side(found.right(), out);
    out.extend_from_slice(b"\",\"unique\":true,\"left\":");
    quick_terms(found.left(), out);
    out.extend_from_slice(b",\"right\":");
    quick_terms(found.right(), out);
    out.push(b'}');
}

fn quick_side(terms: &[(&str, i64)], out: &mut Vec<u8>) {
    for (at, (formula, n)) in terms.iter().enumerate() {
        if at > 0 {
            out.extend_from_slice(b" + ");
        }
        if *n != 1 {
            digits(n.unsigned_abs(), out);
            out.push(b' ');
        }
        out.extend_from_slice(formula.as_bytes());
    }
}

fn quick_terms(terms: &[(&str, i64)], out: &mut Vec<u8>) {
    for (at, (formula, n)) in terms.iter().enumerate() {
        let before: &[u8] = if at == 0 {
            b"[{\"formula\":\""
        } else {
            b",{\"formula\":\""
        };
        out.extend_from_slice(before);
        out.extend_from_slice(formula.as_bytes());
        out.extend_from_slice(b"\",\"coefficient\":\"");
        digits(n.unsigned_abs(), out);
        out.extend_from_slice(b"\"}");
    }
    out.push(b']');
}

fn digits(mut n: u64, out: &mut Vec<u8>) {
    let mut text = [0; 20];
    let mut at = text.len();
    loop {
        at -= 1;
        text[at] = b'0' + (n % 10) as u8;
        n /= 10;
        if n == 0 {
            break;
        }
    }
    out.extend_from_slice(&text[at..]);
}

fn both(reaction: &Reaction) -> BothSides {
    let side = |terms: &[(BigInt, Species)]| {
        let term = |(n, species): &(BigInt, Species)| TermJson {
            formula: species.plain().to_owned(),
            coefficient: n.to_string(),
        };
        terms.iter().map(term).collect()
    };
    BothSides {
        left: side(&reaction.left),
        right: side(&reaction.right),
    }
}
