//! Solids dissolve in water as far as their solubility allows, liquids and gases that it takes up wholly, with their heat.
//!
//! Dissolving changes the temperature and the temperature the solubility, so both are found together.

use crate::equation::ionic::{Ions, is_guessed};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};
use crate::solution;
use crate::thermo;
use crate::vessel::saturation::{self, Room};
use crate::vessel::{Cited, Heat, grams};
use crate::vessel::{reaction, stock};

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

/// Dissolves what it can, and tells what stays solid.
pub fn dissolve(run: &mut Run<'_>, vessel: VesselId) -> Done<Dissolved> {
    let pure = run
        .contents(vessel)
        .of_phases(|phase| phase != Phase::Aqueous);
    let dissolved = take_up(run, vessel)?;
    if let Heat::Unknown(species) = dissolved.heat.clone() {
        run.remark(Weight::Note, Fact::NoHeatData { species });
    }
    for (solid, _) in pure.iter().filter(|(solid, _)| solid.key() != "H2O") {
        if !run.is_wet(vessel) {
            break;
        }
        match terms(run, vessel, solid) {
            Some(_) => tell(run, vessel, solid),
            None => tell_guess(run, solid),
        }
    }
    Ok(dissolved)
}

/// Dissolves what it can without a word: a reagent that is used up draws on what lies under the liquid.
pub fn take_up(run: &mut Run<'_>, vessel: VesselId) -> Done<Dissolved> {
    let mut what = Vec::new();
    let mut heat = Heat::none();
    let pure = run
        .contents(vessel)
        .of_phases(|phase| phase != Phase::Aqueous);
    for (solid, _) in pure.iter().filter(|(solid, _)| solid.key() != "H2O") {
        if !run.is_wet(vessel) {
            break;
        }
        let Some(terms) = terms(run, vessel, solid) else {
            continue;
        };
        let (moles, own) = to_saturation(run, vessel, (solid, &terms))?;
        if moles.is_positive() {
            heat = heat.plus(&own);
            what.push((solid.clone(), moles));
        }
    }
    Ok(Dissolved { what, heat })
}

/// A formula of which the tables say nothing at all may be a slip.
fn tell_guess(run: &mut Run<'_>, solid: &Species) {
    let guessed = is_guessed(&solid.with_phase(None));
    if guessed && thermo::standard(&run.program.store, &solid.with_phase(None)).is_err() {
        let species = solid.clone();
        run.remark(Weight::Note, Fact::UnknownInWater { species });
    }
}

/// The change by which a solid dissolves; `None` for what stays solid.
fn terms(run: &Run<'_>, vessel: VesselId, solid: &Species) -> Option<Ions> {
    let became = stock::dissolves_to(solid, run.kelvins(vessel))?;
    let gone = (Exact::from(-1), solid.clone());
    Some(std::iter::once(gone).chain(became).collect())
}

fn room(run: &mut Run<'_>, vessel: VesselId, solid: &Species) -> Option<Room> {
    let at = stock::within_the_tables(run.kelvins(vessel));
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
    let mut before: Option<Round> = None;
    for _ in 0..ROUNDS {
        let there = run.contents(vessel).amount(solid);
        let found = room(run, vessel, solid);
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
        let own = heat_of(run, (solid, terms), &step);
        // An unknown heat counts as none at 25 °C, so that the temperature does not depend on when it dissolves.
        let none = Heat::none();
        let posted = own.known().map_or(&none, |_| &own);
        let changed = run.bench.react_with(vessel, terms, &step, posted);
        changed.map_err(|short| run.short(Account::Vessel(vessel), short))?;
        rest::settle(run, vessel)?;
        heat = heat.plus(&own);
        total += &step;
        // What the secant still leaves is smaller than such a step by as much as that is than the one before.
        if share <= 1e-8 {
            break;
        }
    }
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

/// By the heats of formation, else by the table of heats of solution: both to infinite dilution, since what the solution has
/// at its strength is its excess. So the heat does not depend on the order of pouring.
fn heat_of(run: &mut Run<'_>, (solid, terms): (&Species, &Ions), moles: &Number) -> Heat {
    let formed = reaction::heat_of(&run.program.store, terms, moles);
    let formed = run.noted(formed);
    if formed.known().is_some() {
        return formed;
    }
    match solution::limiting_heat_of_solution(solid) {
        Ok(found) => {
            let cited = Cited::from(found).map(|heat| Heat::Known((&heat * moles).settled()));
            run.noted(cited)
        }
        Err(_) => formed,
    }
}

/// Tells what stays solid, or that nothing is known of its solubility.
fn tell(run: &mut Run<'_>, vessel: VesselId, solid: &Species) {
    let limit = room(run, vessel, solid).map(|room| room.solubility);
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
