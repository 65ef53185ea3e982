//! Liquor that goes and liquor that clings, and contents that move between vessels.

use crate::number::{Exact, Number, Quantity, unit};
use crate::vessel::{Contents, Heat};

use super::super::bench::Account;
use super::super::ledger::{Fact, Idle, Outcome};
use super::super::moment::{Done, Run};
use super::super::nature::{dissolve, encounters, rest};
use super::super::program::VesselId;
use super::demand::{not_empty, share};
use super::portion::receive;

/// Liquor that a cake keeps if nothing is said, in mL for each gram of dry solid (common practice, no source).
const RETAINED_PER_GRAM: (i64, i64) = (1, 5);

/// Liquor that clings to the solids of a vessel, in mL: as stated, else as any cake keeps.
pub(super) fn retained(
    run: &mut Run<'_>,
    vessel: VesselId,
    stated: Option<&Quantity>,
) -> Done<Number> {
    match stated {
        Some(quantity) => stated_retained(run, vessel, quantity),
        None => Ok(usually_retained(run, vessel)),
    }
}

/// Liquor that any cake keeps, in mL.
pub(super) fn usually_retained(run: &Run<'_>, vessel: VesselId) -> Number {
    let solid = run.bench.grams(&run.contents(vessel).solid());
    solid.scaled(&Exact::ratio(RETAINED_PER_GRAM.0, RETAINED_PER_GRAM.1))
}

fn stated_retained(run: &mut Run<'_>, vessel: VesselId, quantity: &Quantity) -> Done<Number> {
    if let Ok(volume) = quantity.in_unit(&unit::MILLILITRE) {
        return Ok(volume);
    }
    let liquid = run.contents(vessel).liquid();
    if liquid.is_empty() {
        let vessel = run.name(vessel);
        return Err(Fact::NoLiquid { vessel }.into());
    }
    let volume = run.known_volume(vessel)?;
    let liquid = run.bench.grams(&liquid);
    let part = match quantity.in_unit(&unit::GRAM) {
        Ok(mass) => share(&mass, &liquid, &run.name(vessel))?,
        Err(_) => quantity.number().clone(),
    };
    Ok(&volume * &part)
}

/// The liquid of a vessel, parted.
pub(super) struct Parted {
    pub(super) leaves: Contents,
    pub(super) stays: Contents,
}

/// The liquid that leaves and the liquid that stays, when `retained` mL stay.
pub(super) fn part_liquid(run: &mut Run<'_>, vessel: VesselId, retained: &Number) -> Parted {
    let liquid = run.contents(vessel).liquid();
    let share = run
        .volume(vessel)
        .and_then(|volume| retained.checked_div(&volume))
        .unwrap_or_else(Number::zero)
        .min(Number::one());
    let stays = liquid.scaled(&share);
    // What leaves is the rest, so that both add up exactly.
    let mut leaves = liquid;
    for (species, moles) in stays.iter() {
        leaves.add(species, &-moles);
    }
    Parted { leaves, stays }
}

/// Moves parts of a vessel into others, each with its temperature.
pub(super) fn move_parts(
    run: &mut Run<'_>,
    from: VesselId,
    parts: &[(VesselId, Contents)],
    retained: Option<Number>,
) -> Done<Outcome> {
    not_empty(run, from)?;
    let at = run.kelvins(from).clone();
    let mut to = Vec::new();
    let (mut dissolved, mut heat) = (Vec::new(), Heat::none());
    if parts.iter().all(|(into, _)| *into == from) {
        let vessel = run.name(from);
        run.changes_nothing(Idle::IntoItself { vessel });
    }
    for (into, part) in parts {
        if *into == from {
            continue;
        }
        let met = !run.contents(*into).is_empty();
        receive(run, *into, Account::Vessel(from), part, &at)?;
        rest::settle(run, *into)?;
        if met {
            let more = dissolve::dissolve(run, *into)?;
            dissolved.extend(more.what);
            heat = heat.plus(&more.heat);
        }
        to.push((run.name(*into), run.bench.grams(part)));
        run.touch(*into);
        run.history(*into).made = true;
    }
    run.touch(from);
    Ok(Outcome::Moved {
        from: run.name(from),
        to,
        retained,
        dissolved,
        heat,
    })
}

/// Sends a part of a vessel to the waste container.
pub(super) fn to_waste(run: &mut Run<'_>, vessel: VesselId, what: &Contents) -> Done<()> {
    let before = encounters::jar(run);
    let at = run.kelvins(vessel).clone();
    run.transfer(Account::Vessel(vessel), Account::Drain, what, &at)?;
    encounters::drained(run, &before, (what, vessel));
    Ok(())
}
