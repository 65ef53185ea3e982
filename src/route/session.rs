//! The prompt's memory: statements run one after the other, and one that fails leaves no trace.
//!
//! Promises: all that is typed is one text, so that no two statements stand in the same place; an entry costs what it
//! does, however much was typed before it. Only a `find` or a `vary` runs the route again.

use std::ops::Range;
use std::sync::Arc;

use rustc_hash::FxHashMap;

use crate::data::Store;
use crate::text::{Source, Span};

use super::check::{Checker, Names};
use super::fault::Fault;
use super::judge::{self, Further};
use super::ledger::{Fact, Ledger, Level, Remark, StepHeat, StepRecord};
use super::moment::State;
use super::plan;
use super::program::{Action, Added, Instruction, LetId, Mark, Program, VesselId};
use super::syntax::{Spanned, Statement};
use super::uses::{self, Gathered, Loader};

/// Everything that was typed so far and what it led to.
#[derive(Clone, Debug)]
pub struct Session {
    /// All entries, also those that failed, with the files they used, one behind the other.
    source: Source,
    program: Program,
    names: Names,
    state: State,
    /// The same state, in which an entry is tried first: one that is refused there has spoilt nothing but this, and
    /// then it is made anew.
    trial: Option<State>,
    /// What was said to come of leaving a vessel as it is.
    standing: FxHashMap<VesselId, Vec<Fact>>,
}

/// What one piece of text did.
#[derive(Clone, Debug)]
pub struct Fed {
    /// The faults, if any: then nothing has changed.
    pub faults: Vec<Fault>,
    /// A ledger of what it added alone: operations stand in one step, and there are remarks that were not there before.
    pub news: Ledger,
    /// Whether an operation of it could not be carried out: then nothing has changed either.
    pub refused: bool,
    /// Earlier `find` statements, as written, that looked for the same and have made room for a new one.
    pub superseded: Vec<String>,
    /// Where it stands in [`Session::source`]; the files that it uses stand behind it.
    pub place: Range<usize>,
}

/// What leads back to before an entry.
enum Before {
    /// It has only added something.
    Mark(Mark),
    /// It plans, so that the route runs anew with other values.
    Whole(Box<Program>),
}

impl Session {
    /// Nothing typed yet.
    pub fn new(store: &Store) -> Session {
        let program = Program::with_data(store);
        Session {
            source: Source::new("prompt", ""),
            names: Names::default(),
            state: State::new(&program),
            trial: None,
            standing: FxHashMap::default(),
            program,
        }
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
    pub fn feed(&mut self, entry: &Source) -> Fed {
        self.feed_reading(entry, &uses::no_files)
    }

    /// The same, with a way to read the files that a `use` names.
    pub fn feed_reading(&mut self, entry: &Source, load: Loader<'_>) -> Fed {
        let base = self.source.append(entry);
        let place = self.source.around(base);
        let Gathered { tree, faults } = uses::gather(&mut self.source, base, load);
        let (before, superseded) = match tree.statements.iter().any(plans) {
            true => {
                let whole = self.program.clone();
                let superseded = self.make_room(&tree.statements);
                (Before::Whole(Box::new(whole)), superseded)
            }
            false => (Before::Mark(self.program.mark()), Vec::new()),
        };
        let fed = Fed {
            faults: Vec::new(),
            news: Ledger::default(),
            refused: false,
            superseded,
            place,
        };
        let unsound = self.check(&tree.statements, fed.place.clone());
        let mut faults: Vec<Fault> = faults.into_iter().map(Fault::Syntax).collect();
        faults.extend(unsound);
        faults.sort_by_key(Fault::span);
        if !faults.is_empty() {
            self.take_back(before);
            return Fed { faults, ..fed }.without_effect();
        }
        let news = match &before {
            Before::Mark(mark) => self.carry_out(mark),
            Before::Whole(program) => self.run_anew(program, fed.superseded.len()),
        };
        match news {
            Ok(news) => Fed { news, ..fed },
            Err(news) => {
                self.take_back(before);
                Fed {
                    news,
                    refused: true,
                    ..fed
                }
                .without_effect()
            }
        }
    }

    /// Adds statements to the program, as far as they have no fault.
    fn check(
        &mut self,
        statements: &[Spanned<Statement>],
        own: Range<usize>,
    ) -> impl Iterator<Item = Fault> + use<> {
        let program = std::mem::take(&mut self.program);
        let names = std::mem::take(&mut self.names);
        let mut checker = Checker::new(&self.source, own, program, names);
        checker.announce(statements);
        checker.extend(statements);
        let faults = std::mem::take(&mut checker.faults);
        (self.program, self.names) = checker.finish();
        faults.into_iter().map(Fault::Check)
    }

    fn take_back(&mut self, before: Before) {
        match before {
            Before::Mark(mark) => {
                let gone = self.program.back_to(mark);
                self.names.forget(&gone);
            }
            Before::Whole(program) => {
                let gone = self.program.order.iter().skip(program.order.len());
                self.names.forget(&gone.cloned().collect::<Vec<_>>());
                self.program = *program;
            }
        }
    }

    /// Runs what was added to the program. It is tried first, and then done.
    fn carry_out(&mut self, mark: &Mark) -> Result<Ledger, Ledger> {
        let added: Added<'_> = self.program.added_since(mark);
        let mut trial = self.trial.take().unwrap_or_else(|| self.state.clone());
        let Further { mut news, standing } = judge::further(&self.program, &mut trial, added);
        if has_faults(&news.remarks) {
            return Err(news);
        }
        judge::further(&self.program, &mut self.state, added);
        self.trial = Some(trial);
        for (vessel, remarks) in standing {
            let facts = remarks.iter().map(|remark| remark.fact.clone()).collect();
            let told = self.standing.insert(vessel, facts).unwrap_or_default();
            let new = remarks.into_iter().filter(|one| !told.contains(&one.fact));
            news.remarks.extend(new);
        }
        news.sort_remarks();
        Ok(news)
    }

    /// Runs the whole route with what a `find` found, and compares what a `vary` varies.
    fn run_anew(&mut self, before: &Program, superseded: usize) -> Result<Ledger, Ledger> {
        let before = judge::finish(before, self.state.clone());
        let (program, state) = plan::replay(&self.program);
        let after = judge::finish(&program, state.clone());
        let news = difference(&before, after, superseded);
        if has_faults(&news.remarks) {
            return Err(news);
        }
        self.program = program;
        self.state = state;
        self.trial = None;
        Ok(news)
    }

    /// Takes away `find` statements that look for what new ones look for: here a second thought takes the place of the first,
    /// while in a script, which nobody answers line by line, two of them are a fault.
    fn make_room(&mut self, fresh: &[Spanned<Statement>]) -> Vec<String> {
        let finds = fresh.iter().filter_map(|statement| match &statement.node {
            Statement::Find { unknowns, .. } => Some(unknowns),
            _ => None,
        });
        let names: Vec<&str> = finds.flatten().map(|u| u.name.node.as_str()).collect();
        if names.is_empty() {
            return Vec::new();
        }
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
        Arc::make_mut(&mut program.body).retain(keeps);
        for id in freed {
            program.lets[id].sought = None;
            program.lets[id].set = None;
        }
        // Values as they were declared cannot spoil a label: it was read with them.
        match program.with(&[]) {
            Ok(program) => {
                self.program = program;
                superseded
            }
            Err(_) => Vec::new(),
        }
    }

    /// The ledger so far.
    pub fn ledger(&self) -> Ledger {
        judge::finish(&self.program, self.state.clone())
    }

    /// All that was typed, with the files it used.
    pub fn source(&self) -> &Source {
        &self.source
    }

    /// Every name that was declared or made, for completion.
    pub fn names(&self) -> Vec<String> {
        let lets = self.program.lets.iter().map(|l| l.name.clone());
        let bottles = self.program.bottles.iter().map(|b| b.name.clone());
        let vessels = self.program.vessels.iter().map(|v| v.name.clone());
        lets.chain(bottles).chain(vessels).collect()
    }
}

impl Fed {
    /// What was taken back took nobody's place.
    fn without_effect(self) -> Fed {
        Fed {
            superseded: Vec::new(),
            ..self
        }
    }
}

fn plans(statement: &Spanned<Statement>) -> bool {
    match &statement.node {
        Statement::Find { .. } | Statement::Vary { .. } => true,
        Statement::Step { body, .. } => body.iter().any(plans),
        _ => false,
    }
}

fn has_faults(remarks: &[Remark]) -> bool {
    remarks.iter().any(|r| r.level == Level::Fault)
}

/// What a whole ledger says that another did not, of which so many searches have made room for new ones.
fn difference(before: &Ledger, after: Ledger, superseded: usize) -> Ledger {
    fn count(ledger: &Ledger) -> usize {
        let steps = ledger.steps.iter();
        steps.map(|step| step.operations.len()).sum()
    }
    fn since<T>(mut all: Vec<T>, before: usize) -> Vec<T> {
        all.split_off(before.min(all.len()))
    }
    let operations = after.steps.iter().flat_map(|step| &step.operations);
    let step = StepRecord {
        title: None,
        operations: operations.skip(count(before)).cloned().collect(),
        after: Vec::new(),
        heat: StepHeat::default(),
    };
    Ledger {
        steps: vec![step],
        remarks: new_remarks(&before.remarks, &after.remarks),
        shows: since(after.shows, before.shows.len()),
        expectations: since(after.expectations, before.expectations.len()),
        yields: since(after.yields, before.yields.len()),
        scales: since(after.scales, before.scales.len()),
        energetics: since(after.energetics, before.energetics.len()),
        solutions: since(after.solutions, before.solutions.len()),
        findings: since(
            after.findings,
            before.findings.len().saturating_sub(superseded),
        ),
        comparisons: since(after.comparisons, before.comparisons.len()),
        ..Ledger::default()
    }
}

/// Remarks that were not there before. A judgement on the whole route, such as a bottle that nothing uses, has no place
/// in the middle of a conversation: the next entry may use it.
fn new_remarks(before: &[Remark], after: &[Remark]) -> Vec<Remark> {
    let mut told: FxHashMap<Span, Vec<&Remark>> = FxHashMap::default();
    for remark in before {
        told.entry(remark.span).or_default().push(remark);
    }
    let on_the_whole = |remark: &Remark| {
        matches!(
            remark.fact,
            Fact::NeverConsumed { .. } | Fact::UnusedBottle { .. } | Fact::UnusedAcceptance { .. }
        )
    };
    let mut new = Vec::new();
    for remark in after.iter().filter(|remark| !on_the_whole(remark)) {
        let known = told.entry(remark.span).or_default();
        match known.iter().position(|old| *old == remark) {
            Some(at) => {
                known.swap_remove(at);
            }
            None => new.push(remark.clone()),
        }
    }
    new
}
