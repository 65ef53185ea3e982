//! From bottles and the shelf into a vessel, whatever the statement that asks for it.

use crate::number::{Exact, Number, Quantity, unit};
use crate::vessel::{Contents, Reagent, grams, liquid, moles, reagent};

use super::super::bench::{Account, Addition};
use super::super::ledger::{Fact, Outcome, Weight, Withdrawal, WithdrawalReason};
use super::super::moment::{Charged, Done, Refusal, Run, admitted};
use super::super::nature::{dissolve, encounters, rest};
use super::super::program::{Demand, Matter, VesselId};
use super::demand::Times;

/// A portion and what it is of.
pub(super) struct Portioned {
    pub(super) draw: Withdrawal,
    pub(super) matter: Matter,
}

/// How much of a bottle or substance a quantity is; refused where its dimension does not fit, which the check excludes but
/// for a volume of what has no density.
pub(super) fn draw(
    run: &Run<'_>,
    vessel: VesselId,
    matter: &Matter,
    amount: &Quantity,
    reason: WithdrawalReason,
) -> Done<Withdrawal> {
    let measured = reagent::measure(&matter.stuff, amount, &run.program.ambient);
    let measured = measured.ok_or_else(|| {
        Refusal::of(Fact::NoVolume {
            vessel: matter.label.clone(),
        })
    })?;
    Ok(Withdrawal {
        span: run.record.here,
        bottle: matter.bottle.map(|_| matter.label.clone()),
        substance: matter.stuff.substance().clone(),
        strength: reagent::label(&matter.stuff),
        stated: amount.places().map(|_| amount.clone()),
        vessel: run.name(vessel),
        moles: measured.moles,
        grams: measured.grams,
        millilitres: measured.millilitres,
        reason,
    })
}

/// Refuses what weighs more than a lab can mean, as a volume or an amount that can be meant may.
pub(super) fn not_absurd(draw: &Withdrawal, expression: &str) -> Done<()> {
    let weighs = Quantity::of(draw.grams.clone(), &unit::GRAM);
    admitted(Demand::PORTION, expression, weighs)?;
    Ok(())
}

/// Some g of water.
pub(super) fn water_draw(run: &Run<'_>, vessel: VesselId, grams: &Number) -> Done<Withdrawal> {
    let amount = Quantity::of(grams.clone(), &unit::GRAM);
    draw(
        run,
        vessel,
        &Matter::water(),
        &amount,
        WithdrawalReason::Dilution,
    )
}

/// As it is measured out: poured, or weighed.
pub(super) fn measure_of(draw: &Withdrawal) -> Quantity {
    match &draw.millilitres {
        Some(millilitres) => Quantity::of(millilitres.clone(), &unit::MILLILITRE),
        None => Quantity::of(draw.grams.clone(), &unit::GRAM),
    }
}

/// Transfers the draws, mixes temperatures, dissolves what dissolves.
pub(super) fn pour_in(
    run: &mut Run<'_>,
    vessel: VesselId,
    portions: Vec<Portioned>,
    times: &Times,
) -> Done<Outcome> {
    let excess_before = run.bench.excess(vessel);
    let mut brought = Number::zero();
    let addition = times.over.as_ref().map(|seconds| Addition {
        seconds: seconds.clone(),
        before: run.bench.capacity(vessel),
    });
    run.bench.adds(vessel, addition);
    for Portioned { draw, matter } in &portions {
        let portion = contents_of(&matter.stuff, draw);
        run.record.used_bottles.extend(matter.bottle);
        let came_at = comes_at(run, &portion, times.at.as_ref());
        let excess = liquid::excess(&run.program.store, &portion);
        brought += &run.noted(excess);
        receive(run, vessel, Account::Shelf, &portion, &came_at)?;
        let charged = Charged {
            span: draw.span,
            calls: run.record.calls.clone(),
            substance: draw.substance.clone(),
            vessel: draw.vessel.clone(),
            moles: draw.moles.clone(),
            became: portion.iter().map(|(s, _)| s.clone()).collect(),
        };
        run.record.charged.push(charged);
        run.record.note_draw(draw);
    }
    rest::settle(run, vessel)?;
    let dissolved = dissolve::dissolve(run, vessel)?;
    let mixing = &run.bench.excess(vessel) - &(&excess_before + &brought);
    run.touch(vessel);
    Ok(Outcome::Charged {
        vessel: run.name(vessel),
        draws: portions.into_iter().map(|portion| portion.draw).collect(),
        dissolved: dissolved.what,
        heat: dissolved.heat,
        mixing: mixing.settled(),
        temperature: run.kelvins(vessel).clone(),
        over: times.over.clone(),
    })
}

/// What a draw brings into a vessel: ions, molecules, water.
pub(super) fn contents_of(stuff: &Reagent, draw: &Withdrawal) -> Contents {
    let mut contents = Contents::new();
    match stuff {
        Reagent::Pure { species, .. } => contents.add(species, &draw.moles),
        Reagent::Solution { solute, .. } => {
            for (count, species) in reagent::in_solution(solute) {
                contents.add(&species, &draw.moles.scaled(&count));
            }
            let water = reagent::water();
            let water_grams = &draw.grams - &grams(solute, &draw.moles);
            if let Some(water_moles) = moles(&water, &water_grams) {
                contents.add(&water, &water_moles);
            }
        }
    }
    contents
}

/// Moves contents into a vessel with the heat in them; the temperature is found when all of them are there.
pub(super) fn receive(
    run: &mut Run<'_>,
    vessel: VesselId,
    from: Account,
    portion: &Contents,
    came_at: &Number,
) -> Done<()> {
    let there = run.contents(vessel).clone();
    run.bench.begin_at(vessel, came_at);
    run.transfer(from, Account::Vessel(vessel), portion, came_at)?;
    encounters::met(run, vessel, &there, (portion, from));
    Ok(())
}

/// Ice comes at its melting point, everything else at the temperature of the room, unless the script says otherwise.
fn comes_at(run: &mut Run<'_>, portion: &Contents, at: Option<&Number>) -> Number {
    let melting = Number::exact(Exact::ratio(27_315, 100));
    let ice = portion.holds(&reagent::ice());
    match at {
        Some(at) if ice && at.value() > melting.value() => {
            let kelvins = at.clone();
            run.remark(Weight::Warning, Fact::WarmIce { kelvins });
            melting
        }
        Some(at) => at.clone(),
        None if ice => melting,
        None => run.program.ambient.temperature.clone(),
    }
}
