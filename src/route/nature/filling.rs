//! How full a vessel may be while gas comes off or liquid boils.
//!
//! The limits are those of the rules of thumb (common practice, no source): half for gas, a third for strong foam, two thirds
//! for boiling. Gas that fits under the liquid's own volume lifts nothing and is not told (own rule).

use crate::matter::{Element, Species};
use crate::number::Exact;

use super::super::ledger::{Fact, FillReason, ReactRecord, Weight};
use super::super::moment::Run;
use super::super::program::VesselId;

/// Warns where the gas of a reaction has too little room.
pub fn check_gas(run: &mut Run<'_>, vessel: VesselId, record: &ReactRecord) {
    let litres: f64 = record.gas.iter().map(|gas| gas.litres.to_f64()).sum();
    let reason = match foams(record) {
        true => FillReason::Foam,
        false => FillReason::Gas,
    };
    check(run, vessel, reason, 1000.0 * litres);
}

/// Warns where a vessel is too full to be boiled down.
pub fn check_boiling(run: &mut Run<'_>, vessel: VesselId) {
    check(run, vessel, FillReason::Boiling, f64::INFINITY);
}

/// Carbonates and hydrogen peroxide foam rather than bubble.
fn foams(record: &ReactRecord) -> bool {
    let carbon = Element::of_symbol("C");
    let carbonate = |species: &Species| {
        let key = species.key();
        carbon.is_some_and(|carbon| species.contains(carbon)) && key.contains("CO3")
    };
    let used = record.reaction.left.iter().chain(&record.net.left);
    used.map(|(_, species)| species)
        .any(|species| species.key() == "H2O2" || carbonate(species))
}

fn check(run: &mut Run<'_>, vessel: VesselId, reason: FillReason, gas_millilitres: f64) {
    let Some(capacity) = run.bench.vessel(vessel).capacity().cloned() else {
        return;
    };
    let Some(volume) = run.volume(vessel) else {
        return;
    };
    let (parts, of) = reason.most();
    let limit = capacity.scaled(&Exact::ratio(parts, of));
    if volume.value() > limit.value() && gas_millilitres > volume.to_f64() {
        let vessel = run.name(vessel);
        let fact = Fact::FoamRoom {
            vessel,
            volume,
            capacity,
            reason,
        };
        run.remark(Weight::Warning, fact);
    }
}
