//! What can be asked of a vessel, with the kind of quantity that answers.

use crate::number::{Dimension, Unit, unit};

/// What can be asked of a vessel.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Property {
    /// Of everything in it.
    Mass,
    /// Of the liquid in it.
    Volume,
    /// Now.
    Temperature,
    /// The hottest it would have been, uncooled.
    Peak,
    /// Of the liquid in it.
    Density,
    /// Enthalpy change of the reactions in it so far.
    Heat,
    /// What its last titration took, less the blank.
    Titre,
    /// What its last titration found of the analyte.
    Analyte,
    /// The warmest it comes to in its last hot step, with its bath.
    Warmest,
}

impl Property {
    /// By the name of its function: `mass`.
    pub fn named(function: &str) -> Option<Property> {
        Some(match function {
            "mass" => Property::Mass,
            "volume" => Property::Volume,
            "temperature" => Property::Temperature,
            "peak" => Property::Peak,
            "density" => Property::Density,
            "heat" => Property::Heat,
            "titre" => Property::Titre,
            "analyte" => Property::Analyte,
            "warmest" => Property::Warmest,
            _ => return None,
        })
    }

    /// The dimension, and the unit it is told in.
    pub fn kind(self) -> (Dimension, Unit) {
        match self {
            Property::Mass => (Dimension::MASS, unit::GRAM),
            Property::Volume | Property::Titre => (Dimension::VOLUME, unit::MILLILITRE),
            Property::Temperature | Property::Peak | Property::Warmest => {
                (Dimension::TEMPERATURE, unit::CELSIUS)
            }
            Property::Density => (Dimension::DENSITY, unit::GRAM_PER_MILLILITRE),
            Property::Heat => (Dimension::ENERGY, unit::KILOJOULE),
            Property::Analyte => (Dimension::AMOUNT, unit::MOLE),
        }
    }
}

/// What can be asked about holding a vessel below a temperature.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum HandQuestion {
    /// Ice that would do it.
    Ice,
    /// Water of 0 °C that would.
    IceWater,
    /// The shortest time of addition that its bath allows.
    Shortest,
}

/// What can be asked of a species in a vessel.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum SpeciesProperty {
    /// Volume given off, moist over water at ambient.
    Moist,
    /// Time until it has filled the room above the liquid.
    Filling,
    /// In mol.
    Amount,
    /// In the liquid.
    Concentration,
    /// Of the whole mass.
    Fraction,
    /// Gas given off, at ambient.
    Gas,
}

impl SpeciesProperty {
    /// By the name of its function: `amount`.
    pub fn named(function: &str) -> Option<SpeciesProperty> {
        Some(match function {
            "moist" => SpeciesProperty::Moist,
            "filling" => SpeciesProperty::Filling,
            "amount" => SpeciesProperty::Amount,
            "concentration" => SpeciesProperty::Concentration,
            "fraction" => SpeciesProperty::Fraction,
            "gas" => SpeciesProperty::Gas,
            _ => return None,
        })
    }

    /// The dimension, and the unit it is told in.
    pub fn kind(self) -> (Dimension, Unit) {
        match self {
            SpeciesProperty::Moist | SpeciesProperty::Gas => (Dimension::VOLUME, unit::LITRE),
            SpeciesProperty::Filling => (Dimension::TIME, unit::MINUTE),
            SpeciesProperty::Amount => (Dimension::AMOUNT, unit::MOLE),
            SpeciesProperty::Concentration => (Dimension::CONCENTRATION, unit::MOLAR),
            SpeciesProperty::Fraction => (Dimension::NONE, unit::PER_CENT),
        }
    }
}
