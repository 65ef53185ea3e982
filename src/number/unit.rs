//! The units of the bench: base units with SI prefixes, their powers, products and quotients.
//!
//! A unit is data of a few bytes: which base units, with which prefixes, to which powers. Factor and dimension are
//! worked out from the table of base units, so no spelling stands for two things and no product is missing.
//!
//! Knows nothing of the numbers that stand before a unit, nor of the quantities that a formula could have.

use std::fmt::{Display, Formatter, Write};

use super::{Dimension, Exact};

mod base;
mod spelling;

pub use base::Base;
pub use spelling::{find, nearby};

/// The most base units in one unit: `J/(mol·K)` has three.
const MOST: usize = 4;

/// A product of powers of prefixed base units, and how its numbers become coherent SI numbers (m, kg, s, mol, K).
///
/// ```
/// use aludel::number::{Dimension, Exact, unit};
/// let unit = unit::find("mmol/L").unwrap();
/// assert_eq!(unit.dimension(), Dimension::CONCENTRATION);
/// assert_eq!(unit.factor(), Exact::one());
/// assert_eq!(unit.symbol(), "mmol/L");
/// ```
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub struct Unit {
    factors: [Option<Factor>; MOST],
}

/// A base unit with the power of ten of its prefix, to a power.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
struct Factor {
    base: Base,
    prefix: i8,
    power: i8,
}

impl Unit {
    const fn of(base: Base) -> Unit {
        Unit::prefixed(0, base)
    }

    const fn prefixed(prefix: i8, base: Base) -> Unit {
        let factor = Factor {
            base,
            prefix,
            power: 1,
        };
        Unit {
            factors: [Some(factor), None, None, None],
        }
    }

    /// One unit for each unit of another.
    const fn per(self, other: Unit) -> Unit {
        let mut factors = self.factors;
        let mut at = 0;
        let mut from = 0;
        while from < MOST {
            if let Some(factor) = other.factors[from] {
                while factors[at].is_some() {
                    at += 1;
                }
                factors[at] = Some(Factor {
                    power: -factor.power,
                    ..factor
                });
            }
            from += 1;
        }
        Unit { factors }
    }

    fn parts(&self) -> impl Iterator<Item = Factor> {
        self.factors.into_iter().flatten()
    }

    /// What it measures.
    pub fn dimension(&self) -> Dimension {
        let parts = self.parts().map(Factor::dimension);
        parts.fold(Dimension::NONE, |all, one| all * one)
    }

    /// Coherent SI units in one of this unit.
    ///
    /// ```
    /// use aludel::number::{Exact, unit};
    /// assert_eq!(unit::MILLILITRE.factor(), Exact::ratio(1, 1_000_000));
    /// ```
    pub fn factor(&self) -> Exact {
        let mut parts = self.parts().map(Factor::in_si);
        let first = parts.next().unwrap_or_else(Exact::one);
        parts.fold(first, |all, one| &all * &one)
    }

    /// What is added to a reading to get kelvins; zero except for °C.
    pub fn offset(&self) -> Exact {
        match self.has_offset() {
            true => super::zero_celsius(),
            false => Exact::zero(),
        }
    }

    /// Whether it is a scale with a zero of its own, so that readings and differences must be told apart.
    pub fn has_offset(&self) -> bool {
        *self == CELSIUS
    }

    /// Whether it is a share of a whole, by mass or of nothing in particular: `%`, `ppm`, `%w/w`.
    pub fn is_share(&self) -> bool {
        use Base::{PerBillion, PerCent, PerCentByMass, PerMille, PerMillion};
        let share = [PerCent, PerMille, PerMillion, PerBillion, PerCentByMass];
        share.into_iter().any(|base| *self == Unit::of(base))
    }

    /// Whether it is one mass by another: `mg/kg`.
    pub fn compares_masses(&self) -> bool {
        let of_mass = |part: Factor| part.base.row().dimension == Dimension::MASS;
        self.dimension() == Dimension::NONE
            && self.parts().count() == 2
            && self.parts().all(of_mass)
    }

    /// As it is printed: `mol/L`, `J/(mol·K)`, `cm³`.
    pub fn symbol(&self) -> String {
        self.to_string()
    }
}

impl Factor {
    fn dimension(self) -> Dimension {
        let dimension = self.base.row().dimension;
        // The reader lets no power through that leaves the range.
        dimension.power(self.power.into()).unwrap_or(dimension)
    }

    fn in_si(self) -> Exact {
        let base = self.base.factor();
        let one = match self.prefix {
            0 => base,
            prefix => &base * &ten_to(prefix),
        };
        match self.power {
            1 => one,
            power => one.power(power.into()).unwrap_or(one),
        }
    }

    fn write(self, to: &mut Formatter<'_>) -> std::fmt::Result {
        let prefix = spelling::prefix_symbol(self.prefix);
        write!(to, "{prefix}{}", self.base.row().symbol)?;
        match self.power.unsigned_abs() {
            1 => Ok(()),
            power => power
                .to_string()
                .chars()
                .try_for_each(|digit| to.write_char(spelling::raised(digit))),
        }
    }
}

impl Display for Unit {
    fn fmt(&self, to: &mut Formatter<'_>) -> std::fmt::Result {
        quotient(self.parts(), to)
    }
}

/// The coherent unit of a dimension in base units of the SI: `kg/m³`; nothing for a plain number.
pub(super) fn write_coherent(dimension: Dimension, to: &mut Formatter<'_>) -> std::fmt::Result {
    let bases = [
        (0, Base::Metre),
        (3, Base::Gram),
        (0, Base::Second),
        (0, Base::Mole),
        (0, Base::Kelvin),
    ];
    let powers = dimension.exponents().into_iter().zip(bases);
    let factors = powers.map(|(power, (prefix, base))| Factor {
        base,
        prefix,
        power,
    });
    quotient(factors.filter(|factor| factor.power != 0), to)
}

fn quotient(factors: impl Iterator<Item = Factor>, to: &mut Formatter<'_>) -> std::fmt::Result {
    let (above, below): (Vec<Factor>, Vec<Factor>) = factors.partition(|part| part.power > 0);
    if above.is_empty() && !below.is_empty() {
        to.write_char('1')?;
    }
    product(&above, to)?;
    match below.len() {
        0 => Ok(()),
        1 => {
            to.write_char('/')?;
            below[0].write(to)
        }
        _ => {
            to.write_str("/(")?;
            product(&below, to)?;
            to.write_char(')')
        }
    }
}

fn product(factors: &[Factor], to: &mut Formatter<'_>) -> std::fmt::Result {
    for (index, factor) in factors.iter().enumerate() {
        if index > 0 {
            to.write_char('·')?;
        }
        factor.write(to)?;
    }
    Ok(())
}

fn ten_to(power: i8) -> Exact {
    Exact::from(10)
        .power(power.into())
        .unwrap_or_else(Exact::one)
}

macro_rules! named {
    ($($(#[$doc:meta])* $name:ident = $unit:expr;)*) => {
        $($(#[$doc])* pub const $name: Unit = $unit;)*
    };
}

named! {
    /// gram
    GRAM = Unit::of(Base::Gram);
    /// milligram
    MILLIGRAM = Unit::prefixed(-3, Base::Gram);
    /// kilogram
    KILOGRAM = Unit::prefixed(3, Base::Gram);
    /// mole
    MOLE = Unit::of(Base::Mole);
    /// millimole
    MILLIMOLE = Unit::prefixed(-3, Base::Mole);
    /// litre
    LITRE = Unit::of(Base::Litre);
    /// millilitre
    MILLILITRE = Unit::prefixed(-3, Base::Litre);
    /// microlitre
    MICROLITRE = Unit::prefixed(-6, Base::Litre);
    /// kelvin
    KELVIN = Unit::of(Base::Kelvin);
    /// degree Celsius, a reading
    CELSIUS = Unit::of(Base::Celsius);
    /// second
    SECOND = Unit::of(Base::Second);
    /// minute
    MINUTE = Unit::of(Base::Minute);
    /// hour
    HOUR = Unit::of(Base::Hour);
    /// joule
    JOULE = Unit::of(Base::Joule);
    /// kilojoule
    KILOJOULE = Unit::prefixed(3, Base::Joule);
    /// watt
    WATT = Unit::of(Base::Watt);
    /// watt per kelvin, what a bath takes up for each degree between it and the vessel
    WATT_PER_KELVIN = WATT.per(KELVIN);
    /// kilopascal
    KILOPASCAL = Unit::prefixed(3, Base::Pascal);
    /// mole per litre
    MOLAR = MOLE.per(LITRE);
    /// mole per kilogram of solvent
    MOLAL = MOLE.per(KILOGRAM);
    /// gram per millilitre
    GRAM_PER_MILLILITRE = GRAM.per(MILLILITRE);
    /// gram per litre
    GRAM_PER_LITRE = GRAM.per(LITRE);
    /// gram per mole
    GRAM_PER_MOLE = GRAM.per(MOLE);
    /// kilojoule per mole
    KILOJOULE_PER_MOLE = KILOJOULE.per(MOLE);
    /// joule per mole
    JOULE_PER_MOLE = JOULE.per(MOLE);
    /// joule per mole and kelvin
    JOULE_PER_MOLE_KELVIN = JOULE.per(MOLE).per(KELVIN);
    /// per cent, as a plain ratio
    PER_CENT = Unit::of(Base::PerCent);
    /// per cent by mass, of a label
    PER_CENT_BY_MASS = Unit::of(Base::PerCentByMass);
    /// per cent by volume, of a label
    PER_CENT_BY_VOLUME = Unit::of(Base::PerCentByVolume);
    /// volumes of oxygen that a volume of hydrogen peroxide gives off, of a label
    VOLUME_STRENGTH = Unit::of(Base::VolumeStrength);
    /// parts per million, as a plain ratio
    PER_MILLION = Unit::of(Base::PerMillion);
}
