//! Where the water of a vessel changes its phase: ice that melts, water that boils off, a liquid colder than it can be.
//!
//! Promises: ice and liquid, or liquid and vapour, are left at rest beside each other, with the heat that takes.
//!
//! Knows nothing of what brought the heat. Freezing is told and not followed.

use crate::matter::{Phase, Species};
use crate::number::{Exact, Number, root};
use crate::solution;

use super::super::books::Account;
use super::super::contents::{Contents, grams};
use super::super::energy::Place;
use super::super::ledger::{Fact, Heat, Weight};
use super::super::program::{Program, VesselId};
use super::super::stuff;
use super::enthalpy::{carry, change, leave_at, of_contents, post};
use super::properties;
use super::state::State;
use super::warmth::{Found, Warmth};

/// The share of its water that a vessel may boil off on its own before the rest of the heat is given up as not followed.
const BOILED_AT_MOST: f64 = 0.9;

/// g of water and mol of everything else in the liquid.
fn particles(contents: &Contents) -> (f64, f64) {
    let liquid = contents.liquid();
    let solutes = liquid.iter().filter(|(species, _)| species.key() != "H2O");
    let moles = solutes.map(|(_, moles)| moles.to_f64()).sum();
    (stuff::grams_of_water(contents).to_f64(), moles)
}

/// Where the liquid of a vessel boils under the ambient pressure, in K; water's own boiling point for an empty one.
pub(super) fn boiling_point(program: &Program, contents: &Contents) -> Option<f64> {
    let (water, solutes) = particles(contents);
    let pressure = program.ambient.pressure.to_f64();
    if water <= 0.0 {
        return None;
    }
    solution::solution_boiling_point(water, solutes, pressure)
}

/// Colder than this below its freezing point, in K, a liquid is told of; the law of Raoult is no nearer.
const SUPERCOOLED: f64 = 0.5;

/// Tells of liquids that an operation has made colder than they can be.
pub(super) fn tell_freezing(state: &mut State) {
    for id in state.unaudited.clone() {
        let vessel = &mut state.vessels[id];
        let (water, solutes) = particles(&vessel.contents);
        let freezing = match water > 0.0 {
            true => solution::solution_freezing_point(water, solutes),
            false => 0.0,
        };
        let frozen = vessel.temperature.to_f64() < freezing - SUPERCOOLED;
        if frozen == std::mem::replace(&mut vessel.frozen, frozen) || !frozen {
            continue;
        }
        let fact = Fact::Freezes {
            vessel: vessel.name.clone(),
            freezing: Number::modelled(freezing).unwrap_or_else(Number::zero),
        };
        state.remark(Weight::Warning, fact);
    }
}

/// Ice takes up heat until it is gone or the liquid is as cold as it: then both are at rest.
pub(super) fn melt(program: &Program, state: &mut State, vessel: VesselId) {
    let ice = stuff::ice();
    let there = state.vessels[vessel].contents.amount(&ice);
    if !there.is_positive() {
        return;
    }
    let excess = |state: &mut State, melted: f64| {
        let mut contents = state.vessels[vessel].contents.clone();
        let melted = Number::modelled(melted).unwrap_or_else(Number::zero);
        contents.add(&ice, &-&melted);
        contents.add(&stuff::water(), &melted);
        let (water, solutes) = particles(&contents);
        let rest = if water > 0.0 {
            solution::solution_freezing_point(water, solutes)
        } else {
            273.15
        };
        warmer_than(program, state, vessel, &contents, rest)
    };
    let all = there.to_f64();
    let melted = if excess(state, all) >= 0.0 {
        there
    } else if excess(state, 0.0) <= 0.0 {
        return;
    } else {
        let cell = std::cell::RefCell::new(&mut *state);
        // More melted is colder, so the difference falls.
        let part = root::rising(
            |melted| -excess(&mut cell.borrow_mut(), melted),
            (0.0, all),
            0.5 * all,
        );
        Number::modelled(part).unwrap_or_else(Number::zero)
    };
    let terms = [(Exact::from(-1), ice), (Exact::one(), stuff::water())];
    change(program, state, vessel, &terms, &melted);
}

/// By how many K contents with the enthalpy of a vessel, or in its bath, are warmer than `than`.
fn warmer_than(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    contents: &Contents,
    than: f64,
) -> f64 {
    if let Some(held) = &state.vessels[vessel].held {
        return held.to_f64() - than;
    }
    let enthalpy = state.vessels[vessel].enthalpy.clone();
    let Some(warmth) = Warmth::of(program, state, contents) else {
        return 0.0;
    };
    match warmth.temperature(&enthalpy) {
        Found::At(kelvin) => kelvin.to_f64() - than,
        Found::TooCold => -than,
        Found::TooHot => than,
    }
}

/// In an open vessel the temperature stops where the liquid boils, and water leaves with what heat is left.
pub(super) fn boil(program: &Program, state: &mut State, vessel: VesselId) {
    let contents = state.vessels[vessel].contents.clone();
    let Some(starts) = boiling_point(program, &contents) else {
        return;
    };
    if state.vessels[vessel].sealed || state.vessels[vessel].temperature.to_f64() <= starts {
        return;
    }
    let most = BOILED_AT_MOST * contents.amount(&stuff::water()).to_f64();
    let cell = std::cell::RefCell::new(&mut *state);
    let surplus = |moles: f64| {
        let state = &mut **cell.borrow_mut();
        heat_left(program, state, vessel, (&contents, moles)).0
    };
    let moles = if surplus(most) > 0.0 {
        most
    } else {
        root::rising(|moles| -surplus(moles), (0.0, most), 0.5 * most)
    };
    let (left, boils_at) = heat_left(program, state, vessel, (&contents, moles));
    evaporate(program, state, vessel, moles, boils_at);
    let at = Number::modelled(boils_at).unwrap_or_else(Number::zero);
    leave_at(program, state, vessel, &at, Place::Room);
    tell_boiling(state, vessel, &at, moles, left > 1e-6 * moles);
}

/// kJ that contents which boil off some mol of water still have above what they need at their boiling point, which is
/// given too, in K.
fn heat_left(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    (contents, moles): (&Contents, f64),
) -> (f64, f64) {
    let mut rest = contents.clone();
    let moles = Number::modelled(moles).unwrap_or_else(Number::zero);
    rest.add(&stuff::water(), &-&moles);
    let at = boiling_point(program, &rest).unwrap_or(373.15);
    let kelvin = Number::modelled(at).unwrap_or_else(Number::zero);
    let mut gone = Contents::new();
    gone.add(&stuff::steam(), &moles);
    let bound = properties::heat_of(program, state, &vaporisation(), &moles);
    let needed =
        &of_contents(program, state, &rest, &kelvin) + &of_contents(program, state, &gone, &kelvin);
    let needed = &needed + bound.known().unwrap_or(&Number::zero());
    let enthalpy = state.vessels[vessel].enthalpy.to_f64();
    (enthalpy - needed.to_f64(), at)
}

/// `H2O(l) -> H2O(g)`
fn vaporisation() -> [(Exact, Species); 2] {
    let water = stuff::water();
    let vapour = water.with_phase(Some(Phase::Gas));
    [(Exact::from(-1), water), (Exact::one(), vapour)]
}

fn evaporate(program: &Program, state: &mut State, vessel: VesselId, moles: f64, kelvin: f64) {
    let moles = Number::modelled(moles).unwrap_or_else(Number::zero);
    let before = state.vessels[vessel].enthalpy.clone();
    let at = Number::modelled(kelvin).unwrap_or_else(Number::zero);
    vapour_leaves(program, state, vessel, &moles, &at);
    let lost = &before - &state.vessels[vessel].enthalpy;
    let vessel = &mut state.vessels[vessel];
    vessel.removed = (&vessel.removed + &lost).settled();
}

/// Turns water into vapour, which goes to the air with its heat.
pub(super) fn vapour_leaves(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    moles: &Number,
    at: &Number,
) {
    let bound = change(program, state, vessel, &vaporisation(), moles);
    if let Heat::Known(bound) = bound {
        post(state, Place::Chemistry, Place::Air, &bound);
    }
    let mut gone = Contents::new();
    gone.add(&stuff::steam(), moles);
    carry(
        program,
        state,
        Account::Vessel(vessel),
        Account::Air,
        &gone,
        at,
    );
}

fn tell_boiling(state: &mut State, vessel: VesselId, boiling: &Number, moles: f64, dry: bool) {
    let moles = Number::modelled(moles).unwrap_or_else(Number::zero);
    let lost = grams(&stuff::water(), &moles);
    let uncooled = state.vessels[vessel].uncooled.clone();
    let vessel = state.vessels[vessel].name.clone();
    // One operation may boil more than once while its solids dissolve: told once, with the sum.
    let mut total = lost;
    state.remarks.retain(|remark| match &remark.fact {
        Fact::Boils {
            vessel: other,
            lost,
            ..
        } if *other == vessel => {
            total = &total + lost;
            false
        }
        _ => true,
    });
    let fact = Fact::Boils {
        vessel,
        uncooled,
        boiling: boiling.clone(),
        lost: total,
        dry,
    };
    state.remark(Weight::Warning, fact);
}
