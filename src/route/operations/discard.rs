//! `discard V`: all of it goes to the waste container.

use crate::vessel::Heat;

use super::super::ledger::Outcome;
use super::super::moment::{Done, Run};
use super::super::program::VesselId;
use super::demand::not_empty;
use super::liquor::to_waste;

pub(super) fn discard(run: &mut Run<'_>, vessel: VesselId) -> Done<Outcome> {
    not_empty(run, vessel)?;
    let all = run.contents(vessel).clone();
    to_waste(run, vessel, &all)?;
    let here = run.record.here;
    run.history(vessel).emptied = Some(here);
    Ok(Outcome::Moved {
        from: run.name(vessel),
        to: Vec::new(),
        retained: None,
        dissolved: Vec::new(),
        heat: Heat::none(),
    })
}
