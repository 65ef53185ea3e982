//! The room that a vessel stands in.

use crate::number::{Exact, Number};
use crate::solution;

/// Temperature and pressure of the room.
#[derive(Clone, Debug)]
pub struct Ambient {
    /// In K.
    pub temperature: Number,
    /// In kPa.
    pub pressure: Number,
}

impl Default for Ambient {
    fn default() -> Self {
        Ambient {
            temperature: Number::exact(Exact::ratio(29_315, 100)),
            pressure: Number::exact(Exact::ratio(101_325, 1000)),
        }
    }
}

impl Ambient {
    /// Molar volume of an ideal gas at these conditions, in L/mol.
    pub fn molar_gas_volume(&self) -> Number {
        solution::molar_volume(&self.temperature, &self.pressure).unwrap_or_else(Number::zero)
    }

    /// Molar volume of a gas collected over water at these conditions, in L/mol; `None` where water boils.
    pub fn moist_gas_volume(&self) -> Option<Number> {
        solution::moist_molar_volume(&self.temperature, &self.pressure).ok()
    }
}
