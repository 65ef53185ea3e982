//! `scale EQUATION to Q X`: the whole equation for so much of one species.

use crate::equation::Reaction;
use crate::equation::ionic::{Form, in_water};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number, Quantity, unit};
use crate::vessel::{Heat, grams, moles, reaction, reagent};

use super::super::ledger::{Fact, ScaleRow, ScaleTable};
use super::super::moment::{Done, Refusal, Run};
use super::super::program::{Bottle, Program, Value};

/// The statement: its table goes into the ledger.
pub fn scale(run: &mut Run<'_>, reaction: &Reaction, to: &Value, basis: &Species) -> Done<()> {
    let amount = run.quantity(to)?;
    let table = table(run, reaction, &amount, basis).ok_or_else(|| {
        Refusal::of(Fact::NoAnswer {
            expression: to.text.clone(),
        })
    })?;
    run.record.ledger.scales.push(table);
    Ok(())
}

/// The table; `None` if the species is not in the equation, or its volume is asked for and its density unknown.
fn table(
    run: &mut Run<'_>,
    reaction: &Reaction,
    amount: &Quantity,
    basis: &Species,
) -> Option<ScaleTable> {
    let all = || {
        reaction
            .left
            .iter()
            .map(|t| (true, t))
            .chain(reaction.right.iter().map(|t| (false, t)))
    };
    let (_, (coefficient, named)) = all().find(|(_, (_, s))| s.key() == basis.key())?;
    // As far as anybody has found out by now what is in them.
    let shelf = run.shelf();
    let stuff = shelf
        .iter()
        .find(|b| {
            b.stuff.substance().key() == basis.key() && amount.in_unit(&unit::MILLILITRE).is_ok()
        })
        .map(|b| b.stuff.clone());
    let moles = match stuff {
        Some(stuff) => reagent::measure(&stuff, amount, &run.program.ambient)?.moles,
        None => moles_of(run.program, named, amount)?,
    };
    let turns = moles.scaled(&(Exact::one() / Exact::from(coefficient.clone())));
    let rows = all()
        .map(|(reactant, (n, species))| {
            let moles = turns.scaled(&Exact::from(n.clone()));
            row(run.program, &shelf.raw, species, reactant, moles)
        })
        .collect();
    let heat = heat(run, reaction, &turns);
    Some(ScaleTable {
        reaction: reaction.clone(),
        basis: named.clone(),
        asked: amount.clone(),
        rows,
        heat,
    })
}

/// mol of a pure substance or an ion; `None` where the quantity does not tell.
pub(super) fn moles_of(program: &Program, species: &Species, amount: &Quantity) -> Option<Number> {
    if species.charge() != 0 {
        // An ion has a mass and an amount, though no bottle holds it alone.
        if let Ok(mass) = amount.in_unit(&unit::GRAM) {
            return moles(species, &mass);
        }
        return amount.in_unit(&unit::MOLE).ok();
    }
    let stuff = reagent::pure(&program.store, species, Number::one(), None).ok()?;
    reagent::measure(&stuff, amount, &program.ambient).map(|m| m.moles)
}

fn row(
    program: &Program,
    shelf: &[Bottle],
    species: &Species,
    reactant: bool,
    moles: Number,
) -> ScaleRow {
    let gas = species
        .phase()
        .map_or(in_water(species) == Form::Gas, |phase| phase == Phase::Gas);
    let amount = Quantity::of(moles.clone(), &unit::MOLE);
    let from = |bottle: &&Bottle| reactant && bottle.stuff.substance().key() == species.key();
    let bottle = shelf.iter().find(from).and_then(|bottle| {
        let measured = reagent::measure(&bottle.stuff, &amount, &program.ambient)?;
        Some((bottle.name.clone(), measured.millilitres, measured.grams))
    });
    ScaleRow {
        species: species.clone(),
        reactant,
        grams: grams(species, &moles),
        litres: gas.then(|| &moles * &program.ambient.molar_gas_volume()),
        bottle,
        moles,
    }
}

/// The heat in water: electrolytes as ions, the rest as they are.
fn heat(run: &mut Run<'_>, equation: &Reaction, turns: &Number) -> Heat {
    let mut terms: Vec<(Exact, Species)> = Vec::new();
    for (n, species) in equation.signed() {
        let parts = if species.is_electron() {
            vec![(Exact::one(), species)]
        } else {
            reagent::in_solution_or_as_stated(&species)
        };
        terms.extend(parts.into_iter().map(|(count, s)| (&n * &count, s)));
    }
    let heat = reaction::heat_of(&run.program.store, &terms, turns);
    run.noted(heat)
}
