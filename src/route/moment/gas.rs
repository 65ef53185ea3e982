//! The room for gas above a liquid.

use crate::number::{Exact, Number};
use crate::solution;

use super::super::program::VesselId;
use super::Run;

/// Gas in a vessel, in L of room above its liquid; `None` without a stated capacity.
pub fn headspace(run: &mut Run<'_>, vessel: VesselId) -> Option<Number> {
    let capacity = run.bench.vessel(vessel).capacity().cloned()?;
    let liquid = run.volume(vessel).unwrap_or_else(Number::zero);
    let room = (&capacity - &liquid).scaled(&Exact::ratio(1, 1000));
    room.is_positive().then_some(room)
}

/// s until gas that a vessel gives off evenly over its last addition has filled the room above its liquid.
pub fn filling(run: &mut Run<'_>, vessel: VesselId, given_off: &Number) -> Option<Number> {
    let room = headspace(run, vessel)?;
    let over = run.bench.vessel(vessel).addition()?.seconds.clone();
    let stream = given_off.checked_div(&over)?;
    let ambient = &run.program.ambient;
    solution::filling_time(&room, &stream, &ambient.temperature, &ambient.pressure)
}
