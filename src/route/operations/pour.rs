//! `pour V -> W`: all of it moves.

use super::super::ledger::Outcome;
use super::super::moment::{Done, Run};
use super::super::program::VesselId;
use super::liquor::move_parts;

pub(super) fn pour(run: &mut Run<'_>, from: VesselId, into: VesselId) -> Done<Outcome> {
    let all = run.contents(from).clone();
    move_parts(run, from, &[(into, all)], None)
}
