//! Units and dimensions that do not fit, in words.

use super::{Message, any_of};
use crate::number::Dimension;
use crate::route::check::ReadingFault;
use crate::route::syntax::Name;
use crate::text::Span;

/// `250 mLL`
pub(super) fn unknown_unit(unit: &Name, near: Option<&str>) -> Message {
    let title = format!("`{}` is no unit that is known here", unit.node);
    let message = Message::error("unknown-unit", title).at(unit.span, "");
    let elsewhere = ELSEWHERE.iter().find(|(known, _)| *known == unit.node);
    let below = unit.node.split_once('/').map_or("", |(_, below)| below);
    let two_ways = below.contains(['·', '⋅', '.']) && !below.starts_with('(');
    match (elsewhere, near) {
        (Some((_, instead)), _) => message.hint(*instead),
        _ if two_ways => {
            message.hint("after a `/` stands one unit, or several in brackets, such as J/(mol·K)")
        }
        (None, Some(near)) => message.hint(format!("did you mean `{near}`?")),
        (None, None) => message.hint("such as g, mL, L, mol, mol/L, °C, K, kJ, min, %w/w"),
    }
}

/// Units of other benches, with the way to say the same. Factors: NIST SP 811 (2008), appendix B.8.
const ELSEWHERE: &[(&str, &str)] = &[
    (
        "N",
        "how much a normal solution holds hangs on its reaction: give mol/L",
    ),
    (
        "°F",
        "give °C: from the reading in °F take 32 and divide by 1.8",
    ),
    ("psi", "give kPa: 1 psi is 6.894757 kPa"),
    ("oz", "give g: 1 oz (avoirdupois) is 28.34952 g"),
    ("lb", "give g: 1 lb is 453.59237 g"),
    ("gal", "give L: 1 gal (US) is 3.785412 L"),
    (
        "mol%",
        "give %w/w, or reckon it from molar masses with molar_mass(FORMULA)",
    ),
    ("Mg", "`Mg` is magnesium; 1000 kg are a tonne, t"),
];

/// `warm flask to 5 g`
pub(super) fn wrong_dimension(span: Span, found: Dimension, expected: &[Dimension]) -> Message {
    let all: Vec<String> = expected.iter().map(|d| dimension(*d)).collect();
    let title = format!(
        "this is {}, and {} is needed",
        dimension(found),
        any_of(&all)
    );
    let message = Message::error("wrong-dimension", title).at(span, "");
    let bridge = expected.iter().find_map(|wanted| bridge(found, *wanted));
    let examples: Vec<&str> = expected.iter().filter_map(|one| example(*one)).collect();
    match bridge {
        Some(bridge) => message.hint(bridge),
        None if examples.is_empty() => message,
        None => message.hint(format!("it is written in {}", examples.join("; "))),
    }
}

/// `5 g + 5 mL`
pub(super) fn mixed_dimensions(span: Span, left: Dimension, right: Dimension) -> Message {
    let title = format!(
        "{} and {} cannot stand beside each other",
        dimension(left),
        dimension(right)
    );
    let message = Message::error("mixed-dimensions", title).at(span, "");
    match bridge(right, left) {
        Some(bridge) => message.hint(bridge),
        None => message.hint(format!("bring both to {}", dimension(left))),
    }
}

/// Readings and differences of temperature taken for each other.
pub(super) fn reading(fault: ReadingFault) -> Message {
    match fault {
        ReadingFault::Scaled => Message::error(
            "scaled-reading",
            "a reading in °C has a zero of its own: it cannot be multiplied, divided or turned in sign",
        )
        .hint(
            "write the difference in K, or take -273.15 °C from the reading for the thermodynamic temperature",
        ),
        ReadingFault::Added => {
            Message::error("added-readings", "two readings in °C cannot be added")
                .hint("write a rise in K, such as 20 °C + 5 K")
        }
        ReadingFault::TakenFromDifference => Message::error(
            "added-readings",
            "a reading in °C cannot be taken from what is written in K",
        )
        .hint("write both in °C (what lies between them is in K), or the rise in K alone"),
        ReadingFault::DifferenceForReading => Message::error(
            "difference-for-reading",
            "this is a difference of two temperatures, and a temperature is needed",
        )
        .hint("add it to a reading, such as 20 °C + (…)"),
        ReadingFault::ReadingForDifference => Message::error(
            "difference-for-reading",
            "this is a reading in °C, and it stands against a difference of two temperatures",
        )
        .hint("write the difference in K"),
    }
}

/// How one kind becomes another.
fn bridge(found: Dimension, wanted: Dimension) -> Option<&'static str> {
    use Dimension as D;
    Some(match (found, wanted) {
        (D::MASS, D::AMOUNT) => "a mass becomes an amount by `/ molar_mass(FORMULA)`",
        (D::AMOUNT, D::MASS) => "an amount becomes a mass by `* molar_mass(FORMULA)`",
        (D::VOLUME, D::MASS) => {
            "a volume becomes a mass by `* density(VESSEL)`, or times a density such as 1.18 g/mL"
        }
        (D::MASS, D::VOLUME) => {
            "a mass becomes a volume by `/ density(VESSEL)`, or by a density such as 1.18 g/mL"
        }
        (D::VOLUME, D::AMOUNT) => {
            "a volume becomes an amount times a concentration such as 0.1 mol/L"
        }
        (D::AMOUNT, D::VOLUME) => "an amount becomes a volume by a concentration such as 0.1 mol/L",
        (D::AMOUNT, D::CONCENTRATION) => "an amount becomes a concentration by `/ volume(VESSEL)`",
        (D::CONCENTRATION, D::AMOUNT) => "a concentration becomes an amount by `* volume(VESSEL)`",
        (D::DENSITY, D::CONCENTRATION) => {
            "what is in g/L becomes a concentration by `/ molar_mass(FORMULA)`"
        }
        (D::CONCENTRATION, D::DENSITY) => "a concentration comes to g/L by `* molar_mass(FORMULA)`",
        (D::ENERGY, D::MOLAR_ENERGY) => "an energy becomes one per mole divided by an amount",
        (D::NONE, D::TEMPERATURE) => "a number needs its unit, such as 20 °C",
        (D::NONE, _) => "a number needs its unit",
        (_, D::NONE) => "divided by a quantity of its kind it becomes a number",
        _ => return None,
    })
}

/// How a quantity of a kind is written.
fn example(wanted: Dimension) -> Option<&'static str> {
    use Dimension as D;
    Some(match wanted {
        D::MASS => "g, mg or kg",
        D::VOLUME => "mL or L",
        D::AMOUNT => "mol or mmol",
        D::TEMPERATURE => "°C or K",
        D::TIME => "s, min or h",
        D::ENERGY => "J, kJ or kcal",
        D::POWER => "W",
        D::PRESSURE => "kPa, bar, atm or mmHg",
        D::CONCENTRATION => "mol/L",
        D::DENSITY => "g/mL or g/L",
        _ => return None,
    })
}

/// A dimension in words.
pub(super) fn dimension(dimension: Dimension) -> String {
    let known = [
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
    let found = known.into_iter().find(|(one, _)| *one == dimension);
    found.map_or_else(|| composed(dimension), |(_, words)| words.to_owned())
}

/// `mass squared by time`, for a kind without a name of its own.
fn composed(dimension: Dimension) -> String {
    let bases = [
        "length",
        "mass",
        "time",
        "amount of substance",
        "temperature",
    ];
    let powers = dimension.exponents().into_iter().zip(bases);
    let part = |sign: i8| {
        let of_sign = powers.clone().filter(|(power, _)| power.signum() == sign);
        let words: Vec<String> = of_sign
            .map(|(power, base)| match power.unsigned_abs() {
                1 => base.to_owned(),
                2 => format!("{base} squared"),
                3 => format!("{base} cubed"),
                more => format!("{base} to the power of {more}"),
            })
            .collect();
        words.join(" times ")
    };
    match (part(1).as_str(), part(-1).as_str()) {
        ("", below) => format!("a number by {below}"),
        (above, "") => format!("a quantity of {above}"),
        (above, below) => format!("a quantity of {above}, divided by {below}"),
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
            assert_eq!(super::dimension(dimension), words);
        }
    }
}
