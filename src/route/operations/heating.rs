//! `warm V to T`, `cool V to T`, `hold V at T`: baths.

use crate::number::{Dimension, Number};
use crate::vessel::phases::PhasePoint;
use crate::vessel::{Cited, Heat};

use super::super::bench::{Cooling, Place};
use super::super::ledger::{Fact, Idle, Outcome, Weight};
use super::super::moment::{Done, Run};
use super::super::nature::{dissolve, encounters, rest};
use super::super::program::{BathKind, Value, VesselId};
use super::demand::not_empty;

pub(super) fn bathe(
    run: &mut Run<'_>,
    vessel: VesselId,
    to: &Value,
    kind: BathKind,
    with: Option<&Value>,
) -> Done<Outcome> {
    let cooling = with.map(|with| cooling(run, with)).transpose()?;
    let to = run.quantity(to)?.number().clone();
    not_empty(run, vessel)?;
    let from = run.kelvins(vessel).clone();
    let wrong_way = match kind {
        BathKind::Warm => to.value() < from.value(),
        BathKind::Cool => to.value() > from.value(),
        BathKind::Hold => false,
    };
    if wrong_way {
        run.remark(Weight::Warning, Fact::WrongWay { has: from.clone() });
    }
    let to = below_boiling(run, vessel, to);
    let held = kind == BathKind::Hold;
    if !held && from == to && run.bench.vessel(vessel).held().is_none() {
        let vessel = run.name(vessel);
        run.changes_nothing(Idle::ThatTemperature { vessel });
    }
    let before = encounters::before(run, vessel);
    let bath = bring_to(run, vessel, &to)?;
    run.bench.hold(vessel, held.then(|| to.clone()));
    run.bench.cool_with(vessel, cooling);
    encounters::after(run, vessel, &before);
    Ok(Outcome::Thermal {
        vessel: run.name(vessel),
        from,
        to,
        bath: Heat::Known(bath),
        held,
        seconds: None,
    })
}

/// Brings a vessel to a temperature, in K, in a bath that stays for now; gives what the bath took up, in kJ.
pub(super) fn bring_to(run: &mut Run<'_>, vessel: VesselId, to: &Number) -> Done<Number> {
    let bath = run.bench.leave_at(vessel, to, Place::Bath);
    run.bench.settles_temperature(vessel);
    run.bench.count_from_here(vessel);
    run.bench.raise_peak(vessel);
    // While it is brought there, what dissolves or melts does so at the temperature of the bath.
    run.bench.hold(vessel, Some(to.clone()));
    rest::settle(run, vessel)?;
    dissolve::dissolve(run, vessel)?;
    let bath = &bath + run.bench.vessel(vessel).removed();
    run.bench.count_from_here(vessel);
    Ok(bath)
}

/// What a bath is stated to take away.
fn cooling(run: &mut Run<'_>, with: &Value) -> Done<Cooling> {
    let quantity = run.quantity(with)?;
    let number = quantity.number().clone();
    Ok(match quantity.dimension() {
        Dimension::POWER => Cooling::Power(number),
        _ => Cooling::PerKelvin(number),
    })
}

/// What a bath at a temperature in K brings a vessel to: an open one with water no further than where it boils.
fn below_boiling(run: &mut Run<'_>, vessel: VesselId, to: Number) -> Number {
    if !run.is_wet(vessel) || !run.boils_at(vessel, &to) {
        return to;
    }
    let boiling = run.boiling_point(vessel);
    tell_boiling(run, vessel, &to, &boiling);
    match run.bench.vessel(vessel).sealed() {
        true => to,
        false => to.min(boiling.value.kelvin),
    }
}

/// Warns where the water of a vessel would boil at a temperature, in K.
pub(super) fn tell_boiling(
    run: &mut Run<'_>,
    vessel: VesselId,
    uncooled: &Number,
    boiling: &Cited<PhasePoint>,
) {
    let wet = run.contents(vessel).iter().any(|(s, _)| s.key() == "H2O");
    if wet && uncooled.value() >= boiling.value.kelvin.value() {
        run.note(&boiling.sources);
        let fact = Fact::WouldBoil {
            vessel: run.name(vessel),
            uncooled: uncooled.clone(),
            boiling: boiling.value.clone(),
        };
        run.remark(Weight::Warning, fact);
    }
}
