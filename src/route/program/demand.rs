//! What a quantity must be besides its dimension.
//!
//! Each place of the language where a quantity stands has a demand. What is written as a number is admitted when a route is
//! checked, and what comes out of vessels and values when it runs, by the same function.
//!
//! Promises: a quantity that was admitted has a size that a small lab can mean.

use thiserror::Error;

use crate::number::{Dimension, Exact, Number, Quantity, Unit, unit};

use super::{Node, Property, SpeciesProperty, Value};

/// The hottest a vessel of this language can mean, in K: a muffle furnace.
pub const HOTTEST: i64 = 2000;

/// How large a quantity may be. What a small lab can mean of its kind is the upper limit of all.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Range {
    /// Of any size that is meant.
    Any,
    /// More than nothing.
    Positive,
    /// Nothing, or more.
    NotNegative,
    /// More than nothing, and at most all there is.
    Share,
    /// A temperature that a vessel can have.
    AboveAbsoluteZero,
    /// From one number of a unit to another, both included.
    Between(i64, i64, Unit),
}

/// The kinds of quantity that one place takes, with the range of each. Of a kind that is not listed any size is taken.
#[derive(Clone, Copy, Debug)]
pub struct Demand(&'static [(Dimension, Range)]);

/// A quantity outside the range of its place.
#[derive(Clone, Debug, Error, PartialEq)]
#[error("{beyond}")]
pub struct Inadmissible {
    /// What it comes to.
    pub found: Quantity,
    /// On which side.
    pub beyond: Beyond,
}

/// How a quantity is outside a range.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum Beyond {
    /// Nothing or less, where more is needed.
    #[error("is not more than nothing")]
    NotPositive,
    /// Less than nothing.
    #[error("is less than nothing")]
    Negative,
    /// A share of more than there is.
    #[error("is more than all there is")]
    MoreThanAll,
    /// A temperature that no vessel can have; the highest that one can.
    #[error("is no temperature for a vessel")]
    NoTemperature(Quantity),
    /// More than a small lab can mean: the most.
    #[error("is more than a small lab can mean")]
    Absurd(Quantity),
    /// Less than a small lab can mean: the least.
    #[error("is less than a small lab can mean")]
    Traceless(Quantity),
    /// Below the first or above the second.
    #[error("is not between {0} and {1}")]
    Outside(Quantity, Quantity),
}

impl Demand {
    /// Whatever it is.
    pub const ANY: Demand = Demand(&[]);
    /// What is measured out.
    pub const PORTION: Demand = Demand(&[
        (Dimension::MASS, Range::Positive),
        (Dimension::VOLUME, Range::Positive),
        (Dimension::AMOUNT, Range::Positive),
    ]);
    /// What a vessel is diluted or boiled down to, or how much of a solution is made.
    pub const SIZE: Demand = Demand(&[
        (Dimension::VOLUME, Range::Positive),
        (Dimension::MASS, Range::Positive),
    ]);
    /// What is taken from a vessel.
    pub const PART: Demand = Demand(&[
        (Dimension::VOLUME, Range::Positive),
        (Dimension::MASS, Range::Positive),
        (Dimension::NONE, Range::Share),
    ]);
    /// Liquor that a cake keeps.
    pub const RETAINED: Demand = Demand(&[
        (Dimension::VOLUME, Range::NotNegative),
        (Dimension::MASS, Range::NotNegative),
        (Dimension::NONE, Range::Between(0, 100, unit::PER_CENT)),
    ]);
    /// What a balance shows.
    pub const MASS: Demand = Demand(&[(Dimension::MASS, Range::Positive)]);
    /// A reading of a burette, the size of a vessel.
    pub const VOLUME: Demand = Demand(&[(Dimension::VOLUME, Range::Positive)]);
    /// What a titration takes without the analyte.
    pub const BLANK: Demand = Demand(&[(Dimension::VOLUME, Range::NotNegative)]);
    /// Of a vessel, a bath or what is poured.
    pub const TEMPERATURE: Demand = Demand(&[(Dimension::TEMPERATURE, Range::AboveAbsoluteZero)]);
    /// Of the room, at whose conditions gases are measured, too: textbooks ask for them in hot tubes.
    pub const ROOM: Demand = Demand(&[(
        Dimension::TEMPERATURE,
        Range::Between(-100, 1000, unit::CELSIUS),
    )]);
    /// Of the air: the highest mountain has some 34 kPa, the shore of the Dead Sea some 107 kPa (from memory).
    pub const PRESSURE: Demand = Demand(&[(
        Dimension::PRESSURE,
        Range::Between(20, 200, unit::KILOPASCAL),
    )]);
    /// How long something takes.
    pub const TIME: Demand = Demand(&[(Dimension::TIME, Range::Positive)]);
    /// How far a reaction goes.
    pub const DEGREE: Demand = Demand(&[(Dimension::NONE, Range::Share)]);
    /// What is charged beyond what is needed.
    pub const EXCESS: Demand = Demand(&[(Dimension::NONE, Range::NotNegative)]);
    /// What a bath takes away.
    pub const COOLING: Demand = Demand(&[
        (Dimension::POWER, Range::Positive),
        (Dimension::CONDUCTANCE, Range::Positive),
    ]);
    /// Of what stands in a bottle: from a light powder to osmium with 22.6 g/mL (from memory).
    pub const DENSITY: Demand = Demand(&[(
        Dimension::DENSITY,
        Range::Between(10, 25_000, unit::GRAM_PER_LITRE),
    )]);
    /// What a label says; the rest is for the label to judge.
    pub const STRENGTH: Demand = Demand(&[
        (Dimension::CONCENTRATION, Range::Any),
        (Dimension::MOLALITY, Range::Any),
        (Dimension::DENSITY, Range::Any),
        (Dimension::NONE, Range::Any),
    ]);
    /// Of a species against its standard state.
    pub const ACTIVITY: Demand = Demand(&[(Dimension::NONE, Range::Positive)]);
    /// An enthalpy or a Gibbs energy of formation.
    pub const FORMATION: Demand = Demand(&[(
        Dimension::MOLAR_ENERGY,
        Range::Between(-100_000, 100_000, unit::KILOJOULE_PER_MOLE),
    )]);
    /// An entropy or a heat capacity of a substance by itself.
    pub const MOLAR_ENTROPY: Demand = Demand(&[(Dimension::MOLAR_ENTROPY, Range::Positive)]);
    /// The same of what is dissolved, where water around it may lose more than it has.
    pub const MOLAR_ENTROPY_IN_WATER: Demand = Demand(&[(
        Dimension::MOLAR_ENTROPY,
        Range::Between(-100_000, 100_000, unit::JOULE_PER_MOLE_KELVIN),
    )]);

    /// What may be found for a figure of a vessel or a bottle.
    pub fn on_finding(figure: &Value) -> Demand {
        use SpeciesProperty as S;
        match &figure.node {
            Node::Of(property, _) => match property {
                Property::Mass => Demand::MASS,
                Property::Volume | Property::Titre => Demand::BLANK,
                Property::Temperature | Property::Peak | Property::Warmest => Demand::TEMPERATURE,
                Property::Density => DENSITY_FOUND,
                Property::Analyte => FOUND,
                Property::Heat => HEAT,
            },
            Node::OfSpecies(S::Fraction, ..) => WHOLE_OR_PART,
            Node::OfSpecies(..) => FOUND,
            Node::Strength(_) => STRENGTH_FOUND,
            _ => Demand::ANY,
        }
    }

    /// The kinds it takes; all for none.
    pub fn dimensions(self) -> impl Iterator<Item = Dimension> {
        self.0.iter().map(|(dimension, _)| *dimension)
    }

    /// Fails for a quantity that no bench can mean here.
    pub fn admit(self, quantity: &Quantity) -> Result<(), Inadmissible> {
        let kind = quantity.dimension();
        let range = self.0.iter().find(|(dimension, _)| *dimension == kind);
        match range.and_then(|(_, range)| range.beyond(quantity)) {
            None => Ok(()),
            Some(beyond) => Err(Inadmissible {
                found: quantity.clone(),
                beyond,
            }),
        }
    }
}

/// What a vessel may be found to hold or to have given off.
const FOUND: Demand = Demand(&[
    (Dimension::AMOUNT, Range::NotNegative),
    (Dimension::VOLUME, Range::NotNegative),
    (Dimension::CONCENTRATION, Range::NotNegative),
    (Dimension::TIME, Range::NotNegative),
]);
const DENSITY_FOUND: Demand = Demand(&[(Dimension::DENSITY, Range::Positive)]);
const HEAT: Demand = Demand(&[(Dimension::ENERGY, Range::Any)]);
const WHOLE_OR_PART: Demand = Demand(&[(Dimension::NONE, Range::Between(0, 100, unit::PER_CENT))]);
const STRENGTH_FOUND: Demand = Demand(&[
    (Dimension::CONCENTRATION, Range::Positive),
    (Dimension::NONE, Range::Share),
]);

impl Range {
    fn beyond(self, quantity: &Quantity) -> Option<Beyond> {
        let value = quantity.number().value();
        let absurd = || {
            let most = most(quantity.dimension())?;
            (value > most.number().value()).then_some(Beyond::Absurd(most))
        };
        let traceless = || {
            let least = least(quantity.dimension())?;
            (value < least.number().value()).then_some(Beyond::Traceless(least))
        };
        match self {
            Range::Any => absurd(),
            Range::Positive | Range::Share if !value.is_positive() => Some(Beyond::NotPositive),
            Range::NotNegative if value.is_negative() => Some(Beyond::Negative),
            Range::Positive => absurd().or_else(traceless),
            Range::NotNegative => absurd(),
            Range::Share if value > Number::one().value() => Some(Beyond::MoreThanAll),
            Range::Share => traceless(),
            Range::AboveAbsoluteZero => {
                let most = most(Dimension::TEMPERATURE)?;
                let possible = value.is_positive() && value <= most.number().value();
                (!possible).then_some(Beyond::NoTemperature(most))
            }
            Range::Between(low, high, unit) => {
                let [low, high] = [low, high].map(|bound| stated(bound, &unit));
                let inside = low.number().value() <= value && value <= high.number().value();
                (!inside).then_some(Beyond::Outside(low, high))
            }
        }
    }
}

/// The least of a kind that is measured out: far below what any balance shows.
fn least(kind: Dimension) -> Option<Quantity> {
    let trillionth = || Number::exact(Exact::ratio(1, 1_000_000_000_000));
    match kind {
        Dimension::MASS => Some(Quantity::of(trillionth(), &unit::GRAM)),
        Dimension::VOLUME => Some(Quantity::of(trillionth(), &unit::LITRE)),
        Dimension::AMOUNT => Some(Quantity::of(trillionth(), &unit::MILLIMOLE)),
        Dimension::NONE => Some(Quantity::plain(trillionth())),
        _ => None,
    }
}

fn stated(count: i64, unit: &Unit) -> Quantity {
    Quantity::of(Number::exact(count.into()), unit)
}

/// The most of a kind that a small lab can mean: a tonne, a room full of gas, a muffle furnace, a year.
pub fn most(kind: Dimension) -> Option<Quantity> {
    let (count, unit) = match kind {
        Dimension::NONE => return Some(Quantity::plain(Number::exact(1_000_000.into()))),
        Dimension::MASS => (1000, unit::KILOGRAM),
        Dimension::AMOUNT => (1_000_000, unit::MOLE),
        Dimension::VOLUME => (100_000, unit::LITRE),
        Dimension::TEMPERATURE => (HOTTEST, unit::KELVIN),
        Dimension::TIME => (366 * 24, unit::HOUR),
        Dimension::POWER => (100_000, unit::WATT),
        Dimension::CONDUCTANCE => (100_000, unit::WATT_PER_KELVIN),
        Dimension::ENERGY => (1_000_000, unit::KILOJOULE),
        Dimension::PRESSURE => (1_000_000, unit::KILOPASCAL),
        Dimension::CONCENTRATION => (1000, unit::MOLAR),
        Dimension::MOLALITY => (100_000, unit::MOLAL),
        Dimension::DENSITY => (25_000, unit::GRAM_PER_LITRE),
        Dimension::MOLAR_ENERGY => (100_000, unit::KILOJOULE_PER_MOLE),
        Dimension::MOLAR_ENTROPY => (100_000, unit::JOULE_PER_MOLE_KELVIN),
        _ => return None,
    };
    Some(stated(count, &unit))
}
