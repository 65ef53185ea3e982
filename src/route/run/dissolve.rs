//! Soluble solids in water dissolve as far as their solubility allows, with their heat.

use crate::equation::ionic::{Form, in_water};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};

use super::super::contents::grams;
use super::super::ledger::{Fact, Heat, Weight};
use super::super::program::{Program, VesselId};
use super::super::stuff;
use super::properties;
use super::state::State;

/// Dissolves what it can; gives what dissolved and the heat of it.
pub(super) fn dissolve(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
) -> (Vec<(Species, Number)>, Heat) {
    let mut dissolved = Vec::new();
    let mut heat = Heat::none();
    let solids: Vec<Species> = state.vessels[vessel]
        .contents
        .solid()
        .iter()
        .map(|(s, _)| s.clone())
        .collect();
    for solid in solids {
        if !has_water(state, vessel) {
            break;
        }
        let Form::Ions(ions) = in_water(&solid.with_phase(None)) else {
            continue;
        };
        let moles = dissolving(program, state, vessel, &solid);
        if !moles.is_positive() {
            continue;
        }
        let mut terms = vec![(Exact::from(-1), solid.clone())];
        terms.extend(ions);
        state.extent(vessel, &terms, &moles);
        let own = properties::heat_of(program, state, &terms, &moles);
        if let Heat::Unknown(species) = own.clone() {
            state.remark(Weight::Note, Fact::NoHeatData { species });
        }
        warm(program, state, vessel, &own);
        heat = heat.plus(&own);
        dissolved.push((solid, moles));
    }
    (dissolved, heat)
}

fn has_water(state: &State, vessel: VesselId) -> bool {
    state.vessels[vessel]
        .contents
        .amount(&stuff::water())
        .is_positive()
}

fn warm(program: &Program, state: &mut State, vessel: VesselId, heat: &Heat) {
    let Some(heat) = heat.known() else { return };
    let contents = state.vessels[vessel]
        .contents
        .of_phases(|p| p != Phase::Gas);
    let at = state.vessels[vessel].temperature.clone();
    let Some(capacity) = properties::heat_capacity(program, state, &contents, &at) else {
        return;
    };
    if let Some(rise) = heat.scaled(&Exact::from(-1000)).checked_div(&capacity) {
        state.warm_by(vessel, &rise);
        let uncooled = state.vessels[vessel].uncooled.clone();
        super::react::tell_boiling(
            state,
            vessel,
            &uncooled,
            &properties::boiling_point(program),
        );
    }
}

/// How much of a solid the water there can still take, in mol.
fn dissolving(program: &Program, state: &mut State, vessel: VesselId, solid: &Species) -> Number {
    let there = state.vessels[vessel].contents.amount(solid);
    let at = state.vessels[vessel].temperature.clone();
    let room = properties::room_for(
        program,
        state,
        &state.vessels[vessel].contents.clone(),
        solid,
        &at,
    );
    let Some((room, solubility)) = room else {
        state.remark(
            Weight::Note,
            Fact::NoSolubility {
                species: solid.clone(),
            },
        );
        return there;
    };
    if room.value() >= there.value() {
        return there;
    }
    let stays = &there - &room;
    let fact = Fact::Undissolved {
        species: solid.clone(),
        grams: grams(solid, &stays),
        solubility,
    };
    state.remark(Weight::Note, fact);
    room
}
