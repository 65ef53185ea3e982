//! Where the water of a vessel changes its phase: ice that melts, water that boils off, a liquid colder than it can be.
//!
//! Promises: ice and liquid, or liquid and vapour, are left at rest beside each other, with the heat that takes.
//!
//! Knows nothing of what brought the heat. Freezing is reported and not followed.

use crate::number::{Number, ZERO_CELSIUS};
use crate::vessel::phases::{self, PhasePoint, Supply};
use crate::vessel::{Cited, Contents, Heat, grams, reagent};

use super::super::bench::{Account, Place};
use super::super::ledger::{Fact, Weight};
use super::super::moment::{Boiled, Done, Run};
use super::super::program::VesselId;

/// Colder than this below its freezing point, in K, a liquid is told of.
const SUPERCOOLED: f64 = 0.5;

/// Tells of liquids that an operation has made colder than they can be.
pub fn tell_freezing(run: &mut Run<'_>) {
    // Nobody reads the warnings of a run that serves a question.
    if run.scope.serves_a_question() {
        return;
    }
    for id in run.bench.changed_by_operation() {
        let freezing = freezing(run, id);
        let frozen = freezing.is_some();
        let was = std::mem::replace(&mut run.history(id).frozen, frozen);
        let Some(freezing) = freezing.filter(|_| !was) else {
            continue;
        };
        let fact = Fact::Freezes {
            vessel: run.name(id),
            freezing: run.noted(freezing),
        };
        run.remark(Weight::Warning, fact);
    }
}

/// Where the liquid of a vessel freezes, if it is colder than that.
fn freezing(run: &Run<'_>, vessel: VesselId) -> Option<Cited<PhasePoint>> {
    let at = run.kelvins(vessel).to_f64() + SUPERCOOLED;
    // Nothing that is dissolved makes water freeze above its own freezing point.
    if at >= ZERO_CELSIUS {
        return None;
    }
    let freezing = phases::freezing_point(run.contents(vessel))?;
    (at < freezing.value.kelvin.to_f64()).then_some(freezing)
}

/// Ice takes up heat until it is gone or the liquid is as cold as it: then both are at rest.
pub(super) fn melt(run: &mut Run<'_>, vessel: VesselId) -> Done<()> {
    let inside = run.bench.vessel(vessel);
    let supply = match inside.held() {
        Some(held) => Supply::Bath(held),
        None => Supply::Own(inside.enthalpy()),
    };
    if let Some(melted) = phases::melting(&run.program.store, inside.contents(), supply) {
        run.react(vessel, &phases::fusion(), &melted)?;
    }
    Ok(())
}

/// In an open vessel the temperature stops where the liquid boils, and water leaves with what heat is left.
pub(super) fn boil(run: &mut Run<'_>, vessel: VesselId) -> Done<()> {
    let (store, ambient) = (&run.program.store, &run.program.ambient);
    let inside = run.bench.vessel(vessel);
    // At its boiling point it is at rest.
    let at = inside.temperature().to_f64() - 1e-6;
    if inside.sealed() || !phases::water_boils_at(inside.contents(), ambient, at) {
        return Ok(());
    }
    let gone = phases::boil_off(store, ambient, inside.contents(), inside.enthalpy());
    let moles = Number::modelled(gone.moles).unwrap_or_else(Number::zero);
    let before = inside.enthalpy().clone();
    let point = run.noted(gone.boiling);
    let at = point.kelvin.clone();
    vapour_leaves(run, vessel, &moles, &at)?;
    let lost = &before - run.bench.vessel(vessel).enthalpy();
    run.bench.remove(vessel, &lost);
    run.bench.leave_at(vessel, &at, Place::Room);
    run.bench.stops_at(vessel, &at);
    let boiled = Boiled {
        uncooled: run.bench.vessel(vessel).uncooled().clone(),
        boiling: point,
        lost: grams(&reagent::water(), &moles),
        dry: gone.left > 1e-6 * gone.moles,
    };
    run.record.note_boiled(vessel, boiled);
    Ok(())
}

/// Where a vessel boils, in K, that would come to a temperature in K higher than that and than it ever was.
pub(super) fn stops(run: &Run<'_>, vessel: VesselId, uncooled: &Number) -> Option<Number> {
    let inside = run.bench.vessel(vessel);
    let hotter = inside
        .peak()
        .is_none_or(|peak| peak.value() < uncooled.value());
    let boils = hotter && !inside.sealed() && run.boils_at(vessel, uncooled);
    boils.then(|| run.boiling_point(vessel).value.kelvin)
}

/// Turns water into vapour, which goes to the air with its heat.
pub fn vapour_leaves(run: &mut Run<'_>, vessel: VesselId, moles: &Number, at: &Number) -> Done<()> {
    let bound = run.react(vessel, &phases::vaporisation(), moles)?;
    if let Heat::Known(bound) = bound {
        run.bench.post(Place::Chemistry, Place::Air, &bound);
    }
    let mut gone = Contents::new();
    gone.add(&reagent::steam(), moles);
    run.transfer(Account::Vessel(vessel), Account::Air, &gone, at)
}

/// Tells of the vessels that boiled in the operation that ends, each once, with all that they lost.
pub fn tell_boiled(run: &mut Run<'_>) {
    for (id, boiled) in std::mem::take(&mut run.record.boiled) {
        let fact = Fact::Boils {
            vessel: run.name(id),
            uncooled: boiled.uncooled,
            boiling: boiled.boiling,
            lost: boiled.lost,
            dry: boiled.dry,
        };
        run.remark(Weight::Warning, fact);
    }
}
