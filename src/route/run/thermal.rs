//! `warm`, `cool`, `hold`, `evaporate`: baths and boiling down.

use crate::number::{Dimension, Exact, Number};

use super::super::contents::{grams, moles};
use super::super::energy::Place;
use super::super::ledger::{Fact, Heat, Idle, Outcome, Weight};
use super::super::program::{BathKind, Program, Value, VesselId};
use super::super::stuff;
use super::hand::Cooling;
use super::state::State;
use super::{Blank, Done, charge, enthalpy, filling, phases, properties, separate, watch};

/// The hottest a vessel of this language can mean, in K: a muffle furnace.
pub(super) const HOTTEST: i64 = 2000;

/// `warm V to T`, `cool V to T`, `hold V at T`
pub(super) fn bath(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    to: &Value,
    (kind, with): (BathKind, Option<&Value>),
) -> Done<Outcome> {
    let cooling = cooling(program, state, with)?;
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
    let boiling = properties::boiling_point(program, state, vessel);
    super::react::tell_boiling(state, vessel, &to, &boiling);
    let to = match state.vessels[vessel].sealed || !is_wet(state, vessel) {
        true => to,
        false => to.min(boiling),
    };
    if kind != BathKind::Hold && from == to && state.vessels[vessel].held.is_none() {
        let vessel = state.vessels[vessel].name.clone();
        state.changes_nothing(Idle::ThatTemperature { vessel });
    }
    let before = watch::before(state, vessel);
    let bath = enthalpy::leave_at(program, state, vessel, &to, Place::Bath);
    state.count_from_here(vessel);
    state.raise_peak(vessel);
    // While it is brought there, what dissolves or melts does so at the temperature of the bath.
    state.vessels[vessel].held = Some(to.clone());
    enthalpy::settle(program, state, vessel);
    state.change(vessel);
    super::dissolve::dissolve(program, state, vessel);
    let bath = &bath + &state.vessels[vessel].removed;
    state.count_from_here(vessel);
    state.vessels[vessel].held = (kind == BathKind::Hold).then(|| to.clone());
    state.vessels[vessel].cooling = cooling;
    watch::after(program, state, vessel, &before);
    Ok(Outcome::Thermal {
        vessel: state.vessels[vessel].name.clone(),
        from,
        to,
        bath: Heat::Known(bath),
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

/// What a bath is stated to take away.
fn cooling(program: &Program, state: &mut State, with: Option<&Value>) -> Done<Option<Cooling>> {
    let Some(with) = with else { return Ok(None) };
    let quantity = state.quantity(program, with)?;
    if !quantity.number().is_positive() {
        let expression = with.text.clone();
        state.remark(Weight::Fault, Fact::NotPositive { expression });
        return Err(Blank);
    }
    let number = quantity.number().clone();
    Ok(Some(match quantity.dimension() {
        Dimension::POWER => Cooling::Power(number),
        _ => Cooling::PerKelvin(number),
    }))
}

fn is_wet(state: &State, vessel: VesselId) -> bool {
    state.vessels[vessel].contents.holds(&stuff::water())
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
    if lost.is_zero() {
        let vessel = state.vessels[vessel].name.clone();
        state.changes_nothing(Idle::ThatSize { vessel });
    }
    let lost_moles = moles(&water, &lost).ok_or(Blank)?;
    let before = watch::before(state, vessel);
    filling::check_boiling(program, state, vessel);
    let at = state.vessels[vessel].temperature.clone();
    phases::vapour_leaves(program, state, vessel, &lost_moles, &at);
    let needed = -&enthalpy::leave_at(program, state, vessel, &at, Place::Bath);
    state.touch(program, vessel);
    watch::boiled(program, state, vessel, &before);
    Ok(Outcome::Evaporated {
        vessel: state.vessels[vessel].name.clone(),
        temperature: at,
        water: lost,
        heat: Heat::Known(needed),
    })
}
