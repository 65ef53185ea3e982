//! Whether everything that a route made as a solid ended in the waste jar.
//!
//! Crystals are what a route is for. Of a route without any, the one cake that is filtered off is, if a reaction made it and
//! nothing is done with the filtrate or asked about it. A `yield` says itself what the product is, and has a line of its own.

use crate::matter::{Phase, Species};
use crate::number::Number;
use crate::text::Span;
use crate::vessel::grams;

use super::super::bench::Account;
use super::super::ledger::{Fact, Ledger, OperationRecord, Outcome, Remark, Weight};
use super::super::moment::{Record, Run};

/// A solid and the vessel it was taken up in.
struct Product {
    solid: Species,
    vessel: String,
}

/// What is thrown away by an operation, if it does that.
pub(super) fn thrown_away(operation: &OperationRecord) -> Option<&String> {
    match &operation.outcome {
        Outcome::Moved { from, to, .. } if to.is_empty() => Some(from),
        _ => None,
    }
}

/// Tells of products in the waste jar, where the route keeps none.
pub(super) fn discarded(run: &Run<'_>) -> Vec<Remark> {
    let record = &*run.record;
    let discards = operations(record).filter_map(|one| Some((one.span, thrown_away(one)?)));
    let discards: Vec<(Span, &String)> = discards.collect();
    if discards.is_empty() || !record.ledger.yields.is_empty() {
        return Vec::new();
    }
    let products = products(record);
    if !products.iter().all(|product| is_gone(run, product)) {
        return Vec::new();
    }
    let told = products.iter().filter_map(|product| {
        let named = discards.iter().rfind(|(_, from)| **from == product.vessel);
        let (span, _) = named.or(discards.last())?;
        let fact = Fact::ProductDiscarded {
            grams: grams(&product.solid, &in_jar(run, &product.solid)),
            species: product.solid.clone(),
        };
        Some(Remark::new(*span, Weight::Warning, fact))
    });
    told.collect()
}

fn operations(record: &Record) -> impl Iterator<Item = &OperationRecord> {
    let steps = record.ledger.steps.iter().chain(&record.open_step);
    steps.flat_map(|step| &step.operations)
}

fn products(record: &Record) -> Vec<Product> {
    let mut crystals: Vec<Product> = Vec::new();
    for operation in operations(record) {
        if let Outcome::Crystallised(record) = &operation.outcome
            && record.moles.is_positive()
        {
            crystals.retain(|known| known.solid != record.solid);
            crystals.push(Product {
                solid: record.solid.clone(),
                vessel: record.into.clone(),
            });
        }
    }
    match crystals.is_empty() {
        true => only_cake(record),
        false => crystals,
    }
}

/// The solids that a reaction made before the only filtration.
fn only_cake(record: &Record) -> Vec<Product> {
    let all: Vec<&OperationRecord> = operations(record).collect();
    let filtered = |operation: &&OperationRecord| matches!(&operation.outcome, Outcome::Moved { to, .. } if to.len() == 2);
    let mut cakes = all.iter().enumerate().filter(|(_, one)| filtered(one));
    let (Some((at, filtration)), None) = (cakes.next(), cakes.next()) else {
        return Vec::new();
    };
    let Outcome::Moved { to, .. } = &filtration.outcome else {
        return Vec::new();
    };
    let [(filtrate, _), (cake, _)] = &to[..] else {
        return Vec::new();
    };
    if is_wanted(&record.ledger, &all[at + 1..], filtrate) {
        return Vec::new();
    }
    let made = all[..at].iter().filter_map(|one| match &one.outcome {
        Outcome::Reacted(record) if record.extent.is_positive() => Some(&record.net.right),
        _ => None,
    });
    let mut solids: Vec<Species> = Vec::new();
    for (_, species) in made.flatten() {
        if species.phase() == Some(Phase::Solid) && !solids.contains(species) {
            solids.push(species.clone());
        }
    }
    let product = |solid| Product {
        solid,
        vessel: cake.clone(),
    };
    solids.into_iter().map(product).collect()
}

/// Whether something is done with a vessel besides throwing it away, or asked about it.
fn is_wanted(ledger: &Ledger, later: &[&OperationRecord], vessel: &str) -> bool {
    let names = |text: &str| {
        let mut words = text.split(|c: char| !c.is_alphanumeric() && c != '_');
        words.any(|word| word == vessel)
    };
    let used = later
        .iter()
        .any(|one| names(&one.text) && thrown_away(one).is_none());
    let shown = ledger.shows.iter().map(|shown| &shown.expression);
    let asked = shown.chain(ledger.expectations.iter().map(|one| &one.expression));
    used || asked.into_iter().any(|text| names(text))
}

/// Whether more of it is in the waste jar than anywhere else.
fn is_gone(run: &Run<'_>, product: &Product) -> bool {
    let vessels = run.bench.ids();
    let kept: Number = vessels
        .map(|id| run.contents(id).amount(&product.solid))
        .sum();
    in_jar(run, &product.solid).value() > kept.value()
}

fn in_jar(run: &Run<'_>, solid: &Species) -> Number {
    let mut balance = run.bench.balance(Account::Drain);
    let found = balance.find(|(species, _)| *species == solid);
    found.map_or_else(Number::zero, |(_, moles)| Number::exact(moles.clone()))
}
