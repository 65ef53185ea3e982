//! A number with a dimension.

use std::fmt::{self, Display, Formatter};

use super::{Dimension, Exact, Number, SampleDraw, Unit};

/// A number of coherent SI units of its dimension, and the unit in which somebody wrote it, if anybody did.
///
/// ```
/// use aludel::number::{Exact, Number, Quantity, unit};
/// let volume = Quantity::of(Number::exact(Exact::from(30)), &unit::MILLILITRE);
/// assert_eq!(volume.in_unit(&unit::LITRE).unwrap().to_f64(), 0.03);
/// assert!(volume.in_unit(&unit::GRAM).is_err());
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Quantity {
    number: Number,
    dimension: Dimension,
    written_in: Option<Unit>,
    places: Option<Places>,
}

/// To which decimal a number was written, counted after the point (negative: before it), and its `±`, if it has one in the
/// same unit.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub struct Places {
    /// `25.0 mL` has one.
    pub value: i32,
    /// `25 mL ± 0.1 mL` has one.
    pub spread: Option<i32>,
}

/// Two dimensions that should have been one.
#[derive(Clone, Copy, Debug, Eq, PartialEq, thiserror::Error)]
#[error("this is {found}, and {expected} is needed")]
pub struct Mismatch {
    /// What was there.
    pub found: Dimension,
    /// What was needed.
    pub expected: Dimension,
}

impl Quantity {
    /// `number` of `unit`; for °C a reading, so 25 °C is 298.15 K.
    pub fn of(number: Number, unit: &Unit) -> Self {
        let scaled = number.scaled(&unit.factor());
        let number = if unit.has_offset() {
            &scaled + &Number::exact(unit.offset())
        } else {
            scaled
        };
        Quantity {
            number,
            dimension: unit.dimension(),
            written_in: Some(*unit),
            places: None,
        }
    }

    /// `number` coherent SI units of `dimension`.
    pub fn coherent(number: Number, dimension: Dimension) -> Self {
        Quantity {
            number,
            dimension,
            written_in: None,
            places: None,
        }
    }

    /// The same quantity as somebody wrote it: to these decimals of its unit.
    pub fn entered(self, places: Places) -> Self {
        Quantity {
            places: Some(places),
            ..self
        }
    }

    /// To which decimals it was written; `None` for what was reckoned.
    pub fn places(&self) -> Option<Places> {
        self.places
    }

    /// A plain number.
    pub fn plain(number: Number) -> Self {
        Self::coherent(number, Dimension::NONE)
    }

    /// The number of coherent SI units.
    pub fn number(&self) -> &Number {
        &self.number
    }

    /// What it measures.
    pub fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// The unit it was written in.
    pub fn written_in(&self) -> Option<Unit> {
        self.written_in
    }

    /// The same quantity, to be shown in `unit` if the dimension allows.
    pub fn shown_in(mut self, unit: &Unit) -> Self {
        if unit.dimension() == self.dimension && self.written_in != Some(*unit) {
            self.written_in = Some(*unit);
            self.places = None;
        }
        self
    }

    /// How many of `unit` it is.
    pub fn in_unit(&self, unit: &Unit) -> Result<Number, Mismatch> {
        self.expect(unit.dimension())?;
        let from_zero = if unit.has_offset() {
            &self.number - &Number::exact(unit.offset())
        } else {
            self.number.clone()
        };
        let per_unit = Exact::one() / unit.factor();
        Ok(from_zero.scaled(&per_unit))
    }

    /// Fails unless it has this dimension.
    pub fn expect(&self, expected: Dimension) -> Result<(), Mismatch> {
        let found = self.dimension;
        if found == expected {
            Ok(())
        } else {
            Err(Mismatch { found, expected })
        }
    }

    /// Sum; both must have the same dimension.
    pub fn plus(&self, other: &Self) -> Result<Self, Mismatch> {
        other.expect(self.dimension)?;
        let sum = self.keeping_unit(&self.number + &other.number);
        // A reading and a rise are a reading, whichever stands first.
        Ok(match other.is_reading() {
            true => sum.shown_in(&super::unit::CELSIUS),
            false => sum,
        })
    }

    /// Difference; both must have the same dimension.
    pub fn minus(&self, other: &Self) -> Result<Self, Mismatch> {
        other.expect(self.dimension)?;
        let difference = self.keeping_unit(&self.number - &other.number);
        // What lies between two readings of a scale with a zero of its own is no reading of it.
        Ok(match self.is_reading() && other.is_reading() {
            true => difference.shown_in(&super::unit::KELVIN),
            false => difference,
        })
    }

    /// Product.
    pub fn times(&self, other: &Self) -> Self {
        let dimension = self.dimension * other.dimension;
        let product = Self::coherent(&self.number * &other.number, dimension);
        // A plain factor leaves the unit somebody chose.
        match (self.dimension, other.dimension) {
            (_, Dimension::NONE) => product.maybe_shown_in(self.written_in),
            (Dimension::NONE, _) => product.maybe_shown_in(other.written_in),
            _ => product,
        }
    }

    /// Quotient; `None` if `other` is zero.
    pub fn over(&self, other: &Self) -> Option<Self> {
        let number = self.number.checked_div(&other.number)?;
        let quotient = Self::coherent(number, self.dimension / other.dimension);
        Some(if other.dimension == Dimension::NONE {
            quotient.maybe_shown_in(self.written_in)
        } else {
            quotient
        })
    }

    /// With the opposite sign.
    pub fn negated(&self) -> Self {
        Quantity {
            number: -&self.number,
            ..self.clone()
        }
    }

    fn is_reading(&self) -> bool {
        self.written_in.is_some_and(|unit| unit.has_offset())
    }

    /// With the values drawn for its inputs in the place of its uncertainty.
    pub fn drawn(&self, draw: &SampleDraw) -> Self {
        self.keeping_unit(draw.of(&self.number))
    }

    fn keeping_unit(&self, number: Number) -> Self {
        Quantity {
            number,
            places: None,
            ..*self
        }
    }

    fn maybe_shown_in(self, unit: Option<Unit>) -> Self {
        match unit {
            Some(unit) => self.shown_in(&unit),
            None => self,
        }
    }
}

/// The number, as a [`Number`] prints, and the unit: that in which it was written, else the coherent unit of the SI.
///
/// ```
/// use aludel::number::{Dimension, Exact, InputId, Number, Quantity, unit};
/// let mass = Number::exact(Exact::from(5)).with_uncertainty(InputId(0), 0.1);
/// assert_eq!(Quantity::of(mass, &unit::GRAM).to_string(), "(5 ± 0.1) g");
/// let density = Quantity::coherent(Number::exact(Exact::from(998)), Dimension::DENSITY);
/// assert_eq!(density.to_string(), "998 kg/m³");
/// ```
impl Display for Quantity {
    fn fmt(&self, to: &mut Formatter<'_>) -> fmt::Result {
        let in_unit = self.written_in.and_then(|unit| self.in_unit(&unit).ok());
        let number = in_unit.as_ref().unwrap_or(&self.number);
        match self.number.is_exact() || (in_unit.is_none() && self.dimension == Dimension::NONE) {
            true => write!(to, "{number}")?,
            false => write!(to, "({number})")?,
        }
        match self.written_in {
            Some(unit) => write!(to, " {unit}"),
            None if self.dimension == Dimension::NONE => Ok(()),
            None => {
                to.write_str(" ")?;
                super::unit::write_coherent(self.dimension, to)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::number::unit;

    fn of(value: i64, unit: &Unit) -> Quantity {
        Quantity::of(Number::exact(Exact::from(value)), unit)
    }

    #[test]
    fn celsius_is_a_reading() {
        let warm = of(25, &unit::CELSIUS);
        assert_eq!(warm.in_unit(&unit::KELVIN).unwrap().to_f64(), 298.15);
        assert_eq!(warm.in_unit(&unit::CELSIUS).unwrap().to_f64(), 25.0);
    }

    #[test]
    fn between_two_readings_lie_kelvins() {
        let between = of(5, &unit::CELSIUS).minus(&of(2, &unit::CELSIUS)).unwrap();
        assert_eq!(between.written_in(), Some(unit::KELVIN));
        assert_eq!(between.in_unit(&unit::KELVIN).unwrap().to_f64(), 3.0);
        let colder = of(5, &unit::CELSIUS).minus(&of(2, &unit::KELVIN)).unwrap();
        assert_eq!(colder.in_unit(&unit::CELSIUS).unwrap().to_f64(), 3.0);
    }

    #[test]
    fn grams_and_millilitres_do_not_add() {
        let fault = of(5, &unit::GRAM).plus(&of(5, &unit::MILLILITRE));
        assert_eq!(
            fault,
            Err(Mismatch {
                found: Dimension::VOLUME,
                expected: Dimension::MASS
            })
        );
    }

    #[test]
    fn a_plain_factor_keeps_the_unit() {
        let double = of(5, &unit::GRAM).times(&Quantity::plain(Number::exact(Exact::from(2))));
        assert_eq!(double.written_in(), Some(unit::GRAM));
    }
}
