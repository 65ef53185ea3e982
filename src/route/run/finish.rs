//! The end of a route: final vessels, outlets, and what a second reader would point out.

use super::super::books::Account;
use super::super::contents::Contents;
use super::super::ledger::{Fact, Ledger, Outlet, Remark, SolutionFact, Weight};
use super::super::program::{Bottle, Program, Stuff, VesselId};
use super::super::stuff;
use crate::matter::Species;
use crate::number::Number;
use crate::solution;

use super::state::{Charged, State};
use super::{afterthought, audit_all, close_step, discarded, properties, watch};

/// The ledger of everything that was run.
pub(super) fn finish(program: &Program, mut state: State) -> Ledger {
    close_step(program, &mut state);
    state.remarks.clear();
    audit_all(program, &mut state);
    let found = std::mem::take(&mut state.remarks);
    state.ledger.remarks.extend(found);
    for id in 0..state.vessels.len() {
        if state.vessels[id].made || state.vessels[id].emptied.is_some() {
            let vessel = properties::vessel_state(program, &mut state, id);
            state.ledger.vessels.push(vessel);
        }
    }
    if !state.refused {
        never_consumed(&mut state);
        let operations = state.ledger.steps.iter().flat_map(|step| &step.operations);
        let mut told = afterthought::left_over(&state, &operations.collect::<Vec<_>>());
        told.extend(discarded::discarded(&state));
        state.ledger.remarks.append(&mut told);
        unused_bottles(program, &mut state);
        let all: Vec<VesselId> = (0..state.vessels.len()).collect();
        told.extend(disagreeing_densities(program, &program.bottles));
        told.extend(left_standing(program, &mut state, &all));
        state.ledger.remarks.append(&mut told);
        unused_acceptances(program, &mut state);
    }
    outlets(&mut state);
    let mut ledger = state.ledger;
    ledger.title = program.title.clone();
    ledger.refused = state.refused;
    ledger.accepted = program
        .accepted
        .iter()
        .map(|one| one.text.clone())
        .collect();
    ledger.ambient = program.ambient.clone();
    ledger.inputs = program.inputs.clone();
    ledger.own_data = own_data(program);
    afterthought::where_it_went(&mut ledger);
    ledger.remarks.sort_by_key(|remark| remark.span);
    ledger
}

/// Something charged of which nothing was ever used or asked for.
fn never_consumed(state: &mut State) {
    for charged in &state.charged {
        let solvent = charged.substance.key() == "H2O";
        let used = charged
            .became
            .iter()
            .any(|s| s.key() != "H2O" && (consumed(state, s) || asked(state, s)));
        if !solvent && !used && !alone(state, charged) {
            let fact = Fact::NeverConsumed {
                substance: charged.substance.clone(),
                vessel: charged.vessel.clone(),
            };
            let mut remark = Remark::new(charged.span, Weight::Warning, fact);
            remark.calls.clone_from(&charged.calls);
            state.ledger.remarks.push(remark);
        }
    }
}

/// Whether nothing but water came to it from the shelf: then a solution of it is what was wanted.
fn alone(state: &State, charged: &Charged) -> bool {
    let same = |other: &&Charged| other.vessel == charged.vessel;
    let mut others = state.charged.iter().filter(same);
    others.all(|other| other.substance.key() == "H2O" || other.substance == charged.substance)
}

/// Whether a reaction used it, or the ions it became.
fn consumed(state: &State, species: &Species) -> bool {
    state.consumed.contains(species) || ions(species).any(|s| state.consumed.contains(&s))
}

/// Whether the route asks for it, or for the ions it became.
fn asked(state: &State, species: &Species) -> bool {
    let asks = |species: &Species| state.asked.iter().any(|asked| asked.key() == species.key());
    asks(species) || ions(species).any(|ion| asks(&ion))
}

/// What it is in water, but for the water.
fn ions(species: &Species) -> impl Iterator<Item = Species> {
    let all = stuff::in_solution(species).into_iter();
    all.map(|(_, ion)| ion).filter(|ion| ion.key() != "H2O")
}

fn unused_bottles(program: &Program, state: &mut State) {
    for (id, bottle) in program.bottles.iter().enumerate() {
        let scaled = state.ledger.scales.iter().flat_map(|t| &t.rows);
        let in_table = scaled
            .filter_map(|r| r.bottle.as_ref())
            .any(|(name, ..)| *name == bottle.name);
        if !state.used_bottles.contains(&id) && !in_table && !bottle.brought {
            let fact = Fact::UnusedBottle {
                bottle: bottle.name.clone(),
            };
            state
                .ledger
                .remarks
                .push(Remark::new(bottle.span, Weight::Note, fact));
        }
    }
}

/// What is left in vessels when nothing more is done with it.
pub(super) fn left_standing(
    program: &Program,
    state: &mut State,
    vessels: &[VesselId],
) -> Vec<Remark> {
    state.remarks.clear();
    watch::left(program, state, vessels);
    for &id in vessels {
        let vessel = &state.vessels[id];
        if stuff::acid_beside_base(&vessel.contents).is_positive() {
            let vessel = vessel.name.clone();
            state.remark(Weight::Warning, Fact::AcidBesideBase { vessel });
        }
    }
    std::mem::take(&mut state.remarks)
}

fn unused_acceptances(program: &Program, state: &mut State) {
    for accepted in &program.accepted {
        let meets = |remark: &Remark| matches!(&remark.fact, Fact::Hazard(encounter) if encounter.meeting.rule == accepted.rule);
        if !state.ledger.remarks.iter().any(meets) {
            let text = accepted.text.clone();
            state.ledger.remarks.push(Remark::new(
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
        let Stuff::Solution {
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

fn outlets(state: &mut State) {
    let accounts = [
        (Account::Air, "air"),
        (Account::Drain, "drain"),
        (Account::Losses, "losses"),
    ];
    for (account, name) in accounts {
        let mut contents = Contents::new();
        for (species, moles) in state.books.balance(account) {
            contents.add(species, &Number::exact(moles.clone()));
        }
        if !contents.is_empty() {
            state.ledger.outlets.push(Outlet {
                account: name,
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
