//! `weigh` and `measure`: what was really found replaces the plan from there on, and the difference is booked to losses.

use crate::matter::Species;
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
    let planned = Quantity::of(state.vessels[vessel].contents.grams(), &unit::GRAM);
    let part = state.vessels[vessel].contents.clone();
    let lost = book(program, state, vessel, &part, (&planned, &found))?;
    state.vessels[vessel].weighed = true;
    Ok(Outcome::Found {
        what: state.vessels[vessel].name.clone(),
        planned,
        found,
        lost: Some(lost),
    })
}

/// `measure F(V): Q`: a mass, a volume of liquid or an amount is put in the place of the plan, and so is a temperature;
/// any other figure stands beside the plan, since nobody knows what was lost.
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
    let lost = match part_of(state, &what.node) {
        Some((vessel, part)) if planned.number().is_positive() => {
            Some(book(program, state, vessel, &part, (&planned, &found))?)
        }
        _ => None,
    };
    if let Node::Of(Property::Temperature, vessel) = what.node {
        enthalpy::leave_at(program, state, vessel, found.number(), Place::Room);
        state.count_from_here(vessel);
        state.raise_peak(vessel);
    }
    if let Node::Strength(bottle) = what.node {
        let factor = found.number().checked_div(planned.number()).ok_or(Blank)?;
        titrate::standardise(program, state, Some(bottle), &factor);
    }
    Ok(Outcome::Found {
        what: what.text.clone(),
        planned,
        found,
        lost,
    })
}

/// What of a vessel a figure speaks of, where that can be told.
fn part_of(state: &State, node: &Node) -> Option<(VesselId, Contents)> {
    match node {
        Node::Of(Property::Volume, vessel) => {
            Some((*vessel, state.vessels[*vessel].contents.liquid()))
        }
        Node::OfSpecies(SpeciesProperty::Amount, species, vessel) => {
            Some((*vessel, neutral_part(state, species, *vessel)?))
        }
        _ => None,
    }
}

/// All of a substance in a vessel, a dissolved salt as its ions; an ion alone cannot be lost.
fn neutral_part(state: &State, species: &Species, vessel: VesselId) -> Option<Contents> {
    if species.charge() != 0 {
        return None;
    }
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
    (planned, found): (&Quantity, &Quantity),
) -> Done<Number> {
    let factor = found.number().checked_div(planned.number()).ok_or(Blank)?;
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
    state.transfer_all(Account::Vessel(vessel), Account::Losses, &lost);
    // What was never there takes its heat along: the temperature is as it was.
    let at = state.vessels[vessel].temperature.clone();
    enthalpy::leave_at(program, state, vessel, &at, Place::Losses);
    state.touch(program, vessel);
    Ok(lost.grams())
}
