//! `take Q from V -> W`: a part of the liquid, or of a dry solid.

use crate::number::{Dimension, Exact, Number, Quantity, unit};

use super::super::ledger::{Fact, Outcome};
use super::super::moment::{Done, Run};
use super::super::program::{Value, VesselId};
use super::demand::{not_empty, share};
use super::liquor::move_parts;

pub(super) fn take(
    run: &mut Run<'_>,
    amount: &Value,
    from: VesselId,
    into: VesselId,
) -> Done<Outcome> {
    not_empty(run, from)?;
    let asked = run.quantity(amount)?;
    let liquid = run.contents(from).liquid();
    let source = match liquid.is_empty() {
        true => run.contents(from).solid(),
        false => liquid,
    };
    let there = match asked.dimension() {
        Dimension::NONE => Quantity::plain(Number::one()),
        Dimension::MASS => Quantity::of(source.grams(), &unit::GRAM),
        _ => Quantity::of(run.known_volume(from)?, &unit::MILLILITRE),
    };
    let part = share(asked.number(), there.number(), &amount.text)?;
    if part.value() > &Exact::one() {
        let vessel = run.name(from);
        return Err(Fact::TooMuch {
            vessel,
            asked,
            there,
        }
        .into());
    }
    move_parts(run, from, &[(into, source.scaled(&part))], None)
}
