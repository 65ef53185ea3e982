//! Figures of an object with the uncertainties that stand beside them.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::number::{Number, unit};

/// One standard uncertainty of each figure beside it that has one, under the same key and in the same unit.
///
/// An object is made of its figures first, which fill this in, and of this last.
#[derive(Debug, Default, JsonSchema, Serialize)]
pub(super) struct Uncertainties(BTreeMap<&'static str, f64>);

impl Uncertainties {
    /// A figure in the unit that its key names.
    pub(super) fn figure(&mut self, key: &'static str, number: &Number) -> f64 {
        if !number.is_exact() {
            self.0.insert(key, number.standard_uncertainty());
        }
        number.to_f64()
    }

    /// `null` where it is not known.
    pub(super) fn perhaps(&mut self, key: &'static str, number: Option<&Number>) -> Option<f64> {
        number.map(|number| self.figure(key, number))
    }

    /// A temperature in K as °C.
    pub(super) fn celsius(&mut self, key: &'static str, kelvins: &Number) -> f64 {
        self.figure(key, &(kelvins - &Number::exact(unit::CELSIUS.offset())))
    }

    pub(super) fn perhaps_celsius(
        &mut self,
        key: &'static str,
        kelvins: Option<&Number>,
    ) -> Option<f64> {
        kelvins.map(|kelvins| self.celsius(key, kelvins))
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}
