//! Solids dissolve in water as far as their solubility allows, liquids and gases that it takes up wholly, with their heat.
//!
//! Dissolving changes the temperature and the temperature the solubility, so both are found together.

use crate::equation::ionic::{Form, Ions, in_water, is_guessed, is_known_to_dissolve};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};
use crate::solution;
use crate::thermo;

use super::super::contents::grams;
use super::super::ledger::{Fact, Heat, Weight};
use super::super::program::{Program, VesselId};
use super::super::stuff;
use super::state::State;
use super::{enthalpy, properties};

/// Rounds in which amount and temperature come to agree: the digits double in each.
const ROUNDS: usize = 16;

/// Dissolves what it can; gives what dissolved and the heat of it.
pub(super) fn dissolve(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
) -> (Vec<(Species, Number)>, Heat) {
    let mut dissolved = Vec::new();
    let mut heat = Heat::none();
    let pure = state.vessels[vessel]
        .contents
        .of_phases(|phase| phase != Phase::Aqueous);
    for (solid, _) in pure.iter().filter(|(solid, _)| solid.key() != "H2O") {
        if !state.vessels[vessel].contents.holds(&stuff::water()) {
            break;
        }
        let Some(terms) = terms(program, state, vessel, solid) else {
            tell_guess(program, state, solid);
            continue;
        };
        let (moles, own) = to_saturation(program, state, vessel, (solid, &terms));
        if !moles.is_positive() {
            continue;
        }
        if let Heat::Unknown(species) = own.clone() {
            state.remark(Weight::Note, Fact::NoHeatData { species });
        }
        heat = heat.plus(&own);
        dissolved.push((solid.clone(), moles));
    }
    (dissolved, heat)
}

/// A formula of which the tables say nothing at all may be a slip.
fn tell_guess(program: &Program, state: &mut State, solid: &Species) {
    let guessed = is_guessed(&solid.with_phase(None));
    if guessed && thermo::standard(&program.store, &solid.with_phase(None)).is_err() {
        let species = solid.clone();
        state.remark(Weight::Note, Fact::UnknownInWater { species });
    }
}

/// What a solid becomes in water: ions, or molecules if a solubility is known for them. `None` for what stays solid.
fn terms(program: &Program, state: &mut State, vessel: VesselId, solid: &Species) -> Option<Ions> {
    let bare = solid.with_phase(None);
    let became = match in_water(&bare) {
        Form::Ions(ions) => ions,
        _ => molecules(program, state, vessel, solid)?,
    };
    let gone = (Exact::from(-1), solid.clone());
    Some(std::iter::once(gone).chain(became).collect())
}

/// A molecular substance with the water of its hydrate. Without a solubility a liquid or solid that the table of forms
/// in water lists as a molecule is taken to dissolve.
fn molecules(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    solid: &Species,
) -> Option<Ions> {
    let (molecule, water) = solution::anhydrous(&solid.with_phase(None));
    if in_water(&molecule) != Form::Molecule {
        return None;
    }
    if !is_known_to_dissolve(&molecule) {
        room(program, state, vessel, solid)?;
    }
    let dissolved = (Exact::one(), molecule.with_phase(Some(Phase::Aqueous)));
    let water = (!water.is_zero()).then(|| (water, stuff::water()));
    Some(std::iter::once(dissolved).chain(water).collect())
}

fn room(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    solid: &Species,
) -> Option<(Number, Number)> {
    // The tables begin at 0 °C and end at 100 °C; beyond them the value at their end is the best there is.
    let bounds = [27_315, 37_315].map(|kelvin| Number::exact(Exact::ratio(kelvin, 100)));
    let at = state.vessels[vessel].temperature.clone();
    let [coldest, hottest] = bounds;
    let at = at.max(coldest).min(hottest);
    let contents = state.vessels[vessel].contents.clone();
    properties::room_for(program, state, &contents, solid, &at)
}

/// Dissolves a solid until it is gone or the solution is saturated at the temperature it then has.
fn to_saturation(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    (solid, terms): (&Species, &Ions),
) -> (Number, Heat) {
    let all = state.vessels[vessel].contents.amount(solid);
    let (mut total, mut heat) = (Number::zero(), Heat::none());
    let mut limit = None;
    let mut before: Option<Round> = None;
    for _ in 0..ROUNDS {
        let there = state.vessels[vessel].contents.amount(solid);
        let found = room(program, state, vessel, solid);
        limit = found.as_ref().map(|(_, solubility)| solubility.clone());
        let step = match found {
            Some((room, _)) => {
                let step = next_step(before.as_ref(), &room);
                let step = step.min(there).max(-&total);
                before = Some(Round {
                    room: room.to_f64(),
                    step: step.to_f64(),
                });
                step
            }
            None => there,
        };
        let share = step.to_f64().abs() / all.to_f64();
        if share <= 1e-11 {
            break;
        }
        let own = heat_of(program, state, vessel, (solid, terms), &step);
        enthalpy::change_with(program, state, vessel, (terms, &step), &own);
        enthalpy::settle(program, state, vessel);
        heat = heat.plus(&own);
        total += &step;
        // What the secant still leaves is smaller than such a step by as much as that is than the one before.
        if share <= 1e-8 {
            break;
        }
    }
    tell(state, vessel, solid, limit);
    (total, heat)
}

/// What dissolved in a round, in mol, and the room there was for it.
struct Round {
    room: f64,
    step: f64,
}

/// Fills the room; what that leaves tells how the temperature moves it, and so how far to go (the secant).
fn next_step(before: Option<&Round>, room: &Number) -> Number {
    let left = before.map_or(0.0, |before| room.to_f64() / before.room);
    let reach = before.map_or(1.0, |before| before.step / before.room / (1.0 - left));
    // A step that went wrong teaches nothing.
    match (0.1..10.0).contains(&reach) {
        true => {
            let reach = Exact::modelled(reach).unwrap_or_else(Exact::one);
            room.scaled(&reach).settled()
        }
        false => room.clone(),
    }
}

/// By the heats of formation, else by the table of heats of solution at the strength that comes of it.
fn heat_of(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    (solid, terms): (&Species, &Ions),
    moles: &Number,
) -> Heat {
    let formed = properties::heat_of(program, state, terms, moles);
    if formed.known().is_some() {
        return formed;
    }
    let water = state.vessels[vessel].contents.amount(&stuff::water());
    let ratio = water.checked_div(&state.vessels[vessel].contents.amount(solid));
    let measured = ratio.and_then(|ratio| solution::heat_of_solution(solid, &ratio).ok());
    match measured {
        Some(found) => {
            state.cite(found.source.citation());
            Heat::Known((&found.value * moles).settled())
        }
        None => formed,
    }
}

/// Tells what stays solid, or that nothing is known of its solubility.
fn tell(state: &mut State, vessel: VesselId, solid: &Species, limit: Option<Number>) {
    let stays = state.vessels[vessel].contents.amount(solid);
    let species = solid.clone();
    let fact = match limit {
        // A liquid or gas that the forms in water list, such as sulfuric acid or ammonia, is taken up whole.
        None if solid.phase() != Some(Phase::Solid) => return,
        None => Fact::NoSolubility { species },
        Some(solubility) if stays.is_positive() => Fact::Undissolved {
            grams: grams(solid, &stays),
            species,
            solubility,
        },
        Some(_) => return,
    };
    state.remark(Weight::Note, fact);
}
