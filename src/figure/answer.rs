//! Quantities, as they were written or in a unit that suits the bench, and what expressions came to.

use super::{
    DIGITS, FINEST_ASKED, LONGEST, known_within, magnitude, number, raised, significant,
    temperature, with_unit,
};
use crate::number::{Dimension, Exact, Number, Places, Quantity, Unit, unit};
use crate::route::ledger::Answer;

/// A quantity in the unit it was written in, else in one that suits the bench, else in SI units.
pub fn quantity(quantity: &Quantity) -> String {
    if let Some(entered) = entered(quantity) {
        return entered;
    }
    let unit = quantity
        .written_in()
        .or_else(|| usual_unit(quantity.dimension()));
    if quantity.dimension() == Dimension::TEMPERATURE && unit != Some(unit::KELVIN) {
        return temperature(quantity.number());
    }
    let unit = unit.map(|unit| suited(quantity, unit));
    match unit.and_then(|unit| Some((quantity.in_unit(&unit).ok()?, unit))) {
        Some((value, unit)) if known_within(&value, FINEST_ASKED) => {
            let digits = significant(value.value(), DIGITS + 1);
            format!("{digits} {}", unit.symbol())
        }
        Some((value, unit)) => with_unit(&value, &unit.symbol()),
        None if quantity.dimension() == Dimension::NONE => number(quantity.number()),
        None => with_unit(quantity.number(), &si_symbol(quantity.dimension())),
    }
}

/// The unit of a function's answer, or a smaller one in which its number reads better.
fn suited(quantity: &Quantity, unit: Unit) -> Unit {
    let smaller = [
        (unit::MOLE, unit::MILLIMOLE, 0.01),
        (unit::LITRE, unit::MILLILITRE, 0.1),
    ];
    let size = quantity
        .in_unit(&unit)
        .map_or(0.0, |value| value.to_f64().abs());
    let found = smaller
        .into_iter()
        .find(|(of, _, least)| *of == unit && size > 0.0 && size < *least);
    found.map_or(unit, |(_, smaller, _)| smaller)
}

/// A quantity to the digits somebody wrote; `None` for what was reckoned, and for powers of ten too large or small to be
/// written out.
fn entered(quantity: &Quantity) -> Option<String> {
    let Places { value, spread } = quantity.places()?;
    let number = match quantity.written_in() {
        Some(unit) => quantity.in_unit(&unit).ok()?,
        None => quantity.number().clone(),
    };
    let places = usize::try_from(value.max(spread.unwrap_or(value)).max(0)).ok()?;
    let size = if number.is_zero() {
        0
    } else {
        magnitude(number.value())
    };
    if places > MOST_PLACES || !(-5..=9).contains(&size) {
        return None;
    }
    let symbol = quantity.written_in().map(|unit| unit.symbol());
    let number_text = number.value().to_fixed(places);
    let text = match (number.is_exact(), spread) {
        (true, _) => number_text,
        // The uncertainty came from elsewhere: as a share, or from limits.
        (false, None) => return None,
        (false, Some(_)) => {
            let spread = Exact::modelled(number.standard_uncertainty())?.to_fixed(places);
            if spread.len() > LONGEST {
                return None;
            }
            match symbol {
                Some(symbol) => return Some(format!("({number_text} ± {spread}) {symbol}")),
                None => format!("{number_text} ± {spread}"),
            }
        }
    };
    Some(match symbol {
        Some(symbol) => format!("{text} {symbol}"),
        None => text,
    })
}

/// The most decimals that are printed because somebody wrote them.
const MOST_PLACES: usize = 12;

/// What an expression came to.
pub fn answer(answer: &Answer) -> String {
    match answer {
        Answer::Quantity(value) => quantity(value),
        Answer::Budget(_) => "a budget".to_owned(),
        Answer::Unknown => "unknown".to_owned(),
    }
}

/// What an expression came to, in the unit of what it is held against if that gives no very small or large number.
pub fn answer_beside(found: &Answer, wanted: &Answer) -> String {
    match (found, wanted) {
        (Answer::Quantity(found), Answer::Quantity(wanted)) => match wanted.written_in() {
            Some(unit) if reads_well(found, &unit) => quantity(&found.clone().shown_in(&unit)),
            _ => quantity(found),
        },
        _ => answer(found),
    }
}

fn reads_well(found: &Quantity, unit: &Unit) -> bool {
    let size = found.in_unit(unit).map(|number| number.to_f64().abs());
    size.is_ok_and(|size| (0.1..10_000.0).contains(&size))
}

/// The unit that [`quantity`] shows it in; `None` for a plain number and for a dimension without a bench unit.
pub(crate) fn unit_of(quantity: &Quantity) -> Option<Unit> {
    let usual = match quantity.dimension() {
        Dimension::TEMPERATURE => Some(unit::CELSIUS),
        dimension => usual_unit(dimension),
    };
    quantity.written_in().or(usual)
}

/// What to write behind a number of `unit`, or of coherent SI units.
pub(crate) fn symbol(unit: Option<Unit>, dimension: Dimension) -> String {
    match unit {
        Some(unit) => unit.symbol(),
        None => si_symbol(dimension),
    }
}

/// The number of a quantity in a unit of its dimension, or in coherent SI units where there is none.
pub(crate) fn in_unit(quantity: &Quantity, unit: Option<Unit>) -> Option<Number> {
    match unit {
        Some(unit) => quantity.in_unit(&unit).ok(),
        None => Some(quantity.number().clone()),
    }
}

/// The unit a bench would show a dimension in.
fn usual_unit(dimension: Dimension) -> Option<Unit> {
    [
        (Dimension::MASS, unit::GRAM),
        (Dimension::VOLUME, unit::MILLILITRE),
        (Dimension::AMOUNT, unit::MOLE),
        (Dimension::TIME, unit::SECOND),
        (Dimension::ENERGY, unit::KILOJOULE),
        (Dimension::POWER, unit::WATT),
        (Dimension::CONDUCTANCE, unit::WATT_PER_KELVIN),
        (Dimension::PRESSURE, unit::KILOPASCAL),
        (Dimension::CONCENTRATION, unit::MOLAR),
        (Dimension::MOLALITY, unit::MOLAL),
        (Dimension::DENSITY, unit::GRAM_PER_MILLILITRE),
        (Dimension::MOLAR_MASS, unit::GRAM_PER_MOLE),
        (Dimension::MOLAR_ENERGY, unit::KILOJOULE_PER_MOLE),
        (Dimension::MOLAR_ENTROPY, unit::JOULE_PER_MOLE_KELVIN),
    ]
    .into_iter()
    .find_map(|(known, unit)| (known == dimension).then_some(unit))
}

/// `kg·m²·s⁻²` for a dimension without a bench unit.
fn si_symbol(dimension: Dimension) -> String {
    let bases = ["m", "kg", "s", "mol", "K"];
    let powers = dimension
        .exponents()
        .into_iter()
        .zip(bases)
        .filter(|(power, _)| *power != 0);
    let factors: Vec<String> = powers
        .map(|(power, base)| {
            if power == 1 {
                base.to_owned()
            } else {
                format!("{base}{}", raised(i32::from(power)))
            }
        })
        .collect();
    factors.join("·")
}
