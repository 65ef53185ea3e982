//! Everything that is asked about one reaction: its quantities at a temperature, what another choice of phases would
//! change, and for redox the potentials from Gibbs energies and from the table side by side.

use std::sync::Arc;

use crate::data::{Property, Sourced, Store};
use crate::equation::{Skeleton, Stated, working};
use crate::matter::{Phase, Species};
use crate::number::{Dimension, Exact, Number, Quantity, standard_temperature};

use super::potential::{Couple, potential, quotient_energy, tabled_potential};
use super::reaction::{ReactionData, STANDARD_TEMPERATURE, reaction};
use super::standard::{Standard, standard};
use super::temperature::{AtTemperature, TooFar};

/// A question about a balanced equation.
#[derive(Clone, Debug)]
pub struct Asked<'a> {
    /// As it was written: its half-reactions are looked for.
    pub skeleton: &'a Skeleton,
    /// With the coefficients the answer is for.
    pub equation: Stated,
    /// K
    pub kelvin: Number,
    /// Activities that are not one.
    pub activities: &'a [(Species, Number)],
}

/// The answer.
#[derive(Clone, Debug)]
pub struct Energetics {
    /// What it is for.
    pub equation: Stated,
    /// Every species with its data at 298.15 K.
    pub data: ReactionData,
    /// At the temperature asked for.
    pub at: AtTemperature,
    /// What other phases would change, where none was stated.
    pub alternatives: Vec<Alternative>,
    /// `None` unless electrons pass.
    pub cell: Option<Cell>,
    /// At the activities given.
    pub away: Option<Away>,
}

/// Another choice of phases.
#[derive(Clone, Debug)]
pub struct Alternative {
    /// Instead of the usual ones.
    pub phases: Vec<Species>,
    /// Reaction enthalpy at 298.15 K with them.
    pub enthalpy: Quantity,
}

/// The potential of a redox reaction or of a half-reaction, in V.
#[derive(Clone, Debug)]
pub struct Cell {
    /// Electrons that pass for the equation as stated.
    pub electrons: Exact,
    /// Written as an oxidation alone; its potential is told as that of the reduction all the same.
    pub oxidation: bool,
    /// From the Gibbs energy at the temperature.
    pub from_gibbs: Option<Number>,
    /// From the table, at 298.15 K.
    pub tabled: Option<Tabled>,
}

/// A potential from the table of couples.
#[derive(Clone, Debug)]
pub struct Tabled {
    /// V
    pub potential: Number,
    /// The couple that takes electrons up.
    pub reduction: Option<Sourced<Couple>>,
    /// The couple that gives them off.
    pub oxidation: Option<Sourced<Couple>>,
}

/// The reaction away from standard states, at the temperature asked for.
#[derive(Clone, Debug)]
pub struct Away {
    /// Signed coefficient, species and activity, of those that were given.
    pub activities: Vec<(Exact, Species, Number)>,
    /// J/mol
    pub gibbs: Option<Quantity>,
    /// V, from the Gibbs energy.
    pub from_gibbs: Option<Number>,
    /// V, from the table, at 298.15 K.
    pub tabled: Option<Number>,
}

/// Why there is no answer at all.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoEnergetics {
    /// The temperature.
    #[error(transparent)]
    TooFar(TooFar),
    /// An activity of something that does not stand in the equation, or cancels.
    #[error("`{0}` does not take part, so its activity changes nothing")]
    NotInEquation(Species),
    /// An activity of zero or below.
    #[error("an activity is above zero, that of `{0}` is not")]
    NotPositive(Species),
}

/// Answers a question about a reaction.
///
/// # Errors
/// [`NoEnergetics`]; a quantity whose data are missing is no error, it is missing in the answer.
///
/// ```
/// use aludel::{data::Store, equation::{Stated, balance, parse_equation}, number::{Exact, Number}, thermo};
/// let skeleton = parse_equation("Zn + Cu^2+ -> Zn^2+ + Cu").unwrap();
/// let equation = Stated::of(&skeleton, &balance(&skeleton).unwrap()).unwrap();
/// let kelvin = Number::exact(Exact::ratio(29_815, 100));
/// let asked = thermo::Asked { skeleton: &skeleton, equation, kelvin, activities: &[] };
/// let cell = thermo::energetics(&Store::default(), &asked).unwrap().cell.unwrap();
/// assert_eq!(cell.electrons, Exact::from(2));
/// assert!((cell.from_gibbs.unwrap().to_f64() - 1.102).abs() < 1e-3);
/// assert!((cell.tabled.unwrap().potential.to_f64() - 1.1037).abs() < 1e-4);
/// ```
pub fn energetics(store: &Store, asked: &Asked<'_>) -> Result<Energetics, NoEnergetics> {
    let terms = asked.equation.signed();
    let data = reaction(store, &terms);
    let activities = activities(&terms, asked.activities)?;
    let known = data.enthalpy().is_ok() || data.gibbs().is_ok();
    let standard = Number::exact(standard_temperature());
    // Without data at 298.15 K there is nothing to carry to the temperature: the want of them is what to tell.
    let kelvin = if known { &asked.kelvin } else { &standard };
    let at = data.course().at(kelvin).map_err(NoEnergetics::TooFar)?;
    let cell = cell(asked, &at, &terms);
    let away =
        (!activities.is_empty()).then(|| away(&at, cell.as_ref(), activities, &asked.kelvin));
    Ok(Energetics {
        equation: asked.equation.clone(),
        alternatives: alternatives(store, &data),
        data,
        at,
        cell,
        away,
    })
}

/// The species of the equation by what somebody typed; a phase need not be.
fn activities(
    terms: &[(Exact, Species)],
    given: &[(Species, Number)],
) -> Result<Vec<(Exact, Species, Number)>, NoEnergetics> {
    let one = |(species, activity): &(Species, Number)| {
        if !activity.is_positive() {
            return Err(NoEnergetics::NotPositive(species.clone()));
        }
        let meant = |known: &Species| {
            known.key() == species.key()
                && (species.phase().is_none() || species.phase() == known.phase())
        };
        let found = terms.iter().find(|(_, known)| meant(known));
        let (coefficient, known) =
            found.ok_or_else(|| NoEnergetics::NotInEquation(species.clone()))?;
        Ok((coefficient.clone(), known.clone(), activity.clone()))
    };
    given.iter().map(one).collect()
}

/// How far apart in kJ/mol two phases may be and still be a matter of choice: water and steam are 9, dissolved and gaseous
/// hydrogen chloride 36; nobody means aluminium vapour.
const NEAR: f64 = 60.0;

/// Phases that might have been meant where none was stated: each alone, then all that dissolve as dissolved.
fn alternatives(store: &Store, data: &ReactionData) -> Vec<Alternative> {
    let Ok(total) = data.enthalpy() else {
        return Vec::new();
    };
    let mut alone = Vec::new();
    let mut dissolved: Vec<(Species, Number)> = Vec::new();
    for contribution in &data.contributions {
        let Ok(taken) = &contribution.data else {
            continue;
        };
        for other in other_phases(store, taken) {
            let Some(gain) = difference(taken, &other, Property::FormationEnthalpy) else {
                continue;
            };
            let gain = gain.scaled(&contribution.coefficient);
            if !other.ions.is_empty() {
                dissolved.push((other.species.clone(), gain.clone()));
            }
            alone.push(choice(&total, &[(other.species.clone(), gain)]));
        }
    }
    if dissolved.len() > 1 {
        alone.push(choice(&total, &dissolved));
    }
    alone
}

fn choice(total: &Quantity, instead: &[(Species, Number)]) -> Alternative {
    let gain: Number = instead.iter().map(|(_, gain)| gain.clone()).sum();
    Alternative {
        phases: instead.iter().map(|(species, _)| species.clone()).collect(),
        enthalpy: Quantity::coherent(total.number() + &gain, Dimension::MOLAR_ENERGY),
    }
}

fn other_phases(store: &Store, taken: &Standard) -> Vec<Arc<Standard>> {
    if !taken.phase_assumed || taken.species.charge() != 0 {
        return Vec::new();
    }
    let all = [Phase::Solid, Phase::Liquid, Phase::Gas, Phase::Aqueous];
    let others = all
        .into_iter()
        .filter(|phase| Some(*phase) != taken.species.phase());
    let known =
        others.filter_map(|phase| standard(store, &taken.species.with_phase(Some(phase))).ok());
    let near = |other: &Arc<Standard>| {
        let apart = difference(taken, other, Property::FormationGibbs);
        apart.is_some_and(|apart| apart.to_f64().abs() <= 1000.0 * NEAR)
    };
    known.filter(near).collect()
}

fn difference(from: &Standard, to: &Standard, property: Property) -> Option<Number> {
    Some(to.get(property)?.value.number() - from.get(property)?.value.number())
}

fn cell(asked: &Asked<'_>, at: &AtTemperature, terms: &[(Exact, Species)]) -> Option<Cell> {
    let alone = terms.iter().find(|(_, species)| species.is_electron());
    let (electrons, tabled) = match alone {
        Some((count, _)) => (count.abs(), tabled_half(terms, count)),
        None => halves(asked)?,
    };
    let mut cell = Cell {
        oxidation: alone.is_some_and(|(count, _)| count.is_positive()),
        from_gibbs: None,
        electrons,
        tabled,
    };
    let gibbs = at.gibbs.as_ref().ok();
    cell.from_gibbs = gibbs.and_then(|(gibbs, _)| cell.volts(gibbs.number()));
    Some(cell)
}

impl Cell {
    /// The potential that belongs to an energy in J/mol of the equation as written.
    fn volts(&self, energy: &Number) -> Option<Number> {
        if self.oxidation {
            potential(energy, &-self.electrons.clone())
        } else {
            potential(energy, &self.electrons)
        }
    }
}

fn tabled_half(terms: &[(Exact, Species)], electrons: &Exact) -> Option<Tabled> {
    let couple = tabled_potential(terms)?;
    let potential = couple.value.potential.clone();
    let (reduction, oxidation) = if electrons.is_negative() {
        (Some(couple), None)
    } else {
        (None, Some(couple))
    };
    Some(Tabled {
        potential,
        reduction,
        oxidation,
    })
}

/// Electrons that pass in a redox equation, and its potential by the table.
fn halves(asked: &Asked<'_>) -> Option<(Exact, Option<Tabled>)> {
    let worked = working(asked.skeleton).ok()?;
    let per_answer = &Exact::from(worked.electrons.clone()) * &worked.factor;
    let (count, species) = worked.answer.left.first()?;
    let stated = asked.equation.left.iter().find(|(_, s)| s == species)?;
    let multiple = stated.0.checked_div(&Exact::from(count.clone()))?;
    let couple =
        |half: &crate::equation::Half| tabled_potential(&phased(asked, half.reaction.signed()));
    let tabled = couple(&worked.reduction)
        .zip(couple(&worked.oxidation))
        .map(|(reduction, oxidation)| Tabled {
            potential: &reduction.value.potential - &oxidation.value.potential,
            reduction: Some(reduction),
            oxidation: Some(oxidation),
        });
    Some((&per_answer * &multiple, tabled))
}

/// The terms of a half-reaction with the phases stated in the equation.
fn phased(asked: &Asked<'_>, terms: Vec<(Exact, Species)>) -> Vec<(Exact, Species)> {
    let stated = |species: &Species| {
        let mut all = asked.skeleton.terms().map(|(_, term)| &term.species);
        let found = all.find(|known| known.key() == species.key() && known.phase().is_some());
        found.unwrap_or(species).clone()
    };
    let terms = terms.into_iter();
    terms.map(|(n, species)| (n, stated(&species))).collect()
}

fn away(
    at: &AtTemperature,
    cell: Option<&Cell>,
    activities: Vec<(Exact, Species, Number)>,
    kelvin: &Number,
) -> Away {
    let powers: Vec<(Exact, Number)> = activities
        .iter()
        .map(|(n, _, a)| (n.clone(), a.clone()))
        .collect();
    let energy = quotient_energy(&powers, kelvin);
    let gibbs = at.gibbs.as_ref().ok().zip(energy.as_ref());
    let gibbs = gibbs.map(|((gibbs, _), energy)| {
        Quantity::coherent(gibbs.number() + energy, Dimension::MOLAR_ENERGY)
    });
    let volts = cell.zip(energy.as_ref());
    let volts = volts.and_then(|(cell, energy)| cell.volts(energy));
    let shifted = |from: Option<&Number>| from.zip(volts.as_ref()).map(|(from, by)| from + by);
    let standard = (kelvin.to_f64() - STANDARD_TEMPERATURE).abs() < 1e-9;
    let tabled = cell
        .and_then(|cell| cell.tabled.as_ref())
        .filter(|_| standard);
    Away {
        gibbs,
        from_gibbs: shifted(cell.and_then(|cell| cell.from_gibbs.as_ref())),
        tabled: shifted(tabled.map(|tabled| &tabled.potential)),
        activities,
    }
}
