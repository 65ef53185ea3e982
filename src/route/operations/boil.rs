//! `boil V for TIME`: an open vessel is brought to its boiling point and kept there.
//!
//! The volume is taken to be kept, as at the bench under a cover or by topping up: what boils off depends on the heater.
//! Boiling down is `evaporate`.

use crate::vessel::Heat;

use super::super::ledger::{Fact, Outcome};
use super::super::moment::{Done, Refusal, Run};
use super::super::nature::{encounters, filling};
use super::super::program::{Value, VesselId};
use super::demand::not_empty;
use super::heating::bring_to;

pub(super) fn boil(run: &mut Run<'_>, vessel: VesselId, time: &Value) -> Done<Outcome> {
    not_empty(run, vessel)?;
    let seconds = run.quantity(time)?.number().clone();
    let name = run.name(vessel);
    if run.bench.vessel(vessel).sealed() {
        return Err(Refusal::of(Fact::UnderPressure {
            vessel: name,
            pressure: None,
        }));
    }
    if !run.is_wet(vessel) {
        return Err(Refusal::of(Fact::NoLiquid { vessel: name }));
    }
    let before = encounters::before(run, vessel);
    let from = run.kelvins(vessel).clone();
    let boiling = run.boiling_point(vessel);
    let to = run.noted(boiling).kelvin;
    filling::check_boiling(run, vessel);
    let heater = bring_to(run, vessel, &to)?;
    run.bench.hold(vessel, None);
    encounters::boiled(run, vessel, &before);
    encounters::stood(run, &seconds);
    Ok(Outcome::Thermal {
        vessel: name,
        from,
        to,
        bath: Heat::Known(heater),
        held: false,
        seconds: Some(seconds),
    })
}
