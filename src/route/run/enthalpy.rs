//! The heat of vessels: it comes with what is poured in, from reactions and from baths, and the temperature follows.
//!
//! Every vessel has an enthalpy beside its contents. Operations move both with [`carry`] and [`change`]; [`settle`] then
//! finds the temperature, melts ice, boils off water, or gives to a bath what it holds back.
//!
//! Promises: each posting is doubled in the account of heat, which the auditor compares with the contents.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::matter::{Phase, Species};
use crate::number::{Exact, Number, root};
use crate::solution;

use super::super::books::Account;
use super::super::contents::{Contents, grams};
use super::super::energy::Place;
use super::super::ledger::{Fact, Heat, Weight};
use super::super::program::{Program, VesselId};
use super::super::stuff;
use super::hand::Hot;
use super::properties;
use super::state::State;
use super::step_heat;
use super::warmth::{Found, Warmth};

/// The share of its water that a vessel may boil off on its own before the rest of the heat is given up as not followed.
const BOILED_AT_MOST: f64 = 0.9;

/// Moves contents and the heat in them, at a temperature in K, from one account to another.
pub(super) fn carry(
    program: &Program,
    state: &mut State,
    from: Account,
    to: Account,
    what: &Contents,
    at: &Number,
) {
    let warmth = Warmth::of(program, state, what);
    let kilojoules = warmth
        .as_ref()
        .map_or_else(Number::zero, |warmth| warmth.enthalpy(at).settled());
    if let Some(warmth) = warmth {
        step_heat::carried(state, from.into(), to.into(), &warmth, &kilojoules);
    }
    share_removed(state, from, what);
    state.transfer_all(from, to, what);
    post(state, from.into(), to.into(), &kilojoules);
}

/// A part of what a bath took since the step began goes with what is taken out.
fn share_removed(state: &mut State, from: Account, what: &Contents) {
    let Account::Vessel(id) = from else { return };
    let vessel = &mut state.vessels[id];
    if vessel.removed.is_zero() {
        return;
    }
    let stays = &Number::one()
        - &what
            .modelled_grams()
            .checked_div(&vessel.contents.modelled_grams())
            .unwrap_or_else(Number::zero);
    vessel.removed = (&vessel.removed * &stays).settled();
}

/// The enthalpy of contents at a temperature, in kJ; see [`Warmth`].
fn of_contents(program: &Program, state: &mut State, contents: &Contents, at: &Number) -> Number {
    match Warmth::of(program, state, contents) {
        Some(warmth) => warmth.enthalpy(at).settled(),
        None => Number::zero(),
    }
}

/// Moves heat, in kJ, in the vessels and in the account.
pub(super) fn post(state: &mut State, from: Place, to: Place, kilojoules: &Number) {
    state.energy.post(from, to, kilojoules.to_f64());
    step_heat::posted(state, from, to, kilojoules);
    if let Place::Vessel(id) = from {
        state.change(id);
        let vessel = &mut state.vessels[id];
        vessel.enthalpy = (&vessel.enthalpy - kilojoules).settled();
    }
    if let Place::Vessel(id) = to {
        state.change(id);
        let vessel = &mut state.vessels[id];
        vessel.enthalpy = (&vessel.enthalpy + kilojoules).settled();
    }
}

/// Runs `extent` mol of a change in a vessel and gives its contents the heat of it, which is returned. Where that is not
/// known the temperature stays, and the room is debited.
pub(super) fn change(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    terms: &[(Exact, Species)],
    extent: &Number,
) -> Heat {
    let heat = properties::heat_of(program, state, terms, extent);
    change_with(program, state, vessel, (terms, extent), &heat);
    heat
}

/// The same with a heat that is known otherwise, in kJ.
pub(super) fn change_with(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    (terms, extent): (&[(Exact, Species)], &Number),
    heat: &Heat,
) {
    state.extent(vessel, terms, extent);
    match heat {
        Heat::Known(heat) => post(state, Place::Chemistry, Place::Vessel(vessel), &-heat),
        Heat::Unknown(_) => {
            let at = state.vessels[vessel].temperature.clone();
            leave_at(program, state, vessel, &at, Place::Room);
        }
    }
}

/// Contents went to the losses account, and their heat goes after them; before that `mixing` kJ of the vessel's were from
/// mixing. The temperature stays.
pub(super) fn follow_losses(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    mixing: &Number,
) {
    let at = state.vessels[vessel].temperature.clone();
    let taken = leave_at(program, state, vessel, &at, Place::Losses);
    let mixing = mixing - &excess(program, state, vessel);
    step_heat::lost(state, &taken, &mixing);
}

/// Brings the contents to a temperature, in K; what another place takes up for it is returned, in kJ.
pub(super) fn leave_at(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    at: &Number,
    place: Place,
) -> Number {
    let after = match warmth(program, state, vessel) {
        Some(warmth) => warmth.enthalpy(at).settled(),
        None => Number::zero(),
    };
    let taken = &state.vessels[vessel].enthalpy - &after;
    post(state, Place::Vessel(vessel), place, &taken);
    state.vessels[vessel].temperature = at.settled();
    taken.settled()
}

/// Enthalpy of the solution in a vessel above infinite dilution, in kJ.
pub(super) fn excess(program: &Program, state: &mut State, vessel: VesselId) -> Number {
    warmth(program, state, vessel).map_or_else(Number::zero, |warmth| warmth.excess().clone())
}

/// Heat capacity of a vessel's contents at 25 °C, in J/K.
pub(super) fn capacity(program: &Program, state: &mut State, vessel: VesselId) -> f64 {
    warmth(program, state, vessel).map_or(0.0, |warmth| warmth.capacity().to_f64())
}

/// What the enthalpy of a vessel depends on, kept until its contents change.
pub(super) fn warmth(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
) -> Option<Arc<Warmth>> {
    let contents = state.vessels[vessel].contents.clone();
    if let Some((of, warmth)) = &state.vessels[vessel].warmth
        && *of == contents
    {
        return Some(warmth.clone());
    }
    let warmth = Arc::new(Warmth::of(program, state, &contents)?);
    state.vessels[vessel].warmth = Some((contents, warmth.clone()));
    Some(warmth)
}

/// Finds the temperature of a vessel after heat or contents came or went.
pub(super) fn settle(program: &Program, state: &mut State, vessel: VesselId) {
    if state.vessels[vessel].contents.is_empty() {
        return;
    }
    melt(program, state, vessel);
    let uncooled = raise_uncooled(program, state, vessel);
    if let Some(held) = state.vessels[vessel].held.clone() {
        let taken = leave_at(program, state, vessel, &held, Place::Bath);
        let vessel = &mut state.vessels[vessel];
        vessel.removed = (&vessel.removed + &taken).settled();
        return;
    }
    // Where no bath took anything the temperature is the uncooled one.
    let found = match state.vessels[vessel].removed.is_zero() {
        true => uncooled,
        false => found(program, state, vessel),
    };
    match found {
        Some(Found::At(kelvin)) => {
            state.vessels[vessel].temperature = kelvin.clone();
            tell_beyond(program, state, vessel, &kelvin);
            boil(program, state, vessel);
        }
        Some(Found::TooCold) => needs_heating(program, state, vessel),
        Some(Found::TooHot) => give_up(program, state, vessel),
        None => {}
    }
}

fn found(program: &Program, state: &mut State, vessel: VesselId) -> Option<Found> {
    let enthalpy = state.vessels[vessel].enthalpy.clone();
    Some(warmth(program, state, vessel)?.temperature(&enthalpy))
}

/// The temperature without the standing bath, and whether it is the highest so far.
fn raise_uncooled(program: &Program, state: &mut State, vessel: VesselId) -> Option<Found> {
    let warmth = warmth(program, state, vessel)?;
    let all = &state.vessels[vessel].enthalpy + &state.vessels[vessel].removed;
    let found = warmth.temperature(&all);
    if let Found::At(kelvin) = &found {
        note_hot(state, vessel, kelvin, &all);
        state.vessels[vessel].uncooled = kelvin.clone();
        state.raise_peak(vessel);
    }
    Some(found)
}

/// Keeps the hottest moment of the step, for what it takes to hold it.
fn note_hot(state: &mut State, vessel: VesselId, kelvin: &Number, enthalpy: &Number) {
    let vessel = &mut state.vessels[vessel];
    let cooler = |hot: &Hot| hot.uncooled.value() >= kelvin.value();
    if !vessel.counting && vessel.hot.as_ref().is_some_and(cooler) {
        return;
    }
    vessel.counting = false;
    vessel.hot = Some(Hot {
        contents: vessel.contents.clone(),
        enthalpy: enthalpy.settled(),
        start: vessel.begun.clone(),
        uncooled: kelvin.clone(),
    });
}

/// `CaCO3 -> CaO + CO2` takes up more heat than the contents hold: only a bath or a furnace can bring it. Without one the
/// temperature stays as it is, and the room is debited.
fn needs_heating(program: &Program, state: &mut State, vessel: VesselId) {
    let at = state.vessels[vessel].temperature.clone();
    let taken = leave_at(program, state, vessel, &at, Place::Room);
    let fact = Fact::NeedsHeating {
        vessel: state.vessels[vessel].name.clone(),
        heat: -&taken,
    };
    state.remark(Weight::Warning, fact);
}

/// Hotter than any datum: the rest of the heat is not followed.
fn give_up(program: &Program, state: &mut State, vessel: VesselId) {
    let hottest = Number::exact(Exact::from(super::thermal::HOTTEST));
    leave_at(program, state, vessel, &hottest, Place::Room);
    let fact = Fact::Modelled {
        what: "temperature",
        detail: "hotter than any heat capacity is known for: what lies above is not followed"
            .to_owned(),
    };
    state.remark(Weight::Warning, fact);
}

fn tell_beyond(program: &Program, state: &mut State, vessel: VesselId, kelvin: &Number) {
    let at = kelvin.to_f64();
    // Near the bench's temperatures a constant heat capacity does.
    if at < 500.0 {
        return;
    }
    let beyond = warmth(program, state, vessel).and_then(|warmth| warmth.beyond(at));
    if let Some((species, range)) = beyond {
        let detail = format!(
            "the heat capacity of {} is known to {:.0} K only and taken on from there",
            species.key(),
            range.high
        );
        let what = "temperature";
        state.remark(Weight::Note, Fact::Modelled { what, detail });
    }
}

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
fn melt(program: &Program, state: &mut State, vessel: VesselId) {
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
fn boil(program: &Program, state: &mut State, vessel: VesselId) {
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

/// Compares the heat of vessels with their accounts; gives the first that differs.
pub(super) fn audit(
    program: &Program,
    state: &mut State,
    vessels: &BTreeSet<VesselId>,
) -> Option<VesselId> {
    let mut wrong = None;
    for id in vessels.iter().copied() {
        let at = state.vessels[id].temperature.clone();
        let found = warmth(program, state, id).map_or(0.0, |warmth| warmth.enthalpy(&at).to_f64());
        if state.energy.audit(id, found).is_err() && wrong.is_none() {
            wrong = Some(id);
        }
    }
    wrong
}

#[cfg(test)]
mod tests {
    use super::super::{operation, step};
    use super::*;
    use crate::data::Store;
    use crate::route::prepare;
    use crate::text::Source;

    #[test]
    fn heat_that_was_tampered_with_is_found_after_the_next_operation() {
        let text = "vessel cup\ncharge cup: 100 g water at 60 °C\ncharge cup: 10 g water\n";
        let (program, faults) = prepare(&Source::new("t.route", text), &Store::default(), &[]);
        assert!(faults.is_empty());
        let unbalanced = |state: &State| {
            let remarks = state.ledger.remarks.iter();
            remarks
                .filter(|r| matches!(r.fact, Fact::Unbalanced { .. }))
                .count()
        };
        let mut honest = State::new(&program);
        program
            .body
            .iter()
            .for_each(|one| step(&program, &mut honest, one));
        assert_eq!(unbalanced(&honest), 0);
        let mut forged = State::new(&program);
        for one in program.body.iter() {
            operation(&program, &mut forged, one);
            // A joule that nobody posted.
            let vessel = &mut forged.vessels[0];
            vessel.enthalpy = &vessel.enthalpy + &Number::exact(Exact::ratio(1, 1_000));
        }
        assert!(unbalanced(&forged) > 0);
    }
}
