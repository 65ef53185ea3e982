//! The embedded tables with the user's own substances on top.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::number::{Input, Number, Quantity, SampleDraw};

use super::{Property, Source};

/// A substance the user gave data for: `substance FORMULA(phase): dfH …, dfG …, S …, Cp …, source "…"`.
#[derive(Clone, Debug, PartialEq)]
pub struct Own {
    /// Plain formula without phase: `[Al(OH)4]^-`.
    pub formula: String,
    /// `s`, `l`, `g` or `aq`.
    pub phase: String,
    /// Enthalpy of formation.
    pub formation_enthalpy: Option<Quantity>,
    /// Gibbs energy of formation.
    pub formation_gibbs: Option<Quantity>,
    /// Entropy.
    pub entropy: Option<Quantity>,
    /// Heat capacity.
    pub heat_capacity: Option<Quantity>,
    /// What the user says about where it comes from.
    pub source: String,
}

impl Own {
    /// The value given for `property`.
    pub fn get(&self, property: Property) -> Option<&Quantity> {
        match property {
            Property::FormationEnthalpy => self.formation_enthalpy.as_ref(),
            Property::FormationGibbs => self.formation_gibbs.as_ref(),
            Property::Entropy => self.entropy.as_ref(),
            Property::HeatCapacity => self.heat_capacity.as_ref(),
        }
    }

    /// The source to print beside its values.
    pub fn source(&self) -> Source {
        Source::own(self.source.clone())
    }
}

/// All data a program sees. Copies share their contents, so threads may each have one.
///
/// ```
/// use aludel::data::Store;
/// let store = Store::default();
/// assert!(store.own("H2O", "l").is_none());
/// ```
#[derive(Clone, Debug, Default)]
pub struct Store {
    /// Two stores of one number have the same data; 0 is the tables alone.
    number: u64,
    own: Arc<Vec<Own>>,
    inputs: Arc<Vec<Input>>,
    drawn: Option<Arc<SampleDraw>>,
}

impl Store {
    /// Adds a substance; it wins over the embedded data and over one of the same formula and phase given before.
    pub fn add(&mut self, own: Own) {
        static LAST: AtomicU64 = AtomicU64::new(0);
        self.number = 1 + LAST.fetch_add(1, Ordering::Relaxed);
        Arc::make_mut(&mut self.own).push(own);
    }

    /// Tells stores with different data apart, for what is remembered of them.
    pub fn number(&self) -> u64 {
        self.number
    }

    /// The user's data of a substance, the last given.
    pub fn own(&self, formula: &str, phase: &str) -> Option<&Own> {
        let all = self.own.iter().rev();
        all.into_iter()
            .find(|own| own.formula == formula && own.phase == phase)
    }

    /// The uncertain values among the user's data, by input number: a program that works with them numbers its
    /// own inputs after these.
    pub fn inputs(&self) -> &[Input] {
        &self.inputs
    }

    /// Remembers the uncertain values that were added.
    pub fn know_inputs(&mut self, inputs: Vec<Input>) {
        self.inputs = Arc::new(inputs);
    }

    /// The same data, each uncertain one with the value drawn for it in the place of its uncertainty.
    pub fn drawn(&self, draw: Arc<SampleDraw>) -> Store {
        Store {
            drawn: Some(draw),
            ..self.clone()
        }
    }

    /// The draw that its values are to be taken from.
    pub fn draw(&self) -> Option<&SampleDraw> {
        self.drawn.as_deref()
    }

    /// The same data as they are stated, for what is reckoned once and remembered.
    pub fn stated(&self) -> Store {
        Store {
            drawn: None,
            ..self.clone()
        }
    }

    /// A value, or what was drawn for it.
    pub fn as_drawn(&self, value: &Number) -> Number {
        match &self.drawn {
            Some(draw) => draw.of(value),
            None => value.clone(),
        }
    }

    /// Everything the user gave, in the order given.
    pub fn all_own(&self) -> &[Own] {
        &self.own
    }
}
