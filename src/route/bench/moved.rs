//! The account of heat of a step, kept while it runs.
//!
//! Every posting of heat is added to its place, and of contents that come and go the part that mixing gave them is kept
//! apart. What warmed the contents is calculated from the vessels alone, so that the sum closes only if no posting is
//! missing.

use std::collections::BTreeMap;

use crate::number::Number;
use crate::vessel::SensibleEnthalpy;

use super::Place;

/// What moved since the step began, in kJ.
#[derive(Clone, Debug, Default)]
pub(super) struct Moved {
    places: BTreeMap<Place, Number>,
    /// What the vessels had when it began: from mixing, and from being warm.
    begun: Split,
    /// What came from the shelf less what went to waste and losses.
    came: Split,
}

/// The enthalpy of contents in its two parts, in kJ.
#[derive(Clone, Debug)]
pub(super) struct Split {
    mixing: Number,
    warmth: Number,
}

/// What was posted in a step, in kJ.
#[derive(Clone, Debug)]
pub struct Posted {
    /// Set free or bound by mixing.
    pub mixing: Number,
    /// What warmed the contents.
    pub warming: Number,
    places: BTreeMap<Place, Number>,
}

impl Posted {
    /// What a place took, in kJ.
    pub fn at(&self, place: Place) -> Number {
        let sum = self.places.get(&place);
        sum.cloned().unwrap_or_else(Number::zero)
    }
}

impl Default for Split {
    fn default() -> Self {
        Split {
            mixing: Number::zero(),
            warmth: Number::zero(),
        }
    }
}

impl Split {
    /// Adds a vessel's enthalpy, of it some from mixing.
    pub(super) fn add(&mut self, mixing: &Number, all: &Number) {
        self.warmth = (&self.warmth + &(all - mixing)).settled();
        self.mixing = (&self.mixing + mixing).settled();
    }
}

impl Moved {
    /// Begins to count.
    pub(super) fn since(begun: Split) -> Moved {
        Moved {
            begun,
            ..Moved::default()
        }
    }

    /// Heat was posted.
    pub(super) fn posted(&mut self, from: Place, to: Place, kilojoules: &Number) {
        if kilojoules.is_zero() {
            return;
        }
        let mut add = |place: Place, kilojoules: Number| {
            if !matches!(place, Place::Vessel(_)) {
                let sum = self.places.entry(place).or_insert_with(Number::zero);
                *sum = (&*sum + &kilojoules).settled();
            }
        };
        add(from, -kilojoules);
        add(to, kilojoules.clone());
    }

    /// Contents came from the shelf or went to waste, with an enthalpy in kJ.
    pub(super) fn carried(
        &mut self,
        from: Place,
        to: Place,
        sensible: &SensibleEnthalpy,
        all: &Number,
    ) {
        let gone = |place| matches!(place, Place::Drain | Place::Losses);
        if from == Place::Shelf {
            self.came.add(sensible.excess(), all);
        }
        if gone(to) {
            self.came.add(&-sensible.excess(), &-all);
        }
    }

    /// Contents that were never there took an enthalpy along, of it some from mixing, in kJ.
    pub(super) fn lost(&mut self, all: &Number, mixing: &Number) {
        self.came.add(&-mixing, &-all);
    }

    /// Of a step at whose end the vessels have `now`.
    pub(super) fn posted_until(&self, now: &Split) -> Posted {
        let mixing = &(&now.mixing - &self.begun.mixing) - &self.came.mixing;
        let warming = &(&now.warmth - &self.begun.warmth) - &self.came.warmth;
        Posted {
            mixing,
            warming,
            places: self.places.clone(),
        }
    }
}
