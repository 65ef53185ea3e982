//! Gas given off: it leaves an open vessel, moist over water, in part dissolved; in a closed one it brings pressure.

use crate::number::{Exact, Number};
use crate::solution;
use crate::thermo::GAS_CONSTANT;
use crate::vessel::{Contents, Sources};

use super::super::bench::Account;
use super::super::ledger::{Fact, GasRecord, Weight};
use super::super::moment::{Done, Run, gas};
use super::super::program::VesselId;

/// Lets gas out of an open vessel; gives what was made.
pub fn release(run: &mut Run<'_>, vessel: VesselId) -> Done<Contents> {
    let gas = run.contents(vessel).gas();
    // In a closed vessel it is made all the same, and counts as gas of this vessel when it is let out.
    if !run.bench.vessel(vessel).sealed() {
        to_air(run, vessel, &gas)?;
    }
    Ok(gas)
}

/// Moves gas that an open vessel does not keep.
pub fn to_air(run: &mut Run<'_>, vessel: VesselId, gas: &Contents) -> Done<()> {
    let at = run.kelvins(vessel).clone();
    run.transfer(Account::Vessel(vessel), Account::Air, gas, &at)?;
    run.history(vessel).gas.add_all(gas);
    Ok(())
}

/// Amounts of gas with their volume in this room.
pub fn records(run: &Run<'_>, gas: &Contents) -> Vec<GasRecord> {
    let per_mole = run.program.ambient.molar_gas_volume();
    let records = gas.iter().map(|(species, moles)| GasRecord {
        species: species.clone(),
        moles: moles.clone(),
        litres: moles * &per_mole,
        moist: None,
        dissolved: None,
    });
    records.collect()
}

/// Adds what water does to gas that comes off a vessel: its vapour takes up room, and some of the gas stays in it. The
/// books let all of it go; what may stay dissolved is told.
pub fn over_water(run: &mut Run<'_>, vessel: VesselId, records: &mut [GasRecord]) {
    let moist = run.program.ambient.moist_gas_volume();
    let litres = run.volume(vessel);
    let litres = litres.map(|volume| volume.scaled(&Exact::ratio(1, 1000)));
    let at = run.kelvins(vessel).clone();
    let mut sources = Sources::new();
    for record in records {
        record.moist = moist.as_ref().map(|litres| &record.moles * litres);
        record.dissolved = litres.as_ref().and_then(|litres| {
            let henry = solution::henry(&record.species.with_phase(None), &at).ok()?;
            sources.add(&henry.source);
            let most = &(&henry.value * &run.program.ambient.pressure) * litres;
            Some(most.min(record.moles.clone()))
        });
    }
    run.note(&sources);
}

/// Warns of the pressure in a closed vessel: of the gas in it, on top of the air that was closed in.
pub fn tell_pressure(run: &mut Run<'_>, vessel: VesselId) {
    let gas = run.contents(vessel).gas();
    if !run.bench.vessel(vessel).sealed() || gas.is_empty() {
        return;
    }
    let pressure = pressure(run, vessel, &gas);
    let vessel = run.name(vessel);
    run.remark(Weight::Warning, Fact::UnderPressure { vessel, pressure });
}

/// kPa, ideal.
fn pressure(run: &mut Run<'_>, vessel: VesselId, gas: &Contents) -> Option<Number> {
    let room = gas::headspace(run, vessel)?;
    let moles: Number = gas.iter().map(|(_, moles)| moles.clone()).sum();
    let constant = Number::modelled(GAS_CONSTANT)?;
    let at = run.kelvins(vessel);
    let gas = (&(&moles * &constant) * at).checked_div(&room)?;
    let air = &run.program.ambient.pressure * at;
    let air = air.checked_div(&run.program.ambient.temperature)?;
    Some((&gas + &air).settled())
}
