//! Gas given off: moist over water, in part dissolved, in a closed vessel under pressure.

use crate::matter::Phase;
use crate::number::{Exact, Number};
use crate::solution;
use crate::thermo::GAS_CONSTANT;

use super::super::contents::Contents;
use super::super::ledger::{Fact, GasRecord, Weight};
use super::super::program::{Program, VesselId};
use super::properties;
use super::state::State;

/// Adds what water does to gas that comes off a vessel: its vapour takes up room, and some of the gas stays in it. The
/// books let all of it go; what may stay dissolved is told.
pub(super) fn over_water(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    records: &mut [GasRecord],
) {
    let moist = moist_volume(program);
    let litres = properties::volume(program, state, vessel);
    let litres = litres.map(|volume| volume.scaled(&Exact::ratio(1, 1000)));
    let at = state.vessels[vessel].temperature.clone();
    for record in records {
        record.moist = moist.as_ref().map(|litres| &record.moles * litres);
        record.dissolved = litres.as_ref().and_then(|litres| {
            let henry = solution::henry(&record.species.with_phase(None), &at).ok()?;
            state.cite(henry.source.citation());
            let most = &(&henry.value * &program.ambient.pressure) * litres;
            Some(most.min(record.moles.clone()))
        });
    }
}

/// L of a mole of gas collected over water at ambient conditions.
pub(super) fn moist_volume(program: &Program) -> Option<Number> {
    let ambient = &program.ambient;
    solution::moist_molar_volume(&ambient.temperature, &ambient.pressure).ok()
}

/// Gas in a vessel, in L of room above its liquid; `None` without a stated capacity.
fn headspace(program: &Program, state: &mut State, vessel: VesselId) -> Option<Number> {
    let capacity = state.vessels[vessel].capacity.clone()?;
    let liquid = properties::volume(program, state, vessel).unwrap_or_else(Number::zero);
    let room = (&capacity - &liquid).scaled(&Exact::ratio(1, 1000));
    room.is_positive().then_some(room)
}

/// s until gas that a vessel gives off evenly over its last addition has filled the room above its liquid.
pub(super) fn filling(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    given_off: &Number,
) -> Option<Number> {
    let room = headspace(program, state, vessel)?;
    let over = state.vessels[vessel].addition.as_ref()?.seconds.clone();
    let stream = given_off.checked_div(&over)?;
    let ambient = &program.ambient;
    solution::filling_time(&room, &stream, &ambient.temperature, &ambient.pressure)
}

/// Warns of the pressure in a closed vessel: of the gas in it, on top of the air that was closed in.
pub(super) fn tell_pressure(program: &Program, state: &mut State, vessel: VesselId) {
    let gas = state.vessels[vessel]
        .contents
        .of_phases(|phase| phase == Phase::Gas);
    if !state.vessels[vessel].sealed || gas.is_empty() {
        return;
    }
    let pressure = pressure(program, state, vessel, &gas);
    let vessel = state.vessels[vessel].name.clone();
    state.remark(Weight::Warning, Fact::UnderPressure { vessel, pressure });
}

/// kPa, ideal.
fn pressure(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    gas: &Contents,
) -> Option<Number> {
    let room = headspace(program, state, vessel)?;
    let moles: Number = gas.iter().map(|(_, moles)| moles.clone()).sum();
    let constant = Number::modelled(GAS_CONSTANT)?;
    let at = state.vessels[vessel].temperature.clone();
    let gas = (&(&moles * &constant) * &at).checked_div(&room)?;
    let air = &program.ambient.pressure * &at;
    let air = air.checked_div(&program.ambient.temperature)?;
    Some((&gas + &air).settled())
}
