//! `warm`, `cool`, `hold`, `evaporate`: baths and boiling down.

use crate::number::{Exact, Number};

use super::super::books::Account;
use super::super::contents::{grams, moles};
use super::super::ledger::{Fact, Heat, Outcome, Weight};
use super::super::program::{BathKind, Program, Value, VesselId};
use super::super::stuff;
use super::state::State;
use super::{Blank, Done, charge, properties, separate, watch};

/// The hottest a vessel of this language can mean, in K: a muffle furnace.
const HOTTEST: i64 = 2000;

/// `warm V to T`, `cool V to T`, `hold V at T`
pub(super) fn bath(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    to: &Value,
    kind: BathKind,
) -> Done<Outcome> {
    let to = temperature(program, state, to)?;
    separate::not_empty(state, vessel)?;
    let from = state.vessels[vessel].temperature.clone();
    let wrong_way = match kind {
        BathKind::Warm => to.value() < from.value(),
        BathKind::Cool => to.value() > from.value(),
        BathKind::Hold => false,
    };
    if wrong_way {
        state.remark(Weight::Warning, Fact::WrongWay { has: from.clone() });
    }
    let boiling = properties::boiling_point(program);
    super::react::tell_boiling(state, vessel, &to, &boiling);
    let before = watch::before(state, vessel);
    let bath = heat_to(program, state, vessel, &to);
    state.set_temperature(vessel, &to);
    state.vessels[vessel].held = (kind == BathKind::Hold).then(|| to.clone());
    state.vessels[vessel].touched = true;
    super::dissolve::dissolve(program, state, vessel);
    watch::after(program, state, vessel, &before);
    Ok(Outcome::Thermal {
        vessel: state.vessels[vessel].name.clone(),
        from,
        to,
        bath,
        held: kind == BathKind::Hold,
    })
}

/// A temperature that a vessel can have, in K.
pub(super) fn temperature(program: &Program, state: &mut State, value: &Value) -> Done<Number> {
    let kelvins = state.quantity(program, value)?.number().clone();
    if !kelvins.is_positive() || kelvins.value() > &Exact::from(HOTTEST) {
        state.remark(Weight::Fault, Fact::AbsurdTemperature { kelvins });
        return Err(Blank);
    }
    Ok(kelvins)
}

/// What a bath takes up, in kJ, when the contents come to a temperature: positive when they cool.
pub(super) fn heat_to(program: &Program, state: &mut State, vessel: VesselId, to: &Number) -> Heat {
    let contents = state.vessels[vessel].contents.clone();
    let from = state.vessels[vessel].temperature.clone();
    match properties::heat_capacity(program, state, &contents, &from) {
        Some(capacity) => Heat::Known((&capacity * &(&from - to)).scaled(&Exact::ratio(1, 1000))),
        None => Heat::Unknown(contents.iter().map(|(s, _)| s.clone()).collect()),
    }
}

/// `evaporate V to Q`: water goes until the liquid has that volume or the contents that mass.
pub(super) fn evaporate(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    to: &Value,
) -> Done<Outcome> {
    separate::not_empty(state, vessel)?;
    let target = charge::positive(program, state, to)?;
    let water = stuff::water();
    let there = grams(&water, &state.vessels[vessel].contents.amount(&water));
    let lost = -&properties::water_to(state, vessel, &target).ok_or(Blank)?;
    if lost.is_negative() || lost.value() > there.value() {
        return Err(charge::too_much(program, state, vessel, target));
    }
    let lost_moles = moles(&water, &lost).ok_or(Blank)?;
    let vapour = water.with_phase(Some(crate::matter::Phase::Gas));
    let terms = [(Exact::from(-1), water), (Exact::one(), vapour.clone())];
    let heat = properties::heat_of(program, state, &terms, &lost_moles);
    let before = watch::before(state, vessel);
    state.extent(vessel, &terms, &lost_moles);
    state.transfer(Account::Vessel(vessel), Account::Air, &vapour, &lost_moles);
    state.touch(program, vessel);
    watch::after(program, state, vessel, &before);
    Ok(Outcome::Evaporated {
        vessel: state.vessels[vessel].name.clone(),
        water: lost,
        heat,
    })
}
