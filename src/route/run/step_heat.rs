//! The account of heat of a step, kept while it runs.
//!
//! Every posting of heat is added to its place, and of contents that come and go the part that mixing gave them is kept
//! apart. What warmed the contents is reckoned from the vessels alone, so that the sum closes only if no posting is missing.
//!
//! A run that serves a question keeps none: nobody looks at its steps.

use std::collections::BTreeMap;

use crate::number::Number;

use super::super::energy::Place;
use super::super::ledger::{Heat, Outcome, StepHeat, StepRecord};
use super::super::program::Program;
use super::enthalpy;
use super::state::State;
use super::warmth::Warmth;

/// What moved since the step began, in kJ.
#[derive(Clone, Debug, Default)]
pub(super) struct Moved {
    places: BTreeMap<Place, Number>,
    /// What the vessels had when it began: from mixing, and from being warm.
    begun: Split,
    /// What came from the shelf less what went to drain and losses.
    came: Split,
}

/// The enthalpy of contents in its two parts, in kJ.
#[derive(Clone, Debug)]
struct Split {
    mixing: Number,
    warmth: Number,
}

impl Default for Split {
    fn default() -> Self {
        Split {
            mixing: Number::zero(),
            warmth: Number::zero(),
        }
    }
}

/// Begins to count anew.
pub(super) fn begin(program: &Program, state: &mut State) {
    if !state.on_errand() {
        let begun = in_vessels(program, state);
        state.moved = Moved {
            begun,
            ..Moved::default()
        };
    }
}

/// Heat was posted.
pub(super) fn posted(state: &mut State, from: Place, to: Place, kilojoules: &Number) {
    if state.on_errand() || kilojoules.is_zero() {
        return;
    }
    let mut add = |place: Place, kilojoules: Number| {
        if !matches!(place, Place::Vessel(_)) {
            let sum = state.moved.places.entry(place).or_insert_with(Number::zero);
            *sum = (&*sum + &kilojoules).settled();
        }
    };
    add(from, -kilojoules);
    add(to, kilojoules.clone());
}

/// Contents came from the shelf or went to the drain, with an enthalpy in kJ.
pub(super) fn carried(state: &mut State, from: Place, to: Place, warmth: &Warmth, all: &Number) {
    if state.on_errand() {
        return;
    }
    let sensible = all - warmth.excess();
    let gone = |place| matches!(place, Place::Drain | Place::Losses);
    if from == Place::Shelf {
        came(state, warmth.excess(), &sensible);
    }
    if gone(to) {
        came(state, &-warmth.excess(), &-&sensible);
    }
}

/// Contents that were never there took an enthalpy along, of it some from mixing, in kJ.
pub(super) fn lost(state: &mut State, all: &Number, mixing: &Number) {
    if !state.on_errand() {
        came(state, &-mixing, &(mixing - all));
    }
}

fn came(state: &mut State, mixing: &Number, warmth: &Number) {
    let sum = &mut state.moved.came;
    sum.mixing = (&sum.mixing + mixing).settled();
    sum.warmth = (&sum.warmth + warmth).settled();
}

/// Of the step that ends here.
pub(super) fn end(program: &Program, state: &mut State, record: &StepRecord) -> StepHeat {
    if state.on_errand() {
        return StepHeat::default();
    }
    let now = in_vessels(program, state);
    let moved = &state.moved;
    let mixing = &(&now.mixing - &moved.begun.mixing) - &moved.came.mixing;
    let warming = &(&now.warmth - &moved.begun.warmth) - &moved.came.warmth;
    let at = |place| {
        let sum = moved.places.get(&place);
        sum.cloned().unwrap_or_else(Number::zero)
    };
    let reactions = sum(record, |outcome| match outcome {
        Outcome::Reacted(record) => Some(&record.heat),
        Outcome::Titrated(record) => Some(&record.reaction.heat),
        _ => None,
    });
    let boiling = sum(record, |outcome| match outcome {
        Outcome::Evaporated { heat, .. } => Some(heat),
        _ => None,
    });
    let known = |heat: &Heat| heat.known().cloned().unwrap_or_else(Number::zero);
    let boiling = known(&boiling);
    let changes = &at(Place::Chemistry) - &known(&reactions);
    StepHeat {
        dissolving: (&changes + &mixing).settled(),
        baths: (&at(Place::Bath) + &boiling).settled(),
        vapour: at(Place::Air),
        warming: warming.settled(),
        room: at(Place::Room),
        reactions,
        boiling,
    }
}

fn sum(record: &StepRecord, of: impl Fn(&Outcome) -> Option<&Heat>) -> Heat {
    let operations = record.operations.iter();
    let heats = operations.filter_map(|operation| of(&operation.outcome));
    heats.fold(Heat::none(), |sum, heat| sum.plus(heat))
}

fn in_vessels(program: &Program, state: &mut State) -> Split {
    let mut all = Split::default();
    for id in 0..state.vessels.len() {
        let mixing = enthalpy::excess(program, state, id);
        let vessel = &state.vessels[id];
        all.warmth = (&all.warmth + &(&vessel.enthalpy - &mixing)).settled();
        all.mixing = (&all.mixing + &mixing).settled();
    }
    all
}
