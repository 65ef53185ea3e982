//! What can only be said when a route is over: what is left over, which step did nothing, who emptied a vessel.

use rustc_hash::FxHashMap;

use crate::matter::Species;
use crate::number::{Exact, Number};
use crate::text::Span;

use super::super::ledger::{
    Fact, Idle, Ledger, OperationRecord, Outcome, Remark, StepRecord, Weight,
};
use super::super::program::{Action, Instruction};
use super::state::State;

/// Less of a reagent left than this share of it is not worth a word.
const LEFT_OVER: (i64, i64) = (1, 20);

impl State {
    /// Says that a statement leaves everything as it was.
    pub(super) fn changes_nothing(&mut self, why: Idle) {
        self.remark(Weight::Note, Fact::ChangesNothing(why));
    }
}

/// A step with nothing in it, or only values.
pub(super) fn empty_step(state: &mut State, span: Span, body: &[Instruction]) {
    let does = |instruction: &Instruction| !matches!(instruction.action, Action::Let { .. });
    if !body.iter().any(does) {
        let fact = Fact::ChangesNothing(Idle::EmptyStep);
        state
            .ledger
            .remarks
            .push(Remark::new(span, Weight::Note, fact));
    }
}

/// What was charged, of which one of these operations, a reaction, left some and nothing was done about that since.
pub(super) fn left_over(state: &State, operations: &[&OperationRecord]) -> Vec<Remark> {
    let mut left: Vec<(Span, &Species)> = Vec::new();
    for operation in operations {
        let Outcome::Reacted(record) = &operation.outcome else {
            continue;
        };
        for (species, _) in &record.leftovers {
            // Of several reactions with it the last is the one to look at.
            left.retain(|(_, other)| *other != species);
            left.push((operation.span, species));
        }
    }
    let mut told: Vec<(Span, Species)> = Vec::new();
    for charged in &state.charged {
        let brings = |(_, species): &&(Span, &Species)| {
            let same = |became: &Species| became.key() == species.key() && became.key() != "H2O";
            charged.became.iter().any(same)
        };
        let last = left.iter().filter(brings).map(|(span, _)| *span).max();
        let known = |(_, other): &(Span, Species)| *other == charged.substance;
        if let Some(span) = last.filter(|_| !told.iter().any(known)) {
            told.push((span, charged.substance.clone()));
        }
    }
    let facts = told
        .into_iter()
        .filter_map(|(span, substance)| Some((span, leftover(state, substance)?)));
    let remarks = facts.map(|(span, fact)| Remark::new(span, Weight::Note, fact));
    remarks.collect()
}

/// As much of a substance as its ions would still make, in all vessels.
fn leftover(state: &State, substance: Species) -> Option<Fact> {
    let there = |id: &usize| state.amount_of(&substance, *id);
    let vessels = 0..state.vessels.len();
    let moles: Number = vessels.clone().map(|id| there(&id)).sum();
    let of_it = state.charged.iter().filter(|c| c.substance == substance);
    let charged: Number = of_it.map(|charged| charged.moles.clone()).sum();
    let share = moles.checked_div(&charged)?;
    // More than was charged is a product of something.
    let worth_a_word =
        share.value() >= &Exact::ratio(LEFT_OVER.0, LEFT_OVER.1) && share.value() <= &Exact::one();
    let most = vessels.max_by(|a, b| there(a).value().cmp(there(b).value()))?;
    worth_a_word.then(|| Fact::Leftover {
        vessel: state.vessels[most].name.clone(),
        species: substance,
        moles,
        share,
    })
}

/// Completes what is said of empty vessels and of reagents that are gone: in which step they went, and to whom.
pub(super) fn where_it_went(ledger: &mut Ledger) {
    if !ledger.remarks.iter().any(|remark| looks_back(&remark.fact)) {
        return;
    }
    let moves = moves(ledger.steps.iter());
    complete_all(ledger, &moves);
}

/// The same for what one entry at the prompt adds, by all the steps so far.
pub(super) fn where_it_went_so_far(state: &State, news: &mut Ledger) {
    if !news.remarks.iter().any(|remark| looks_back(&remark.fact)) {
        return;
    }
    let moves = moves(state.ledger.steps.iter().chain(&state.open_step));
    complete_all(news, &moves);
}

fn complete_all(ledger: &mut Ledger, moves: &FxHashMap<Span, Move>) {
    let steps = ledger.steps.iter_mut();
    let operations = steps.flat_map(|step| &mut step.operations);
    let inside = operations.flat_map(|operation| &mut operation.remarks);
    for remark in inside.chain(&mut ledger.remarks) {
        complete(&mut remark.fact, moves);
    }
}

fn moves<'s>(steps: impl Iterator<Item = &'s StepRecord>) -> FxHashMap<Span, Move> {
    let mut moves: FxHashMap<Span, Move> = FxHashMap::default();
    for (index, step) in steps.enumerate() {
        for operation in &step.operations {
            let (from, into) = match &operation.outcome {
                Outcome::Moved { from, to, .. } => {
                    let names = to.iter().map(|(name, _)| name.clone());
                    (from.clone(), Some(names.collect()))
                }
                _ => (String::new(), None),
            };
            let step = index + 1;
            moves.insert(operation.span, Move { step, from, into });
        }
    }
    moves
}

/// An operation: its step, and the vessels it moved something between.
struct Move {
    step: usize,
    from: String,
    into: Option<Vec<String>>,
}

fn looks_back(fact: &Fact) -> bool {
    matches!(
        fact,
        Fact::Empty {
            emptied: Some(_),
            ..
        } | Fact::Absent {
            used_up: Some(_),
            ..
        } | Fact::NearlyAbsent { .. }
    )
}

fn complete(fact: &mut Fact, moves: &FxHashMap<Span, Move>) {
    match fact {
        Fact::Empty {
            vessel,
            emptied: Some(emptied),
        } => {
            if let Some(found) = moves.get(&emptied.span) {
                emptied.step = Some(found.step);
                emptied.into = found.into.clone().filter(|_| found.from == *vessel);
            }
        }
        Fact::Absent {
            used_up: Some(used_up),
            ..
        }
        | Fact::NearlyAbsent { used_up, .. } => {
            used_up.step = moves.get(&used_up.span).map(|found| found.step);
        }
        _ => {}
    }
}
