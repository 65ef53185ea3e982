//! What a bottle was found to hold takes the place of its label.

use crate::number::Number;
use crate::vessel::Reagent;

use super::super::ledger::GivenStrength;
use super::super::moment::{Run, strength};
use super::super::program::BottleId;

/// A bottle is so many times as strong as was thought.
pub(super) fn standardise(
    run: &mut Run<'_>,
    bottle: Option<BottleId>,
    factor: &Number,
) -> Option<GivenStrength> {
    let bottle = bottle?;
    let before = run.stuff(bottle);
    let after = stronger(&before, factor);
    run.record.standardised.insert(bottle, after.clone());
    Some(GivenStrength {
        bottle: run.program.bottles[bottle].name.clone(),
        planned: strength(&before)?,
        found: strength(&after)?,
    })
}

fn stronger(stuff: &Reagent, factor: &Number) -> Reagent {
    match stuff.clone() {
        Reagent::Pure {
            species,
            purity,
            label,
            density,
        } => Reagent::Pure {
            species,
            purity: &purity * factor,
            label,
            density,
        },
        Reagent::Solution {
            solute,
            label,
            per_gram,
            density,
            mass_fraction,
        } => Reagent::Solution {
            solute,
            label,
            per_gram: &per_gram * factor,
            density,
            mass_fraction: &mass_fraction * factor,
        },
    }
}
