//! `wash V with Q X -> W`: the liquid mixes with what clings to the cake, takes up what it can dissolve, and leaves
//! but for what clings to the cake: stated, or as much as any cake keeps.
//!
//! Calculated to saturation, so the loss shown is the largest there can be.

use super::super::bench::Account;
use super::super::ledger::{Outcome, WithdrawalReason};
use super::super::moment::{Done, Run};
use super::super::nature::{dissolve, rest};
use super::super::program::{Portion, Value, VesselId};
use super::demand::not_empty;
use super::liquor::{part_liquid, retained, to_waste};
use super::portion::{contents_of, draw, receive};

pub(super) fn wash(
    run: &mut Run<'_>,
    cake: VesselId,
    with: &Portion,
    retaining: Option<&Value>,
    into: Option<VesselId>,
) -> Done<Outcome> {
    not_empty(run, cake)?;
    let amount = run.quantity(&with.amount)?;
    // Before the liquid is in: what is refused changes nothing.
    let stated = retaining.map(|value| run.quantity(value)).transpose()?;
    let matter = run.as_it_is(&with.matter);
    let draw = draw(run, cake, &matter, &amount, WithdrawalReason::Wash)?;
    let portion = contents_of(&matter.stuff, &draw);
    let ambient = run.program.ambient.temperature.clone();
    receive(run, cake, Account::Shelf, &portion, &ambient)?;
    rest::settle(run, cake)?;
    let dissolved = dissolve::dissolve(run, cake)?;
    let retained = retained(run, cake, stated.as_ref())?;
    let leaving = part_liquid(run, cake, &retained).leaves;
    match into {
        Some(into) => {
            let at = run.kelvins(cake).clone();
            receive(run, into, Account::Vessel(cake), &leaving, &at)?;
            rest::settle(run, into)?;
            run.touch(into);
        }
        None => to_waste(run, cake, &leaving)?,
    }
    run.record.note_draw(&draw);
    run.record.used_bottles.extend(with.matter.bottle);
    run.touch(cake);
    Ok(Outcome::Washed {
        vessel: run.name(cake),
        draw: Box::new(draw),
        dissolved: dissolved.what,
        retained,
        into: into.map(|id| run.name(id)),
    })
}
