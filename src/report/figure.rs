//! Exact numbers as figures for a reader.

use crate::number::{Exact, Number};

/// The value with this many significant digits, ties away from zero: `0.03706`, `1.36`, `6.02 × 10²³`.
///
/// Whole digits before the point are never turned into zeros unless the number is so large that it gets a power of ten.
///
/// ```
/// use aludel::{number::Exact, report::figure::significant};
/// assert_eq!(significant(&Exact::ratio(1, 27), 4), "0.03704");
/// assert_eq!(significant(&Exact::from(123456), 3), "123456");
/// ```
pub fn significant(value: &Exact, digits: usize) -> String {
    let digits = digits.max(1);
    if value.is_zero() {
        return "0".to_owned();
    }
    let places = decimals(value, digits);
    let magnitude = magnitude(value);
    if (-5..=9).contains(&magnitude) {
        return value.to_fixed(usize::try_from(places).unwrap_or(0));
    }
    let scaled = value * &ten_to(-magnitude);
    let mantissa = scaled.to_fixed(digits - 1);
    // 9.996 rounds up to 10.00, one power of ten more.
    let (mantissa, power) = if mantissa.trim_start_matches('-').starts_with("10") {
        ((&scaled * &ten_to(-1)).to_fixed(digits - 1), magnitude + 1)
    } else {
        (mantissa, magnitude)
    };
    format!("{mantissa} × 10{}", raised(power))
}

/// Value and standard uncertainty, the uncertainty to two significant digits and the value to the same place
/// (JCGM 100:2008, 7.2.6); `None` for an exact number.
///
/// ```
/// use aludel::{number::{Exact, InputId, Number}, report::figure::with_uncertainty};
/// let mass = Number::exact(Exact::ratio(12345, 1000)).with_uncertainty(InputId(0), 0.0214);
/// assert_eq!(with_uncertainty(&mass), Some(("12.345".into(), "0.021".into())));
/// ```
pub fn with_uncertainty(number: &Number) -> Option<(String, String)> {
    let spread = Exact::modelled(number.standard_uncertainty()).filter(Exact::is_positive)?;
    let places = usize::try_from(decimals(&spread, 2)).unwrap_or(0);
    Some((number.value().to_fixed(places), spread.to_fixed(places)))
}

/// How many decimals show `digits` significant digits: negative if it needs not even all whole digits.
fn decimals(value: &Exact, digits: usize) -> i32 {
    let wanted = |magnitude: i32| digits as i32 - 1 - magnitude;
    let places = wanted(magnitude(value));
    let rounded = Exact::decimal(&value.to_fixed(usize::try_from(places).unwrap_or(0)));
    match rounded {
        // 0.9996 to three digits is 1.00, not 1.000.
        Ok(rounded) if !rounded.is_zero() => places.min(wanted(magnitude(&rounded))),
        _ => places,
    }
}

/// The power of ten of the first digit; `value` is not zero.
fn magnitude(value: &Exact) -> i32 {
    let size = value.abs();
    let digits = |n: &num_bigint::BigInt| n.to_string().len() as i32;
    let guess = digits(size.numerator()) - digits(size.denominator());
    if size < ten_to(guess) {
        guess - 1
    } else {
        guess
    }
}

fn ten_to(power: i32) -> Exact {
    let size = num_traits::pow(num_bigint::BigInt::from(10), power.unsigned_abs() as usize);
    if power < 0 {
        Exact::one() / Exact::from(size)
    } else {
        Exact::from(size)
    }
}

fn raised(power: i32) -> String {
    let digits = power.to_string();
    let raise = |c| match c {
        '-' => '⁻',
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        '0' => '⁰',
        c => char::from_u32('⁰' as u32 + c as u32 - '0' as u32).unwrap_or(c),
    };
    digits.chars().map(raise).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_have_the_digits_asked_for() {
        for (text, digits, shown) in [
            ("0.0370624", 4, "0.03706"),
            ("474.388", 5, "474.39"),
            ("0.9996", 3, "1.00"),
            ("-2.345", 3, "-2.35"),
            ("0.5", 3, "0.500"),
            ("123456", 3, "123456"),
            ("0", 3, "0"),
            ("1e20", 3, "1.00 × 10²⁰"),
            ("9.9999e-20", 3, "1.00 × 10⁻¹⁹"),
        ] {
            assert_eq!(
                significant(&Exact::decimal(text).unwrap(), digits),
                shown,
                "{text}"
            );
        }
    }
}
