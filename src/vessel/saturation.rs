//! How much more of a substance dissolves, by its solubility in pure water.

use crate::matter::Species;
use crate::number::{Exact, Number};
use crate::solution;

use super::contents::Contents;
use super::{Cited, Sources, reagent, salts};

/// What water in a vessel still takes up of a substance.
#[derive(Clone, Debug)]
pub struct Room {
    /// mol; below zero it is how much too much is dissolved.
    pub moles: Number,
    /// g of the anhydrous substance in 100 g of water, at saturation.
    pub solubility: Number,
}

/// How much more of a substance dissolves at a temperature in K; `None` without a datum. Only its own ions are counted
/// as taking up room.
pub fn room_for(contents: &Contents, salt: &Species, kelvin: &Number) -> Option<Cited<Room>> {
    let found = solution::solubility(&salt.with_phase(None), kelvin).ok()?;
    let mut sources = Sources::new();
    sources.add(&found.source);
    let saturated = found.value;
    let water = reagent::grams_of_water(contents);
    let (_, crystal_water) = solution::anhydrous(&salt.with_phase(None));
    let there = salts::units_in_solution(contents, &saturated.salt)?;
    let per_gram = saturated
        .grams_per_100_g_water
        .scaled(&Exact::ratio(1, 100));
    let salt_mass = saturated.salt.molar_mass();
    // n units of a hydrate bring n·h waters: (there + n)·M ≤ s·(W + n·h·M(H2O)).
    let free = &(&per_gram * &water) - &there.scaled(salt_mass);
    let water_mass = reagent::water().molar_mass().clone();
    let taken = &Number::exact(salt_mass.clone()) - &per_gram.scaled(&(crystal_water * water_mass));
    // Where it melts in its own water of crystallisation there is room for any amount.
    let moles = match taken.is_positive() {
        true => free.checked_div(&taken)?.settled(),
        false => contents.amount(salt),
    };
    let solubility = saturated.grams_per_100_g_water;
    Some(Cited {
        value: Room { moles, solubility },
        sources,
    })
}
