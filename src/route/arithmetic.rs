//! Operators and functions of quantities alone. The check has settled that dimensions fit.

use std::ops::RangeInclusive;

use crate::number::{Number, Quantity};

use super::syntax::Operator;

/// Why an operator has no result.
#[derive(Clone, Copy, Debug, Eq, PartialEq, thiserror::Error)]
pub enum NoResult {
    /// `1 / 0`
    #[error("this divides by zero")]
    DivisionByZero,
    /// More digits than can be kept, or larger or smaller than can be calculated with: `2 ^ 16 ^ 16`, time and again.
    #[error(
        "the result has more digits than can be kept, or is too large or too small to calculate with"
    )]
    TooManyDigits,
}

/// The most binary digits of a result, above and below the line together: some tens of thousands of decimal ones.
const MOST_BITS: u64 = 1 << 18;

/// `left operator right`
pub fn apply(operator: Operator, left: &Quantity, right: &Quantity) -> Result<Quantity, NoResult> {
    let made = match operator {
        Operator::Add => left.plus(right).ok(),
        Operator::Subtract => left.minus(right).ok(),
        Operator::Multiply => Some(left.times(right)),
        Operator::Divide => left.over(right),
        Operator::Power => return power(left, right),
    };
    made.ok_or(NoResult::DivisionByZero).and_then(kept)
}

/// Results whose squares and quotients are floating-point numbers, too.
const SIZES: RangeInclusive<f64> = 1e-150..=1e150;

fn kept(quantity: Quantity) -> Result<Quantity, NoResult> {
    let number = quantity.number();
    let (size, uncertainty) = (number.to_f64().abs(), number.standard_uncertainty());
    let within = number.is_zero() || SIZES.contains(&size);
    if number.value().bits() > MOST_BITS || !within || uncertainty > *SIZES.end() {
        return Err(NoResult::TooManyDigits);
    }
    Ok(quantity)
}

fn power(base: &Quantity, exponent: &Quantity) -> Result<Quantity, NoResult> {
    let exponent = exponent.number().value().to_f64() as i32;
    let mut result = Quantity::plain(Number::one());
    for _ in 0..exponent.unsigned_abs() {
        result = kept(result.times(base))?;
    }
    if exponent < 0 {
        let one = Quantity::plain(Number::one());
        one.over(&result).ok_or(NoResult::DivisionByZero)
    } else {
        Ok(result)
    }
}

/// Without its sign.
pub fn magnitude(quantity: Quantity) -> Quantity {
    if quantity.number().is_negative() {
        quantity.negated()
    } else {
        quantity
    }
}

/// The largest or the smallest; `None` of none.
pub fn extreme(largest: bool, all: Vec<Quantity>) -> Option<Quantity> {
    let by_value = |a: &Quantity, b: &Quantity| a.number().value().cmp(b.number().value());
    let all = all.into_iter();
    if largest {
        all.max_by(by_value)
    } else {
        all.min_by(by_value)
    }
}
