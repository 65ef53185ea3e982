//! One step with one bottle after the other, side by side.

use crate::equation::Reaction;
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number, Quantity, unit};
use crate::vessel::reagent;

use super::super::super::bench::Vessel;
use super::super::super::ledger::*;
use super::super::super::moment::Done;
use super::super::super::program::*;
use super::super::scale;
use super::{BEAKER, SideBench, constant, volume};

impl SideBench<'_, '_> {
    /// The same step with one bottle after the other.
    pub(super) fn compare(&mut self, compared: &Compared) -> Done<ComparedBottles> {
        let amount = self.run.quantity(&compared.to)?;
        let moles = scale::moles_of(self.program, &compared.basis, &amount);
        let share = coefficient(&compared.reaction, &compared.basis);
        let turns = moles
            .zip(share.as_ref())
            .and_then(|(moles, share)| moles.checked_div(&Number::exact(share.abs())));
        let (Some(turns), Some(share)) = (turns, share) else {
            return self.fault(Fact::NoAnswer {
                expression: compared.to.text.clone(),
            });
        };
        let within = self.before(compared, share.is_negative())?;
        let mut rows = Vec::with_capacity(compared.bottles.len());
        for bottle in &compared.bottles {
            rows.push(self.with_bottle(compared, bottle, &turns, &within)?);
        }
        Ok(ComparedBottles {
            reaction: compared.reaction.clone(),
            amount,
            basis: compared.basis.clone(),
            rows,
        })
    }

    /// What is in the vessel before: as written, and the basis itself where nothing written brings it.
    fn before(&mut self, compared: &Compared, used_up: bool) -> Done<Vec<Portion>> {
        let mut within = compared.within.clone();
        let basis = &compared.basis;
        let brings =
            |portion: &Portion| portion.matter.stuff(self.program).substance().key() == basis.key();
        if used_up && basis.charge() == 0 && !within.iter().any(brings) {
            within.push(Portion {
                amount: compared.to.clone(),
                matter: self.pure(basis)?,
            });
        }
        Ok(within)
    }

    fn pure(&mut self, species: &Species) -> Done<Matter> {
        match reagent::pure(&self.program.store, species, Number::one(), None) {
            Ok(stuff) => Ok(Matter {
                bottle: None,
                stuff,
                label: species.plain().to_owned(),
            }),
            Err(_) => self.fault(Fact::NoAnswer {
                expression: species.plain().to_owned(),
            }),
        }
    }

    /// The step with one bottle: as much of it as the reaction needs, and what is in the vessel then.
    fn with_bottle(
        &mut self,
        compared: &Compared,
        bottle: &Matter,
        turns: &Number,
        within: &[Portion],
    ) -> Done<ComparedBottle> {
        let Some(need) = needed(&compared.reaction, bottle.stuff(self.program).substance()) else {
            return self.fault(Fact::NothingToUseUp {
                vessel: "the vessel".to_owned(),
                matter: bottle.label.clone(),
                missing: Vec::new(),
            });
        };
        let portion = Portion {
            amount: constant(turns.scaled(&need), &unit::MOLE, &bottle.label),
            matter: bottle.clone(),
        };
        let moles = Quantity::of(turns.scaled(&need), &unit::MOLE);
        let measured = reagent::measure(bottle.stuff(self.program), &moles, &self.program.ambient);
        let Some(measured) = measured else {
            return self.fault(Fact::NoVolume {
                vessel: bottle.label.clone(),
            });
        };
        let charged = |portions| Action::Charge {
            vessel: BEAKER,
            portions,
            at: None,
            over: None,
        };
        let mut all = within.to_vec();
        all.push(portion);
        let (state, outcomes) = self.vessel(vec![
            charged(all),
            Action::React {
                vessel: BEAKER,
                reaction: compared.reaction.clone(),
                degree: None,
                limit: None,
            },
        ])?;
        let boils = |outcome: &Outcome| {
            let Outcome::Reacted(record) = outcome else {
                return false;
            };
            let uncooled = record.uncooled.as_ref();
            uncooled.is_some_and(|uncooled| uncooled.value() >= record.boiling.kelvin.value())
        };
        let vessel = state.bench.vessel(BEAKER);
        let volume = volume(vessel);
        Ok(ComparedBottle {
            label: bottle.label.clone(),
            grams: measured.grams,
            millilitres: measured.millilitres,
            products: products(&compared.reaction, vessel, volume.as_ref()),
            volume,
            peak: vessel.peak().cloned(),
            boils: outcomes.iter().any(boils),
        })
    }
}

fn coefficient(reaction: &Reaction, species: &Species) -> Option<Exact> {
    let signed = reaction.signed();
    let found = signed.into_iter().find(|(_, s)| s.key() == species.key());
    found.map(|(n, _)| n)
}

/// mol of a substance that one turn uses up: itself, or one of the ions it brings.
fn needed(reaction: &Reaction, substance: &Species) -> Option<Exact> {
    if let Some(own) = coefficient(reaction, substance).filter(Exact::is_negative) {
        return Some(own.abs());
    }
    let ions = reagent::in_solution(substance);
    ions.into_iter().find_map(|(count, ion)| {
        let used = coefficient(reaction, &ion).filter(Exact::is_negative)?;
        used.abs().checked_div(&count)
    })
}

/// Concentrations in mol/L of what the reaction forms and the solution holds.
fn products(
    reaction: &Reaction,
    vessel: &Vessel,
    volume: Option<&Number>,
) -> Vec<(Species, Number)> {
    let Some(litres) = volume.map(|volume| volume.scaled(&Exact::ratio(1, 1000))) else {
        return Vec::new();
    };
    let mut all: Vec<(Species, Number)> = Vec::new();
    let formed = reaction.right.iter();
    for (_, ion) in formed.flat_map(|(_, s)| reagent::in_solution(s)) {
        let dissolved = ion.with_phase(Some(Phase::Aqueous));
        let known = all.iter().any(|(other, _)| *other == dissolved);
        if known || ["H2O", "H^+", "OH^-"].contains(&ion.key()) {
            continue;
        }
        let moles = vessel.contents().amount(&dissolved);
        if let Some(concentration) = moles.checked_div(&litres).filter(Number::is_positive) {
            all.push((dissolved, concentration));
        }
    }
    all
}
