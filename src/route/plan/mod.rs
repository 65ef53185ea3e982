//! Runs that serve a question: what a `find` looks for, the lines of a `vary`, samples.
//!
//! Promises: no figure comes from a run that was refused (`trial`); the same answers on any number of cores.

mod comparison;
mod finding;
mod parallel;
mod sample;

use super::judge;
use super::ledger::{Ledger, Samples};
use super::moment::{Refusal, RunScope, State};
use super::program::Program;
use super::run::advance;
use crate::text::Span;

pub use parallel::Progress;

/// Runs a whole program: works back what a `find` looks for, runs the route with that, and then once more for each
/// line of a `vary`; samples if they are asked for. Tells how many of the runs of a `vary` or of the samples are done.
pub fn run(program: &Program, samples: Option<Samples>, progress: Progress<'_>) -> Ledger {
    let solved = finding::solve(program, &[]);
    let mut ledger = once(&solved.program);
    finding::tell(&solved.verdicts, &mut ledger);
    comparison::compare(&solved.program, &mut ledger, progress);
    ledger.sort_remarks();
    ledger.sampling =
        samples.map(|samples| sample::sample(&solved.program, &ledger, samples, progress));
    ledger
}

/// The program with the values that its `find` statements found, and the state at its end: the prompt goes on from
/// there.
pub fn replay(program: &Program) -> (Program, State) {
    let solved = finding::solve(program, &[]);
    let mut state = State::new(&solved.program);
    advance(&solved.program, &mut state);
    finding::tell(&solved.verdicts, &mut state.record.ledger);
    comparison::compare(&solved.program, &mut state.record.ledger, &|_, _| {});
    (solved.program.into_owned(), state)
}

/// Runs a program once, with the values that it has.
pub fn once(program: &Program) -> Ledger {
    let mut state = State::new(program);
    advance(program, &mut state);
    judge::finish(program, state)
}

/// A run that goes as far as a question needs it.
fn trial(program: &Program, scope: RunScope) -> State {
    let mut state = State::with_scope(program, scope);
    advance(program, &mut state);
    state
}

/// What was not carried out in a run, or may not be: no figure of it means anything.
fn refusals(state: &State) -> impl Iterator<Item = (Span, Refusal)> {
    let remarks = state.record.ledger.remarks.iter();
    let forbidden = remarks.filter(|remark| remark.is_refusal()).map(|remark| {
        let (weight, fact) = (remark.level, Box::new(remark.fact.clone()));
        (remark.span, Refusal { weight, fact })
    });
    state.scope.refusals.iter().cloned().chain(forbidden)
}
