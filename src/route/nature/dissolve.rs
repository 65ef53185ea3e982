//! Solids dissolve in water as far as their solubility allows, liquids and gases that it takes up wholly, with their heat.
//!
//! Dissolving changes the temperature and the temperature the solubility, so both are found together.

use crate::equation::ionic::{Form, Ions, in_water, is_guessed, is_known_to_dissolve};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};
use crate::solution;
use crate::thermo;
use crate::vessel::reaction;
use crate::vessel::saturation::{self, Room};
use crate::vessel::{Cited, Heat, grams, reagent};

use super::super::bench::Account;
use super::super::ledger::{Fact, Weight};
use super::super::moment::{Done, Run};
use super::super::program::VesselId;
use super::rest;

/// Rounds in which amount and temperature come to agree: the digits double in each.
const ROUNDS: usize = 16;

/// What dissolved, in mol, and the heat of that.
#[derive(Clone, Debug)]
pub struct Dissolved {
    /// Solids, liquids or gases as they were.
    pub what: Vec<(Species, Number)>,
    /// In kJ.
    pub heat: Heat,
}

/// Dissolves what it can.
pub fn dissolve(run: &mut Run<'_>, vessel: VesselId) -> Done<Dissolved> {
    let mut dissolved = Vec::new();
    let mut heat = Heat::none();
    let pure = run
        .contents(vessel)
        .of_phases(|phase| phase != Phase::Aqueous);
    for (solid, _) in pure.iter().filter(|(solid, _)| solid.key() != "H2O") {
        if !run.is_wet(vessel) {
            break;
        }
        let Some(terms) = terms(run, vessel, solid) else {
            tell_guess(run, solid);
            continue;
        };
        let (moles, own) = to_saturation(run, vessel, (solid, &terms))?;
        if !moles.is_positive() {
            continue;
        }
        if let Heat::Unknown(species) = own.clone() {
            run.remark(Weight::Note, Fact::NoHeatData { species });
        }
        heat = heat.plus(&own);
        dissolved.push((solid.clone(), moles));
    }
    Ok(Dissolved {
        what: dissolved,
        heat,
    })
}

/// A formula of which the tables say nothing at all may be a slip.
fn tell_guess(run: &mut Run<'_>, solid: &Species) {
    let guessed = is_guessed(&solid.with_phase(None));
    if guessed && thermo::standard(&run.program.store, &solid.with_phase(None)).is_err() {
        let species = solid.clone();
        run.remark(Weight::Note, Fact::UnknownInWater { species });
    }
}

/// What a solid becomes in water: ions, or molecules if a solubility is known for them. `None` for what stays solid.
fn terms(run: &mut Run<'_>, vessel: VesselId, solid: &Species) -> Option<Ions> {
    let bare = solid.with_phase(None);
    let became = match in_water(&bare) {
        Form::Ions(ions) => ions,
        _ => molecules(run, vessel, solid)?,
    };
    let gone = (Exact::from(-1), solid.clone());
    Some(std::iter::once(gone).chain(became).collect())
}

/// A molecular substance with the water of its hydrate. Without a solubility a liquid or solid that the table of forms
/// in water lists as a molecule is taken to dissolve.
fn molecules(run: &mut Run<'_>, vessel: VesselId, solid: &Species) -> Option<Ions> {
    let (molecule, water) = solution::anhydrous(&solid.with_phase(None));
    if in_water(&molecule) != Form::Molecule {
        return None;
    }
    if !is_known_to_dissolve(&molecule) {
        room(run, vessel, solid)?;
    }
    let dissolved = (Exact::one(), molecule.with_phase(Some(Phase::Aqueous)));
    let water = (!water.is_zero()).then(|| (water, reagent::water()));
    Some(std::iter::once(dissolved).chain(water).collect())
}

fn room(run: &mut Run<'_>, vessel: VesselId, solid: &Species) -> Option<Room> {
    // The tables begin at 0 °C and end at 100 °C; beyond them the value at their end is the best there is.
    let bounds = [27_315, 37_315].map(|kelvin| Number::exact(Exact::ratio(kelvin, 100)));
    let at = run.kelvins(vessel).clone();
    let [coldest, hottest] = bounds;
    let at = at.max(coldest).min(hottest);
    let room = saturation::room_for(run.contents(vessel), solid, &at)?;
    Some(run.noted(room))
}

/// Dissolves a solid until it is gone or the solution is saturated at the temperature it then has.
fn to_saturation(
    run: &mut Run<'_>,
    vessel: VesselId,
    (solid, terms): (&Species, &Ions),
) -> Done<(Number, Heat)> {
    let all = run.contents(vessel).amount(solid);
    let (mut total, mut heat) = (Number::zero(), Heat::none());
    let mut limit = None;
    let mut before: Option<Round> = None;
    for _ in 0..ROUNDS {
        let there = run.contents(vessel).amount(solid);
        let found = room(run, vessel, solid);
        limit = found.as_ref().map(|room| room.solubility.clone());
        let step = match found {
            Some(Room { moles: room, .. }) => {
                let step = next_step(before.as_ref(), &room);
                let step = step.min(there).max(-&total);
                before = Some(Round {
                    room: room.to_f64(),
                    step: step.to_f64(),
                });
                step
            }
            None => there,
        };
        let share = step.to_f64().abs() / all.to_f64();
        if share <= 1e-11 {
            break;
        }
        let own = heat_of(run, vessel, (solid, terms), &step);
        let changed = run.bench.react_with(vessel, terms, &step, &own);
        changed.map_err(|short| run.short(Account::Vessel(vessel), short))?;
        rest::settle(run, vessel)?;
        heat = heat.plus(&own);
        total += &step;
        // What the secant still leaves is smaller than such a step by as much as that is than the one before.
        if share <= 1e-8 {
            break;
        }
    }
    tell(run, vessel, solid, limit);
    Ok((total, heat))
}

/// What dissolved in a round, in mol, and the room there was for it.
struct Round {
    room: f64,
    step: f64,
}

/// Fills the room; what that leaves tells how the temperature moves it, and so how far to go (the secant).
fn next_step(before: Option<&Round>, room: &Number) -> Number {
    let left = before.map_or(0.0, |before| room.to_f64() / before.room);
    let reach = before.map_or(1.0, |before| before.step / before.room / (1.0 - left));
    // A step that went wrong teaches nothing.
    match (0.1..10.0).contains(&reach) {
        true => {
            let reach = Exact::modelled(reach).unwrap_or_else(Exact::one);
            room.scaled(&reach).settled()
        }
        false => room.clone(),
    }
}

/// By the heats of formation, else by the table of heats of solution at the strength that comes of it.
fn heat_of(
    run: &mut Run<'_>,
    vessel: VesselId,
    (solid, terms): (&Species, &Ions),
    moles: &Number,
) -> Heat {
    let formed = reaction::heat_of(&run.program.store, terms, moles);
    let formed = run.noted(formed);
    if formed.known().is_some() {
        return formed;
    }
    let water = run.contents(vessel).amount(&reagent::water());
    let ratio = water.checked_div(&run.contents(vessel).amount(solid));
    let measured = ratio.and_then(|ratio| solution::heat_of_solution(solid, &ratio).ok());
    match measured {
        Some(found) => {
            let cited = Cited::from(found).map(|heat| Heat::Known((&heat * moles).settled()));
            run.noted(cited)
        }
        None => formed,
    }
}

/// Tells what stays solid, or that nothing is known of its solubility.
fn tell(run: &mut Run<'_>, vessel: VesselId, solid: &Species, limit: Option<Number>) {
    let stays = run.contents(vessel).amount(solid);
    let species = solid.clone();
    let fact = match limit {
        // A liquid or gas that the forms in water list, such as sulfuric acid or ammonia, is taken up whole.
        None if solid.phase() != Some(Phase::Solid) => return,
        None => Fact::NoSolubility { species },
        Some(solubility) if stays.is_positive() => Fact::Undissolved {
            grams: grams(solid, &stays),
            species,
            solubility,
        },
        Some(_) => return,
    };
    run.remark(Weight::Note, fact);
}
