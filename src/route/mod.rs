//! Routes: text into a syntax tree, into a checked program, into a ledger.
//!
//! Promises: every fault that can be found at once is told at once; running a checked program is a pure function of
//! the program; atoms and charge balance to zero after each operation.
//!
//! Knows nothing of wording, rounding, files or terminals.

mod books;
pub mod check;
mod contents;
mod energy;
pub mod glassware;
pub mod ledger;
pub mod parse;
pub mod program;
pub mod run;
mod session;
mod stuff;
pub mod syntax;

use crate::data::Store;
use crate::number::Quantity;
use crate::text::{Source, Span};

pub use check::CheckFault;
pub use ledger::Ledger;
pub use parse::SyntaxFault;
pub use program::Program;
pub use session::{Fed, Session};
pub use stuff::{StuffFault, quantity};

/// A fault of the text, found before anything runs.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// It cannot be read.
    Syntax(SyntaxFault),
    /// It can be read, and cannot stand.
    Check(CheckFault),
}

/// What following a route comes to.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// What the statements without faults did.
    pub ledger: Ledger,
    /// Every fault of the text, in its order.
    pub faults: Vec<Fault>,
}

/// Reads, checks and runs a whole route; the one walk through this house.
///
/// ```
/// use aludel::{data::Store, route, text::Source};
/// let source = Source::new("salt.route", "vessel cup\ncharge cup: 5.844 g NaCl, 100 mL water\nshow amount(NaCl, cup)\n");
/// let outcome = route::follow(&source, &Store::default(), &[]);
/// assert!(outcome.faults.is_empty());
/// assert_eq!(outcome.ledger.shows.len(), 1);
/// ```
pub fn follow(source: &Source, store: &Store, settings: &[(String, Quantity)]) -> Outcome {
    let (program, faults) = prepare(source, store, settings);
    Outcome {
        ledger: run::run(&program),
        faults,
    }
}

/// Reads and checks; what cannot stand is left out of the program.
pub fn prepare(
    source: &Source,
    store: &Store,
    settings: &[(String, Quantity)],
) -> (Program, Vec<Fault>) {
    let (tree, unparsed) = parse::parse(source);
    let (mut program, unsound) = check::check(&tree, source, store);
    let mut faults: Vec<Fault> = unparsed.into_iter().map(Fault::Syntax).collect();
    faults.extend(unsound.into_iter().map(Fault::Check));
    faults.sort_by_key(Fault::span);
    for (name, value) in settings {
        if let Err(fault) = check::set(&mut program, name, value.clone()) {
            faults.push(Fault::Check(fault));
        }
    }
    (program, faults)
}

impl Fault {
    /// Where it is; at the start for settings, which stand outside the text.
    pub fn span(&self) -> Span {
        match self {
            Fault::Syntax(fault) => fault.span(),
            Fault::Check(fault) => fault.span(),
        }
    }
}
