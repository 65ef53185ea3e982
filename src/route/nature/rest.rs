//! The temperature of a vessel after heat or contents came or went.
//!
//! Every vessel has an enthalpy beside its contents. [`settle`] finds the temperature that goes with it, melts ice, boils
//! off water, or gives to a bath what that holds back.

use crate::number::{Exact, Number};
use crate::vessel::enthalpy::Found;

use super::super::bench::Place;
use super::super::ledger::{Fact, Weight};
use super::super::moment::{Done, Run};
use super::super::program::{HOTTEST, VesselId};
use super::phases;

/// What a vessel's heat came to.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Rest {
    /// It has the temperature of its enthalpy, or of its bath.
    Found,
    /// More heat was taken up than the contents had: only a bath or a furnace can bring it.
    NeedsHeating,
}

/// Finds the temperature of a vessel after heat or contents came or went.
pub fn settle(run: &mut Run<'_>, vessel: VesselId) -> Done<Rest> {
    if run.contents(vessel).is_empty() {
        return Ok(Rest::Found);
    }
    phases::melt(run, vessel)?;
    note_sources(run, vessel);
    let uncooled = raise_uncooled(run, vessel);
    if let Some(held) = run.bench.vessel(vessel).held().cloned() {
        run.bench.bathe(vessel, &held);
        return Ok(Rest::Found);
    }
    // Where no bath took anything the temperature is the uncooled one.
    let found = match run.bench.vessel(vessel).removed().is_zero() {
        true => uncooled,
        false => found(run, vessel),
    };
    match found {
        Some(Found::At(kelvin)) => {
            run.bench.found_at(vessel, &kelvin);
            tell_beyond(run, vessel, &kelvin);
            phases::boil(run, vessel)?;
        }
        Some(Found::TooCold) => {
            needs_heating(run, vessel);
            return Ok(Rest::NeedsHeating);
        }
        Some(Found::TooHot) => give_up(run, vessel),
        None => {}
    }
    Ok(Rest::Found)
}

fn note_sources(run: &mut Run<'_>, vessel: VesselId) {
    if let Some(sensible) = run.bench.sensible(vessel) {
        let sources = sensible.sources.clone();
        run.note(&sources);
    }
}

fn found(run: &Run<'_>, vessel: VesselId) -> Option<Found> {
    let enthalpy = run.bench.vessel(vessel).enthalpy();
    Some(run.bench.sensible(vessel)?.value.temperature(enthalpy))
}

/// The temperature without the standing bath, which may be the highest so far.
fn raise_uncooled(run: &mut Run<'_>, vessel: VesselId) -> Option<Found> {
    let inside = run.bench.vessel(vessel);
    let all = inside.enthalpy() + inside.removed();
    let found = run.bench.sensible(vessel)?.value.temperature(&all);
    if let Found::At(kelvin) = &found {
        let boiling = phases::stops(run, vessel, kelvin);
        run.bench.without_bath_at(vessel, (kelvin, &all), boiling);
    }
    Some(found)
}

/// `CaCO3 -> CaO + CO2` takes up more heat than the contents hold: only a bath or a furnace can bring it. Without one the
/// temperature stays as it is, and the room is debited.
fn needs_heating(run: &mut Run<'_>, vessel: VesselId) {
    let at = run.kelvins(vessel).clone();
    let taken = run.bench.leave_at(vessel, &at, Place::Room);
    let fact = Fact::NeedsHeating {
        vessel: run.name(vessel),
        heat: -&taken,
    };
    run.remark(Weight::Warning, fact);
}

/// Hotter than any datum: the rest of the heat is not followed.
fn give_up(run: &mut Run<'_>, vessel: VesselId) {
    let hottest = Number::exact(Exact::from(HOTTEST));
    run.bench.leave_at(vessel, &hottest, Place::Room);
    let fact = Fact::Modelled {
        what: "temperature",
        detail: "hotter than any heat capacity is known for: what lies above is not followed"
            .to_owned(),
    };
    run.remark(Weight::Warning, fact);
}

fn tell_beyond(run: &mut Run<'_>, vessel: VesselId, kelvin: &Number) {
    let at = kelvin.to_f64();
    // Near the bench's temperatures a constant heat capacity does.
    if at < 500.0 {
        return;
    }
    let sensible = run.bench.sensible(vessel);
    let beyond = sensible.and_then(|sensible| sensible.value.beyond(at));
    if let Some((species, range)) = beyond {
        let detail = format!(
            "the heat capacity of {} is known to {:.0} K only and taken on from there",
            species.key(),
            range.high
        );
        let what = "temperature";
        run.remark(Weight::Note, Fact::Modelled { what, detail });
    }
}
