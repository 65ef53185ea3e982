//! `heat EQUATION at T`: the quantities of a reaction, whatever any vessel holds.

use crate::data::Property;
use crate::thermo::{self, Asked};

use super::super::ledger::{Fact, Weight};
use super::super::program::{HeatQuestion, Program};
use super::state::State;

/// The statement: its answer goes into the ledger.
pub(super) fn statement(program: &Program, state: &mut State, question: &HeatQuestion) {
    let asked = Asked {
        skeleton: &question.skeleton,
        equation: question.equation.clone(),
        kelvin: question.kelvin.clone(),
        activities: &question.activities,
    };
    match thermo::energetics(&program.store, &asked) {
        Ok(found) => {
            let known = found.data.contributions.iter();
            for standard in known.filter_map(|one| one.data.as_ref().ok()) {
                for value in Property::ALL.iter().filter_map(|p| standard.get(*p)) {
                    state.cite(value.source.citation());
                }
            }
            state.ledger.energetics.push(found);
        }
        Err(why) => state.remark(
            Weight::Fault,
            Fact::NoEnergetics {
                why: Box::new(why),
                skeleton: Box::new(question.skeleton.clone()),
            },
        ),
    }
}
