//! Balances, and the lines of a batch.

use num_bigint::BigInt;
use schemars::JsonSchema;
use serde::Serialize;

use crate::diagnostic::Message;
use crate::equation::{Balance, Quick, Reaction, SettledBy, Skeleton};
use crate::matter::{Notation, Species};

/// What `aludel balance --json` prints.
#[derive(Debug, JsonSchema, Serialize)]
#[serde(untagged)]
#[schemars(title = "A balanced equation", extend("unevaluatedProperties" = false))]
pub enum AnswerJson<'a> {
    /// It has a balance, or several.
    Balanced(BalanceJson),
    /// There is no answer.
    Refused(RefusedJson<'a>),
}

/// An equation without an answer.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "refused")]
pub struct RefusedJson<'a> {
    /// As written.
    pub equation: &'a str,
    /// Why not.
    pub error: FaultJson<'a>,
}

/// What `aludel batch` prints for each line.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, title = "One line of a batch")]
pub struct LineJson<'a> {
    /// Counted from one.
    #[schemars(range(min = 1))]
    pub line: u64,
    /// What came of it.
    #[serde(flatten)]
    pub answer: LineAnswerJson<'a>,
}

/// What comes of a line.
#[derive(Debug, JsonSchema, Serialize)]
#[serde(untagged)]
#[schemars(rename = "line_answer")]
pub enum LineAnswerJson<'a> {
    /// It has a balance, or several.
    Balanced(BalanceJson),
    /// There is no answer.
    Refused {
        /// Why not.
        error: FaultJson<'a>,
    },
}

/// Why there is no answer.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "error")]
pub struct FaultJson<'a> {
    /// A word of errors.md.
    kind: &'static str,
    message: &'a str,
}

impl<'a> FaultJson<'a> {
    /// Kind and first sentence of a message.
    pub fn of(message: &'a Message) -> Self {
        FaultJson {
            kind: message.kind,
            message: &message.title,
        }
    }
}

/// How one of several balances was settled on.
#[derive(Debug, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
#[schemars(inline)]
enum SettledByJson {
    Ratio,
    HalfReactions,
}

/// A balance, or several.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "balanced")]
pub struct BalanceJson {
    /// The skeleton in plain notation, balanced if there is one balance.
    equation: String,
    /// Whether there is one balance only.
    unique: bool,
    /// The independent balances.
    #[serde(skip_serializing_if = "Option::is_none")]
    freedom: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    settled_by: Option<SettledByJson>,
    #[serde(flatten)]
    sides: Sides,
}

#[derive(Debug, JsonSchema, Serialize)]
#[serde(untagged)]
#[schemars(inline)]
enum Sides {
    One(BothSides),
    Several { balances: Vec<BothSides> },
}

/// Both sides of a balance.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "sides")]
struct BothSides {
    left: Vec<TermJson>,
    right: Vec<TermJson>,
}

/// A species with its coefficient, which is text because it can exceed 64 bits.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "term")]
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
                    SettledBy::Ratio | SettledBy::Coefficients => SettledByJson::Ratio,
                    SettledBy::HalfReactions => SettledByJson::HalfReactions,
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
