//! The prompt's memory: statements run one after the other, and one that fails leaves no trace.

use std::sync::Arc;

use crate::data::Store;
use crate::text::Source;

use super::Fault;
use super::check::Checker;
use super::ledger::{Ledger, Weight};
use super::program::{Action, Instruction, LetId, Program};
use super::run::{self, State};
use super::syntax::{Spanned, Statement};
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
    /// Earlier `find` statements, as written, that looked for the same and have made room for a new one.
    pub superseded: Vec<String>,
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
        let (standing, superseded) = self.making_room(&tree.statements);
        let before = standing.body.len();
        let mut checker = Checker::new(&source, standing);
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
                superseded: Vec::new(),
                source,
            };
        }
        let program = checker.finish();
        let fresh = &program.body[before..];
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
        let refused = faults_in(&ledger) > faults_in(&self.ledger());
        if !refused {
            self.program = program;
            self.state = state;
        }
        Fed {
            faults,
            ledger,
            refused,
            superseded,
            source,
        }
    }

    /// The program without the `find` statements that look for what new ones look for: here a second thought takes the place
    /// of the first, while in a script, which nobody answers line by line, two of them are a fault.
    fn making_room(&self, fresh: &[Spanned<Statement>]) -> (Program, Vec<String>) {
        let finds = fresh.iter().filter_map(|statement| match &statement.node {
            Statement::Find { unknowns, .. } => Some(unknowns),
            _ => None,
        });
        let names: Vec<&str> = finds.flatten().map(|u| u.name.node.as_str()).collect();
        let sought = |id: LetId| {
            let slot = &self.program.lets[id];
            slot.sought.is_some() && names.contains(&slot.name.as_str())
        };
        let mut superseded = Vec::new();
        let mut program = self.program.clone();
        let mut freed: Vec<LetId> = Vec::new();
        let keeps = |instruction: &Instruction| match &instruction.action {
            Action::Find { unknowns, .. } if unknowns.iter().any(|one| sought(one.slot)) => {
                freed.extend(unknowns.iter().map(|one| one.slot));
                superseded.push(instruction.text.clone());
                false
            }
            _ => true,
        };
        if names.is_empty() {
            return (program, superseded);
        }
        Arc::make_mut(&mut program.body).retain(keeps);
        for id in freed {
            program.lets[id].sought = None;
            program.lets[id].set = None;
        }
        // Values as they were declared cannot spoil a label: it was read with them.
        match program.with(&[]) {
            Ok(program) => (program, superseded),
            Err(_) => (self.program.clone(), Vec::new()),
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

fn faults_in(ledger: &Ledger) -> usize {
    let faults = ledger.remarks.iter();
    faults.filter(|r| r.weight == Weight::Fault).count()
}
