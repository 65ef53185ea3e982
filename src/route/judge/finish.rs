//! The end of a route: final vessels, outlets, and what a second reader would point out.

use crate::matter::Species;
use crate::number::Number;
use crate::solution;
use crate::vessel::{Contents, Reagent, reagent, salts};

use super::super::bench::Account;
use super::super::ledger::{Fact, Ledger, Outlet, OutletAccount, Remark, SolutionFact, Weight};
use super::super::moment::{Charged, Run, State};
use super::super::nature::encounters;
use super::super::program::{Bottle, Program, VesselId};
use super::super::run::{audit_all, close_step};
use super::{discarded, left_over, looking_back};

/// The ledger of everything that was run.
pub fn finish(program: &Program, mut state: State) -> Ledger {
    conclude(&mut state.run(program));
    let refused = state.record.refused;
    let mut ledger = state.record.ledger;
    ledger.title = program.title.clone();
    ledger.refused = refused;
    ledger.accepted = program
        .accepted
        .iter()
        .map(|one| one.text.clone())
        .collect();
    ledger.ambient = program.ambient.clone();
    ledger.inputs = program.inputs.clone();
    ledger.own_data = own_data(program);
    looking_back::where_it_went(&mut ledger);
    ledger.sort_remarks();
    ledger
}

fn conclude(run: &mut Run<'_>) {
    close_step(run);
    run.record.remarks.clear();
    audit_all(run);
    let found = std::mem::take(&mut run.record.remarks);
    run.record.ledger.remarks.extend(found);
    for id in run.bench.ids() {
        let history = run.history(id);
        if history.made || history.emptied.is_some() {
            let vessel = run.vessel_state(id);
            run.record.ledger.vessels.push(vessel);
        }
    }
    if !run.record.refused {
        never_consumed(run);
        let steps = run.record.ledger.steps.iter();
        let operations: Vec<_> = steps.flat_map(|step| &step.operations).collect();
        let mut told = left_over::left_over(run, &operations);
        told.extend(discarded::discarded(run));
        told.extend(disagreeing_densities(run.program, &run.program.bottles.raw));
        let all: Vec<VesselId> = run.bench.ids().collect();
        told.extend(left_standing(run, &all));
        run.record.ledger.remarks.append(&mut told);
        unused_bottles(run);
        unused_acceptances(run);
    }
    outlets(run);
}

/// Something charged of which nothing was ever used or asked for.
fn never_consumed(run: &mut Run<'_>) {
    for charged in run.record.charged.clone() {
        let solvent = charged.substance.key() == "H2O";
        let used = charged
            .became
            .iter()
            .any(|s| s.key() != "H2O" && (consumed(run, s) || asked(run, s)));
        if !solvent && !used && !alone(run, &charged) {
            let fact = Fact::NeverConsumed {
                substance: charged.substance.clone(),
                vessel: charged.vessel.clone(),
            };
            let mut remark = Remark::new(charged.span, Weight::Warning, fact);
            remark.calls.clone_from(&charged.calls);
            run.record.ledger.remarks.push(remark);
        }
    }
}

/// Whether nothing but water came to it from the shelf: then a solution of it is what was wanted.
fn alone(run: &Run<'_>, charged: &Charged) -> bool {
    let same = |other: &&Charged| other.vessel == charged.vessel;
    let mut others = run.record.charged.iter().filter(same);
    others.all(|other| other.substance.key() == "H2O" || other.substance == charged.substance)
}

/// Whether a reaction used it, or the ions it became.
fn consumed(run: &Run<'_>, species: &Species) -> bool {
    run.record.consumed.contains(species) || ions(species).any(|s| run.record.consumed.contains(&s))
}

/// Whether the route asks for it, or for the ions it became.
fn asked(run: &Run<'_>, species: &Species) -> bool {
    let asks = |species: &Species| {
        run.record
            .asked
            .iter()
            .any(|asked| asked.key() == species.key())
    };
    asks(species) || ions(species).any(|ion| asks(&ion))
}

/// What it is in water, but for the water.
fn ions(species: &Species) -> impl Iterator<Item = Species> {
    let all = reagent::in_solution(species).into_iter();
    all.map(|(_, ion)| ion).filter(|ion| ion.key() != "H2O")
}

fn unused_bottles(run: &mut Run<'_>) {
    for (id, bottle) in run.program.bottles.iter_enumerated() {
        let scaled = run.record.ledger.scales.iter().flat_map(|t| &t.rows);
        let in_table = scaled
            .filter_map(|r| r.bottle.as_ref())
            .any(|(name, ..)| *name == bottle.name);
        if !run.record.used_bottles.contains(&id) && !in_table && !bottle.brought {
            let fact = Fact::UnusedBottle {
                bottle: bottle.name.clone(),
            };
            run.record
                .ledger
                .remarks
                .push(Remark::new(bottle.span, Weight::Note, fact));
        }
    }
}

/// What is left in vessels when nothing more is done with it.
pub(super) fn left_standing(run: &mut Run<'_>, vessels: &[VesselId]) -> Vec<Remark> {
    run.record.remarks.clear();
    encounters::left(run, vessels);
    for &id in vessels {
        if salts::acid_beside_base(run.contents(id)).is_positive() {
            let vessel = run.name(id);
            run.remark(Weight::Warning, Fact::AcidBesideBase { vessel });
        }
    }
    std::mem::take(&mut run.record.remarks)
}

fn unused_acceptances(run: &mut Run<'_>) {
    for accepted in &run.program.accepted {
        let meets = |remark: &Remark| matches!(&remark.fact, Fact::Hazard(encounter) if encounter.meeting.rule == accepted.rule);
        if !run.record.ledger.remarks.iter().any(meets) {
            let text = accepted.text.clone();
            run.record.ledger.remarks.push(Remark::new(
                accepted.span,
                Weight::Note,
                Fact::UnusedAcceptance { text },
            ));
        }
    }
}

/// A density on a label that the tables contradict: one of the two figures belongs to another solution.
pub(super) fn disagreeing_densities(program: &Program, bottles: &[Bottle]) -> Vec<Remark> {
    let mut told = Vec::new();
    for bottle in bottles {
        let Reagent::Solution {
            solute,
            density: Some(given),
            mass_fraction,
            ..
        } = &bottle.stuff
        else {
            continue;
        };
        let known = solution::density(solute, mass_fraction, &program.ambient.temperature);
        let apart = |known: f64| (given.to_f64() / known - 1.0).abs() > 0.02;
        if let Ok(known) = known.map_err(|_| ())
            && apart(known.value.to_f64())
        {
            let fact = SolutionFact::DensitiesDisagree {
                label: bottle.name.clone(),
                given: given.clone(),
                known: known.value,
                source: known.source.code,
            };
            told.push(Remark::new(bottle.span, Weight::Warning, fact.into()));
        }
    }
    told
}

fn outlets(run: &mut Run<'_>) {
    let accounts = [
        (Account::Air, OutletAccount::Air),
        (Account::Drain, OutletAccount::Waste),
        (Account::Losses, OutletAccount::Losses),
    ];
    for (account, outlet) in accounts {
        let mut contents = Contents::new();
        for (species, moles) in run.bench.balance(account) {
            contents.add(species, &Number::exact(moles.clone()));
        }
        if !contents.is_empty() {
            run.record.ledger.outlets.push(Outlet {
                account: outlet,
                contents: contents.listed(),
            });
        }
    }
}

fn own_data(program: &Program) -> Vec<Species> {
    let own = program.store.all_own().iter();
    own.filter_map(|own| Species::parse(&format!("{}({})", own.formula, own.phase)).ok())
        .collect()
}
