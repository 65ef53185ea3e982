//! `weigh V: Q`: everything in it was less, or more, by the same share.

use crate::number::{Exact, Number, Quantity, unit};
use crate::vessel::Contents;

use super::super::bench::Account;
use super::super::ledger::{Fact, Outcome, Weight};
use super::super::moment::{Done, Run};
use super::super::program::{Value, VesselId};
use super::demand::{not_empty, share};

pub(super) fn weigh(run: &mut Run<'_>, vessel: VesselId, value: &Value) -> Done<Outcome> {
    not_empty(run, vessel)?;
    let found = run.quantity(value)?;
    let planned = Quantity::of(run.bench.grams(run.contents(vessel)), &unit::GRAM);
    let part = run.contents(vessel).clone();
    let factor = share(found.number(), planned.number(), &value.text)?;
    let lost = lose_share(run, vessel, &part, factor)?;
    run.history(vessel).weighed = Some(found.clone());
    Ok(Outcome::Found {
        what: run.name(vessel),
        planned,
        found,
        lost: Some(lost),
        replaces: true,
    })
}

/// Posts the difference to the losses, as a share of a part of a vessel; gives its mass in g.
pub(super) fn lose_share(
    run: &mut Run<'_>,
    vessel: VesselId,
    part: &Contents,
    factor: Number,
) -> Done<Number> {
    if factor.value() > &Exact::one() {
        let fraction = &factor - &Number::one();
        run.remark(Weight::Warning, Fact::FoundMore { fraction });
    }
    let lost = part.scaled(&(&Number::one() - &factor));
    let mixing = run.bench.excess(vessel);
    let done = run.bench.lose(vessel, &lost);
    done.map_err(|short| run.short(Account::Vessel(vessel), short))?;
    run.bench.follow_losses(vessel, &mixing);
    run.touch(vessel);
    Ok(run.bench.grams(&lost))
}
