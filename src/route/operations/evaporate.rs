//! `evaporate V to Q`: water goes until the liquid has that volume or the contents that mass.

use crate::vessel::{Heat, grams, moles, reagent};

use super::super::bench::Place;
use super::super::ledger::{Idle, Outcome};
use super::super::moment::{Done, Run};
use super::super::nature::{encounters, filling, phases};
use super::super::program::{Value, VesselId};
use super::demand::{not_empty, too_much, water_to};

pub(super) fn evaporate(run: &mut Run<'_>, vessel: VesselId, to: &Value) -> Done<Outcome> {
    not_empty(run, vessel)?;
    let target = run.quantity(to)?;
    let water = reagent::water();
    let there = grams(&water, &run.contents(vessel).amount(&water));
    let lost = -&water_to(run, vessel, &target)?;
    if lost.is_negative() || lost.value() > there.value() {
        return Err(too_much(run, vessel, target));
    }
    if lost.is_zero() {
        let vessel = run.name(vessel);
        run.changes_nothing(Idle::ThatSize { vessel });
    }
    let Some(lost_moles) = moles(&water, &lost) else {
        return Err(too_much(run, vessel, target));
    };
    let before = encounters::before(run, vessel);
    filling::check_boiling(run, vessel);
    let at = run.kelvins(vessel).clone();
    phases::vapour_leaves(run, vessel, &lost_moles, &at)?;
    let needed = -&run.bench.leave_at(vessel, &at, Place::Bath);
    run.touch(vessel);
    encounters::boiled(run, vessel, &before);
    Ok(Outcome::Evaporated {
        vessel: run.name(vessel),
        temperature: at,
        water: lost,
        heat: Heat::Known(needed),
    })
}
