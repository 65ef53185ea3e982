//! `crystallise`: what a solution gives up at a temperature.

use crate::matter::Species;
use crate::number::Number;
use crate::solution::{self, NoCrystals};

use super::super::books::Account;
use super::super::contents::{Contents, grams};
use super::super::energy::Place;
use super::super::ledger::{CrystalRecord, Fact, Heat, Outcome, Weight};
use super::super::program::{Program, Value, VesselId};
use super::super::stuff;
use super::state::State;
use super::{Blank, Done, charge, enthalpy, separate, thermal};

/// `crystallise V at T: FORMULA -> W`. The liquor stays in `V`; some of it clings to the crystals.
pub(super) fn crystallise(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    at: &Value,
    solid: &Species,
    into: VesselId,
) -> Done<Outcome> {
    separate::not_empty(state, vessel)?;
    let at = thermal::temperature(program, state, at)?;
    let bare = solid.with_phase(None);
    let contents = state.vessels[vessel].contents.clone();
    let units = stuff::units_in_solution(&contents, &bare).unwrap_or_else(Number::zero);
    let water = stuff::grams_of_water(&contents);
    let crystals = match solution::crystals(&bare, &water, &units, &at) {
        Ok(found) => {
            state.cite(found.source.citation());
            found.value
        }
        Err(why) => return Err(told(state, solid, &why)),
    };
    if !same_solid(&crystals.solid, solid) {
        return Err(other_hydrate(state, solid, &crystals.solid));
    }
    tell_ions_in_common(state, (solid, &units), &contents);
    let cooling = enthalpy::leave_at(program, state, vessel, &at, Place::Bath);
    state.count_from_here(vessel);
    state.raise_peak(vessel);
    if !crystals.moles.is_positive() {
        let species = solid.clone();
        state.remark(Weight::Warning, Fact::NotSaturated { species });
    }
    let moles = crystals.moles.clone();
    let dissolved = stuff::in_solution(&bare).into_iter();
    let mut terms: Vec<_> = dissolved.map(|(n, s)| (-n, s)).collect();
    terms.push((crate::number::Exact::one(), solid.clone()));
    let growing = enthalpy::change(program, state, vessel, &terms, &moles);
    let taken = enthalpy::leave_at(program, state, vessel, &at, Place::Bath);
    let used = terms.iter().filter(|(n, _)| n.is_negative());
    state.consumed.extend(used.map(|(_, s)| s.clone()));
    // What crystallising gives off goes to the same bath as the cooling.
    let bath = match growing {
        Heat::Known(_) => Heat::Known(&cooling + &taken),
        unknown @ Heat::Unknown(_) => unknown,
    };
    let solubility = solution::solubility(&bare, &at).map(|s| s.value.grams_per_100_g_water);
    let stays = &units - &moles;
    let retained = match moles.is_positive() {
        true => take_out(program, state, vessel, solid, into),
        false => {
            state.touch(program, vessel);
            state.touch(program, into);
            Number::zero()
        }
    };
    Ok(Outcome::Crystallised(Box::new(CrystalRecord {
        vessel: state.vessels[vessel].name.clone(),
        into: state.vessels[into].name.clone(),
        solid: solid.clone(),
        temperature: at,
        grams: grams(solid, &moles),
        stays: grams(solid, &stays),
        moles,
        solubility: solubility.unwrap_or_else(|_| Number::zero()),
        bath,
        retained,
    })))
}

fn other_hydrate(state: &mut State, asked: &Species, stable: &Species) -> Blank {
    let fact = Fact::OtherHydrate {
        asked: asked.clone(),
        stable: stable.key().to_owned(),
    };
    state.remark(Weight::Fault, fact);
    Blank
}

/// Less of an ion beyond what belongs to the crystals, as a share of that, is not worth a word.
const IN_COMMON: f64 = 0.05;

/// The tables know solubilities in pure water only: where the liquor has more of an ion of the crystals, the crop may be
/// larger, at most all of what there is.
fn tell_ions_in_common(state: &mut State, (solid, units): (&Species, &Number), liquor: &Contents) {
    let of_the_salt = stuff::in_solution(&solid.with_phase(None));
    let more = of_the_salt.into_iter().filter(|(count, ion)| {
        let belongs = units.to_f64() * count.to_f64();
        ion.charge() != 0 && liquor.amount(ion).to_f64() > (1.0 + IN_COMMON) * belongs
    });
    let ions: Vec<Species> = more.map(|(_, ion)| ion).collect();
    if ions.is_empty() || units.is_zero() {
        return;
    }
    let fact = Fact::IonsInCommon {
        species: solid.clone(),
        ions,
        most: grams(solid, units),
    };
    state.remark(Weight::Note, fact);
}

/// Whether two formulas are one solid: `Fe(NH4)2(SO4)2·6H2O` and `(NH4)2Fe(SO4)2·6H2O` are.
fn same_solid(listed: &Species, asked: &Species) -> bool {
    let water = |species: &Species| solution::anhydrous(&species.with_phase(None)).1;
    listed.key() == asked.key()
        || (listed.composition() == asked.composition() && water(listed) == water(asked))
}

/// Moves the crystals with the liquor that clings to them.
fn take_out(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    solid: &Species,
    into: VesselId,
) -> Number {
    let retained = separate::default_retained(state, vessel);
    let (_, clinging) = separate::split_liquid(program, state, vessel, &retained);
    let mut crop = clinging;
    crop.add(solid, &state.vessels[vessel].contents.amount(solid));
    let at = state.vessels[vessel].temperature.clone();
    charge::receive(program, state, into, Account::Vessel(vessel), &crop, &at);
    enthalpy::settle(program, state, into);
    state.touch(program, vessel);
    state.touch(program, into);
    retained
}

fn told(state: &mut State, solid: &Species, why: &NoCrystals) -> Blank {
    let fact = match why {
        NoCrystals::Solubility(_) => Fact::NoSolubility {
            species: solid.clone(),
        },
        NoCrystals::OpenHydrate => Fact::OtherHydrate {
            asked: solid.clone(),
            stable: "a lower hydrate whose water the source leaves open".to_owned(),
        },
        NoCrystals::SetsWhole { solid } => Fact::Modelled {
            what: "crystallisation",
            detail: format!(
                "the crystals of {} would take all the water: nothing stays liquid",
                solid.key()
            ),
        },
    };
    state.remark(Weight::Fault, fact);
    Blank
}
