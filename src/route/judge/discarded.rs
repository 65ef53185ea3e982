//! Whether everything that a route made as a solid ended in the waste jar.
//!
//! Crystals are what a route is for. Of a route without any, the one cake that is filtered off is, if a reaction made it and
//! nothing is done with the filtrate or asked about it. A `yield` says itself what the product is, and has a line of its own.

use crate::matter::{Phase, Species};
use crate::number::Number;
use crate::text::Span;
use crate::vessel::grams;

use super::super::bench::Account;
use super::super::ledger::{Fact, OperationRecord, Outcome, Remark, Weight};
use super::super::moment::{Record, Run};
use super::super::program::{Action, Instruction, Program};

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
    let products = products(run.program, record);
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

fn products(program: &Program, record: &Record) -> Vec<Product> {
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
        true => only_cake(program, record),
        false => crystals,
    }
}

/// The solids that a reaction made before the only filtration.
fn only_cake(program: &Program, record: &Record) -> Vec<Product> {
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
    if is_wanted(program, filtration.span, filtrate) {
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

/// Whether something is done with a filtrate besides throwing it away, or asked about it, after its filtration.
fn is_wanted(program: &Program, filtration: Span, filtrate: &str) -> bool {
    let mut all = Vec::new();
    in_order(&program.body, &mut all);
    let made = |one: &&Instruction| match one.action {
        Action::Filter { filtrate: into, .. } => {
            one.span == filtration && program.vessels[into].name == filtrate
        }
        _ => false,
    };
    let later = all.into_iter().skip_while(|one| !made(one)).skip(1);
    let mut later = later.filter(|one| !matches!(one.action, Action::Discard(_)));
    later.any(|one| {
        let mut named = one.vessels.iter();
        named.any(|id| program.vessels[*id].name == filtrate)
    })
}

/// The instructions inside steps in the place of the steps.
fn in_order<'p>(body: &'p [Instruction], all: &mut Vec<&'p Instruction>) {
    for instruction in body {
        match &instruction.action {
            Action::Step { body, .. } => in_order(body, all),
            _ => all.push(instruction),
        }
    }
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
