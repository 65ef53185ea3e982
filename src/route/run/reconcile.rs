//! `weigh` and `measure`: what was really found replaces the plan from there on, and the difference is booked to losses.

use crate::matter::{Phase, Species};
use crate::number::{Exact, Number, Quantity, unit};

use super::super::books::Account;
use super::super::contents::Contents;
use super::super::energy::Place;
use super::super::ledger::{Fact, Outcome, Weight};
use super::super::program::{Node, Program, Property, SpeciesProperty, Value, VesselId};
use super::super::stuff;
use super::state::State;
use super::{Blank, Done, charge, enthalpy, separate, titrate};

/// `weigh V: Q`: everything in it was less, or more, by the same share.
pub(super) fn weigh(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    found: &Value,
) -> Done<Outcome> {
    separate::not_empty(state, vessel)?;
    let found = charge::positive(program, state, found)?;
    let planned = Quantity::of(state.grams(&state.vessels[vessel].contents), &unit::GRAM);
    let part = state.vessels[vessel].contents.clone();
    let factor = found.number().checked_div(planned.number()).ok_or(Blank)?;
    let lost = book(program, state, vessel, &part, factor)?;
    state.vessels[vessel].weighed = Some(found.clone());
    Ok(Outcome::Found {
        what: state.vessels[vessel].name.clone(),
        planned,
        found,
        lost: Some(lost),
        replaces: true,
    })
}

/// `measure F(V): Q`: what tells how much of something there is takes the place of the plan, and so does a temperature; any
/// other figure stands beside the plan, since nobody knows what was lost.
pub(super) fn measure(
    program: &Program,
    state: &mut State,
    what: &Value,
    found: &Value,
) -> Done<Outcome> {
    if let Node::Of(Property::Mass, vessel) = what.node {
        return weigh(program, state, vessel, found);
    }
    let planned = state.quantity(program, what)?;
    let found = state.quantity(program, found)?;
    let mut replaces = true;
    let mut lost = None;
    match &what.node {
        Node::Of(Property::Temperature, vessel) => {
            enthalpy::leave_at(program, state, *vessel, found.number(), Place::Room);
            state.count_from_here(*vessel);
            state.raise_peak(*vessel);
        }
        Node::Strength(bottle) => {
            let factor = found.number().checked_div(planned.number()).ok_or(Blank)?;
            titrate::standardise(program, state, Some(*bottle), &factor);
        }
        _ => match part_of(state, &what.node) {
            Some((vessel, part)) if planned.number().is_positive() => {
                let factor = share(program, state, what, (vessel, &part), (&planned, &found))?;
                lost = Some(book(program, state, vessel, &part, factor)?);
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
fn part_of(state: &State, node: &Node) -> Option<(VesselId, Contents)> {
    use SpeciesProperty::{Amount, Concentration, Fraction};
    match node {
        Node::Of(Property::Volume, vessel) => {
            Some((*vessel, state.vessels[*vessel].contents.liquid()))
        }
        Node::OfSpecies(Amount | Concentration | Fraction, species, vessel) => {
            let part = match species.charge() {
                0 => neutral_part(state, species, *vessel),
                _ => ion_with_partner(state, species, *vessel),
            };
            Some((*vessel, part?))
        }
        _ => None,
    }
}

/// How many times as much of a part there is as was planned, so that the figure is the one found.
fn share(
    program: &Program,
    state: &mut State,
    what: &Value,
    (vessel, part): (VesselId, &Contents),
    (planned, found): (&Quantity, &Quantity),
) -> Done<Number> {
    let ratio = found.number().checked_div(planned.number()).ok_or(Blank)?;
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
            closed_in(program, state, what, (vessel, part), ratio.to_f64(), wanted)?
        }
        _ => return Ok(ratio),
    };
    let slope = factor / ratio.to_f64();
    ratio.through_model(factor, slope).ok_or(Blank)
}

/// The factor for a part whose share of the whole is wanted: with less of it the liquid is less too, and so is the whole.
/// It is closed in on, since the density is a model.
fn closed_in(
    program: &Program,
    state: &mut State,
    what: &Value,
    (vessel, part): (VesselId, &Contents),
    begin: f64,
    wanted: f64,
) -> Done<f64> {
    let is_fraction = matches!(what.node, Node::OfSpecies(SpeciesProperty::Fraction, ..));
    let before = state.vessels[vessel].contents.clone();
    let (all, part) = (settled(&before), settled(part));
    let mut factor = begin;
    for _ in 0..MOST_ROUNDS {
        let scaled = Number::modelled(factor).ok_or(Blank)?;
        let mut contents = all.clone();
        contents.add_all(&part.scaled(&(&scaled - &Number::one())));
        state.vessels[vessel].contents = contents;
        let now = state.quantity(program, what).map(|q| q.number().to_f64());
        state.vessels[vessel].contents = before.clone();
        let now = now?;
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
fn ion_with_partner(state: &State, ion: &Species, vessel: VesselId) -> Option<Contents> {
    let contents = &state.vessels[vessel].contents;
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
fn neutral_part(state: &State, species: &Species, vessel: VesselId) -> Option<Contents> {
    let contents = &state.vessels[vessel].contents;
    let mut part = Contents::new();
    let same = contents.iter().filter(|(s, _)| match species.phase() {
        Some(_) => *s == species,
        None => s.key() == species.key(),
    });
    for (same, moles) in same {
        part.add(same, moles);
    }
    let ions = stuff::in_solution(species);
    if species.phase().is_none() && ions.len() > 1 {
        let units = stuff::units_in_solution(contents, species)?;
        for (count, ion) in ions {
            part.add(&ion, &units.scaled(&count));
        }
    }
    Some(part)
}

/// Books the difference, as a share of a part of a vessel; gives its mass in g.
fn book(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    part: &Contents,
    factor: Number,
) -> Done<Number> {
    if factor.is_negative() {
        let fact = Fact::NotPositive {
            expression: state.vessels[vessel].name.clone(),
        };
        state.remark(Weight::Fault, fact);
        return Err(Blank);
    }
    if factor.value() > &Exact::one() {
        let fraction = &factor - &Number::one();
        state.remark(Weight::Warning, Fact::FoundMore { fraction });
    }
    let lost = part.scaled(&(&Number::one() - &factor));
    let mixing = enthalpy::excess(program, state, vessel);
    state.transfer_all(Account::Vessel(vessel), Account::Losses, &lost);
    enthalpy::follow_losses(program, state, vessel, &mixing);
    state.touch(program, vessel);
    Ok(state.grams(&lost))
}
