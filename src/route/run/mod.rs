//! A checked program into its ledger.
//!
//! Promises: a pure function of program and data; running twice gives the same ledger; the auditor has the last word
//! after every operation. An operation that cannot be carried out is left blank with a remark that says why, and the
//! route goes on.
//!
//! Knows nothing of text beyond the spans it was given, of rounding, or of the outside world.

mod afterthought;
mod answer;
mod charge;
mod comparison;
mod cores;
mod crystallise;
mod discarded;
mod dissolve;
mod enthalpy;
mod filling;
mod finding;
mod finish;
mod further;
mod gases;
mod hand;
mod heat;
mod phases;
mod properties;
mod react;
mod reconcile;
mod sample;
mod scale;
mod separate;
mod solution;
mod state;
mod step_heat;
mod thermal;
mod titrate;
mod warmth;
mod watch;

use std::collections::BTreeSet;

use crate::text::Span;

use super::books::Discrepancy;
use super::ledger::{
    Fact, Ledger, OperationRecord, Outcome, Remark, Samples, StepHeat, StepRecord, Weight,
};
use super::program::{Action, Instruction, Program, Value, VesselId};

pub use cores::Progress;
pub use further::{Further, further};
pub use state::State;

/// Runs a whole program: works back what a `find` looks for, runs the route with that, and then once more for each
/// line of a `vary`.
pub fn run(program: &Program) -> Ledger {
    run_telling(program, None, &|_, _| {})
}

/// The same, with samples if they are asked for, telling how many of the runs of a `vary` or of the samples are done.
pub fn run_telling(program: &Program, samples: Option<Samples>, progress: Progress<'_>) -> Ledger {
    let solved = finding::solve(program, &[]);
    let mut ledger = once(&solved.program);
    finding::tell(&solved.verdicts, &mut ledger);
    comparison::compare(&solved.program, &mut ledger, progress);
    ledger.remarks.sort_by_key(|remark| remark.span);
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
    finding::tell(&solved.verdicts, &mut state.ledger);
    comparison::compare(&solved.program, &mut state.ledger, &|_, _| {});
    (solved.program.into_owned(), state)
}

/// Runs a program once, with the values that it has.
pub fn once(program: &Program) -> Ledger {
    let mut state = State::new(program);
    advance(program, &mut state);
    finish::finish(program, state)
}

/// Runs to the end, or to where the run was to go.
fn advance(program: &Program, state: &mut State) {
    for instruction in program.body.iter() {
        step(program, state, instruction);
        if state.arrived() {
            return;
        }
    }
}

/// Runs one top-level instruction; the prompt does so line by line.
pub fn step(program: &Program, state: &mut State, instruction: &Instruction) {
    state.make_room(program);
    if state.refused {
        return;
    }
    match &instruction.action {
        Action::Step { title, body } => {
            open_step(program, state, title.clone());
            state.count_anew();
            for inner in body {
                operation(program, state, inner);
                if state.arrived() {
                    break;
                }
            }
            tell_in_hand(program, state);
            if title.is_some() {
                close_step(program, state);
            }
            afterthought::empty_step(state, instruction.span, body);
        }
        action if is_question(action) => operation(program, state, instruction),
        _ => {
            open_step(program, state, None);
            state.count_anew();
            operation(program, state, instruction);
            tell_in_hand(program, state);
        }
    }
}

/// The ledger as it would be if the route ended here.
pub fn ledger_so_far(program: &Program, state: &State) -> Ledger {
    finish::finish(program, state.clone())
}

/// Begins the record of a step. Untitled ones in a row are one.
fn open_step(program: &Program, state: &mut State, title: Option<String>) {
    if title.is_none() && state.open_step.is_some() {
        return;
    }
    close_step(program, state);
    state.open_step = Some(StepRecord {
        title,
        operations: Vec::new(),
        after: Vec::new(),
        heat: StepHeat::default(),
    });
    step_heat::begin(program, state);
}

fn close_step(program: &Program, state: &mut State) {
    let Some(mut record) = state.open_step.take() else {
        return;
    };
    for id in std::mem::take(&mut state.changed_in_step) {
        // A run that serves a question brings back figures only: nobody looks at its vessels.
        if state.vessels[id].made && !state.on_errand() {
            let after = properties::vessel_state(program, state, id);
            record.after.push(after);
        }
    }
    record.heat = step_heat::end(program, state, &record);
    state.ledger.steps.push(record);
}

/// What the hot vessels call for, said where they begin to grow hot: at the first reaction in them since heat was counted
/// anew, else at the last operation.
fn tell_in_hand(program: &Program, state: &mut State) {
    if state.on_errand() {
        return;
    }
    for id in state.in_hand.clone() {
        let Some(mut remark) = hand::tell(program, state, id) else {
            continue;
        };
        let name = &state.vessels[id].name;
        let reacts = |operation: &OperationRecord| matches!(&operation.outcome, Outcome::Reacted(reaction) if reaction.vessel == *name);
        let step = state.open_step.as_mut();
        let operations = step.and_then(|step| step.operations.get_mut(state.counted_from..));
        if let Some(operations) = operations {
            let at = operations.iter().position(reacts);
            let at = at.or(operations.len().checked_sub(1));
            if let Some(operation) = at.and_then(|at| operations.get_mut(at)) {
                remark.span = operation.span;
                operation.remarks.push(remark.clone());
            }
        }
        state.ledger.remarks.push(remark);
    }
}

/// Questions and declarations leave no operation on the sheet.
fn is_question(action: &Action) -> bool {
    matches!(
        action,
        Action::Let { .. }
            | Action::Show(_)
            | Action::Expect { .. }
            | Action::Yield { .. }
            | Action::Scale { .. }
            | Action::Heat(_)
            | Action::Solution(_)
            | Action::Find { .. }
            | Action::Vary { .. }
    )
}

fn operation(program: &Program, state: &mut State, instruction: &Instruction) {
    if state.refused {
        return;
    }
    state.remarks.clear();
    state.here = instruction.span;
    state.calls.clone_from(&instruction.calls);
    state.operations_run += 1;
    let outcome = carry_out(program, state, &instruction.action);
    phases::tell_freezing(state);
    audit(program, state, instruction.span);
    let remarks = std::mem::take(&mut state.remarks);
    state.ledger.remarks.extend(remarks.iter().cloned());
    let Some(outcome) = outcome else { return };
    let record = OperationRecord {
        span: instruction.span,
        text: instruction.text.clone(),
        outcome,
        remarks,
    };
    if let Some(step) = &mut state.open_step {
        step.operations.push(record);
    }
}

/// Why an operation was left blank; the remark is already written.
pub(super) struct Blank;

type Done<T> = Result<T, Blank>;

fn carry_out(program: &Program, state: &mut State, action: &Action) -> Option<Outcome> {
    if state.errand.figures.is_some() && sample::is_aside(action) {
        return None;
    }
    let outcome = match action {
        Action::Step { .. } => return None,
        Action::Let { slot, value } => {
            let quantity = match &program.lets[*slot].set {
                Some(set) => Ok(set.clone()),
                None => state.quantity(program, value),
            };
            state.values[*slot] = quantity.ok();
            return None;
        }
        Action::Show(values) => {
            answer::show(program, state, values);
            return None;
        }
        Action::Expect { text, conditions } => {
            answer::expect(program, state, text, conditions);
            return None;
        }
        Action::Yield {
            vessel,
            product,
            basis,
        } => {
            answer::product_yield(state, *vessel, product, basis);
            return None;
        }
        Action::Find { unknowns, targets } => {
            finding::judge(program, state, unknowns, targets);
            return None;
        }
        Action::Vary { shown, .. } => {
            comparison::ask(program, state, shown);
            return None;
        }
        Action::Scale {
            reaction,
            to,
            basis,
        } => {
            scale::statement(program, state, reaction, to, basis);
            return None;
        }
        Action::Heat(question) => {
            heat::statement(program, state, question);
            return None;
        }
        Action::Solution(question) => {
            solution::statement(program, state, question);
            return None;
        }
        Action::Charge {
            vessel,
            portions,
            at,
            over,
        } => charge::portions(
            program,
            state,
            *vessel,
            portions,
            at.as_ref(),
            over.as_ref(),
        ),
        Action::ChargeEnough {
            vessel,
            matter,
            slack,
            reaction,
            excess,
            at,
            over,
        } => {
            let times = (at.as_ref(), over.as_ref());
            charge::enough(
                program,
                state,
                *vessel,
                (matter, slack.as_ref()),
                reaction,
                excess.as_ref(),
                times,
            )
        }
        Action::React {
            vessel,
            reaction,
            degree,
            limit,
        } => react::react(
            program,
            state,
            *vessel,
            reaction,
            degree.as_ref(),
            limit.as_ref(),
        ),
        Action::Bath {
            vessel,
            to,
            kind,
            with,
        } => thermal::bath(program, state, *vessel, to, (*kind, with.as_ref())),
        Action::Vent(vessel) => separate::vent(program, state, *vessel),
        Action::Seal(vessel) => Ok(separate::closure(state, *vessel, true)),
        Action::Open(vessel) => separate::open(program, state, *vessel),
        Action::Discard(vessel) => separate::discard(program, state, *vessel),
        Action::Filter {
            vessel,
            filtrate,
            cake,
            retaining,
        } => separate::filter(
            program,
            state,
            *vessel,
            (*filtrate, *cake),
            retaining.as_ref(),
        ),
        Action::Decant { vessel, into } => separate::decant(program, state, *vessel, *into),
        Action::Pour { vessel, into } => separate::pour(program, state, *vessel, *into),
        Action::Take {
            amount,
            vessel,
            into,
        } => separate::take(program, state, amount, *vessel, *into),
        Action::Wash {
            vessel,
            with,
            retaining,
            into,
        } => separate::wash(program, state, *vessel, with, retaining.as_ref(), *into),
        Action::Dry { vessel, at } => separate::dry(program, state, *vessel, at.as_ref()),
        Action::Evaporate { vessel, to } => thermal::evaporate(program, state, *vessel, to),
        Action::Dilute { vessel, to } => charge::dilute(program, state, *vessel, to),
        Action::Crystallise {
            vessel,
            at,
            solid,
            into,
        } => crystallise::crystallise(program, state, *vessel, at, solid, *into),
        Action::Titrate(asked) => titrate::titrate(program, state, asked),
        Action::Weigh { vessel, found } => reconcile::weigh(program, state, *vessel, found),
        Action::Measure { what, found } => reconcile::measure(program, state, what, found),
        Action::Wait(time) => wait(program, state, time),
        Action::Note(text) => Ok(Outcome::Noted(text.clone())),
    };
    Some(outcome.unwrap_or(Outcome::Blank))
}

fn wait(program: &Program, state: &mut State, time: &Value) -> Done<Outcome> {
    let seconds = state.quantity(program, time)?.number().clone();
    watch::stood(program, state, &seconds);
    Ok(Outcome::Waited { seconds })
}

/// Both audits of the vessels that an operation worked on.
fn audit(program: &Program, state: &mut State, span: Span) {
    let worked_on = std::mem::take(&mut state.unaudited);
    audit_matter(state, span, &worked_on);
    audit_heat(program, state, span, &worked_on);
}

/// Both audits of all vessels, at the end: nothing may have changed behind the books.
fn audit_all(program: &Program, state: &mut State) {
    let span = state.here;
    state.unaudited = (0..state.vessels.len()).collect();
    audit(program, state, span);
}

fn audit_heat(program: &Program, state: &mut State, span: Span, vessels: &BTreeSet<VesselId>) {
    if let Some(id) = enthalpy::audit(program, state, vessels) {
        let what = format!("heat of {}", state.vessels[id].name);
        tell_unbalanced(state, span, what);
    }
}

/// Once: what was found after an operation is found again at the end.
fn tell_unbalanced(state: &mut State, span: Span, what: String) {
    let fact = Fact::Unbalanced { what };
    if !state.ledger.remarks.iter().any(|told| told.fact == fact) {
        state.remarks.push(Remark::new(span, Weight::Fault, fact));
    }
}

fn audit_matter(state: &mut State, span: Span, vessels: &BTreeSet<VesselId>) {
    let vessels: Vec<_> = vessels
        .iter()
        .map(|id| (*id, &state.vessels[*id].contents))
        .collect();
    if let Err(discrepancy) = state.books.audit(&vessels) {
        let name = |id: VesselId| state.vessels[id].name.clone();
        let what = match &discrepancy {
            Discrepancy::Atoms(element) => element.name().to_owned(),
            Discrepancy::Charge => "charge".to_owned(),
            Discrepancy::Contents(id, species) | Discrepancy::Negative(id, species) => {
                format!("{species} in {}", name(*id))
            }
        };
        tell_unbalanced(state, span, what);
    }
}
