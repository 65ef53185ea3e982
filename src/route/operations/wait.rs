//! `wait TIME`: every vessel stands as it is.

use super::super::ledger::Outcome;
use super::super::moment::{Done, Run};
use super::super::nature::encounters;
use super::super::program::Value;

pub(super) fn wait(run: &mut Run<'_>, time: &Value) -> Done<Outcome> {
    let seconds = run.quantity(time)?.number().clone();
    encounters::stood(run, &seconds);
    Ok(Outcome::Waited { seconds })
}
