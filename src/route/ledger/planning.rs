//! Answers to the questions that run a route more than once: `find` and `vary`.

use crate::matter::Species;
use crate::number::Quantity;
use crate::text::Span;

use super::{Answer, Fact, Remark};

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
    /// What went wrong in this run: remarks of the level of a fault.
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

/// Why `find` found nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct NotFound {
    /// What was looked for, with the value that was tried last or comes nearest.
    pub unknowns: Vec<(String, Quantity)>,
    /// The conditions as written.
    pub conditions: Vec<String>,
    /// Why.
    pub why: NoValue,
}

/// The ways in which a search ends without a value.
#[derive(Clone, Debug, PartialEq)]
pub enum NoValue {
    /// The left side stays on one side of the right at every value that was tried.
    OutOfReach {
        /// What was wanted.
        wanted: Quantity,
        /// Both bounds, each with what the left side comes to there.
        ends: [(Quantity, Quantity); 2],
        /// The same where it comes nearest, if that is between the bounds.
        nearest: Option<(Quantity, Quantity)>,
        /// What holds it where it comes nearest.
        constraints: Vec<Constraint>,
    },
    /// The left side jumps over the right one here.
    Jump {
        /// What was wanted.
        wanted: Quantity,
        /// What it comes to there.
        comes_to: Quantity,
    },
    /// The left side is the same at every value that was tried.
    NoInfluence {
        /// What was wanted.
        wanted: Quantity,
        /// What it is.
        comes_to: Quantity,
    },
    /// A side has no value there.
    NoAnswer,
    /// No set of values meets all the conditions; these come nearest, and these conditions are off.
    NotTogether {
        /// The condition as written, what was wanted, and what its left side comes to.
        off: Vec<(String, Quantity, Quantity)>,
        /// Unknowns that stand at a bound.
        at_bound: Vec<String>,
        /// The reagents with which reactions end there.
        constraints: Vec<Constraint>,
    },
    /// A later `find` changed what this one had met.
    Undone,
}

/// What holds a result where it is.
#[derive(Clone, Debug, PartialEq)]
pub enum Constraint {
    /// A reaction ends with this reagent.
    RunsOut {
        /// The operation as written.
        operation: String,
        /// What runs out.
        species: Species,
    },
    /// Something that a run says at this bound and not at the other.
    Said(Fact),
}

/// That what `find` found is not the only value that meets its condition.
#[derive(Clone, Debug, PartialEq)]
pub struct AlsoMet {
    /// What was looked for, with the value that was found.
    pub unknown: (String, Quantity),
    /// Values of it between which there is another; the same twice where it is met there.
    pub between: (Quantity, Quantity),
    /// Whether every value that was tried meets it.
    pub everywhere: bool,
}
