//! `decant V -> W`: the liquid leaves, solids stay with the liquor that clings to them.

use super::super::ledger::Outcome;
use super::super::moment::{Done, Run};
use super::super::program::VesselId;
use super::demand::not_empty;
use super::liquor::{move_parts, part_liquid, usually_retained};

pub(super) fn decant(run: &mut Run<'_>, from: VesselId, into: VesselId) -> Done<Outcome> {
    not_empty(run, from)?;
    let retained = usually_retained(run, from);
    let moving = part_liquid(run, from, &retained).leaves;
    move_parts(run, from, &[(into, moving)], Some(retained))
}
