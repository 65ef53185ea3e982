//! Units and dimensions that do not fit, in words.

use super::Message;
use crate::number::Dimension;
use crate::route::check::ReadingFault;
use crate::route::syntax::Name;

/// `250 mLL`
pub(super) fn unknown_unit(message: Message, unit: &Name, near: Option<&str>) -> Message {
    let message = message.at(unit.span, "");
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
pub(super) fn wrong_dimension(
    message: Message,
    found: Dimension,
    expected: &[Dimension],
) -> Message {
    let bridge = expected.iter().find_map(|wanted| bridge(found, *wanted));
    let examples: Vec<&str> = expected.iter().filter_map(|one| example(*one)).collect();
    match bridge {
        Some(bridge) => message.hint(bridge),
        None if examples.is_empty() => {
            let all: Vec<String> = expected.iter().map(Dimension::to_string).collect();
            message.hint(format!("write {}", super::any_of(&all)))
        }
        None => message.hint(format!("it is written in {}", examples.join("; "))),
    }
}

/// `5 g + 5 mL`
pub(super) fn mixed_dimensions(message: Message, left: Dimension, right: Dimension) -> Message {
    match bridge(right, left) {
        Some(bridge) => message.hint(bridge),
        None => message.hint(format!("bring both to {left}")),
    }
}

/// Readings and differences of temperature taken for each other.
pub(super) fn reading(fault: ReadingFault) -> Message {
    let (word, hint) = match fault {
        ReadingFault::Scaled => (
            "scaled-reading",
            "write the difference in K, or take -273.15 °C from the reading for the thermodynamic temperature",
        ),
        ReadingFault::Added => ("added-readings", "write a rise in K, such as 20 °C + 5 K"),
        ReadingFault::TakenFromDifference => (
            "added-readings",
            "write both in °C (what lies between them is in K), or the rise in K alone",
        ),
        ReadingFault::DifferenceForReading => (
            "difference-for-reading",
            "add it to a reading, such as 20 °C + (…)",
        ),
        ReadingFault::ReadingForDifference => {
            ("difference-for-reading", "write the difference in K")
        }
    };
    Message::error(word, fault.to_string()).hint(hint)
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
