//! `titrate`: what a burette must give, and what its readings say.
//!
//! The readings find either how much of the analyte there is, and the difference from the plan goes to the losses
//! account, or how strong a bottle is, which it stays from there on. Then the titrant runs in and the reaction runs, so
//! that the vessel stands at its end point, with the blank as the only excess.

use crate::equation::Reaction;
use crate::matter::Species;
use crate::number::{Exact, InputId, Number, Quantity, unit};

use super::super::books::Account;
use super::super::ledger::{
    Draw, DrawReason, Fact, GivenStrength, Outcome, ReactRecord, TitrationRecord, Weight,
};
use super::super::program::{Bottle, BottleId, Matter, Program, Stuff, Titration, Value, VesselId};
use super::super::stuff;
use super::state::State;
use super::{Blank, Done, charge, enthalpy, properties, react, separate};

/// What a titration found about a vessel, for `titre(V)` and `analyte(V)`.
#[derive(Clone, Debug)]
pub(super) struct Titrated {
    /// Run out less the blank, in mL.
    pub(super) titre: Number,
    /// In mol.
    pub(super) analyte: Number,
}

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
pub(super) fn titrate(program: &Program, state: &mut State, asked: &Titration) -> Done<Outcome> {
    let vessel = asked.vessel;
    separate::not_empty(state, vessel)?;
    let matter = state.as_it_is(program, &asked.matter);
    let end = end_point(program, state, asked, &matter)?;
    let blank = match &asked.blank {
        Some(blank) => Some(millilitres(program, state, blank)?),
        None => None,
    };
    let readings = readings(program, state, asked)?;
    let without_analyte = blank.clone().unwrap_or_else(Number::zero);
    let run_out = match &readings {
        Some(readings) => readings.mean.clone(),
        None => &end.millilitres + &without_analyte,
    };
    let titre = &run_out - &without_analyte;
    if !titre.is_positive() {
        return Err(less_than_blank(state, asked));
    }
    let (found_analyte, given) = match &readings {
        Some(_) => conclude(program, state, asked, &end, &titre)?,
        None => (end.moles.clone(), None),
    };
    let (titrant, reaction) = run_in(program, state, asked, run_out)?;
    state.vessels[vessel].titrated = Some(Titrated {
        titre,
        analyte: found_analyte.clone(),
    });
    let (readings, mean, scatter) = match readings {
        Some(readings) => (readings.each, Some(readings.mean), readings.scatter),
        None => (Vec::new(), None, None),
    };
    Ok(Outcome::Titrated(Box::new(TitrationRecord {
        vessel: state.vessels[vessel].name.clone(),
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

fn end_point(
    program: &Program,
    state: &mut State,
    asked: &Titration,
    matter: &Matter,
) -> Done<EndPoint> {
    let vessel = asked.vessel;
    let needed = charge::needed(state, vessel, matter, &asked.reaction);
    let (needed, analyte) = match needed {
        Ok(needed) if needed.missing.is_empty() => (needed.moles, needed.for_species),
        Ok(charge::Needed { missing, .. }) | Err(missing) => {
            return Err(charge::nothing_to_use_up(state, vessel, matter, missing));
        }
    };
    if react::is_medium(&analyte)
        && let Some(sought) = sought(state, asked, matter)
    {
        return Err(medium_short(state, vessel, analyte, sought));
    }
    let needed = Quantity::of(needed, &unit::MOLE);
    let draw = charge::draw(state, vessel, matter, &needed, DrawReason::Stated);
    let liquid = properties::volume(program, state, vessel);
    Ok(EndPoint {
        moles: state.vessels[vessel].contents.amount(&analyte),
        analyte,
        litres: liquid.map(|volume| volume.scaled(&Exact::ratio(1, 1000))),
        millilitres: draw.and_then(|draw| draw.millilitres).ok_or(Blank)?,
    })
}

/// What the readings say: how strong the titrant is, or how much of the analyte there is and how strong the bottle it
/// came from. Gives the amount of the analyte, in mol.
fn conclude(
    program: &Program,
    state: &mut State,
    asked: &Titration,
    end: &EndPoint,
    titre: &Number,
) -> Done<(Number, Option<GivenStrength>)> {
    if asked.giving.is_some() && asked.giving == asked.matter.bottle {
        let factor = end.millilitres.checked_div(titre).ok_or(Blank)?;
        let given = standardise(program, state, asked.giving, &factor);
        return Ok((end.moles.clone(), given));
    }
    let factor = titre.checked_div(&end.millilitres).ok_or(Blank)?;
    let found = &end.moles * &factor;
    let mixing = enthalpy::excess(program, state, asked.vessel);
    reconcile(state, asked.vessel, &asked.reaction, &end.analyte, &found);
    enthalpy::follow_losses(program, state, asked.vessel, &mixing);
    let given = standardise(program, state, asked.giving, &factor);
    Ok((found, given))
}

fn less_than_blank(state: &mut State, asked: &Titration) -> Blank {
    let first = asked.found.first();
    let expression = first.map_or(String::new(), |value| value.text.clone());
    state.remark(Weight::Fault, Fact::NotPositive { expression });
    Blank
}

/// What the titrant meets besides the medium, if the equation has anything of that kind.
fn sought(state: &State, asked: &Titration, matter: &Matter) -> Option<Species> {
    let titrant = stuff::in_solution(matter.stuff.substance());
    let brought = |species: &Species| titrant.iter().any(|(_, ion)| ion.key() == species.key());
    let terms = react::terms(state, asked.vessel, &asked.reaction);
    let mut used = terms.into_iter().filter(|(count, _)| count.is_negative());
    let found = used.find(|(_, species)| !react::is_medium(species) && !brought(species));
    found.map(|(_, species)| species)
}

/// With too little acid the titrant would be used up by something else, or not at all: no volume says anything then.
fn medium_short(state: &mut State, vessel: VesselId, medium: Species, sought: Species) -> Blank {
    let vessel = state.vessels[vessel].name.clone();
    let fact = Fact::MediumShort {
        vessel,
        medium,
        sought,
    };
    state.remark(Weight::Fault, fact);
    Blank
}

fn millilitres(program: &Program, state: &mut State, value: &Value) -> Done<Number> {
    let quantity = state.quantity(program, value)?;
    quantity.in_unit(&unit::MILLILITRE).map_err(|_| Blank)
}

/// The mean with the standard uncertainty of the mean, s/√n (JCGM 100:2008, 4.2.3), and the tolerance of the burette.
fn readings(program: &Program, state: &mut State, asked: &Titration) -> Done<Option<Readings>> {
    let mut each = Vec::new();
    for value in &asked.found {
        let quantity = charge::positive(program, state, value)?;
        each.push(quantity.in_unit(&unit::MILLILITRE).map_err(|_| Blank)?);
    }
    if each.is_empty() {
        return Ok(None);
    }
    tell_discordant(program, state, asked, &each);
    let share = Exact::ratio(1, each.len() as i64);
    let mut mean = each.iter().cloned().sum::<Number>().scaled(&share);
    // That of the readings themselves, also where a sample draws other values for each of them.
    let written = asked.found.iter().map(|value| {
        let quantity = program.as_written(value)?;
        Some(quantity.in_unit(&unit::MILLILITRE).ok()?.to_f64())
    });
    let written: Option<Vec<f64>> = written.collect();
    let scatter = asked.scatter.zip(written.as_deref().map(deviation));
    if let Some((input, deviation)) = scatter {
        mean = with_scatter(program, mean, input, deviation / (each.len() as f64).sqrt());
    }
    if let Some(burette) = &asked.burette {
        let read = burette.on(program, &Quantity::of(mean, &unit::MILLILITRE));
        mean = read.in_unit(&unit::MILLILITRE).map_err(|_| Blank)?;
    }
    Ok(Some(Readings {
        each,
        mean,
        scatter: scatter.map(|(_, deviation)| deviation),
    }))
}

/// Readings further apart than 0.1 mL are usually not averaged (common practice, no source).
fn tell_discordant(program: &Program, state: &mut State, asked: &Titration, each: &[Number]) {
    let values = each.iter().map(Number::value);
    let (Some(least), Some(most)) = (values.clone().min(), values.max()) else {
        return;
    };
    let (apart, usual) = (most - least, Exact::ratio(1, 10));
    // What a sample draws was never read.
    if apart > usual && program.draw.is_none() {
        let fact = Fact::Discordant {
            vessel: state.vessels[asked.vessel].name.clone(),
            apart: Number::exact(apart),
            usual: Number::exact(usual),
        };
        state.remark(Weight::Warning, fact);
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
    program: &Program,
    state: &mut State,
    asked: &Titration,
    run_out: Number,
) -> Done<(Draw, ReactRecord)> {
    let matter = state.as_it_is(program, &asked.matter);
    let amount = Quantity::of(run_out, &unit::MILLILITRE);
    let draw = charge::draw(state, asked.vessel, &matter, &amount, DrawReason::Stated);
    let titrant = draw.ok_or(Blank)?;
    let draws = vec![(titrant.clone(), matter)];
    charge::pour_in(program, state, asked.vessel, draws, (None, None));
    match react::react(program, state, asked.vessel, &asked.reaction, None, None)? {
        Outcome::Reacted(record) => Ok((titrant, *record)),
        _ => Err(Blank),
    }
}

/// Makes a vessel hold what was found of the analyte. An ion comes and goes with the most plentiful ion of the other
/// sign that the reaction leaves alone, so that the vessel stays neutral.
fn reconcile(
    state: &mut State,
    vessel: VesselId,
    reaction: &Reaction,
    analyte: &Species,
    found: &Number,
) {
    let short = &state.vessels[vessel].contents.amount(analyte) - found;
    let partner = partner(state, vessel, reaction, analyte);
    state.transfer(Account::Vessel(vessel), Account::Losses, analyte, &short);
    if let Some((ratio, partner)) = partner {
        let there = state.vessels[vessel].contents.amount(&partner);
        let goes = short.scaled(&ratio).min(there);
        state.transfer(Account::Vessel(vessel), Account::Losses, &partner, &goes);
    }
}

fn partner(
    state: &State,
    vessel: VesselId,
    reaction: &Reaction,
    analyte: &Species,
) -> Option<(Exact, Species)> {
    let charge = analyte.charge();
    let terms = react::terms(state, vessel, reaction);
    let others = state.vessels[vessel]
        .contents
        .iter()
        .filter(|(species, _)| {
            species.charge() * charge < 0 && !terms.iter().any(|(_, used)| used == *species)
        });
    let (species, _) = others.max_by(|(_, a), (_, b)| a.value().cmp(b.value()))?;
    let ratio = Exact::ratio(charge.abs(), species.charge().abs());
    Some((ratio, species.clone()))
}

/// A bottle is so many times as strong as was thought.
pub(super) fn standardise(
    program: &Program,
    state: &mut State,
    bottle: Option<BottleId>,
    factor: &Number,
) -> Option<GivenStrength> {
    let bottle = bottle?;
    let before = state.stuff(program, bottle);
    let after = stronger(&before, factor);
    state.standardised.insert(bottle, after.clone());
    Some(GivenStrength {
        bottle: program.bottles[bottle].name.clone(),
        planned: strength(&before)?,
        found: strength(&after)?,
    })
}

fn stronger(stuff: &Stuff, factor: &Number) -> Stuff {
    match stuff.clone() {
        Stuff::Pure {
            species,
            purity,
            label,
            density,
        } => Stuff::Pure {
            species,
            purity: &purity * factor,
            label,
            density,
        },
        Stuff::Solution {
            solute,
            label,
            per_gram,
            density,
            mass_fraction,
        } => Stuff::Solution {
            solute,
            label,
            per_gram: &per_gram * factor,
            density,
            mass_fraction: &mass_fraction * factor,
        },
    }
}

/// In mol/L for a solution of known density, as mass fraction for a substance by itself.
pub(super) fn strength(stuff: &Stuff) -> Option<Quantity> {
    match stuff {
        Stuff::Pure { purity, .. } => {
            Some(Quantity::plain(purity.clone()).shown_in(&unit::PER_CENT))
        }
        Stuff::Solution {
            per_gram, density, ..
        } => {
            let per_litre = (per_gram * density.as_ref()?).scaled(&Exact::from(1000));
            Some(Quantity::of(per_litre, &unit::MOLAR))
        }
    }
}

impl State {
    /// The bottles as far as anybody has found out what is in them.
    pub(super) fn shelf(&self, program: &Program) -> Vec<Bottle> {
        let all = program.bottles.iter().cloned().enumerate();
        all.map(|(id, bottle)| Bottle {
            stuff: self.stuff(program, id),
            ..bottle
        })
        .collect()
    }

    /// What is in a bottle as far as anybody has found out.
    pub(super) fn stuff(&self, program: &Program, bottle: BottleId) -> Stuff {
        let found = self.standardised.get(&bottle);
        found.unwrap_or(&program.bottles[bottle].stuff).clone()
    }

    /// Something measured out, with the strength that was found for its bottle.
    pub(super) fn as_it_is(&self, program: &Program, matter: &Matter) -> Matter {
        let stuff = match matter.bottle {
            Some(bottle) => self.stuff(program, bottle),
            None => matter.stuff.clone(),
        };
        Matter {
            stuff,
            ..matter.clone()
        }
    }
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
