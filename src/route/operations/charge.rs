//! `charge V: Q X, …`: from bottles and the shelf into a vessel.

use crate::number::Exact;

use super::super::ledger::{DrawReason, Fact, Outcome};
use super::super::moment::{Done, Run};
use super::super::program::{Portion, Value, VesselId};
use super::demand::{ABSURD, Times, positive};
use super::portion::{Portioned, draw, pour_in};

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
        let amount = positive(run, &portion.amount)?;
        let matter = run.as_it_is(&portion.matter);
        let draw = draw(run, vessel, &matter, &amount, DrawReason::Stated)?;
        if draw.grams.value() > &Exact::from(ABSURD) {
            let expression = portion.amount.text.clone();
            return Err(Fact::Absurd { expression }.into());
        }
        measured_out.push(Portioned { draw, matter });
    }
    pour_in(run, vessel, measured_out, &times)
}
