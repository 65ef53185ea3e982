//! Physical properties of what is in a vessel: volume, density, heat capacity, heats of change.

use crate::matter::{Phase, Species};
use crate::number::{Dimension, Exact, Number, Quantity, unit};
use crate::solution::{self, Mixture};
use crate::thermo;

use super::super::contents::Contents;
use super::super::ledger::{Heat, VesselState};
use super::super::program::{Program, VesselId};
use super::super::stuff;
use super::state::State;

/// Heat capacity taken for a solid without a datum, J/K for each mole of atoms: the rule of Dulong and Petit, 3R.
const PER_MOLE_OF_ATOMS: (i64, i64) = (2494, 100);

/// The liquid of some contents as water and solutes; `None` without water.
fn with_mixture<T>(contents: &Contents, ask: impl FnOnce(Mixture<'_>) -> T) -> Option<T> {
    let water = stuff::grams_of_water(contents);
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

/// Density of the liquid in g/mL.
pub(super) fn density(state: &mut State, contents: &Contents, kelvin: &Number) -> Option<Number> {
    let estimate = with_mixture(contents, |mixture| mixture.density(kelvin))?;
    cite(state, &estimate.sources);
    Some(estimate.value)
}

/// Volume of the liquid in a vessel, in mL.
pub(super) fn volume(_program: &Program, state: &mut State, vessel: VesselId) -> Option<Number> {
    let contents = state.vessels[vessel].contents.clone();
    let at = state.vessels[vessel].temperature.clone();
    volume_of(state, &contents, &at)
}

fn volume_of(state: &mut State, contents: &Contents, kelvin: &Number) -> Option<Number> {
    let density = density(state, contents, kelvin)?;
    state.grams(&contents.liquid()).checked_div(&density)
}

/// Water, in g, that brings the liquid of a vessel to a volume in mL; negative if it is more already. Density depends on
/// what is added, so the answer is stepped towards; a few steps settle twelve digits.
fn water_to_volume(state: &mut State, vessel: VesselId, wanted: &Number) -> Option<Number> {
    let at = state.vessels[vessel].temperature.clone();
    let mut contents = state.vessels[vessel].contents.clone();
    let water = stuff::water();
    let mut added = Number::zero();
    if stuff::grams_of_water(&contents).is_zero() {
        // A mixture without any water has no density; this trace counts as added.
        let first = Number::exact(Exact::ratio(1, 1_000_000));
        contents.add(&water, &first);
        added = super::super::contents::grams(&water, &first);
    }
    for _ in 0..12 {
        let there = volume_of(state, &contents, &at)?;
        let step = (wanted - &there).settled();
        if step.to_f64().abs() < 1e-9 {
            break;
        }
        let moles = super::super::contents::moles(&water, &step)?;
        contents.add(&water, &moles);
        added += &step;
    }
    Some(added.settled())
}

/// Water, in g, that brings a vessel to a volume of liquid or a mass of everything; negative if it is more already.
pub(super) fn water_to(state: &mut State, vessel: VesselId, target: &Quantity) -> Option<Number> {
    match target.in_unit(&unit::GRAM) {
        Ok(wanted) => Some(&wanted - &state.vessels[vessel].contents.grams()),
        Err(_) => {
            let wanted = target.in_unit(&unit::MILLILITRE).ok()?;
            water_to_volume(state, vessel, &wanted)
        }
    }
}

/// The liquid's volume or everything's mass, for messages.
pub(super) fn volume_or_mass(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    of: Dimension,
) -> Quantity {
    if of == Dimension::MASS {
        return Quantity::of(state.vessels[vessel].contents.grams(), &unit::GRAM);
    }
    let volume = volume(program, state, vessel).unwrap_or_else(Number::zero);
    Quantity::of(volume, &unit::MILLILITRE)
}

/// Heat capacity of contents at a temperature, in J/K: liquid by composition, the rest by data or 3R for each mole of
/// atoms. Ice and steam, which follow their own tables, and the glass are left out. `None` for nothing.
pub(super) fn heat_capacity(
    program: &Program,
    state: &mut State,
    contents: &Contents,
    kelvin: &Number,
) -> Option<Number> {
    let dissolved = with_mixture(contents, |mixture| {
        mixture.whole_heat_capacity(&program.store, kelvin)
    });
    let alone = |s: &Species| dissolved.is_none() || !is_liquid(s);
    let mut total = own_heat_capacity(program, state, contents.iter().filter(|(s, _)| alone(s)));
    if let Some(estimate) = dissolved {
        cite(state, &estimate.sources);
        total += &estimate.value;
    }
    total.is_positive().then(|| total.settled())
}

fn own_heat_capacity<'c>(
    program: &Program,
    state: &mut State,
    contents: impl Iterator<Item = (&'c Species, &'c Number)>,
) -> Number {
    let mut total = Number::zero();
    for (species, moles) in contents.filter(|(s, _)| !is_ice_or_steam(s)) {
        let warming = thermo::warming(&program.store, species);
        let molar = match warming.as_ref().and_then(|warming| warming.standard()) {
            Some(datum) => {
                state.cite(datum.source.citation());
                program.store.as_drawn(datum.value.number())
            }
            None => {
                let atoms: Exact = species.composition().iter().map(|(_, n)| n).sum();
                Number::exact(atoms * Exact::ratio(PER_MOLE_OF_ATOMS.0, PER_MOLE_OF_ATOMS.1))
            }
        };
        total += &(&moles.settled() * &molar).settled();
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
pub(super) fn excess(program: &Program, state: &mut State, contents: &Contents) -> Number {
    let found = with_mixture(contents, |mixture| mixture.excess(&program.store));
    let Some(found) = found else {
        return Number::zero();
    };
    cite(state, &found.sources.iter().copied().collect());
    found.value.settled()
}

/// The heat of a change that runs `extent` mol, in kJ. Ice counts as water: what melts it stands in its own table.
pub(super) fn heat_of(
    program: &Program,
    state: &mut State,
    terms: &[(Exact, Species)],
    extent: &Number,
) -> Heat {
    let melted: Vec<(Exact, Species)> = terms
        .iter()
        .map(
            |(n, s)| match s.key() == "H2O" && s.phase() == Some(Phase::Solid) {
                true => (n.clone(), stuff::water()),
                false => (n.clone(), s.clone()),
            },
        )
        .collect();
    let heat = thermo::reaction_heat(&program.store, &melted);
    for source in &heat.sources {
        state.cite(source.citation());
    }
    match &heat.enthalpy {
        Ok(molar) => {
            let molar = program.store.as_drawn(molar);
            Heat::Known((&molar * extent).scaled(&Exact::ratio(1, 1000)))
        }
        Err(missing) => Heat::Unknown(missing.clone()),
    }
}

/// Where the liquid of a vessel boils under the ambient pressure, in K; water itself where there is no liquid.
pub(super) fn boiling_point(program: &Program, state: &State, vessel: VesselId) -> Number {
    let solution = super::phases::boiling_point(program, &state.vessels[vessel].contents);
    if let Some(kelvins) = solution.and_then(Number::modelled) {
        return kelvins;
    }
    match solution::boiling_point(&program.ambient.pressure) {
        Ok(found) => found.value,
        Err(_) => Number::exact(Exact::ratio(37_315, 100)),
    }
}

/// Of an ideal gas at ambient, in L/mol.
pub(super) fn molar_gas_volume(program: &Program) -> Number {
    solution::molar_volume(&program.ambient.temperature, &program.ambient.pressure)
        .unwrap_or_else(Number::zero)
}

/// How much more of a salt dissolves, in mol (below zero: how much too much is dissolved), and its solubility in g of anhydrous salt for 100 g of water; `None`
/// without a datum. Only its own ions are counted as taking up room.
pub(super) fn room_for(
    _program: &Program,
    state: &mut State,
    contents: &Contents,
    salt: &Species,
    kelvin: &Number,
) -> Option<(Number, Number)> {
    let found = solution::solubility(&salt.with_phase(None), kelvin).ok()?;
    state.cite(found.source.citation());
    let saturated = found.value;
    let water = stuff::grams_of_water(contents);
    let (_, crystal_water) = solution::anhydrous(&salt.with_phase(None));
    let there = stuff::units_in_solution(contents, &saturated.salt)?;
    let per_gram = saturated
        .grams_per_100_g_water
        .scaled(&Exact::ratio(1, 100));
    let salt_mass = saturated.salt.molar_mass();
    // n units of a hydrate bring n·h waters: (there + n)·M ≤ s·(W + n·h·M(H2O)).
    let free = &(&per_gram * &water) - &there.scaled(salt_mass);
    let water_mass = stuff::water().molar_mass().clone();
    let taken = &Number::exact(salt_mass.clone()) - &per_gram.scaled(&(crystal_water * water_mass));
    let solubility = saturated.grams_per_100_g_water;
    if !taken.is_positive() {
        // It melts in its own water of crystallisation: there is room for any amount.
        return Some((contents.amount(salt), solubility));
    }
    let room = free.checked_div(&taken)?.settled();
    Some((room, solubility))
}

/// A vessel as the ledger shows it.
pub(super) fn vessel_state(program: &Program, state: &mut State, id: VesselId) -> VesselState {
    let volume = volume(program, state, id);
    let heat_capacity = super::enthalpy::capacity(program, state, id);
    let vessel = &state.vessels[id];
    VesselState {
        heat_capacity: Some(heat_capacity).filter(|capacity| *capacity > 0.0),
        name: vessel.name.clone(),
        contents: vessel.contents.listed(),
        temperature: vessel.temperature.clone(),
        volume,
        mass: vessel.contents.grams(),
        capacity: vessel.capacity.clone(),
        emptied: vessel.contents.is_empty(),
    }
}

fn cite(state: &mut State, codes: &std::collections::BTreeSet<&'static str>) {
    for code in codes {
        let citation = crate::data::publication(code).map_or(*code, |found| found.citation);
        state.cite(citation);
    }
}
