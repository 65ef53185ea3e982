//! Answers to the questions that run a route more than once: `find` and `vary`.

use crate::number::Quantity;
use crate::text::Span;

use super::{Answer, Remark};

/// The answer to `vary`: one run of the route a row.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// Where.
    pub span: Span,
    /// The names that are varied, outermost first.
    pub varied: Vec<String>,
    /// What is shown, as written.
    pub shown: Vec<String>,
    /// In the order of the values as written; the last name changes fastest.
    pub rows: Vec<ComparisonRow>,
}

/// One run of a [`Comparison`].
#[derive(Clone, Debug)]
pub struct ComparisonRow {
    /// One for each name that is varied.
    pub values: Vec<Quantity>,
    /// One for each expression; what the run could not answer is [`Answer::Unknown`].
    pub answers: Vec<Answer>,
    /// What went wrong in this run: remarks of the weight of a fault.
    pub faults: Vec<Remark>,
}

/// The answer to `find`.
#[derive(Clone, Debug)]
pub struct Finding {
    /// Where.
    pub span: Span,
    /// What was looked for, with the value that was found; it is the one the sheet was made with.
    pub unknowns: Vec<(String, Quantity)>,
    /// The conditions as written, each with the value that its left side came to.
    pub conditions: Vec<(String, Answer)>,
    /// How often the route was run to find it.
    pub runs: usize,
    /// Whether every condition is met.
    pub met: bool,
}
