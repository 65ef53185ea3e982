//! A checked program into its ledger: the loop, the audit, and how far to go.
//!
//! Promises: a pure function of program and data; running twice gives the same ledger; the auditor has the last word
//! after every operation. An operation that cannot be carried out is left blank with the reason, and the route goes on.
//!
//! Knows nothing of text beyond the spans it was given, of rounding, or of the outside world.

mod step;

use super::bench::{Discrepancy, Wrong};
use super::ledger::{Fact, OperationRecord, Remark, Weight};
use super::moment::{Run, State};
use super::operations::carry_out;
use super::program::{Action, Instruction, Program};
use super::questions;

pub use step::close_step;

/// Runs to the end, or to where the run was to go.
pub fn advance(program: &Program, state: &mut State) {
    for instruction in program.body.iter() {
        step(program, state, instruction);
        if state.scope.arrived() {
            return;
        }
    }
}

/// Runs one top-level instruction; the prompt does so line by line.
pub fn step(program: &Program, state: &mut State, instruction: &Instruction) {
    state.make_room(program);
    let run = &mut state.run(program);
    if run.record.refused {
        return;
    }
    match &instruction.action {
        Action::Step { title, body } => step::run_step(run, instruction.span, title.clone(), body),
        Action::Let { .. } => operation(run, instruction),
        action if action.is_question() => operation(run, instruction),
        _ => step::untitled(run, instruction),
    }
}

fn operation(run: &mut Run<'_>, instruction: &Instruction) {
    if run.record.refused {
        return;
    }
    run.record.remarks.clear();
    run.record.here = instruction.span;
    run.record.calls.clone_from(&instruction.calls);
    let outcome = match &instruction.action {
        action if is_aside(run, action) => None,
        Action::Let { slot, value } => {
            run.values[*slot] = match &run.program.lets[*slot].set {
                Some(set) => Some(set.clone()),
                None => run.known_quantity(value),
            };
            None
        }
        action if questions::answer(run, action) => None,
        action => carry_out(run, action),
    };
    audit(run);
    let mut remarks = std::mem::take(&mut run.record.remarks);
    let number = outcome.is_some().then(|| run.record.next_number());
    remarks.iter_mut().for_each(|remark| remark.on = number);
    run.record.ledger.remarks.append(&mut remarks);
    let (Some(outcome), Some(number)) = (outcome, number) else {
        return;
    };
    let record = OperationRecord {
        span: instruction.span,
        text: instruction.text.clone(),
        outcome,
        number,
    };
    if let Some(step) = &mut run.record.open_step {
        step.operations.push(record);
    }
}

/// Statements that answer for themselves and change nothing: a sample needs none of them.
fn is_aside(run: &Run<'_>, action: &Action) -> bool {
    run.scope.figures.is_some()
        && matches!(
            action,
            Action::Find { .. }
                | Action::Vary { .. }
                | Action::Scale { .. }
                | Action::Heat(_)
                | Action::Solution(_)
        )
}

/// Both audits of the vessels that an operation worked on.
fn audit(run: &mut Run<'_>) {
    let wrong = run.bench.audit();
    tell_wrong(run, wrong);
}

/// Both audits of all vessels, at the end.
pub fn audit_all(run: &mut Run<'_>) {
    let wrong = run.bench.audit_all();
    tell_wrong(run, wrong);
}

fn tell_wrong(run: &mut Run<'_>, wrong: Vec<Wrong>) {
    for one in wrong {
        let what = match &one {
            Wrong::Heat(id) => format!("heat of {}", run.name(*id)),
            Wrong::Matter(Discrepancy::Atoms(element)) => element.name().to_owned(),
            Wrong::Matter(Discrepancy::Charge) => "charge".to_owned(),
            Wrong::Matter(
                Discrepancy::Contents(id, species) | Discrepancy::Negative(id, species),
            ) => format!("{species} in {}", run.name(*id)),
        };
        let (span, fact) = (run.record.here, Fact::Unbalanced { what });
        // Once: what was found after an operation is found again at the end.
        let told = |remark: &Remark| remark.fact == fact;
        if !run.record.ledger.remarks.iter().any(told) {
            let remark = Remark::new(span, Weight::Fault, fact);
            run.record.remarks.push(remark);
        }
    }
}
