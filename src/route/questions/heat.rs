//! `heat EQUATION at T`: the quantities of a reaction, whatever any vessel holds.

use crate::data::Property;
use crate::thermo::{self, Asked};
use crate::vessel::Sources;

use super::super::ledger::Fact;
use super::super::moment::{Done, Refusal, Run};
use super::super::program::HeatQuestion;

/// The statement: its answer goes into the ledger.
pub fn heat(run: &mut Run<'_>, question: &HeatQuestion) -> Done<()> {
    let asked = Asked {
        skeleton: &question.skeleton,
        equation: question.equation.clone(),
        kelvin: question.kelvin.clone(),
        activities: &question.activities,
    };
    let found = thermo::energetics(&run.program.store, &asked).map_err(|why| {
        Refusal::of(Fact::NoEnergetics {
            why: Box::new(why),
            skeleton: Box::new(question.skeleton.clone()),
        })
    })?;
    let mut sources = Sources::new();
    let known = found.data.contributions.iter();
    for standard in known.filter_map(|one| one.data.as_ref().ok()) {
        for value in Property::ALL.iter().filter_map(|p| standard.get(*p)) {
            sources.add(&value.source);
        }
    }
    run.note(&sources);
    run.record.ledger.energetics.push(found);
    Ok(())
}
