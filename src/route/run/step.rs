//! The record of a step: what was done in it, how its vessels ended, its account of heat.

use crate::number::Number;
use crate::text::Span;
use crate::vessel::Heat;

use super::super::bench::Place;
use super::super::ledger::{
    Fact, Idle, OperationRecord, Outcome, Remark, StepHeat, StepRecord, Weight,
};
use super::super::moment::{Run, heat_control};
use super::super::program::{Action, Instruction};
use super::operation;

/// A step with all that is in it.
pub(super) fn run_step(run: &mut Run<'_>, span: Span, title: Option<String>, body: &[Instruction]) {
    let titled = title.is_some();
    open_step(run, title);
    count_anew(run);
    for inner in body {
        operation(run, inner);
        if run.scope.arrived() {
            break;
        }
    }
    tell_in_hand(run);
    if titled {
        close_step(run);
    }
    tell_empty(run, span, body);
}

/// An operation outside a step. Untitled ones in a row are one.
pub(super) fn untitled(run: &mut Run<'_>, instruction: &Instruction) {
    open_step(run, None);
    count_anew(run);
    operation(run, instruction);
    tell_in_hand(run);
}

fn open_step(run: &mut Run<'_>, title: Option<String>) {
    if title.is_none() && run.record.open_step.is_some() {
        return;
    }
    close_step(run);
    run.record.open_step = Some(StepRecord {
        title,
        operations: Vec::new(),
        after: Vec::new(),
        heat: StepHeat::default(),
    });
    run.bench.begin_step();
}

/// Ends the record of the step that runs, if one does.
pub fn close_step(run: &mut Run<'_>) {
    let Some(mut record) = run.record.open_step.take() else {
        return;
    };
    for id in run.bench.changed_in_step() {
        // A run that serves a question brings back figures only: nobody looks at its vessels.
        if run.history(id).made && !run.scope.serves_a_question() {
            let after = run.vessel_state(id);
            record.after.push(after);
        }
    }
    record.heat = step_heat(run, &record);
    run.record.ledger.steps.push(record);
}

/// Begins to count anew what baths take from every vessel.
fn count_anew(run: &mut Run<'_>) {
    run.bench.count_anew();
    let record = run.record.open_step.as_ref();
    run.record.counted_from = record.map_or(0, |record| record.operations.len());
}

/// What the hot vessels call for, said where they begin to grow hot: at the first reaction in them since heat was counted
/// anew, else at the last operation.
fn tell_in_hand(run: &mut Run<'_>) {
    if run.scope.serves_a_question() {
        return;
    }
    for id in run.bench.changed_since_counted() {
        let Some(mut remark) = heat_control::tell(run, id) else {
            continue;
        };
        let name = run.name(id);
        let reacts = |operation: &OperationRecord| matches!(&operation.outcome, Outcome::Reacted(reaction) if reaction.vessel == name);
        let from = run.record.counted_from;
        let step = run.record.open_step.as_mut();
        let operations = step.and_then(|step| step.operations.get_mut(from..));
        if let Some(operations) = operations {
            let at = operations.iter().position(reacts);
            let at = at.or(operations.len().checked_sub(1));
            if let Some(operation) = at.and_then(|at| operations.get_mut(at)) {
                remark.span = operation.span;
                remark.on = Some(operation.number);
            }
        }
        run.record.ledger.remarks.push(remark);
    }
}

/// A step with nothing in it, or only values.
fn tell_empty(run: &mut Run<'_>, span: Span, body: &[Instruction]) {
    let does = |instruction: &Instruction| !matches!(instruction.action, Action::Let { .. });
    if !body.iter().any(does) {
        let fact = Fact::ChangesNothing(Idle::EmptyStep);
        let remark = Remark::new(span, Weight::Note, fact);
        run.record.ledger.remarks.push(remark);
    }
}

/// The account of heat of the step that ends here.
fn step_heat(run: &Run<'_>, record: &StepRecord) -> StepHeat {
    let Some(posted) = run.bench.end_step() else {
        return StepHeat::default();
    };
    let known = |heat: &Heat| heat.known().cloned().unwrap_or_else(Number::zero);
    let reactions = sum(record, |outcome| match outcome {
        Outcome::Reacted(record) => Some(&record.heat),
        Outcome::Titrated(record) => Some(&record.reaction.heat),
        _ => None,
    });
    let boiling = known(&sum(record, |outcome| match outcome {
        Outcome::Evaporated { heat, .. } => Some(heat),
        _ => None,
    }));
    let changes = &posted.at(Place::Chemistry) - &known(&reactions);
    StepHeat {
        dissolving: (&changes + &posted.mixing).settled(),
        baths: (&posted.at(Place::Bath) + &boiling).settled(),
        vapour: posted.at(Place::Air),
        warming: posted.warming.settled(),
        room: posted.at(Place::Room),
        reactions,
        boiling,
    }
}

fn sum(record: &StepRecord, of: impl Fn(&Outcome) -> Option<&Heat>) -> Heat {
    let operations = record.operations.iter();
    let heats = operations.filter_map(|operation| of(&operation.outcome));
    heats.fold(Heat::none(), |sum, heat| sum.plus(heat))
}
