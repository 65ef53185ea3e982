//! `crystallise`: what a solution gives up at a temperature.

use crate::matter::Species;
use crate::number::{Exact, Number};
use crate::solution::{self, NoCrystals};
use crate::vessel::{Cited, Contents, Heat, grams, reagent, salts};

use super::super::bench::{Account, Place};
use super::super::ledger::{CrystalRecord, Fact, Outcome, Weight};
use super::super::moment::{Done, Refusal, Run};
use super::super::nature::rest;
use super::super::program::{Value, VesselId};
use super::demand::not_empty;
use super::liquor::{part_liquid, usually_retained};
use super::portion::receive;

/// `crystallise V at T: FORMULA -> W`. The liquor stays in `V`; some of it clings to the crystals.
pub(super) fn crystallise(
    run: &mut Run<'_>,
    vessel: VesselId,
    at: &Value,
    solid: &Species,
    into: VesselId,
) -> Done<Outcome> {
    not_empty(run, vessel)?;
    let at = run.quantity(at)?.number().clone();
    let bare = solid.with_phase(None);
    let contents = run.contents(vessel).clone();
    let units = salts::units_in_solution(&contents, &bare).unwrap_or_else(Number::zero);
    let water = reagent::grams_of_water(&contents);
    if water.is_zero() {
        let vessel = run.name(vessel);
        return Err(Fact::NoSolution { vessel }.into());
    }
    let crystals = match solution::crystals(&bare, &water, &units, &at) {
        Ok(found) => run.noted(Cited::from(found)),
        Err(why) => return Err(none(solid, &why)),
    };
    if !same_solid(&crystals.solid, solid) {
        return Err(other_hydrate(solid, &crystals.solid));
    }
    tell_ions_in_common(run, (solid, &units), &contents);
    let cooling = run.bench.leave_at(vessel, &at, Place::Bath);
    run.bench.count_from_here(vessel);
    run.bench.raise_peak(vessel);
    if !crystals.moles.is_positive() {
        let species = solid.clone();
        run.remark(Weight::Warning, Fact::NotSaturated { species });
    }
    let moles = crystals.moles.clone();
    let dissolved = reagent::in_solution(&bare).into_iter();
    let mut terms: Vec<_> = dissolved.map(|(n, s)| (-n, s)).collect();
    terms.push((Exact::one(), solid.clone()));
    let growing = run.react(vessel, &terms, &moles)?;
    let taken = run.bench.leave_at(vessel, &at, Place::Bath);
    let used = terms.iter().filter(|(n, _)| n.is_negative());
    run.record.consumed.extend(used.map(|(_, s)| s.clone()));
    // What crystallising gives off goes to the same bath as the cooling.
    let bath = match growing {
        Heat::Known(_) => Heat::Known(&cooling + &taken),
        unknown @ Heat::Unknown(_) => unknown,
    };
    let solubility = solution::solubility(&bare, &at).map(|s| s.value.grams_per_100_g_water);
    let stays = &units - &moles;
    let retained = match moles.is_positive() {
        true => take_out(run, vessel, solid, into)?,
        false => {
            run.touch(vessel);
            run.touch(into);
            Number::zero()
        }
    };
    Ok(Outcome::Crystallised(Box::new(CrystalRecord {
        vessel: run.name(vessel),
        into: run.name(into),
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

fn other_hydrate(asked: &Species, stable: &Species) -> Refusal {
    Refusal::of(Fact::OtherHydrate {
        asked: asked.clone(),
        stable: stable.key().to_owned(),
    })
}

/// Less of an ion beyond what belongs to the crystals, as a share of that, is not worth a word.
const IN_COMMON: f64 = 0.05;

/// The tables know solubilities in pure water only: where the liquor has more of an ion of the crystals, the crop may be
/// larger, at most all of what there is.
fn tell_ions_in_common(run: &mut Run<'_>, (solid, units): (&Species, &Number), liquor: &Contents) {
    let of_the_salt = reagent::in_solution(&solid.with_phase(None));
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
    run.remark(Weight::Note, fact);
}

/// Whether two formulas are one solid: `Fe(NH4)2(SO4)2·6H2O` and `(NH4)2Fe(SO4)2·6H2O` are.
fn same_solid(listed: &Species, asked: &Species) -> bool {
    let water = |species: &Species| solution::anhydrous(&species.with_phase(None)).1;
    listed.key() == asked.key()
        || (listed.composition() == asked.composition() && water(listed) == water(asked))
}

/// Moves the crystals with the liquor that clings to them, of which so many mL are given.
fn take_out(run: &mut Run<'_>, vessel: VesselId, solid: &Species, into: VesselId) -> Done<Number> {
    let retained = usually_retained(run, vessel);
    let mut crop = part_liquid(run, vessel, &retained).stays;
    crop.add(solid, &run.contents(vessel).amount(solid));
    let at = run.kelvins(vessel).clone();
    receive(run, into, Account::Vessel(vessel), &crop, &at)?;
    rest::settle(run, into)?;
    run.touch(vessel);
    run.touch(into);
    Ok(retained)
}

/// Why nothing can be said of crystals.
fn none(solid: &Species, why: &NoCrystals) -> Refusal {
    Refusal::of(match why {
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
    })
}
