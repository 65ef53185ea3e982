//! The prompt's memory: statements run one after the other, and one that fails leaves no trace.

use crate::data::Store;
use crate::text::Source;

use super::Fault;
use super::check::Checker;
use super::ledger::{Ledger, Weight};
use super::program::{Instruction, Program};
use super::run::{self, State};
use super::uses::{self, Gathered, Loader};

/// Everything that was typed so far and what it led to.
#[derive(Clone, Debug)]
pub struct Session {
    program: Program,
    state: State,
}

/// What one piece of text did.
#[derive(Clone, Debug)]
pub struct Fed {
    /// The faults, if any: then nothing has changed.
    pub faults: Vec<Fault>,
    /// The ledger after it (or, after faults, as it was).
    pub ledger: Ledger,
    /// Whether an operation of it could not be carried out: then nothing has changed either.
    pub refused: bool,
    /// The text with that of the files it uses behind it.
    pub source: Source,
}

impl Session {
    /// Nothing typed yet.
    pub fn new(store: &Store) -> Session {
        let program = Program {
            store: store.clone(),
            inputs: store.inputs().to_vec(),
            ..Program::default()
        };
        let state = State::new(&program);
        Session { program, state }
    }

    /// Runs one or more statements; all of them, or none.
    ///
    /// ```
    /// use aludel::{data::Store, route::Session, text::Source};
    /// let mut session = Session::new(&Store::default());
    /// assert!(session.feed(&Source::new("1", "vessel cup")).faults.is_empty());
    /// assert_eq!(session.feed(&Source::new("2", "charge cp: 1 g NaCl")).faults.len(), 1);
    /// assert!(session.feed(&Source::new("3", "charge cup: 1 g NaCl")).faults.is_empty());
    /// ```
    pub fn feed(&mut self, source: &Source) -> Fed {
        self.feed_reading(source, &uses::no_files)
    }

    /// The same, with a way to read the files that a `use` names.
    pub fn feed_reading(&mut self, source: &Source, load: Loader<'_>) -> Fed {
        let Gathered {
            source,
            tree,
            faults: unparsed,
        } = uses::gather(source, load);
        let mut checker = Checker::new(&source, self.program.clone());
        checker.announce(&tree.statements);
        checker.extend(&tree.statements);
        let mut faults: Vec<Fault> = unparsed.into_iter().map(Fault::Syntax).collect();
        faults.extend(checker.faults.drain(..).map(Fault::Check));
        faults.sort_by_key(Fault::span);
        if !faults.is_empty() {
            return Fed {
                faults,
                ledger: self.ledger(),
                refused: false,
                source,
            };
        }
        let program = checker.finish();
        let fresh = &program.body[self.program.body.len()..];
        let (program, state) = if fresh.iter().any(Instruction::plans) {
            run::replay(&program)
        } else {
            let mut state = self.state.clone();
            for instruction in fresh {
                run::step(&program, &mut state, instruction);
            }
            (program, state)
        };
        let ledger = run::ledger_so_far(&program, &state);
        let old = self
            .ledger()
            .remarks
            .iter()
            .filter(|r| r.weight == Weight::Fault)
            .count();
        let refused = ledger
            .remarks
            .iter()
            .filter(|r| r.weight == Weight::Fault)
            .count()
            > old;
        if !refused {
            self.program = program;
            self.state = state;
        }
        Fed {
            faults,
            ledger,
            refused,
            source,
        }
    }

    /// The ledger so far.
    pub fn ledger(&self) -> Ledger {
        run::ledger_so_far(&self.program, &self.state)
    }

    /// Every name that was declared or made, for completion.
    pub fn names(&self) -> Vec<String> {
        let lets = self.program.lets.iter().map(|l| l.name.clone());
        let bottles = self.program.bottles.iter().map(|b| b.name.clone());
        let vessels = self.program.vessels.iter().map(|v| v.name.clone());
        lets.chain(bottles).chain(vessels).collect()
    }
}
