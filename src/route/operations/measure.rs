//! `measure F(V): Q`: what was really found takes the place of the plan, and the difference is booked to losses.

use crate::matter::{Phase, Species};
use crate::number::{Exact, Number, Quantity};
use crate::vessel::{Contents, reagent, salts};

use super::super::bench::{Account, Place};
use super::super::ledger::{Fact, Outcome};
use super::super::moment::{Done, Refusal, Run};
use super::super::program::{Node, Property, SpeciesProperty, Value, VesselId};
use super::demand;
use super::standardise::standardise;
use super::weigh::{lose_share, weigh};

/// `measure F(V): Q`: what tells how much of something there is takes the place of the plan, and so does a temperature; any
/// other figure stands beside the plan, since nobody knows what was lost.
pub(super) fn measure(run: &mut Run<'_>, what: &Value, found: &Value) -> Done<Outcome> {
    if let Node::Of(Property::Mass, vessel) = what.node {
        return weigh(run, vessel, found);
    }
    let found = run.quantity(found)?;
    let planned = match what.node {
        // Nothing was planned where only the thermometer knows.
        Node::Of(Property::Temperature, vessel)
            if !run.bench.vessel(vessel).knows_temperature() =>
        {
            found.clone()
        }
        _ => run.quantity(what)?,
    };
    let mut replaces = true;
    let mut lost = None;
    match &what.node {
        Node::Of(Property::Temperature, vessel) => {
            run.bench.leave_at(*vessel, found.number(), Place::Room);
            run.bench.settles_temperature(*vessel);
            run.bench.count_from_here(*vessel);
            run.bench.raise_peak(*vessel);
        }
        Node::Strength(bottle) => {
            let factor = demand::share(found.number(), planned.number(), &what.text)?;
            standardise(run, Some(*bottle), &factor)?;
        }
        _ => match part_of(run, &what.node) {
            Some((vessel, part)) if planned.number().is_positive() => {
                let factor = share(run, what, (vessel, &part), (&planned, &found))?;
                lost = Some(lose_share(run, vessel, &part, factor)?);
            }
            _ => replaces = false,
        },
    }
    Ok(Outcome::Found {
        what: what.text.clone(),
        planned,
        found,
        lost,
        replaces,
    })
}

/// What of a vessel a figure speaks of, where that can be told: an ion comes and goes with the most plentiful ion of the
/// other sign.
fn part_of(run: &Run<'_>, node: &Node) -> Option<(VesselId, Contents)> {
    use SpeciesProperty::{Amount, Concentration, Fraction};
    match node {
        Node::Of(Property::Volume, vessel) => Some((*vessel, run.contents(*vessel).liquid())),
        Node::OfSpecies(Amount | Concentration | Fraction, species, vessel) => {
            let part = match species.charge() {
                0 => neutral_part(run, species, *vessel),
                _ => ion_with_partner(run, species, *vessel),
            };
            Some((*vessel, part?))
        }
        _ => None,
    }
}

/// How many times as much of a part there is as was planned, so that the figure is the one found.
fn share(
    run: &mut Run<'_>,
    what: &Value,
    (vessel, part): (VesselId, &Contents),
    (planned, found): (&Quantity, &Quantity),
) -> Done<Number> {
    let ratio = demand::share(found.number(), planned.number(), &what.text)?;
    let wanted = found.number().to_f64();
    let asked = match &what.node {
        Node::OfSpecies(property, ..) => Some(*property),
        _ => None,
    };
    if asked == Some(SpeciesProperty::Amount) || !ratio.is_positive() {
        return Ok(ratio);
    }
    let whole = asked == Some(SpeciesProperty::Fraction) && wanted >= 1.0;
    let factor = match asked {
        // What is met to the last digit of a model is met: the amounts need no more digits for it.
        _ if (ratio.to_f64() - 1.0).abs() < CLOSE => 1.0,
        Some(SpeciesProperty::Concentration | SpeciesProperty::Fraction) if !whole => {
            closed_in(run, what, (vessel, part), ratio.to_f64(), wanted)?
        }
        _ => return Ok(ratio),
    };
    let slope = factor / ratio.to_f64();
    ratio.through_model(factor, slope).ok_or_else(|| {
        Refusal::of(Fact::NoAnswer {
            expression: what.text.clone(),
        })
    })
}

/// The factor for a part whose share of the whole is wanted: with less of it the liquid is less too, and so is the whole.
/// It is closed in on, since the density is a model.
fn closed_in(
    run: &mut Run<'_>,
    what: &Value,
    (vessel, part): (VesselId, &Contents),
    begin: f64,
    wanted: f64,
) -> Done<f64> {
    let is_fraction = matches!(what.node, Node::OfSpecies(SpeciesProperty::Fraction, ..));
    let part = settled(part);
    let mut factor = begin;
    for _ in 0..MOST_ROUNDS {
        let now = figure_with(run, what, (vessel, &part), factor)?;
        if (now / wanted - 1.0).abs() < CLOSE {
            break;
        }
        factor *= match is_fraction {
            true => wanted * (1.0 - now) / (now * (1.0 - wanted)),
            false => wanted / now,
        };
    }
    Ok(factor)
}

/// What the figure would be with so many times as much of a part; the bench stays as it is.
fn figure_with(
    run: &Run<'_>,
    what: &Value,
    (vessel, part): (VesselId, &Contents),
    factor: f64,
) -> Done<f64> {
    let unknown = || {
        Refusal::of(Fact::NoAnswer {
            expression: what.text.clone(),
        })
    };
    let scaled = Number::modelled(factor).ok_or_else(unknown)?;
    let less = part.scaled(&(&Number::one() - &scaled));
    run.trial(|trial| {
        let done = trial.bench.lose(vessel, &less);
        done.map_err(|short| trial.short(Account::Vessel(vessel), short))?;
        Ok(trial.quantity(what)?.number().to_f64())
    })
}

/// To the digits of a model, which is all that a density has use for.
fn settled(contents: &Contents) -> Contents {
    let mut settled = Contents::new();
    for (species, moles) in contents.iter() {
        settled.add(species, &moles.settled());
    }
    settled
}

/// As near as the twelve digits of a model come.
const CLOSE: f64 = 1e-11;

/// Each round brings an order of magnitude or more.
const MOST_ROUNDS: usize = 40;

/// An ion and as many of the most plentiful ion of the other sign as belong to it; `None` where there are too few.
fn ion_with_partner(run: &Run<'_>, ion: &Species, vessel: VesselId) -> Option<Contents> {
    let contents = run.contents(vessel);
    let dissolved = ion.with_phase(Some(Phase::Aqueous));
    let moles = contents.amount(&dissolved);
    let of_other_sign = contents
        .iter()
        .filter(|(s, _)| s.charge() * ion.charge() < 0);
    let (partner, there) = of_other_sign.max_by(|(_, a), (_, b)| a.value().cmp(b.value()))?;
    let each = Exact::ratio(ion.charge().abs(), partner.charge().abs());
    let goes = moles.scaled(&each);
    if goes.value() > there.value() {
        return None;
    }
    let mut part = Contents::new();
    part.add(&dissolved, &moles);
    part.add(partner, &goes);
    Some(part)
}

/// All of a substance in a vessel, a dissolved salt as its ions.
fn neutral_part(run: &Run<'_>, species: &Species, vessel: VesselId) -> Option<Contents> {
    let contents = run.contents(vessel);
    let mut part = Contents::new();
    let same = contents.iter().filter(|(s, _)| match species.phase() {
        Some(_) => *s == species,
        None => s.key() == species.key(),
    });
    for (same, moles) in same {
        part.add(same, moles);
    }
    let ions = reagent::in_solution(species);
    if species.phase().is_none() && ions.len() > 1 {
        let units = salts::units_in_solution(contents, species)?;
        for (count, ion) in ions {
            part.add(&ion, &units.scaled(&count));
        }
    }
    Some(part)
}
