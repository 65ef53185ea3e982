//! In which step a vessel was emptied or a reagent used up, and what became of it.

use rustc_hash::FxHashMap;

use crate::text::Span;

use super::super::ledger::{Fact, Ledger, Outcome, StepRecord};
use super::super::moment::Record;

/// Completes what is said of empty vessels and of reagents that are gone: in which step they went, and to whom.
pub(super) fn where_it_went(ledger: &mut Ledger) {
    if !ledger.remarks.iter().any(|remark| looks_back(&remark.fact)) {
        return;
    }
    let moves = moves(ledger.steps.iter());
    complete_all(ledger, &moves);
}

/// The same for what one entry at the prompt adds, by all the steps so far.
pub(super) fn where_it_went_so_far(record: &Record, news: &mut Ledger) {
    if !news.remarks.iter().any(|remark| looks_back(&remark.fact)) {
        return;
    }
    let moves = moves(record.ledger.steps.iter().chain(&record.open_step));
    complete_all(news, &moves);
}

fn complete_all(ledger: &mut Ledger, moves: &FxHashMap<Span, Move>) {
    for remark in &mut ledger.remarks {
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
