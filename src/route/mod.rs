//! Routes: text into a syntax tree, into a checked program, into a ledger.
//!
//! Promises: every fault that can be found at once is told at once; running a checked program is a pure function of
//! the program; atoms and charge balance to zero after each operation.
//!
//! Knows nothing of wording, rounding, files or terminals.

mod arithmetic;
mod bench;
pub mod check;
mod fault;
pub mod glassware;
mod judge;
pub mod ledger;
mod moment;
mod nature;
mod operations;
pub mod parse;
pub mod plan;
pub mod program;
mod questions;
mod run;
mod session;
pub mod syntax;
pub mod uses;

use crate::data::Store;
use crate::number::Quantity;
use crate::text::Source;

pub use check::CheckFault;
pub use check::quantity;
pub use fault::Fault;
pub use ledger::Ledger;
pub use parse::SyntaxFault;
pub use program::{Program, Setting};
pub use session::{Fed, Session};

/// What following a route comes to.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The text with that of the files it uses behind it: places are those of this.
    pub source: Source,
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
    let settings: Vec<Setting> = settings.iter().map(Setting::from).collect();
    let bench = Surroundings {
        settings: &settings,
        ..Surroundings::new(store)
    };
    bench.follow(source)
}

/// Reads and checks; what cannot stand is left out of the program.
pub fn prepare(
    source: &Source,
    store: &Store,
    settings: &[(String, Quantity)],
) -> (Program, Vec<Fault>) {
    let settings: Vec<Setting> = settings.iter().map(Setting::from).collect();
    let bench = Surroundings {
        settings: &settings,
        ..Surroundings::new(store)
    };
    let (program, faults, _) = bench.prepare(source);
    (program, faults)
}

/// What stands around a route: data, values from outside, other files, and somebody who waits.
#[derive(Clone, Copy)]
pub struct Surroundings<'b> {
    /// The tables, and data of one's own.
    pub store: &'b Store,
    /// Values that stand for those of a `let`.
    pub settings: &'b [Setting],
    /// How the files are read that the route uses.
    pub load: uses::Loader<'b>,
    /// How often the route is to be run again with its uncertain inputs drawn at random.
    pub samples: Option<ledger::Samples>,
    /// Is told how far a `vary`, or the samples, have come.
    pub progress: plan::Progress<'b>,
}

impl<'b> Surroundings<'b> {
    /// Without settings, without other files, and nobody waits.
    pub fn new(store: &'b Store) -> Self {
        Surroundings {
            store,
            settings: &[],
            load: &uses::no_files,
            samples: None,
            progress: &|_, _| {},
        }
    }

    /// Reads, checks and runs a whole route.
    pub fn follow(&self, source: &Source) -> Outcome {
        let (program, faults, source) = self.prepare(source);
        Outcome {
            // Where something is missing from the program, planning on it would be for nothing.
            ledger: match faults.is_empty() {
                true => plan::run(&program, self.samples, self.progress),
                false => plan::once(&program),
            },
            faults,
            source,
        }
    }

    /// Reads and checks a route and what it uses; the source holds all that text.
    pub fn prepare(&self, source: &Source) -> (Program, Vec<Fault>, Source) {
        let mut source = source.clone();
        let gathered = uses::gather(&mut source, 0, self.load);
        let (mut program, unsound) = check::check(&gathered.tree, &source, self.store);
        let mut faults: Vec<Fault> = gathered.faults.into_iter().map(Fault::Syntax).collect();
        faults.extend(unsound.into_iter().map(Fault::Check));
        faults.sort_by_key(Fault::span);
        match check::set(&program, self.settings) {
            Ok(set) => program = set,
            Err(unset) => faults.extend(unset.into_iter().map(Fault::Check)),
        }
        (program, faults, source)
    }
}
