//! Exact numbers as figures for a reader: the one place where they are rounded, and where it is said to how many digits.
//!
//! Promises: an uncertainty has two significant digits, and its value ends at the same place; what somebody wrote keeps the
//! digits it was written with.
//!
//! Knows nothing of sentences and pages: [`crate::diagnostic`] and [`crate::report`] put its figures into theirs.

use crate::number::{Exact, Number, Unit, unit};

mod answer;

pub use answer::{answer, answer_beside, quantity};
pub(crate) use answer::{in_unit, symbol, unit_of};

/// The value with this many significant digits, ties away from zero: `0.03706`, `1.36`, `6.02 × 10²³`.
///
/// Whole digits before the point are never turned into zeros unless the number is so large that it gets a power of ten.
///
/// ```
/// use aludel::{number::Exact, figure::significant};
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
/// (JCGM 100:2008, 7.2.6); `None` for an exact number, and for one whose uncertainty is only what the arithmetic of a
/// model left behind where contributions cancel.
///
/// ```
/// use aludel::{number::{Exact, InputId, Number}, figure::with_uncertainty};
/// let mass = Number::exact(Exact::ratio(12345, 1000)).with_uncertainty(InputId(0), 0.0214);
/// assert_eq!(with_uncertainty(&mass), Some(("12.345".into(), "0.021".into())));
/// ```
pub fn with_uncertainty(number: &Number) -> Option<(String, String)> {
    let spread = Exact::modelled(number.standard_uncertainty()).filter(Exact::is_positive)?;
    if number.standard_uncertainty() < number.to_f64().abs() * NOISE {
        return None;
    }
    let places = usize::try_from(decimals(&spread, 2)).unwrap_or(0);
    let (value, uncertainty) = (number.value().to_fixed(places), spread.to_fixed(places));
    // What nobody would write out gets its power of ten.
    match value.len().max(uncertainty.len()) {
        ..=LONGEST => Some((value, uncertainty)),
        _ => Some((significant(number.value(), DIGITS), significant(&spread, 2))),
    }
}

/// The most characters of a figure that are written out: twelve digits before the point, twelve behind it, and both signs.
const LONGEST: usize = 26;

/// How an uncertainty is shown.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub enum Spread {
    /// `12.345 ± 0.021`
    #[default]
    PlusMinus,
    /// `12.345(21)`: the digits in brackets are those of the last places (JCGM 100:2008, 7.2.2).
    Concise,
}

/// Value and standard uncertainty in the concise form, `12.345(21)`; without an uncertainty as [`number`].
///
/// ```
/// use aludel::{number::{Exact, InputId, Number}, figure::concise};
/// let of = |value: i64, spread| Number::exact(Exact::ratio(value, 1000)).with_uncertainty(InputId(0), spread);
/// assert_eq!(concise(&of(12345, 0.0214)), "12.345(21)");
/// assert_eq!(concise(&of(12345, 1.3)), "12.3(1.3)");
/// assert_eq!(concise(&of(1_234_567, 130.0)), "1235(130)");
/// ```
pub fn concise(number: &Number) -> String {
    let Some((value, spread)) = with_uncertainty(number) else {
        return significant(number.value(), DIGITS);
    };
    // With a digit before the point the bracket keeps its point, so that 1.3 is not read as 0.13.
    let bracket = match spread.strip_prefix("0.") {
        Some(digits) => digits.trim_start_matches('0'),
        None => &spread,
    };
    format!("{value}({bracket})")
}

/// A number with its uncertainty in either form; without one to so many significant digits.
pub fn with_spread(number: &Number, spread: Spread, digits: usize) -> String {
    match (with_uncertainty(number), spread) {
        (None, _) => significant(number.value(), digits),
        (Some((value, spread)), Spread::PlusMinus) => format!("{value} ± {spread}"),
        (Some(_), Spread::Concise) => concise(number),
    }
}

/// A relative uncertainty below this is no uncertainty of anything measured.
const NOISE: f64 = 1e-9;

/// A relative uncertainty below this is below that of any balance, burette or density of a bench: what has no other is shown
/// with one digit more than a figure without an uncertainty, and without its `±`.
const FINEST: f64 = 1e-4;

/// The same for what somebody asked for, who may be in search of just that.
const FINEST_ASKED: f64 = 1e-6;

/// What is left of a difference of two equal numbers, in g, mL, mol or kJ: less than any table tells.
const NOTHING: f64 = 1e-12;

/// Significant digits of a figure without an uncertainty: as good as most models here.
const DIGITS: usize = 4;

/// A mass in g, with mg and kg where they read better.
pub fn mass(grams: &Number) -> String {
    scaled(
        grams,
        &[
            (&unit::KILOGRAM, 1000.0),
            (&unit::GRAM, 0.1),
            (&unit::MILLIGRAM, 0.0),
        ],
        &unit::GRAM,
    )
}

/// A volume of liquid in mL, with L and µL where they read better.
pub fn volume(millilitres: &Number) -> String {
    let units = [
        (&unit::LITRE, 2000.0),
        (&unit::MILLILITRE, 0.01),
        (&unit::MICROLITRE, 0.0),
    ];
    scaled(millilitres, &units, &unit::MILLILITRE)
}

/// What a vessel holds, in mL or L, with no more digits than it was given.
pub fn capacity(millilitres: &Number) -> String {
    bare_zeros(&volume(millilitres))
}

/// A volume of gas in L.
pub fn litres(litres: &Number) -> String {
    scaled(
        litres,
        &[(&unit::LITRE, 0.1), (&unit::MILLILITRE, 0.0)],
        &unit::LITRE,
    )
}

/// A volume of room air, in L or m³, to two digits: no room is known better.
pub fn air(litres: f64) -> String {
    let (value, unit) = match litres < 1000.0 {
        true => (litres, "L"),
        false => (litres / 1000.0, "m³"),
    };
    let last_digit = libm::exp10(libm::log10(value.max(0.1)).floor() - 1.0);
    let rounded = (value / last_digit).round() * last_digit;
    let decimals = usize::from(rounded < 10.0);
    format!("{rounded:.decimals$} {unit}")
}

/// A difference of temperatures in K, whole.
pub fn rise(kelvins: &Number) -> String {
    format!("{} K", kelvins.value().to_fixed(0))
}

/// An amount of substance in mol, with mmol where it reads better.
pub fn amount(moles: &Number) -> String {
    scaled(
        moles,
        &[(&unit::MOLE, 0.01), (&unit::MILLIMOLE, 0.0)],
        &unit::MOLE,
    )
}

/// A heat in kJ, with J where it reads better.
pub fn heat(kilojoules: &Number) -> String {
    scaled(
        kilojoules,
        &[(&unit::KILOJOULE, 0.1), (&unit::JOULE, 0.0)],
        &unit::KILOJOULE,
    )
}

/// A temperature in K as °C, to a tenth: no model here is better.
pub fn temperature(kelvins: &Number) -> String {
    let celsius = kelvins - &Number::exact(unit::CELSIUS.offset());
    format!("{} °C", trimmed(&celsius.value().to_fixed(1)))
}

/// The same for a figure that may be an estimate, which is then said.
pub fn perhaps_estimated(kelvins: &Number, estimate: bool) -> String {
    let shown = temperature(kelvins);
    match estimate {
        true => format!("about {shown} (an estimate)"),
        false => shown,
    }
}

/// A temperature in K, for a formula, with the digits that two decimals have.
pub fn kelvins(kelvins: &Number) -> String {
    format!("{} K", trimmed(&kelvins.value().to_fixed(2)))
}

/// A pressure in kPa, as finely as a barometer tells.
pub fn pressure(kilopascals: &Number) -> String {
    format!("{} kPa", significant(kilopascals.value(), 6))
}

/// A time in s as min, h or s.
pub fn time(seconds: &Number) -> String {
    let text = scaled(
        seconds,
        &[
            (&unit::HOUR, 7200.0),
            (&unit::MINUTE, 120.0),
            (&unit::SECOND, 0.0),
        ],
        &unit::SECOND,
    );
    bare_zeros(&text)
}

/// A ratio in per cent.
pub fn percent(ratio: &Number) -> String {
    let hundred = ratio.scaled(&Exact::from(100));
    match with_uncertainty(&hundred) {
        Some(_) if known_finely(&hundred) => {
            format!("{} %", significant(hundred.value(), DIGITS))
        }
        Some((value, spread)) => format!("({value} ± {spread}) %"),
        None => format!("{} %", trimmed(&significant(hundred.value(), 3))),
    }
}

/// A plain number.
pub fn number(number: &Number) -> String {
    match with_uncertainty(number) {
        Some((value, spread)) => format!("{value} ± {spread}"),
        None => significant(number.value(), DIGITS),
    }
}

/// The first unit whose smallest number is reached; `written` is the unit of the number.
fn scaled(number: &Number, units: &[(&Unit, f64)], written: &Unit) -> String {
    let size = number.to_f64().abs();
    // The smallest numbers are stated in the unit of the number itself.
    let fits = units.iter().find(|(_, least)| size >= *least);
    let unit = if number.is_zero() {
        written
    } else {
        fits.map_or(written, |(unit, _)| *unit)
    };
    if size < NOTHING && number.standard_uncertainty() < NOTHING {
        return format!("0 {}", written.symbol());
    }
    let shown = number.scaled(&(written.factor() / unit.factor()));
    if known_finely(&shown) {
        return format!(
            "{} {}",
            significant(shown.value(), DIGITS + 1),
            unit.symbol()
        );
    }
    with_unit(&shown, &unit.symbol())
}

/// Whether its uncertainty is below what a bench has a use for.
fn known_finely(number: &Number) -> bool {
    known_within(number, FINEST)
}

fn known_within(number: &Number, share: f64) -> bool {
    let fine = number.standard_uncertainty() < share * number.to_f64().abs();
    fine && with_uncertainty(number).is_some()
}

/// With its uncertainty, if it has one, and its unit.
pub(super) fn with_unit(number: &Number, symbol: &str) -> String {
    match with_uncertainty(number) {
        Some((value, spread)) if symbol.is_empty() => format!("{value} ± {spread}"),
        Some((value, spread)) => format!("({value} ± {spread}) {symbol}"),
        None => format!("{} {symbol}", significant(number.value(), DIGITS))
            .trim_end()
            .to_owned(),
    }
}

/// `250.0 mL` as `250 mL`, `12.50 mL` as `12.5 mL`: for what is given, not reckoned.
fn bare_zeros(text: &str) -> String {
    match text.split_once(' ') {
        Some((number, unit)) if !number.starts_with('(') && number.contains('.') => {
            let number = number.trim_end_matches('0').trim_end_matches('.');
            format!("{number} {unit}")
        }
        _ => text.to_owned(),
    }
}

fn trimmed(text: &str) -> String {
    match text.split_once('.') {
        Some((whole, part)) if part.bytes().all(|b| b == b'0') => whole.to_owned(),
        _ => text.to_owned(),
    }
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
    let guess = digits(&size.numerator()) - digits(&size.denominator());
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
    fn what_is_left_where_uncertainties_cancel_is_not_shown() {
        use crate::number::InputId;
        let weighed =
            |spread| Number::exact(Exact::ratio(119, 10)).with_uncertainty(InputId(0), spread);
        assert_eq!(mass(&weighed(2.3e-17)), "11.90 g");
        assert_eq!(mass(&weighed(0.02)), "(11.900 ± 0.020) g");
    }

    #[test]
    fn times_and_capacities_have_no_idle_zeros() {
        assert_eq!(time(&Number::exact(Exact::from(600))), "10 min");
        assert_eq!(capacity(&Number::exact(Exact::from(250))), "250 mL");
        assert_eq!(capacity(&Number::exact(Exact::ratio(25, 2))), "12.5 mL");
    }

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
