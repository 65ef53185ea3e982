//! `seal V`, `open V`, `vent V`: gas kept or let out.

use super::super::ledger::{Idle, Outcome};
use super::super::moment::{Done, Run};
use super::super::nature::gases;
use super::super::program::VesselId;
use super::demand::not_empty;

pub(super) fn seal(run: &mut Run<'_>, vessel: VesselId) -> Outcome {
    close(run, vessel, true)
}

/// What gas it kept leaves.
pub(super) fn open(run: &mut Run<'_>, vessel: VesselId) -> Done<Outcome> {
    let outcome = close(run, vessel, false);
    if run.contents(vessel).gas().is_empty() {
        return Ok(outcome);
    }
    vent(run, vessel)
}

fn close(run: &mut Run<'_>, vessel: VesselId, sealed: bool) -> Outcome {
    if run.bench.vessel(vessel).sealed() == sealed {
        let vessel = run.name(vessel);
        run.changes_nothing(Idle::ClosureAsItWas { vessel, sealed });
    }
    run.bench.close(vessel, sealed);
    Outcome::Closure {
        vessel: run.name(vessel),
        sealed,
    }
}

pub(super) fn vent(run: &mut Run<'_>, vessel: VesselId) -> Done<Outcome> {
    not_empty(run, vessel)?;
    let gas = run.contents(vessel).gas();
    let name = run.name(vessel);
    if gas.is_empty() {
        run.changes_nothing(Idle::NoGas {
            vessel: name.clone(),
        });
    }
    gases::to_air(run, vessel, &gas)?;
    run.touch(vessel);
    Ok(Outcome::Vented {
        vessel: name,
        gas: gases::records(run, &gas),
    })
}
