//! The heat of vessels: it comes with what is poured in, from reactions and from baths, and the temperature follows.
//!
//! Every vessel has an enthalpy beside its contents. Operations move both with [`carry`] and [`change`]; [`settle`] then
//! finds the temperature, melts ice, boils off water, or gives to a bath what it holds back.
//!
//! Promises: each posting is doubled in the account of heat, which the auditor compares with the contents.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::matter::Species;
use crate::number::{Exact, Number};

use super::super::books::Account;
use super::super::contents::Contents;
use super::super::energy::Place;
use super::super::ledger::{Fact, Heat, Weight};
use super::super::program::{Program, VesselId};
use super::hand::Hot;
use super::state::State;
use super::step_heat;
use super::warmth::{Found, Warmth};
use super::{phases, properties};

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
pub(super) fn of_contents(
    program: &Program,
    state: &mut State,
    contents: &Contents,
    at: &Number,
) -> Number {
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
    phases::melt(program, state, vessel);
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
            phases::boil(program, state, vessel);
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

/// Compares the heat of vessels with their accounts; gives the first that differs.
pub(super) fn audit(
    program: &Program,
    state: &mut State,
    vessels: &BTreeSet<VesselId>,
) -> Option<VesselId> {
    let mut wrong = None;
    for id in vessels.iter().copied() {
        let at = state.vessels[id].temperature.clone();
        let (found, resolution) = match warmth(program, state, id) {
            Some(warmth) => (
                warmth.enthalpy(&at).to_f64(),
                warmth.resolution(at.to_f64()),
            ),
            None => (0.0, 0.0),
        };
        if state.energy.audit(id, found, resolution).is_err() && wrong.is_none() {
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
