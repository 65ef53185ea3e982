//! Reagents of which a reaction left some.

use crate::matter::Species;
use crate::number::{Exact, Number};
use crate::text::Span;

use super::super::ledger::{Fact, OperationRecord, Outcome, Remark, Weight};
use super::super::moment::Run;
use super::super::program::VesselId;

/// Less of a reagent left than this share of it is not worth a word.
const LEFT_OVER: (i64, i64) = (1, 20);

/// What was charged, of which one of these operations, a reaction, left some and nothing was done about that since.
pub(super) fn left_over(run: &Run<'_>, operations: &[&OperationRecord]) -> Vec<Remark> {
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
    for charged in &run.record.charged {
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
        .filter_map(|(span, substance)| Some((span, leftover(run, substance)?)));
    let remarks = facts.map(|(span, fact)| Remark::new(span, Weight::Note, fact));
    remarks.collect()
}

/// As much of a substance as its ions would still make, in all vessels.
fn leftover(run: &Run<'_>, substance: Species) -> Option<Fact> {
    let there = |id: &VesselId| run.amount_of(&substance, *id);
    let vessels: Vec<VesselId> = run.bench.ids().collect();
    let moles: Number = vessels.iter().map(there).sum();
    let of_it = run
        .record
        .charged
        .iter()
        .filter(|c| c.substance == substance);
    let charged: Number = of_it.map(|charged| charged.moles.clone()).sum();
    let share = moles.checked_div(&charged)?;
    // More than was charged is a product of something.
    let worth_a_word =
        share.value() >= &Exact::ratio(LEFT_OVER.0, LEFT_OVER.1) && share.value() <= &Exact::one();
    let most = vessels
        .into_iter()
        .max_by(|a, b| there(a).value().cmp(there(b).value()))?;
    worth_a_word.then(|| Fact::Leftover {
        vessel: run.name(most),
        species: substance,
        moles,
        share,
    })
}
