//! What one entry at the prompt adds to a route, and what is to be said of it at once.
//!
//! Promises: it costs what the entry itself costs, however much stands before it.

use std::collections::BTreeSet;

use super::super::ledger::{Ledger, OperationRecord, Remark, StepHeat, StepRecord};
use super::super::moment::State;
use super::super::program::{Action, Added, Program, VesselId};
use super::super::run::step;
use super::{discarded, finish, left_over, looking_back};

/// An entry carried out.
#[derive(Clone, Debug)]
pub struct Further {
    /// A ledger with nothing in it but what the entry added; its operations stand in one step.
    pub news: Ledger,
    /// Vessels that something was done with, each with what comes of leaving it as it is.
    pub standing: Vec<(VesselId, Vec<Remark>)>,
}

/// Carries out what was added to a program.
pub fn further(program: &Program, state: &mut State, added: Added<'_>) -> Further {
    let before = Extent::of(state);
    let mut changed = BTreeSet::new();
    for instruction in added.instructions {
        step(program, state, instruction);
        if !instruction.action.is_question() && !matches!(instruction.action, Action::Let { .. }) {
            changed.extend(state.bench.changed_since_counted());
        }
    }
    state.make_room(program);
    let mut news = before.news(state);
    let operations: Vec<&OperationRecord> = news.steps.iter().flat_map(|s| &s.operations).collect();
    let mut told = finish::disagreeing_densities(program, added.bottles);
    told.extend(left_over::left_over(&state.run(program), &operations));
    let here = |remark: &Remark| operations.iter().any(|one| one.span == remark.span);
    if operations
        .iter()
        .any(|one| discarded::thrown_away(one).is_some())
    {
        told.extend(
            discarded::discarded(&state.run(program))
                .into_iter()
                .filter(here),
        );
    }
    news.remarks.append(&mut told);
    looking_back::where_it_went_so_far(&state.record, &mut news);
    let standing = changed.into_iter().map(|id| {
        let told = finish::left_standing(&mut state.run(program), &[id]);
        (id, told)
    });
    Further {
        standing: standing.collect(),
        news,
    }
}

/// How much a ledger holds.
struct Extent {
    steps: usize,
    /// Operations of the step that was open.
    open: usize,
    remarks: usize,
    shows: usize,
    expectations: usize,
    yields: usize,
    scales: usize,
    energetics: usize,
    solutions: usize,
}

impl Extent {
    fn of(state: &State) -> Extent {
        let ledger = &state.record.ledger;
        Extent {
            steps: ledger.steps.len(),
            open: state
                .record
                .open_step
                .as_ref()
                .map_or(0, |s| s.operations.len()),
            remarks: ledger.remarks.len(),
            shows: ledger.shows.len(),
            expectations: ledger.expectations.len(),
            yields: ledger.yields.len(),
            scales: ledger.scales.len(),
            energetics: ledger.energetics.len(),
            solutions: ledger.solutions.len(),
        }
    }

    /// What came since.
    fn news(&self, state: &State) -> Ledger {
        let ledger = &state.record.ledger;
        let steps = ledger.steps.iter().chain(&state.record.open_step);
        let operations = steps.skip(self.steps).flat_map(|step| &step.operations);
        let step = StepRecord {
            title: None,
            operations: operations.skip(self.open).cloned().collect(),
            after: Vec::new(),
            heat: StepHeat::default(),
        };
        Ledger {
            ambient: ledger.ambient.clone(),
            steps: vec![step],
            remarks: ledger.remarks[self.remarks..].to_vec(),
            shows: ledger.shows[self.shows..].to_vec(),
            expectations: ledger.expectations[self.expectations..].to_vec(),
            yields: ledger.yields[self.yields..].to_vec(),
            scales: ledger.scales[self.scales..].to_vec(),
            energetics: ledger.energetics[self.energetics..].to_vec(),
            solutions: ledger.solutions[self.solutions..].to_vec(),
            ..Ledger::default()
        }
    }
}
