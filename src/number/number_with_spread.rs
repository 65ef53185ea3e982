//! A number and, if it has one, its uncertainty as contributions of the inputs it was computed from.

use std::fmt::{self, Display, Formatter};
use std::ops::{Add, Mul, Neg, Sub};
use std::sync::Arc;

use super::Exact;

/// Which input a contribution comes from: handed out by the program that declares uncertain inputs.
#[derive(Clone, Copy, Debug, Eq, Hash, Ord, PartialEq, PartialOrd)]
pub struct InputId(pub u32);

/// A value with the standard-uncertainty contribution of each input to it.
///
/// A contribution is (∂f/∂xᵢ)·u(xᵢ), with its sign, so that sums of numbers which share inputs come out with the right
/// correlation (JCGM 100:2008, 5.2.2, for independent inputs). A number without contributions is exact and costs no
/// more than its value.
///
/// ```
/// use aludel::number::{Exact, InputId, Number};
/// let mass = Number::exact(Exact::from(10)).with_uncertainty(InputId(0), 0.1);
/// assert_eq!((&mass - &mass).standard_uncertainty(), 0.0);
/// assert_eq!((&mass + &mass).standard_uncertainty(), 0.2);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Number {
    value: Exact,
    /// Sorted by input, no zero contributions.
    spread: Option<Arc<[(InputId, f64)]>>,
}

impl Number {
    /// A number without uncertainty.
    pub fn exact(value: Exact) -> Self {
        Number {
            value,
            spread: None,
        }
    }

    /// Zero.
    pub fn zero() -> Self {
        Self::exact(Exact::zero())
    }

    /// One.
    pub fn one() -> Self {
        Self::exact(Exact::one())
    }

    /// The result of a floating-point model, see [`Exact::modelled`].
    pub fn modelled(value: f64) -> Option<Self> {
        Exact::modelled(value).map(Self::exact)
    }

    /// The same value with one more independent contribution of `standard` (one standard uncertainty, same unit).
    pub fn with_uncertainty(self, input: InputId, standard: f64) -> Self {
        let part: Arc<[(InputId, f64)]> = Arc::new([(input, standard)]);
        let spread = combine(self.spread.as_deref(), 1.0, Some(&part), 1.0);
        Number {
            value: self.value,
            spread,
        }
    }

    /// The value alone.
    pub fn value(&self) -> &Exact {
        &self.value
    }

    /// The value as a floating-point number.
    pub fn to_f64(&self) -> f64 {
        self.value.to_f64()
    }

    /// The contributions, sorted by input; empty for an exact number.
    pub fn contributions(&self) -> &[(InputId, f64)] {
        self.spread.as_deref().unwrap_or(&[])
    }

    /// The combined standard uncertainty, 0 for an exact number.
    pub fn standard_uncertainty(&self) -> f64 {
        match self.contributions() {
            [] => 0.0,
            [(_, only)] => only.abs(),
            many => match many.iter().map(|(_, c)| c * c).sum::<f64>() {
                // The squares leave the range of floating-point numbers before the root does.
                sum if sum.is_infinite() || sum < f64::MIN_POSITIVE => {
                    many.iter().fold(0.0, |all, (_, c)| libm::hypot(all, *c))
                }
                sum => sum.sqrt(),
            },
        }
    }

    /// Whether it carries no uncertainty.
    pub fn is_exact(&self) -> bool {
        self.spread.is_none()
    }

    /// Whether the value is zero.
    pub fn is_zero(&self) -> bool {
        self.value.is_zero()
    }

    /// Whether the value is above zero.
    pub fn is_positive(&self) -> bool {
        self.value.is_positive()
    }

    /// Whether the value is below zero.
    pub fn is_negative(&self) -> bool {
        self.value.is_negative()
    }

    /// Times an exact factor.
    pub fn scaled(&self, factor: &Exact) -> Self {
        let slope = factor.to_f64();
        Number {
            value: &self.value * factor,
            spread: combine(self.spread.as_deref(), slope, None, 0.0),
        }
    }

    /// `self / other`, or `None` if the value of `other` is zero.
    pub fn checked_div(&self, other: &Self) -> Option<Self> {
        let value = self.value.checked_div(&other.value)?;
        let (a, b) = match (self.is_exact(), other.is_exact()) {
            (true, true) => (0.0, 0.0),
            _ => {
                let below = other.to_f64();
                (1.0 / below, -value.to_f64() / below)
            }
        };
        Some(Number {
            spread: combine(self.spread.as_deref(), a, other.spread.as_deref(), b),
            value,
        })
    }

    /// The result of a model of this one argument: `value` with the slope d(value)/d(self), through the door of
    /// [`Exact::modelled`].
    pub fn through_model(&self, value: f64, slope: f64) -> Option<Self> {
        Some(Number {
            value: Exact::modelled(value)?,
            spread: combine(self.spread.as_deref(), slope, None, 0.0),
        })
    }

    /// The result of a model of several arguments: `value` with the slope along each, through the door of
    /// [`Exact::modelled`]. `None` if the value is not finite.
    pub fn of_model(value: f64, slopes: &[(&Number, f64)]) -> Option<Self> {
        let uncertain = slopes.iter().filter(|(argument, _)| !argument.is_exact());
        let spread = uncertain.fold(None, |sum: Option<Arc<_>>, (argument, slope)| {
            combine(sum.as_deref(), 1.0, argument.spread.as_deref(), *slope)
        });
        Some(Number {
            value: Exact::modelled(value)?,
            spread,
        })
    }

    /// `Σ factor · number` as a model's result, which spares exact arithmetic where the sum goes into one.
    pub fn modelled_sum(terms: &[(&Number, f64)]) -> Self {
        let value = terms
            .iter()
            .map(|(number, factor)| number.to_f64() * factor);
        Self::of_model(value.sum(), terms).unwrap_or_else(Self::zero)
    }

    /// The same number with its value kept to a model's digits. Intensive results (temperatures, densities) pass
    /// here so that exact arithmetic does not carry hundreds of digits that no model earned.
    pub fn settled(&self) -> Self {
        match Exact::modelled(self.to_f64()) {
            Some(value) => Number {
                value,
                spread: self.spread.clone(),
            },
            None => self.clone(),
        }
    }

    /// The smaller by value; equal ones give `self`.
    pub fn min(self, other: Self) -> Self {
        if other.value < self.value {
            other
        } else {
            self
        }
    }

    /// The larger by value; equal ones give `self`.
    pub fn max(self, other: Self) -> Self {
        if other.value > self.value {
            other
        } else {
            self
        }
    }
}

/// `a·left + b·right`, contribution by contribution.
fn combine(
    left: Option<&[(InputId, f64)]>,
    a: f64,
    right: Option<&[(InputId, f64)]>,
    b: f64,
) -> Option<Arc<[(InputId, f64)]>> {
    let (left, right) = (left.unwrap_or(&[]), right.unwrap_or(&[]));
    if left.is_empty() && right.is_empty() {
        return None;
    }
    let mut parts = Vec::with_capacity(left.len() + right.len());
    let (mut i, mut j) = (0, 0);
    while i < left.len() || j < right.len() {
        let from_left = left.get(i).map(|(id, c)| (*id, a * c));
        let from_right = right.get(j).map(|(id, c)| (*id, b * c));
        let (input, part) = match (from_left, from_right) {
            (Some((l, c)), Some((r, d))) if l == r => {
                (i, j) = (i + 1, j + 1);
                (l, c + d)
            }
            (Some((l, c)), Some((r, _))) if l < r => {
                i += 1;
                (l, c)
            }
            (Some((l, c)), None) => {
                i += 1;
                (l, c)
            }
            (_, Some((r, d))) => {
                j += 1;
                (r, d)
            }
            (None, None) => break,
        };
        if part != 0.0 {
            parts.push((input, part));
        }
    }
    (!parts.is_empty()).then(|| parts.into())
}

/// The value, and behind `±` one standard uncertainty with two significant digits (JCGM 100:2008, 7.2.6).
///
/// A value of at most twelve significant digits is printed as it is; of others those twelve that a model keeps. For logs and
/// for other programs: how many digits a reader wants to see is not known here.
///
/// ```
/// use aludel::number::{Exact, InputId, Number};
/// let half = Number::exact(Exact::ratio(1, 2));
/// assert_eq!(half.to_string(), "0.5");
/// assert_eq!(half.with_uncertainty(InputId(0), 0.0123).to_string(), "0.5 ± 0.012");
/// assert_eq!(Number::exact(Exact::ratio(1, 3)).to_string(), "0.333333333333");
/// assert_eq!(Number::exact(Exact::decimal("6.02214076e23").unwrap()).to_string(), "6.02214076e23");
/// ```
impl Display for Number {
    fn fmt(&self, to: &mut Formatter<'_>) -> fmt::Result {
        digits(&self.value, to)?;
        if self.is_exact() {
            return Ok(());
        }
        let two_digits = format!("{:.1e}", self.standard_uncertainty());
        to.write_str(" ± ")?;
        match Exact::decimal(&two_digits) {
            Ok(uncertainty) => digits(&uncertainty, to),
            Err(_) => to.write_str(&two_digits),
        }
    }
}

/// To twelve significant digits, with a power of ten where zeros would have to be counted; what floating-point numbers do not
/// reach is printed exactly.
fn digits(value: &Exact, to: &mut Formatter<'_>) -> fmt::Result {
    let size = value.to_f64();
    match Exact::modelled(size) {
        Some(kept) if kept.is_zero() == value.is_zero() => match size.abs() {
            1e-6..1e12 | 0.0 => write!(to, "{kept}"),
            _ => write!(to, "{:e}", kept.to_f64()),
        },
        _ => write!(to, "{value}"),
    }
}

impl From<Exact> for Number {
    fn from(value: Exact) -> Self {
        Number::exact(value)
    }
}

impl Add for &Number {
    type Output = Number;
    fn add(self, other: &Number) -> Number {
        Number {
            value: &self.value + &other.value,
            spread: combine(self.spread.as_deref(), 1.0, other.spread.as_deref(), 1.0),
        }
    }
}

impl Sub for &Number {
    type Output = Number;
    fn sub(self, other: &Number) -> Number {
        Number {
            value: &self.value - &other.value,
            spread: combine(self.spread.as_deref(), 1.0, other.spread.as_deref(), -1.0),
        }
    }
}

impl Mul for &Number {
    type Output = Number;
    fn mul(self, other: &Number) -> Number {
        let spread = match (&self.spread, &other.spread) {
            (None, None) => None,
            (a, b) => combine(a.as_deref(), other.to_f64(), b.as_deref(), self.to_f64()),
        };
        Number {
            value: &self.value * &other.value,
            spread,
        }
    }
}

impl Neg for &Number {
    type Output = Number;
    fn neg(self) -> Number {
        Number {
            value: -&self.value,
            spread: combine(self.spread.as_deref(), -1.0, None, 0.0),
        }
    }
}

impl std::ops::AddAssign<&Number> for Number {
    fn add_assign(&mut self, other: &Number) {
        *self = &*self + other;
    }
}

impl std::ops::SubAssign<&Number> for Number {
    fn sub_assign(&mut self, other: &Number) {
        *self = &*self - other;
    }
}

impl std::iter::Sum for Number {
    fn sum<I: Iterator<Item = Number>>(items: I) -> Number {
        items.fold(Number::zero(), |total, item| &total + &item)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(value: i64, input: u32, standard: f64) -> Number {
        Number::exact(Exact::from(value)).with_uncertainty(InputId(input), standard)
    }

    /// JCGM 100:2008, 5.1.3 and 5.1.6: for y = x₁·x₂ the relative variances add.
    #[test]
    fn products_add_relative_variances() {
        let product = &number(10, 0, 0.1) * &number(20, 1, 0.4);
        let relative = product.standard_uncertainty() / product.to_f64();
        assert!((relative - (0.01_f64.powi(2) + 0.02_f64.powi(2)).sqrt()).abs() < 1e-15);
    }

    /// JCGM 100:2008, 5.2.2 note 1: with full correlation the uncertainty is the plain sum.
    #[test]
    fn a_shared_input_is_correlated_with_itself() {
        let x = number(10, 0, 0.1);
        let ratio = x.checked_div(&x).unwrap();
        assert!(ratio.is_exact());
        assert!(((&(&x + &x) + &x).standard_uncertainty() - 0.3).abs() < 1e-15);
    }

    #[test]
    fn contributions_whose_squares_are_no_numbers_have_a_root() {
        let sum = &number(0, 0, 3e200) + &number(0, 1, 4e200);
        assert!((sum.standard_uncertainty() / 5e200 - 1.0).abs() < 1e-12);
        let small = &number(0, 0, 3e-200) + &number(0, 1, 4e-200);
        assert!((small.standard_uncertainty() / 5e-200 - 1.0).abs() < 1e-12);
    }

    #[test]
    fn exact_numbers_stay_exact() {
        let two = Number::exact(Exact::from(2));
        assert!((&two * &two).is_exact());
        assert_eq!((&two - &two).value(), &Exact::zero());
    }
}
