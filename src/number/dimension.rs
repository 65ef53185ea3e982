//! Dimensions as powers of the base quantities of the SI that the bench needs.

use std::fmt::{self, Display, Formatter};
use std::ops::{Div, Mul};

/// Exponents of length, mass, time, amount of substance and thermodynamic temperature (SI Brochure, 9th ed., 2.3.3).
#[derive(Clone, Copy, Debug, Default, Eq, Hash, PartialEq)]
pub struct Dimension {
    exponents: [i8; 5],
}

impl Dimension {
    /// A number.
    pub const NONE: Dimension = Dimension::of(0, 0, 0, 0, 0);
    /// Length.
    pub const LENGTH: Dimension = Dimension::of(1, 0, 0, 0, 0);
    /// Area.
    pub const AREA: Dimension = Dimension::of(2, 0, 0, 0, 0);
    /// Mass.
    pub const MASS: Dimension = Dimension::of(0, 1, 0, 0, 0);
    /// Volume.
    pub const VOLUME: Dimension = Dimension::of(3, 0, 0, 0, 0);
    /// Amount of substance.
    pub const AMOUNT: Dimension = Dimension::of(0, 0, 0, 1, 0);
    /// Thermodynamic temperature.
    pub const TEMPERATURE: Dimension = Dimension::of(0, 0, 0, 0, 1);
    /// Time.
    pub const TIME: Dimension = Dimension::of(0, 0, 1, 0, 0);
    /// Energy.
    pub const ENERGY: Dimension = Dimension::of(2, 1, -2, 0, 0);
    /// Power.
    pub const POWER: Dimension = Dimension::of(2, 1, -3, 0, 0);
    /// Power for each kelvin.
    pub const CONDUCTANCE: Dimension = Dimension::of(2, 1, -3, 0, -1);
    /// Pressure.
    pub const PRESSURE: Dimension = Dimension::of(-1, 1, -2, 0, 0);
    /// Amount-of-substance concentration.
    pub const CONCENTRATION: Dimension = Dimension::of(-3, 0, 0, 1, 0);
    /// Molality.
    pub const MOLALITY: Dimension = Dimension::of(0, -1, 0, 1, 0);
    /// Mass density and mass concentration.
    pub const DENSITY: Dimension = Dimension::of(-3, 1, 0, 0, 0);
    /// Molar mass.
    pub const MOLAR_MASS: Dimension = Dimension::of(0, 1, 0, -1, 0);
    /// Energy per amount of substance.
    pub const MOLAR_ENERGY: Dimension = Dimension::of(2, 1, -2, -1, 0);
    /// Energy per amount of substance and temperature.
    pub const MOLAR_ENTROPY: Dimension = Dimension::of(2, 1, -2, -1, -1);

    /// Powers of length, mass, time, amount, temperature in this order.
    pub const fn of(length: i8, mass: i8, time: i8, amount: i8, temperature: i8) -> Self {
        Dimension {
            exponents: [length, mass, time, amount, temperature],
        }
    }

    /// The exponents in the order of [`Dimension::of`].
    pub fn exponents(self) -> [i8; 5] {
        self.exponents
    }

    /// To a whole power; `None` if an exponent leaves the range of `i8`.
    pub fn power(self, exponent: i32) -> Option<Self> {
        let mut exponents = [0; 5];
        for (to, from) in exponents.iter_mut().zip(self.exponents) {
            *to = i8::try_from(i32::from(from).checked_mul(exponent)?).ok()?;
        }
        Some(Dimension { exponents })
    }

    fn zip(self, other: Self, combine: impl Fn(i8, i8) -> i8) -> Self {
        let mut exponents = self.exponents;
        for (to, from) in exponents.iter_mut().zip(other.exponents) {
            *to = combine(*to, from);
        }
        Dimension { exponents }
    }
}

impl Mul for Dimension {
    type Output = Dimension;
    fn mul(self, other: Dimension) -> Dimension {
        self.zip(other, i8::saturating_add)
    }
}

impl Div for Dimension {
    type Output = Dimension;
    fn div(self, other: Dimension) -> Dimension {
        self.zip(other, i8::saturating_sub)
    }
}

/// Kinds with a name of their own, in words that follow "this is".
const NAMED: [(Dimension, &str); 18] = [
    (Dimension::NONE, "a plain number"),
    (Dimension::LENGTH, "a length"),
    (Dimension::AREA, "an area"),
    (Dimension::MASS, "a mass"),
    (Dimension::VOLUME, "a volume"),
    (Dimension::AMOUNT, "an amount of substance"),
    (Dimension::TEMPERATURE, "a temperature"),
    (Dimension::TIME, "a time"),
    (Dimension::ENERGY, "an energy"),
    (Dimension::POWER, "a power"),
    (Dimension::CONDUCTANCE, "a power for each kelvin"),
    (Dimension::PRESSURE, "a pressure"),
    (Dimension::CONCENTRATION, "a concentration"),
    (Dimension::MOLALITY, "a molality"),
    (Dimension::DENSITY, "a density"),
    (Dimension::MOLAR_MASS, "a molar mass"),
    (Dimension::MOLAR_ENERGY, "an energy per mole"),
    (Dimension::MOLAR_ENTROPY, "an entropy per mole"),
];

/// In words: `a mass`, `a quantity of length cubed, divided by time`.
impl Display for Dimension {
    fn fmt(&self, to: &mut Formatter<'_>) -> fmt::Result {
        if let Some((_, words)) = NAMED.iter().find(|(named, _)| named == self) {
            return to.write_str(words);
        }
        match (self.factors(1).as_str(), self.factors(-1).as_str()) {
            ("", below) => write!(to, "a number by {below}"),
            (above, "") => write!(to, "a quantity of {above}"),
            (above, below) => write!(to, "a quantity of {above}, divided by {below}"),
        }
    }
}

impl Dimension {
    /// The base quantities whose exponents have this sign: `mass squared times time`.
    fn factors(self, sign: i8) -> String {
        let bases = [
            "length",
            "mass",
            "time",
            "amount of substance",
            "temperature",
        ];
        let powers = self.exponents.into_iter().zip(bases);
        let of_sign = powers.filter(|(power, _)| power.signum() == sign);
        let words: Vec<String> = of_sign
            .map(|(power, base)| match power.unsigned_abs() {
                1 => base.to_owned(),
                2 => format!("{base} squared"),
                3 => format!("{base} cubed"),
                more => format!("{base} to the power of {more}"),
            })
            .collect();
        words.join(" times ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_dimension_has_words() {
        for (dimension, words) in [
            (Dimension::MASS, "a mass"),
            (
                Dimension::MASS * Dimension::MASS,
                "a quantity of mass squared",
            ),
            (Dimension::NONE / Dimension::TIME, "a number by time"),
            (
                Dimension::VOLUME / Dimension::TIME,
                "a quantity of length cubed, divided by time",
            ),
        ] {
            assert_eq!(dimension.to_string(), words);
        }
    }
}
