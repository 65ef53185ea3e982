//! The syntax tree of a route: what was written, with its places, before anything is known about it.

mod instrument;
mod solution;
mod titration;

pub use instrument::{Glass, Instrument, InstrumentKind};
pub use solution::{Shelf, ShelfKind, SolutionAsked};
pub use titration::Titrate;

use std::sync::Arc;

use crate::equation::Skeleton;
use crate::matter::Species;
use crate::number::{Distribution, Exact, Places};
use crate::text::Span;

/// Something with its place in the text.
#[derive(Clone, Debug, PartialEq)]
pub struct Spanned<T> {
    /// The thing.
    pub node: T,
    /// Where.
    pub span: Span,
}

/// A name as written.
pub type Name = Spanned<String>;

/// A number with its unit as written: `1.00 g ± 0.01 g`.
#[derive(Clone, Debug, PartialEq)]
pub struct Literal {
    /// The number.
    pub number: Exact,
    /// To which decimal it was written, and its uncertainty.
    pub places: Places,
    /// One standard uncertainty, with a unit of its own if it has one.
    pub uncertainty: Option<(Exact, Option<Name>)>,
    /// What the word after the uncertainty says of the values that are possible.
    pub distribution: Distribution,
    /// The unit's spelling.
    pub unit: Option<Name>,
}

impl Literal {
    /// With the number's sign turned.
    pub fn negated(&self) -> Literal {
        Literal {
            number: -&self.number,
            ..self.clone()
        }
    }
}

/// An expression.
#[derive(Clone, Debug, PartialEq)]
pub enum Expr {
    /// `30 mL`
    Literal(Literal),
    /// `scrap`
    Name(String),
    /// `-x`
    Negative(Box<Spanned<Expr>>),
    /// `a + b`
    Binary(Operator, Box<Spanned<Expr>>, Box<Spanned<Expr>>),
    /// `mass(crop)`
    Call(Name, Vec<Spanned<Argument>>),
}

/// An argument of a function.
#[derive(Clone, Debug, PartialEq)]
pub enum Argument {
    /// `SO4^2-`
    Species(Species),
    /// `liquor`, `2 * x`
    Expr(Expr),
}

/// An operator of arithmetic.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Operator {
    /// `+`
    Add,
    /// `-`
    Subtract,
    /// `*`
    Multiply,
    /// `/`
    Divide,
    /// `^`
    Power,
}

/// How two sides of a condition are compared.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Comparison {
    /// `<`
    Less,
    /// `<=`
    AtMost,
    /// `>`
    Greater,
    /// `>=`
    AtLeast,
    /// `=`: equal, or within the `±` of the right side.
    Equal,
    /// `!=`
    Unequal,
}

impl Comparison {
    /// The sign it is written with.
    pub fn sign(self) -> &'static str {
        match self {
            Comparison::Less => "<",
            Comparison::AtMost => "<=",
            Comparison::Greater => ">",
            Comparison::AtLeast => ">=",
            Comparison::Equal => "=",
            Comparison::Unequal => "!=",
        }
    }
}

/// One comparison of a condition.
#[derive(Clone, Debug, PartialEq)]
pub struct Condition {
    /// Left of the sign.
    pub left: Spanned<Expr>,
    /// The sign.
    pub comparison: Comparison,
    /// Right of the sign.
    pub right: Spanned<Expr>,
}

/// A bottle by name, `water`, or a formula.
#[derive(Clone, Debug, PartialEq)]
pub enum Matter {
    /// `lye`
    Name(String),
    /// `Al`
    Species(Species),
}

/// A quantity of something.
#[derive(Clone, Debug, PartialEq)]
pub struct Portion {
    /// How much.
    pub amount: Spanned<Expr>,
    /// Of what.
    pub matter: Spanned<Matter>,
    /// `by pipette`
    pub by: Option<Spanned<Glass>>,
}

/// What `charge` puts in.
#[derive(Clone, Debug, PartialEq)]
pub enum Charge {
    /// `1 g Al, 30 mL water`
    Portions(Vec<Portion>),
    /// `enough lye for Al + OH^- + H2O -> …, 50 % excess`
    Enough {
        /// What is measured out.
        matter: Spanned<Matter>,
        /// What it must suffice for.
        equation: Skeleton,
        /// As a fraction.
        excess: Option<Spanned<Expr>>,
    },
}

/// One datum of a `substance` statement.
#[derive(Clone, Debug, PartialEq)]
pub enum Datum {
    /// `dfH -285.8 kJ/mol`
    Value(Name, Literal),
    /// `source "…"`
    Source(String),
}

/// What `find` looks for: `scrap in 0.1 g .. 50 g`.
#[derive(Clone, Debug, PartialEq)]
pub struct Unknown {
    /// A `let`.
    pub name: Name,
    /// The smallest value that is tried.
    pub low: Spanned<Expr>,
    /// The largest.
    pub high: Spanned<Expr>,
}

/// A name that `vary` gives several values.
#[derive(Clone, Debug, PartialEq)]
pub struct Variation {
    /// A `let`.
    pub name: Name,
    /// The values.
    pub values: Values,
}

/// The values of a [`Variation`].
#[derive(Clone, Debug, PartialEq)]
pub enum Values {
    /// `1 g, 2 g, 5 g`
    Listed(Vec<Spanned<Expr>>),
    /// `1 g .. 5 g by 0.5 g`
    Series {
        /// The first.
        low: Spanned<Expr>,
        /// None is larger.
        high: Spanned<Expr>,
        /// From one to the next.
        step: Spanned<Expr>,
    },
}

/// A statement.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // Each variant is a statement of docs/language.md; its fields are the words of that statement.
pub enum Statement {
    Title(String),
    Ambient {
        temperature: Spanned<Expr>,
        pressure: Option<Spanned<Expr>>,
    },
    Bottle {
        name: Name,
        species: Spanned<Species>,
        strength: Option<Spanned<Expr>>,
        density: Option<Spanned<Expr>>,
    },
    Let {
        name: Name,
        value: Spanned<Expr>,
    },
    Vessel {
        name: Name,
        capacity: Option<Spanned<Expr>>,
    },
    Instrument(Instrument),
    Substance {
        species: Spanned<Species>,
        data: Vec<Spanned<Datum>>,
    },
    Use {
        path: Name,
        /// What the file brings, once it is read.
        brings: Vec<Spanned<Statement>>,
    },
    Procedure {
        name: Name,
        parameters: Vec<Name>,
        /// Shared with the program.
        body: Arc<[Spanned<Statement>]>,
    },
    Do {
        name: Name,
        arguments: Vec<Spanned<Argument>>,
    },
    Step {
        title: Option<String>,
        body: Vec<Spanned<Statement>>,
    },
    Charge {
        vessel: Name,
        what: Charge,
        at: Option<Spanned<Expr>>,
        over: Option<Spanned<Expr>>,
    },
    React {
        vessel: Name,
        equation: Skeleton,
        degree: Option<Spanned<Expr>>,
        limit: Option<Spanned<Matter>>,
    },
    Warm {
        vessel: Name,
        to: Spanned<Expr>,
    },
    Cool {
        vessel: Name,
        to: Spanned<Expr>,
    },
    Hold {
        vessel: Name,
        at: Spanned<Expr>,
        /// `with 40 W`, `with 2 W/K`
        with: Option<Spanned<Expr>>,
    },
    Vent {
        vessel: Name,
    },
    Seal {
        vessel: Name,
    },
    Open {
        vessel: Name,
    },
    Discard {
        vessel: Name,
    },
    Filter {
        vessel: Name,
        filtrate: Name,
        cake: Name,
        retaining: Option<Spanned<Expr>>,
    },
    Decant {
        vessel: Name,
        into: Name,
    },
    Pour {
        vessel: Name,
        into: Name,
    },
    Take {
        amount: Spanned<Expr>,
        by: Option<Spanned<Glass>>,
        vessel: Name,
        into: Name,
    },
    Wash {
        vessel: Name,
        with: Portion,
        retaining: Option<Spanned<Expr>>,
        into: Option<Name>,
    },
    Dry {
        vessel: Name,
        at: Option<Spanned<Expr>>,
    },
    Boil {
        vessel: Name,
        time: Spanned<Expr>,
    },
    Evaporate {
        vessel: Name,
        to: Spanned<Expr>,
    },
    Dilute {
        vessel: Name,
        to: Spanned<Expr>,
        by: Option<Spanned<Glass>>,
    },
    Crystallise {
        vessel: Name,
        at: Spanned<Expr>,
        species: Spanned<Matter>,
        into: Name,
    },
    Weigh {
        vessel: Name,
        found: Spanned<Expr>,
    },
    Measure {
        what: Spanned<Expr>,
        found: Spanned<Expr>,
    },
    Wait(Spanned<Expr>),
    Note(String),
    /// `accept hazard "…"`
    Accept(Spanned<String>),
    Scale {
        equation: Skeleton,
        to: Spanned<Expr>,
        species: Spanned<Species>,
    },
    Titrate(Box<Titrate>),
    Heat {
        equation: Skeleton,
        at: Option<Spanned<Literal>>,
        activities: Vec<(Spanned<Species>, Spanned<Literal>)>,
    },
    Solution {
        asked: Box<SolutionAsked>,
        at: Option<Spanned<Literal>>,
    },
    Show(Vec<Spanned<Expr>>),
    Expect(Vec<Condition>),
    Find {
        unknowns: Vec<Unknown>,
        targets: Vec<Condition>,
    },
    Vary {
        variations: Vec<Variation>,
        shown: Vec<Spanned<Expr>>,
    },
    Yield {
        vessel: Name,
        species: Spanned<Matter>,
        basis: Spanned<Matter>,
    },
}

/// A route as written; statements that could not be read are missing from it and told as faults beside it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tree {
    /// In the order of the text.
    pub statements: Vec<Spanned<Statement>>,
}
