//! `titrate`: what a burette must give, and what its readings say.
//!
//! The readings find either how much of the analyte there is, and the difference from the plan goes to the losses
//! account, or how strong a bottle is, which it stays from there on. Then the titrant runs in and the reaction runs, so
//! that the vessel stands at its end point, with the blank as the only excess.

use crate::equation::Reaction;
use crate::matter::Species;
use crate::number::{Exact, InputId, Number, Quantity, unit};
use crate::vessel::{Contents, reagent};

use super::super::bench::Account;
use super::super::ledger::{
    Fact, GivenStrength, Outcome, ReactRecord, TitrationRecord, Weight, Withdrawal,
    WithdrawalReason,
};
use super::super::moment::{Done, Refusal, Run, Titrated};
use super::super::program::{Matter, Program, Titration, Value, VesselId};
use super::change::{self, terms};
use super::demand::{Times, not_empty, share};
use super::enough::{Needed, needed, nothing_to_use_up};
use super::portion::{Portioned, draw, pour_in};
use super::react;
use super::standardise::standardise;

/// The readings of a burette together.
struct Readings {
    each: Vec<Number>,
    mean: Number,
    scatter: Option<f64>,
}

/// Where a titration ends by the plan.
struct EndPoint {
    analyte: Species,
    /// Of the analyte in the vessel, in mol.
    moles: Number,
    /// Of the liquid in the vessel before, in L.
    litres: Option<Number>,
    /// Of titrant, in mL.
    millilitres: Number,
}

/// `titrate V with BOTTLE: EQUATION, found …`
pub(super) fn titrate(run: &mut Run<'_>, asked: &Titration) -> Done<Outcome> {
    let vessel = asked.vessel;
    not_empty(run, vessel)?;
    let matter = run.as_it_is(&asked.matter);
    let end = end_point(run, asked, &matter)?;
    let blank = match &asked.blank {
        Some(blank) => Some(millilitres(run, blank)?),
        None => None,
    };
    let readings = readings(run, asked)?;
    let without_analyte = blank.clone().unwrap_or_else(Number::zero);
    let run_out = match &readings {
        Some(readings) => readings.mean.clone(),
        None => &end.millilitres + &without_analyte,
    };
    let titre = &run_out - &without_analyte;
    if !titre.is_positive() {
        return Err(less_than_blank(run, asked));
    }
    let (found_analyte, given) = match &readings {
        Some(_) => conclude(run, asked, &end, &titre)?,
        None => (end.moles.clone(), None),
    };
    let (titrant, reaction) = run_in(run, asked, run_out)?;
    run.history(vessel).titrated = Some(Titrated {
        titre,
        analyte: found_analyte.clone(),
    });
    let (readings, mean, scatter) = match readings {
        Some(readings) => (readings.each, Some(readings.mean), readings.scatter),
        None => (Vec::new(), None, None),
    };
    Ok(Outcome::Titrated(Box::new(TitrationRecord {
        vessel: run.name(vessel),
        bottle: matter.label,
        titrant,
        reaction,
        concentration: end
            .litres
            .and_then(|litres| found_analyte.checked_div(&litres)),
        analyte: end.analyte,
        planned_analyte: end.moles,
        found_analyte,
        planned: end.millilitres,
        readings,
        mean,
        scatter,
        blank,
        given,
        indicator: asked.indicator.clone(),
    })))
}

fn end_point(run: &mut Run<'_>, asked: &Titration, matter: &Matter) -> Done<EndPoint> {
    let vessel = asked.vessel;
    let needed = needed(run, vessel, matter, &asked.reaction);
    let (needed, analyte) = match needed {
        Ok(needed) if needed.missing.is_empty() => (needed.moles, needed.for_species),
        Ok(Needed { missing, .. }) | Err(missing) => {
            return Err(nothing_to_use_up(run, vessel, matter, missing));
        }
    };
    if change::is_medium(&analyte)
        && let Some(sought) = sought(run, asked, matter)
    {
        return Err(Refusal::of(Fact::MediumShort {
            vessel: run.name(vessel),
            medium: analyte,
            sought,
        }));
    }
    let needed = Quantity::of(needed, &unit::MOLE);
    let draw = draw(run, vessel, matter, &needed, WithdrawalReason::Stated)?;
    let no_density = || {
        Refusal::of(Fact::NoVolume {
            vessel: matter.label.clone(),
        })
    };
    let liquid = run.volume(vessel);
    Ok(EndPoint {
        moles: change::stock_of(run, vessel, &analyte),
        analyte,
        litres: liquid.map(|volume| volume.scaled(&Exact::ratio(1, 1000))),
        millilitres: draw.millilitres.ok_or_else(no_density)?,
    })
}

/// What the readings say: how strong the titrant is, or how much of the analyte there is and how strong the bottle it
/// came from. Gives the amount of the analyte, in mol.
fn conclude(
    run: &mut Run<'_>,
    asked: &Titration,
    end: &EndPoint,
    titre: &Number,
) -> Done<(Number, Option<GivenStrength>)> {
    if asked.giving.is_some() && asked.giving == asked.matter.bottle {
        let factor = share(&end.millilitres, titre, asked.matter.label.as_str())?;
        let given = standardise(run, asked.giving, &factor)?;
        return Ok((end.moles.clone(), given));
    }
    let factor = share(titre, &end.millilitres, asked.matter.label.as_str())?;
    let found = &end.moles * &factor;
    let given = standardise(run, asked.giving, &factor)?;
    let mixing = run.bench.excess(asked.vessel);
    reconcile(run, asked.vessel, &asked.reaction, &end.analyte, &found)?;
    run.bench.follow_losses(asked.vessel, &mixing);
    Ok((found, given))
}

fn less_than_blank(run: &Run<'_>, asked: &Titration) -> Refusal {
    Refusal::of(Fact::NotAboveBlank {
        vessel: run.name(asked.vessel),
    })
}

/// What the titrant meets besides the medium, if the equation has anything of that kind.
fn sought(run: &Run<'_>, asked: &Titration, matter: &Matter) -> Option<Species> {
    let titrant = reagent::in_solution(matter.stuff.substance());
    let brought = |species: &Species| titrant.iter().any(|(_, ion)| ion.key() == species.key());
    let terms = terms(run, asked.vessel, &asked.reaction);
    let mut used = terms.into_iter().filter(|(count, _)| count.is_negative());
    let found = used.find(|(_, species)| !change::is_medium(species) && !brought(species));
    found.map(|(_, species)| species)
}

fn millilitres(run: &mut Run<'_>, value: &Value) -> Done<Number> {
    let quantity = run.quantity(value)?;
    in_millilitres(&quantity, value)
}

/// The check has settled that it is a volume.
fn in_millilitres(quantity: &Quantity, value: &Value) -> Done<Number> {
    quantity.in_unit(&unit::MILLILITRE).map_err(|_| {
        Refusal::of(Fact::NoAnswer {
            expression: value.text.clone(),
        })
    })
}

/// The mean with the standard uncertainty of the mean, s/√n (JCGM 100:2008, 4.2.3), and the tolerance of the burette.
fn readings(run: &mut Run<'_>, asked: &Titration) -> Done<Option<Readings>> {
    let mut each = Vec::new();
    for value in &asked.found {
        let quantity = run.quantity(value)?;
        each.push(in_millilitres(&quantity, value)?);
    }
    if each.is_empty() {
        return Ok(None);
    }
    tell_discordant(run, asked, &each);
    let share = Exact::ratio(1, each.len() as i64);
    let mut mean = each.iter().cloned().sum::<Number>().scaled(&share);
    // That of the readings themselves, also where a sample draws other values for each of them.
    let written = asked.found.iter().map(|value| {
        let quantity = run.program.as_written(value)?;
        Some(quantity.in_unit(&unit::MILLILITRE).ok()?.to_f64())
    });
    let written: Option<Vec<f64>> = written.collect();
    let scatter = asked.scatter.zip(written.as_deref().map(deviation));
    if let Some((input, deviation)) = scatter {
        mean = with_scatter(
            run.program,
            mean,
            input,
            deviation / (each.len() as f64).sqrt(),
        );
    }
    if let Some(burette) = &asked.burette {
        let read = burette.on(run.program, &Quantity::of(mean.clone(), &unit::MILLILITRE));
        mean = read.in_unit(&unit::MILLILITRE).unwrap_or(mean);
    }
    Ok(Some(Readings {
        each,
        mean,
        scatter: scatter.map(|(_, deviation)| deviation),
    }))
}

/// Readings further apart than 0.1 mL are usually not averaged (common practice, no source).
fn tell_discordant(run: &mut Run<'_>, asked: &Titration, each: &[Number]) {
    let values = each.iter().map(Number::value);
    let (Some(least), Some(most)) = (values.clone().min(), values.max()) else {
        return;
    };
    let (apart, usual) = (most - least, Exact::ratio(1, 10));
    // What a sample draws was never read.
    if apart > usual && run.program.draw.is_none() {
        let fact = Fact::Discordant {
            vessel: run.name(asked.vessel),
            apart: Number::exact(apart),
            usual: Number::exact(usual),
        };
        run.remark(Weight::Warning, fact);
    }
}

fn with_scatter(program: &Program, mean: Number, input: InputId, standard: f64) -> Number {
    match standard > 0.0 {
        true => program.number_as_drawn(&mean.with_uncertainty(input, standard)),
        false => mean,
    }
}

/// Experimental standard deviation (JCGM 100:2008, 4.2.2) of two readings or more.
fn deviation(each: &[f64]) -> f64 {
    let mean = each.iter().sum::<f64>() / each.len() as f64;
    let squares: f64 = each.iter().map(|one| (one - mean).powi(2)).sum();
    (squares / (each.len() as f64 - 1.0)).sqrt()
}

/// Titrant from the shelf into the vessel, and the reaction after it.
fn run_in(
    run: &mut Run<'_>,
    asked: &Titration,
    run_out: Number,
) -> Done<(Withdrawal, ReactRecord)> {
    let matter = run.as_it_is(&asked.matter);
    let amount = Quantity::of(run_out, &unit::MILLILITRE);
    let titrant = draw(
        run,
        asked.vessel,
        &matter,
        &amount,
        WithdrawalReason::Stated,
    )?;
    let portion = Portioned {
        draw: titrant.clone(),
        matter,
    };
    pour_in(run, asked.vessel, vec![portion], &Times::default())?;
    let record = react::react(run, asked.vessel, &asked.reaction, &Number::one(), None)?;
    Ok((titrant, record))
}

/// Makes a vessel hold what was found of the analyte. An ion comes and goes with the most plentiful ion of the other
/// sign that the reaction leaves alone, so that the vessel stays neutral.
fn reconcile(
    run: &mut Run<'_>,
    vessel: VesselId,
    reaction: &Reaction,
    analyte: &Species,
    found: &Number,
) -> Done<()> {
    let short = &run.contents(vessel).amount(analyte) - found;
    let mut lost = Contents::new();
    lost.add(analyte, &short);
    if let Some((ratio, partner)) = partner(run, vessel, reaction, analyte) {
        let there = run.contents(vessel).amount(&partner);
        lost.add(&partner, &short.scaled(&ratio).min(there));
    }
    let done = run.bench.lose(vessel, &lost);
    done.map_err(|short| run.short(Account::Vessel(vessel), short))
}

fn partner(
    run: &Run<'_>,
    vessel: VesselId,
    reaction: &Reaction,
    analyte: &Species,
) -> Option<(Exact, Species)> {
    let charge = analyte.charge();
    let terms = terms(run, vessel, reaction);
    let others = run.contents(vessel).iter().filter(|(species, _)| {
        species.charge() * charge < 0 && !terms.iter().any(|(_, used)| used == *species)
    });
    let (species, _) = others.max_by(|(_, a), (_, b)| a.value().cmp(b.value()))?;
    let ratio = Exact::ratio(charge.abs(), species.charge().abs());
    Some((ratio, species.clone()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// JCGM 100:2008, 4.2.2 and 4.2.3, by hand: 24.95, 25.01, 24.98 have s = 0.03.
    #[test]
    fn the_scatter_of_readings_is_their_experimental_standard_deviation() {
        assert!((deviation(&[24.95, 25.01, 24.98]) - 0.03).abs() < 1e-12);
    }
}
