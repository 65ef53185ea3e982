//! `charge V: Q X, …`: from bottles and the shelf into a vessel.

use super::super::ledger::{Outcome, WithdrawalReason};
use super::super::moment::{Done, Run};
use super::super::program::{Portion, Value, VesselId};
use super::demand::Times;
use super::portion::{Portioned, draw, not_absurd, pour_in};

pub(super) fn charge(
    run: &mut Run<'_>,
    vessel: VesselId,
    portions: &[Portion],
    at: Option<&Value>,
    over: Option<&Value>,
) -> Done<Outcome> {
    let times = Times::read(run, at, over)?;
    let mut measured_out = Vec::new();
    for portion in portions {
        let amount = run.quantity(&portion.amount)?;
        let matter = run.as_it_is(&portion.matter);
        let draw = draw(run, vessel, &matter, &amount, WithdrawalReason::Stated)?;
        not_absurd(&draw, &portion.amount.text)?;
        measured_out.push(Portioned { draw, matter });
    }
    pour_in(run, vessel, measured_out, &times)
}
