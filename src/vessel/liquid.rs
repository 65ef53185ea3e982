//! The liquid of a vessel: density, volume, heat capacity, enthalpy of mixing.

use crate::data::Store;
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};
use crate::solution::Mixture;
use crate::thermo;

use super::contents::{Contents, grams, moles};
use super::reagent;
use super::{Cited, Sources};

/// Heat capacity taken for a solid without a datum, J/K for each mole of atoms: the rule of Dulong and Petit, 3R.
const PER_MOLE_OF_ATOMS: (i64, i64) = (2494, 100);

/// The liquid of some contents as water and solutes; `None` without water.
fn with_mixture<T>(contents: &Contents, ask: impl FnOnce(Mixture<'_>) -> T) -> Option<T> {
    let water = reagent::grams_of_water(contents);
    if !water.is_positive() {
        return None;
    }
    let solutes: Vec<(Species, Number)> = contents
        .iter()
        .filter(|(s, _)| is_liquid(s) && s.key() != "H2O")
        .map(|(s, n)| (s.with_phase(None), n.clone()))
        .collect();
    Some(ask(Mixture {
        water: &water,
        solutes: &solutes,
    }))
}

/// Density in g/mL at a temperature in K; `None` without water.
pub fn density(contents: &Contents, kelvin: &Number) -> Option<Cited<Number>> {
    let estimate = with_mixture(contents, |mixture| mixture.density(kelvin))?;
    Some(Cited {
        value: estimate.value,
        sources: estimate.sources.iter().collect(),
    })
}

/// Volume in mL at a temperature in K; `None` without water.
pub fn volume(contents: &Contents, kelvin: &Number) -> Option<Cited<Number>> {
    let density = density(contents, kelvin)?;
    let value = contents
        .liquid()
        .modelled_grams()
        .checked_div(&density.value)?;
    Some(Cited {
        value,
        sources: density.sources,
    })
}

/// Water, in g, that brings the liquid to a volume in mL at a temperature in K; negative if it is more already.
///
/// Density depends on what is added, so the answer is stepped towards; a few steps settle twelve digits.
pub fn water_to_volume(
    contents: &Contents,
    kelvin: &Number,
    wanted: &Number,
) -> Option<Cited<Number>> {
    let mut contents = contents.clone();
    let mut sources = Sources::new();
    let water = reagent::water();
    let mut added = Number::zero();
    if reagent::grams_of_water(&contents).is_zero() {
        // A mixture without any water has no density; this trace counts as added.
        let first = Number::exact(Exact::ratio(1, 1_000_000));
        contents.add(&water, &first);
        added = grams(&water, &first);
    }
    for _ in 0..12 {
        let there = volume(&contents, kelvin)?.noting(&mut sources);
        let step = (wanted - &there).settled();
        if step.to_f64().abs() < 1e-9 {
            break;
        }
        contents.add(&water, &moles(&water, &step)?);
        added += &step;
    }
    Some(Cited {
        value: added.settled(),
        sources,
    })
}

/// Heat capacity at a temperature in K, in J/K: the liquid by composition, the rest by data or 3R for each mole of
/// atoms. Ice and steam, which follow their own tables, and the glass are left out. `None` for nothing.
pub fn heat_capacity(store: &Store, contents: &Contents, kelvin: &Number) -> Option<Cited<Number>> {
    let dissolved = with_mixture(contents, |mixture| {
        mixture.whole_heat_capacity(store, kelvin)
    });
    let alone = |s: &Species| dissolved.is_none() || !is_liquid(s);
    let mut total = own_heat_capacity(store, contents.iter().filter(|(s, _)| alone(s)));
    if let Some(estimate) = dissolved {
        total.sources.add_all(&estimate.sources.iter().collect());
        total.value += &estimate.value;
    }
    let total = total.map(|value| value.settled());
    total.value.is_positive().then_some(total)
}

fn own_heat_capacity<'c>(
    store: &Store,
    contents: impl Iterator<Item = (&'c Species, &'c Number)>,
) -> Cited<Number> {
    let mut total = Cited::plain(Number::zero());
    for (species, moles) in contents.filter(|(s, _)| !is_ice_or_steam(s)) {
        let warming = thermo::warming(store, species);
        let molar = match warming.as_ref().and_then(|warming| warming.standard()) {
            Some(datum) => {
                total.sources.add(&datum.source);
                store.as_drawn(datum.value.number())
            }
            None => {
                let atoms: Exact = species.composition().iter().map(|(_, n)| n).sum();
                Number::exact(atoms * Exact::ratio(PER_MOLE_OF_ATOMS.0, PER_MOLE_OF_ATOMS.1))
            }
        };
        total.value += &(&moles.settled() * &molar).settled();
    }
    total
}

fn is_liquid(species: &Species) -> bool {
    matches!(species.phase(), Some(Phase::Liquid | Phase::Aqueous))
}

fn is_ice_or_steam(species: &Species) -> bool {
    species.key() == "H2O" && species.phase() != Some(Phase::Liquid)
}

/// Enthalpy of the liquid above its ions and molecules at infinite dilution, in kJ.
pub fn excess(store: &Store, contents: &Contents) -> Cited<Number> {
    match with_mixture(contents, |mixture| mixture.excess(store)) {
        Some(found) => Cited {
            value: found.value.settled(),
            sources: found.sources.iter().collect(),
        },
        None => Cited::plain(Number::zero()),
    }
}
