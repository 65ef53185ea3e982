//! Exact rational numbers, read from decimals.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, DivAssign, Mul, MulAssign, Neg, Sub, SubAssign};

use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::BigRational;
use num_traits::{One, Signed};

use super::fraction::{self, Fraction};

/// A rational number of any size.
///
/// ```
/// use aludel::number::Exact;
/// let third = Exact::from(1) / Exact::from(3);
/// assert_eq!(&third * &Exact::from(3), Exact::from(1));
/// assert_eq!(Exact::decimal("1.50"), Ok(Exact::ratio(3, 2)));
/// ```
///
/// Cheap to copy: two machine words, or a share in a big fraction.
#[derive(Clone, Debug, Eq, Hash, Ord, PartialEq, PartialOrd)]
pub struct Exact(Fraction);

/// Why a text is not a number.
#[derive(Clone, Copy, Debug, Eq, PartialEq, thiserror::Error)]
pub enum NotANumber {
    /// `1.2.3`
    #[error("this is not how a number is written")]
    Malformed,
    /// `1e999999`, or more than [`Exact::MAX_DIGITS`] digits.
    #[error("this number has more than {} digits", Exact::MAX_DIGITS)]
    TooLong,
    /// `1/0`
    #[error("the denominator of this fraction is zero")]
    ZeroDenominator,
}

impl Exact {
    /// The most digits a number may be written with, and the largest power of ten either way.
    pub const MAX_DIGITS: usize = 400;

    /// Significant decimal digits kept of a model's result.
    const MODEL_DIGITS: i32 = 12;

    /// The most that [`Exact::modelled`] moves a value by, as a fraction of it: half of the last of twelve digits.
    pub const MODEL_ROUNDING: f64 = 5e-12;

    /// Zero.
    pub fn zero() -> Self {
        Exact(Fraction::ZERO)
    }

    /// One.
    pub fn one() -> Self {
        Exact(Fraction::ONE)
    }

    /// `numerator / denominator`.
    ///
    /// # Panics
    /// If `denominator` is zero: meant for constants in the code, never for input.
    pub fn ratio(numerator: i64, denominator: i64) -> Self {
        match Fraction::of_words(numerator, denominator) {
            Some(short) => Exact(short),
            None => BigRational::new(numerator.into(), denominator.into()).into(),
        }
    }

    /// Reads `12`, `-0.50`, `1.5e-3`, `2/3`.
    pub fn decimal(text: &str) -> Result<Self, NotANumber> {
        if let Some((above, below)) = text.split_once('/') {
            let (above, below) = (Self::decimal(above.trim())?, Self::decimal(below.trim())?);
            return above.checked_div(&below).ok_or(NotANumber::ZeroDenominator);
        }
        let (mantissa, power) = match text.split_once(['e', 'E']) {
            Some((mantissa, power)) => (mantissa, read_power(power)?),
            None => (text, 0),
        };
        let (negative, mantissa) = match mantissa.strip_prefix(['-', '−']) {
            Some(rest) => (true, rest),
            None => (false, mantissa.strip_prefix('+').unwrap_or(mantissa)),
        };
        let (whole, part) = mantissa.split_once('.').unwrap_or((mantissa, ""));
        let digits = [whole, part].concat();
        if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_digit()) {
            return Err(NotANumber::Malformed);
        }
        if digits.len() > Self::MAX_DIGITS {
            return Err(NotANumber::TooLong);
        }
        let power = power - part.len() as i64;
        if let Ok(number) = digits.parse::<i64>()
            && let Some(short) = Self::scaled(if negative { -number } else { number }, power)
        {
            return Ok(short);
        }
        let number: BigInt = digits.parse().map_err(|_| NotANumber::Malformed)?;
        let scale = num_traits::pow(BigInt::from(10), power.unsigned_abs() as usize);
        let value = if power < 0 {
            BigRational::new(number, scale)
        } else {
            BigRational::from_integer(number * scale)
        };
        Ok(if negative { -value } else { value }.into())
    }

    /// `number · 10^power` as far as machine words reach.
    fn scaled(number: i64, power: i64) -> Option<Self> {
        let scale = 10_i64.checked_pow(u32::try_from(power.unsigned_abs()).ok()?)?;
        match power {
            ..0 => Fraction::of_words(number, scale),
            _ => Fraction::of_words(number.checked_mul(scale)?, 1),
        }
        .map(Exact)
    }

    /// The result of a floating-point model, kept to twelve significant decimal digits: more than any model here is
    /// good for, and few enough for later exact arithmetic to stay quick. `None` if it is not finite.
    pub fn modelled(value: f64) -> Option<Self> {
        if !value.is_finite() {
            return None;
        }
        if let Some(short) = Self::modelled_in_words(value) {
            return Some(short);
        }
        let text = format!("{value:.*e}", (Self::MODEL_DIGITS - 1) as usize);
        Self::decimal(&text).ok()
    }

    /// The same for sizes around one, where powers of ten are floating-point numbers: a number that has no more digits
    /// comes out as it is, since the product is wrong by less than a thousandth of the last one.
    fn modelled_in_words(value: f64) -> Option<Self> {
        const POWERS: i32 = 18;
        let (least, most) = (1e11, 1e12);
        if value == 0.0 {
            return Some(Self::zero());
        }
        let guess = Self::MODEL_DIGITS - 1 - libm::log10(value.abs()).floor() as i32;
        // The logarithm may fall on the wrong side of a whole number.
        (guess - 1..=guess + 1).find_map(|power| {
            if power.abs() > POWERS {
                return None;
            }
            let scale = 10_f64.powi(power.abs());
            let digits = if power < 0 {
                value / scale
            } else {
                value * scale
            };
            if !(least..most).contains(&digits.abs()) {
                return None;
            }
            Self::scaled(digits.round() as i64, i64::from(-power))
        })
    }

    /// A floating-point number within two units in the last place, for models and for printing.
    pub fn to_f64(&self) -> f64 {
        self.0.to_f64()
    }

    /// The integer above the line, in lowest terms.
    pub fn numerator(&self) -> BigInt {
        self.0.numerator()
    }

    /// The positive integer below the line, in lowest terms.
    pub fn denominator(&self) -> BigInt {
        self.0.denominator()
    }

    /// Binary digits above and below the line together.
    pub fn bits(&self) -> u64 {
        self.0.bits()
    }

    /// Whether it is a whole number.
    pub fn is_integer(&self) -> bool {
        self.0.is_whole()
    }

    /// Whether it is zero.
    pub fn is_zero(&self) -> bool {
        self.0.sign() == 0
    }

    /// Whether it is above zero.
    pub fn is_positive(&self) -> bool {
        self.0.sign() > 0
    }

    /// Whether it is below zero.
    pub fn is_negative(&self) -> bool {
        self.0.sign() < 0
    }

    /// Without its sign.
    pub fn abs(&self) -> Self {
        if self.is_negative() {
            -self
        } else {
            self.clone()
        }
    }

    /// `self / other`, or `None` if `other` is zero.
    pub fn checked_div(&self, other: &Self) -> Option<Self> {
        (!other.is_zero()).then(|| self / other)
    }

    /// To the whole power `exponent`; `None` for a negative power of zero or an exponent beyond ±64.
    pub fn power(&self, exponent: i32) -> Option<Self> {
        if exponent.unsigned_abs() > 64 || (exponent < 0 && self.is_zero()) {
            return None;
        }
        Some(num_traits::Pow::pow(&self.0.to_big(), exponent).into())
    }

    /// The value with `places` decimals, ties away from zero, as text such as `-12.50`.
    ///
    /// ```
    /// use aludel::number::Exact;
    /// assert_eq!(Exact::ratio(1, 8).to_fixed(2), "0.13");
    /// ```
    pub fn to_fixed(&self, places: usize) -> String {
        let scale = num_traits::pow(BigInt::from(10), places);
        let twice = self.numerator() * &scale * 2
            + self.denominator() * if self.is_negative() { -1 } else { 1 };
        // Truncating division after adding half rounds ties away from zero.
        let rounded: BigInt = twice / (self.denominator() * BigInt::from(2));
        let digits = format!("{:0>width$}", rounded.abs().to_string(), width = places + 1);
        let (whole, part) = digits.split_at(digits.len() - places);
        let sign = if rounded.is_negative() { "-" } else { "" };
        if places == 0 {
            format!("{sign}{whole}")
        } else {
            format!("{sign}{whole}.{part}")
        }
    }

    /// The decimal text if it ends, else `a/b`: nothing is lost, so reading it again gives the same number.
    pub fn to_plain(&self) -> String {
        let mut places = 0;
        let mut scaled = self.denominator();
        let ten = BigInt::from(10);
        while !scaled.is_one() && places < 40 {
            // Each step cancels the factors 2 and 5 that one more decimal place provides.
            let common = scaled.gcd(&ten);
            if common.is_one() {
                return format!("{}/{}", self.numerator(), self.denominator());
            }
            scaled /= common;
            places += 1;
        }
        if scaled.is_one() {
            self.to_fixed(places)
        } else {
            format!("{}/{}", self.numerator(), self.denominator())
        }
    }
}

fn read_power(text: &str) -> Result<i64, NotANumber> {
    let power: i64 = text.parse().map_err(|_| NotANumber::Malformed)?;
    if power.unsigned_abs() as usize > Exact::MAX_DIGITS {
        return Err(NotANumber::TooLong);
    }
    Ok(power)
}

impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.to_plain())
    }
}

impl From<i64> for Exact {
    fn from(value: i64) -> Self {
        Exact::ratio(value, 1)
    }
}

impl From<BigInt> for Exact {
    fn from(value: BigInt) -> Self {
        BigRational::from_integer(value).into()
    }
}

impl From<BigRational> for Exact {
    fn from(value: BigRational) -> Self {
        Exact(value.into())
    }
}

impl From<Exact> for BigRational {
    fn from(value: Exact) -> Self {
        value.0.to_big()
    }
}

macro_rules! by_value_and_by_reference {
    ($($trait:ident $method:ident $assign:ident $change:ident = $made:expr),*) => {$(
        impl $trait<&Exact> for &Exact {
            type Output = Exact;
            fn $method(self, other: &Exact) -> Exact {
                let made: fn(&Fraction, &Fraction) -> Fraction = $made;
                Exact(made(&self.0, &other.0))
            }
        }
        impl $trait<&Exact> for Exact {
            type Output = Exact;
            fn $method(self, other: &Exact) -> Exact {
                (&self).$method(other)
            }
        }
        impl $trait for Exact {
            type Output = Exact;
            fn $method(self, other: Exact) -> Exact {
                (&self).$method(&other)
            }
        }
        impl $assign<&Exact> for Exact {
            fn $change(&mut self, other: &Exact) {
                *self = (&*self).$method(other);
            }
        }
    )*};
}

// Division panics on zero, as for integers: callers that divide by input use `checked_div`.
by_value_and_by_reference!(
    Add add AddAssign add_assign = fraction::sum,
    Sub sub SubAssign sub_assign = |left, right| fraction::sum(left, &right.negated()),
    Mul mul MulAssign mul_assign = fraction::product,
    Div div DivAssign div_assign = fraction::quotient
);

impl Neg for Exact {
    type Output = Exact;
    fn neg(self) -> Exact {
        Exact(self.0.negated())
    }
}

impl Neg for &Exact {
    type Output = Exact;
    fn neg(self) -> Exact {
        Exact(self.0.negated())
    }
}

impl Default for Exact {
    /// Zero.
    fn default() -> Self {
        Exact::zero()
    }
}

impl Sum for Exact {
    fn sum<I: Iterator<Item = Exact>>(items: I) -> Exact {
        items.fold(Exact::zero(), |total, item| total + item)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_read_exactly() {
        for (text, numerator, denominator) in [
            ("12", 12, 1),
            ("-0.50", -1, 2),
            ("1.5e-3", 3, 2000),
            ("2e3", 2000, 1),
            ("2/3", 2, 3),
            (".5", 1, 2),
        ] {
            assert_eq!(
                Exact::decimal(text),
                Ok(Exact::ratio(numerator, denominator)),
                "{text}"
            );
        }
        assert_eq!(Exact::decimal("1/0"), Err(NotANumber::ZeroDenominator));
        assert_eq!(Exact::decimal("1.2.3"), Err(NotANumber::Malformed));
        assert_eq!(Exact::decimal("1e999999"), Err(NotANumber::TooLong));
        assert_eq!(Exact::decimal(""), Err(NotANumber::Malformed));
    }

    #[test]
    fn printing_loses_nothing() {
        for text in ["0", "12", "-0.5", "0.0015", "2/3", "-7/9"] {
            assert_eq!(Exact::decimal(text).unwrap().to_plain(), text);
        }
        assert_eq!(Exact::decimal("2.345").unwrap().to_fixed(2), "2.35");
        assert_eq!(Exact::decimal("-2.345").unwrap().to_fixed(2), "-2.35");
        assert_eq!(Exact::decimal("-0.4").unwrap().to_fixed(0), "0");
    }

    #[test]
    fn powers_end_where_zero_and_the_largest_exponent_do() {
        let two = Exact::from(2);
        assert_eq!(two.power(-2), Some(Exact::ratio(1, 4)));
        assert_eq!(two.power(64).map(|all| all.bits()), Some(66));
        assert!(two.power(-64).is_some());
        assert_eq!((two.power(65), two.power(-65)), (None, None));
        assert_eq!(Exact::zero().power(-1), None);
        assert_eq!(Exact::zero().power(3), Some(Exact::zero()));
    }

    #[test]
    fn models_enter_by_one_door() {
        assert_eq!(Exact::modelled(0.998_203), Exact::decimal("0.998203").ok());
        assert_eq!(Exact::modelled(f64::NAN), None);
    }
}
