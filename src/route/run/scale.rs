//! `scale EQUATION to Q X`: the whole equation for so much of one species.

use crate::equation::Reaction;
use crate::equation::ionic::{Form, in_water};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number, Quantity, unit};

use super::super::contents::grams;
use super::super::ledger::{Fact, Heat, ScaleRow, ScaleTable, Weight};
use super::super::program::{Bottle, Program, Value};
use super::super::stuff;
use super::state::State;
use super::{answer, charge, properties};

/// The statement: its table goes into the ledger.
pub(super) fn statement(
    program: &Program,
    state: &mut State,
    reaction: &Reaction,
    to: &Value,
    basis: &Species,
) {
    let Ok(amount) = charge::positive(program, state, to) else {
        return;
    };
    match table(program, state, reaction, &amount, basis) {
        Some(table) => state.ledger.scales.push(table),
        None => state.remark(
            Weight::Fault,
            Fact::NoAnswer {
                expression: to.text.clone(),
            },
        ),
    }
}

/// The table; `None` if the species is not in the equation, or its volume is asked for and its density unknown.
fn table(
    program: &Program,
    state: &mut State,
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
    let shelf = state.shelf(program);
    let stuff = shelf
        .iter()
        .find(|b| {
            b.stuff.substance().key() == basis.key() && amount.in_unit(&unit::MILLILITRE).is_ok()
        })
        .map(|b| b.stuff.clone());
    let moles = match stuff {
        Some(stuff) => stuff::measure(&stuff, amount, &program.ambient)?.moles,
        None => moles_of(program, named, amount)?,
    };
    let turns = moles.scaled(&(Exact::one() / Exact::from(coefficient.clone())));
    let rows = all()
        .map(|(reactant, (n, species))| {
            let moles = turns.scaled(&Exact::from(n.clone()));
            row(program, &shelf, species, reactant, moles)
        })
        .collect();
    let heat = heat(program, state, reaction, &turns);
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
            return super::super::contents::moles(species, &mass);
        }
        return amount.in_unit(&unit::MOLE).ok();
    }
    let stuff = stuff::pure(&program.store, species, Number::one(), None).ok()?;
    stuff::measure(&stuff, amount, &program.ambient).map(|m| m.moles)
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
        let measured = stuff::measure(&bottle.stuff, &amount, &program.ambient)?;
        Some((bottle.name.clone(), measured.millilitres, measured.grams))
    });
    ScaleRow {
        species: species.clone(),
        reactant,
        grams: grams(species, &moles),
        litres: if gas {
            answer::litres(program, species, &moles)
        } else {
            None
        },
        bottle,
        moles,
    }
}

/// The heat in water: electrolytes as ions, the rest as they are.
fn heat(program: &Program, state: &mut State, reaction: &Reaction, turns: &Number) -> Heat {
    let mut terms: Vec<(Exact, Species)> = Vec::new();
    for (n, species) in reaction.signed() {
        let parts = if species.is_electron() {
            vec![(Exact::one(), species)]
        } else {
            stuff::in_solution_or_as_stated(&species)
        };
        terms.extend(parts.into_iter().map(|(count, s)| (&n * &count, s)));
    }
    properties::heat_of(program, state, &terms, turns)
}
