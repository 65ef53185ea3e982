//! A balanced reaction into its standard enthalpy, entropy, Gibbs energy, equilibrium constant and heat capacity
//! change at 298.15 K.

use std::sync::{Arc, LazyLock};

use crate::data::{Property, Source, Store, StoreMemo};
use crate::matter::Species;
use crate::number::{Dimension, Exact, Number, Quantity, standard_temperature};
use crate::text::all_of;

use super::standard::{Standard, Unknown, standard};

/// The molar gas constant in J/(mol·K), exact since 2019 to the digits shown (SI Brochure, 9th ed.).
pub const GAS_CONSTANT: f64 = 8.314_462_618_153_24;

pub use crate::number::STANDARD_TEMPERATURE;

/// One species of a reaction with its data.
#[derive(Clone, Debug)]
pub struct Contribution {
    /// Negative for what is used up.
    pub coefficient: Exact,
    /// As it stands in the equation.
    pub species: Species,
    /// Its data, or what there is instead.
    pub data: Result<Arc<Standard>, Unknown>,
}

impl Contribution {
    /// The value of `property` as it counts in the reaction, coefficient included.
    pub fn share(&self, property: Property) -> Option<Number> {
        let found = self.data.as_ref().ok()?.get(property)?;
        Some(found.value.number().scaled(&self.coefficient))
    }
}

/// A reaction with the data of its species.
#[derive(Clone, Debug)]
pub struct ReactionData {
    /// Every species, in the order given.
    pub contributions: Vec<Contribution>,
    /// Where the data are from: what else is asked must be of the same.
    pub(super) store: Store,
}

/// A quantity that could not be had, and every species that stands in the way.
#[derive(Clone, Debug, Eq, PartialEq, thiserror::Error)]
#[error("no {property} is known for {}", all_of(.species.iter().map(|one| format!("`{one}`"))))]
pub struct Missing {
    /// What was wanted.
    pub property: Property,
    /// Which species lack it.
    pub species: Vec<Species>,
}

/// How a Gibbs energy was had.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum GibbsFrom {
    /// From Gibbs energies of formation.
    Formation,
    /// From enthalpy and entropy, because a Gibbs energy of formation is missing.
    EnthalpyAndEntropy,
}

/// Looks up every species of a reaction; coefficients are negative for what is used up.
///
/// ```
/// use aludel::{data::Store, matter::Species, number::{Exact, unit}, thermo};
/// let of = |n: i64, text| (Exact::from(n), Species::parse(text).unwrap());
/// let burning = [of(-2, "H2(g)"), of(-1, "O2(g)"), of(2, "H2O(l)")];
/// let reaction = thermo::reaction(&Store::default(), &burning);
/// let heat = reaction.enthalpy().unwrap().in_unit(&unit::KILOJOULE_PER_MOLE).unwrap();
/// assert_eq!(heat.to_f64(), -571.66);
/// ```
pub fn reaction(store: &Store, terms: &[(Exact, Species)]) -> ReactionData {
    let look_up = |(coefficient, species): &(Exact, Species)| Contribution {
        coefficient: coefficient.clone(),
        species: species.clone(),
        data: standard(store, species),
    };
    ReactionData {
        contributions: terms.iter().map(look_up).collect(),
        store: store.clone(),
    }
}

/// Species with their coefficients, negative for what is used up.
type Terms = Vec<(Exact, Species)>;

/// A reaction enthalpy with the sources it rests on, for callers that ask for the same change again and again.
#[derive(Clone, Debug)]
pub struct ReactionHeat {
    /// J/mol as the tables state it, or every species without an enthalpy of formation.
    pub enthalpy: Result<Number, Vec<Species>>,
    /// Of each enthalpy of formation there is.
    pub sources: Vec<Source>,
}

/// The enthalpy of a reaction at 298.15 K; coefficients are negative for what is used up. What a sample draws for the
/// data is for the caller to draw.
///
/// ```
/// use aludel::{data::Store, matter::Species, number::Exact, thermo};
/// let of = |n: i64, text| (Exact::from(n), Species::parse(text).unwrap());
/// let burning = [of(-2, "H2(g)"), of(-1, "O2(g)"), of(2, "H2O(l)")];
/// let heat = thermo::reaction_heat(&Store::default(), &burning);
/// assert_eq!(heat.enthalpy.as_ref().unwrap().to_f64(), -571_660.0);
/// ```
pub fn reaction_heat(store: &Store, terms: &[(Exact, Species)]) -> Arc<ReactionHeat> {
    static SEEN: LazyLock<StoreMemo<Terms, Arc<ReactionHeat>>> = LazyLock::new(StoreMemo::default);
    let store = store.stated();
    SEEN.recall_by(&store, terms.to_vec(), |terms| {
        Arc::new(ReactionHeat::of(&store, terms))
    })
}

impl ReactionHeat {
    fn of(store: &Store, terms: &[(Exact, Species)]) -> Self {
        let data = reaction(store, terms);
        let known = data
            .contributions
            .iter()
            .filter_map(|one| one.data.as_ref().ok());
        let enthalpies = known.filter_map(|standard| standard.get(Property::FormationEnthalpy));
        ReactionHeat {
            sources: enthalpies.map(|enthalpy| enthalpy.source.clone()).collect(),
            enthalpy: match data.enthalpy() {
                Ok(molar) => Ok(molar.number().clone()),
                Err(missing) => Err(missing.species),
            },
        }
    }
}

impl ReactionData {
    /// Reaction enthalpy at 298.15 K for the equation as written; negative when heat is given off.
    ///
    /// # Errors
    /// Every species without an enthalpy of formation.
    pub fn enthalpy(&self) -> Result<Quantity, Missing> {
        self.sum(Property::FormationEnthalpy, Dimension::MOLAR_ENERGY)
    }

    /// Reaction entropy at 298.15 K.
    ///
    /// # Errors
    /// Every species without an entropy.
    pub fn entropy(&self) -> Result<Quantity, Missing> {
        self.sum(Property::Entropy, Dimension::MOLAR_ENTROPY)
    }

    /// Change of heat capacity at 298.15 K.
    ///
    /// # Errors
    /// Every species without a heat capacity.
    pub fn heat_capacity(&self) -> Result<Quantity, Missing> {
        self.sum(Property::HeatCapacity, Dimension::MOLAR_ENTROPY)
    }

    /// Reaction Gibbs energy at 298.15 K, and how it was had.
    ///
    /// # Errors
    /// Every species without a Gibbs energy of formation, unless enthalpy and entropy are there for all.
    pub fn gibbs(&self) -> Result<(Quantity, GibbsFrom), Missing> {
        let missing = match self.sum(Property::FormationGibbs, Dimension::MOLAR_ENERGY) {
            Ok(found) => return Ok((found, GibbsFrom::Formation)),
            Err(missing) => missing,
        };
        let (Ok(enthalpy), Ok(entropy)) = (self.enthalpy(), self.entropy()) else {
            return Err(missing);
        };
        let kelvins = standard_temperature();
        let number = enthalpy.number() - &entropy.number().scaled(&kelvins);
        let gibbs = Quantity::coherent(number, Dimension::MOLAR_ENERGY);
        Ok((gibbs, GibbsFrom::EnthalpyAndEntropy))
    }

    /// The decadic logarithm of the equilibrium constant at 298.15 K, activities against 1 bar, 1 mol/kg, pure phases.
    ///
    /// # Errors
    /// As [`ReactionData::gibbs`].
    pub fn log10_k(&self) -> Result<Number, Missing> {
        let (gibbs, _) = self.gibbs()?;
        Ok(log10_k(gibbs.number(), STANDARD_TEMPERATURE))
    }

    /// Every species that has no row at all.
    pub fn unknown(&self) -> impl Iterator<Item = &Unknown> {
        let failed = self.contributions.iter();
        failed.filter_map(|contribution| contribution.data.as_ref().err())
    }

    fn sum(&self, property: Property, dimension: Dimension) -> Result<Quantity, Missing> {
        let mut total = Number::zero();
        let mut species = Vec::new();
        for contribution in &self.contributions {
            match contribution.share(property) {
                Some(share) => total += &share,
                None => species.push(contribution.species.clone()),
            }
        }
        if species.is_empty() {
            Ok(Quantity::coherent(total, dimension))
        } else {
            Err(Missing { property, species })
        }
    }
}

/// log10 K of a Gibbs energy in J/mol at a temperature in K.
pub(super) fn log10_k(gibbs: &Number, kelvin: f64) -> Number {
    let slope = -1.0 / (GAS_CONSTANT * kelvin * std::f64::consts::LN_10);
    gibbs
        .through_model(gibbs.to_f64() * slope, slope)
        .unwrap_or_else(Number::zero)
}
