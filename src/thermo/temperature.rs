//! Reaction quantities away from 298.15 K.
//!
//! Enthalpy and entropy of every species rise along its heat capacity, through melting and changes of crystal form where
//! the data reach; the values at 298.15 K and their uncertainties stay those of the tables. Where a species has no heat
//! capacity at all, ΔH and ΔS are taken as constant, and only within 30 K.

use crate::data::{Range, Source};
use crate::matter::{Phase, Species};
use crate::number::{Dimension, Exact, Number, Quantity};

use super::course::{CapacityFrom, Course, Rise};
use super::reaction::{GibbsFrom, Missing, ReactionData, STANDARD_TEMPERATURE, log10_k};
use super::standard::standard;

/// What the quantities at a temperature rest on.
#[derive(Clone, Debug, Eq, PartialEq)]
pub enum Basis {
    /// The temperature is 298.15 K.
    Standard,
    /// Published functions for every species.
    Functions,
    /// A constant heat capacity at least for these.
    SomeConstant(Vec<Species>),
    /// ΔH and ΔS taken as constant, because these have no heat capacity.
    NoHeatCapacity(Vec<Species>),
}

/// A species at the temperature.
#[derive(Clone, Debug)]
pub struct SpeciesAt {
    /// As it stands in the equation.
    pub species: Species,
    /// The phase its course has come to: iron(s) above 1809 K counts as liquid.
    pub phase: Option<Phase>,
    /// The crystal form it has come to; may be empty.
    pub form: &'static str,
    /// From 298.15 K, per mole; zero where the heat capacity is not used.
    pub rise: Rise,
    /// Where the heat capacity comes from.
    pub from: CapacityFrom,
    /// How far it reaches, in K.
    pub range: Range,
    /// The source of the heat capacity.
    pub source: Option<Source>,
    /// The gas would be the stable phase at this temperature and 1 bar: the liquid or solid would boil away.
    pub boils: bool,
}

/// Reaction quantities at one temperature, 1 bar.
#[derive(Clone, Debug)]
pub struct AtTemperature {
    /// K
    pub kelvin: Number,
    /// J/mol
    pub enthalpy: Result<Quantity, Missing>,
    /// J/(mol·K)
    pub entropy: Result<Quantity, Missing>,
    /// J/mol, and how the value at 298.15 K was had.
    pub gibbs: Result<(Quantity, GibbsFrom), Missing>,
    /// Decadic logarithm of the equilibrium constant.
    pub log10_k: Result<Number, Missing>,
    /// Heat capacity change, J/(mol·K); `None` where a species has no heat capacity.
    pub heat_capacity: Option<Number>,
    /// What this rests on.
    pub basis: Basis,
    /// Every species, in the order of the equation; empty at 298.15 K.
    pub species: Vec<SpeciesAt>,
}

/// A temperature that cannot be answered for.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TooFar {
    /// `at 0 K`, `at -300 °C`
    #[error("there is no temperature at or below 0 K")]
    NotAboveZero,
    /// `at 5000 K` with water: the species whose data end before it, with their ranges in K, and the range that would do
    /// for all.
    #[error("the data of this reaction hold from {:.0} to {:.0} K only", .common.low, .common.high)]
    Outside {
        /// Which, and how far each reaches.
        limits: Vec<(Species, Range)>,
        /// Within this all of them reach.
        common: Range,
    },
}

/// A reaction with the heat capacities of its species, ready for many temperatures.
#[derive(Clone, Debug)]
pub struct ReactionCourse<'a> {
    data: &'a ReactionData,
    terms: Vec<Term>,
    /// Species without heat capacity.
    without: Vec<Species>,
}

#[derive(Clone, Debug)]
struct Term {
    coefficient: f64,
    species: Species,
    course: Course,
}

impl ReactionData {
    /// The reaction along the temperature.
    ///
    /// ```
    /// use aludel::{data::Store, matter::Species, number::{Exact, Number, unit}, thermo};
    /// let of = |n: i64, text| (Exact::from(n), Species::parse(text).unwrap());
    /// let burning = [of(-2, "H2(g)"), of(-1, "O2(g)"), of(2, "H2O(g)")];
    /// let reaction = thermo::reaction(&Store::default(), &burning);
    /// let hot = reaction.course().at(&Number::exact(Exact::from(1000))).unwrap();
    /// let heat = hot.enthalpy.unwrap().in_unit(&unit::KILOJOULE_PER_MOLE).unwrap();
    /// // NIST-JANAF (Chase 1998): formation of H2O(g) at 1000 K is -247.857 kJ/mol.
    /// assert!((heat.to_f64() / 2.0 + 247.857).abs() < 0.1);
    /// ```
    pub fn course(&self) -> ReactionCourse<'_> {
        let known = self.contributions.iter().filter_map(|contribution| {
            let standard = contribution.data.as_ref().ok()?;
            Some(Term {
                coefficient: contribution.coefficient.to_f64(),
                species: contribution.species.clone(),
                course: Course::of(standard),
            })
        });
        let terms: Vec<Term> = known.collect();
        let nothing =
            |term: &&Term| term.course.from == CapacityFrom::Nothing && !term.species.is_electron();
        ReactionCourse {
            data: self,
            without: terms
                .iter()
                .filter(nothing)
                .map(|t| t.species.clone())
                .collect(),
            terms,
        }
    }
}

impl ReactionCourse<'_> {
    /// The temperatures in K that every species reaches.
    pub fn range(&self) -> Range {
        let mut common = if self.without.is_empty() {
            Range::kelvin(0.0, f64::INFINITY)
        } else {
            // Nobody's heat capacity is used then, and the constants serve no farther than this.
            Range::kelvin(STANDARD_TEMPERATURE - 30.0, STANDARD_TEMPERATURE + 30.0)
        };
        for term in &self.terms {
            common.low = common.low.max(term.course.range.low);
            common.high = common.high.min(term.course.range.high);
        }
        common
    }

    /// Sums of the rises of all species to a temperature in K, for callers that ask for many temperatures: enthalpy in
    /// J/mol, entropy and heat capacity in J/(mol·K). `None` outside the range.
    pub fn rise(&self, kelvin: f64) -> Option<Rise> {
        let mut total = Rise::NONE;
        if !self.without.is_empty() {
            return self.range().holds(kelvin).then_some(total);
        }
        for term in &self.terms {
            let (rise, _) = term.course.rise(kelvin)?;
            total.enthalpy += term.coefficient * rise.enthalpy;
            total.entropy += term.coefficient * rise.entropy;
            total.heat_capacity += term.coefficient * rise.heat_capacity;
        }
        Some(total)
    }

    /// The reaction at a temperature in K.
    ///
    /// # Errors
    /// [`TooFar`] outside the range of the data; at 298.15 K never.
    pub fn at(&self, kelvin: &Number) -> Result<AtTemperature, TooFar> {
        let t = kelvin.to_f64();
        if !kelvin.is_positive() {
            return Err(TooFar::NotAboveZero);
        }
        if (t - STANDARD_TEMPERATURE).abs() < 1e-9 && kelvin.is_exact() {
            return Ok(self.standard(kelvin));
        }
        let common = self.range();
        let rise = self.rise(t).filter(|_| common.holds(t));
        let rise = rise.ok_or_else(|| TooFar::Outside {
            limits: self.limits(t),
            common,
        })?;
        Ok(self.values(kelvin, &rise))
    }

    fn limits(&self, t: f64) -> Vec<(Species, Range)> {
        let short = self.terms.iter().filter(|term| !term.course.range.holds(t));
        short
            .map(|term| (term.species.clone(), term.course.range))
            .collect()
    }

    fn standard(&self, kelvin: &Number) -> AtTemperature {
        AtTemperature {
            kelvin: kelvin.clone(),
            enthalpy: self.data.enthalpy(),
            entropy: self.data.entropy(),
            gibbs: self.data.gibbs(),
            log10_k: self.data.log10_k(),
            heat_capacity: self.data.heat_capacity().ok().map(|q| q.number().clone()),
            basis: Basis::Standard,
            species: Vec::new(),
        }
    }

    fn values(&self, kelvin: &Number, rise: &Rise) -> AtTemperature {
        let t = kelvin.to_f64();
        // The value moved along, with the slope that an uncertain temperature gives it.
        let moved = |from: &Number, by: f64, slope: f64| {
            let step = kelvin.through_model(by, slope);
            step.map_or_else(|| from.clone(), |step| from + &step)
        };
        let enthalpy = self.data.enthalpy().map(|q| {
            let number = moved(q.number(), rise.enthalpy, rise.heat_capacity);
            Quantity::coherent(number, Dimension::MOLAR_ENERGY)
        });
        let entropy = self.data.entropy().map(|q| {
            let number = moved(q.number(), rise.entropy, rise.heat_capacity / t);
            Quantity::coherent(number, Dimension::MOLAR_ENTROPY)
        });
        let gibbs = self.gibbs(kelvin, rise);
        let log10_k = gibbs.clone().map(|(q, _)| log10_k_at(q.number(), kelvin));
        AtTemperature {
            kelvin: kelvin.clone(),
            enthalpy,
            entropy,
            gibbs,
            log10_k,
            heat_capacity: (self.without.is_empty())
                .then(|| Number::modelled(rise.heat_capacity))
                .flatten(),
            basis: self.basis(),
            species: self
                .terms
                .iter()
                .map(|term| self.species_at(term, t))
                .collect(),
        }
    }

    /// G(T) = G° − (T − T°)·S° + ΔH − T·ΔS, where Δ is the rise from 298.15 K: it joins the value at 298.15 K.
    fn gibbs(&self, kelvin: &Number, rise: &Rise) -> Result<(Quantity, GibbsFrom), Missing> {
        let (gibbs, from) = self.data.gibbs()?;
        let entropy = match self.data.entropy() {
            Ok(entropy) => entropy.number().clone(),
            Err(missing) => {
                let Ok(enthalpy) = self.data.enthalpy() else {
                    return Err(missing);
                };
                let difference = enthalpy.number() - gibbs.number();
                difference.scaled(&Exact::ratio(100, 29_815))
            }
        };
        let t = kelvin.to_f64();
        let step = Exact::modelled(STANDARD_TEMPERATURE - t).unwrap_or_else(Exact::zero);
        let shifted = gibbs.number() + &entropy.scaled(&step);
        let by = rise.enthalpy - t * rise.entropy;
        let slope = -(entropy.to_f64() + rise.entropy);
        let number = kelvin
            .through_model(by, slope)
            .map_or(shifted.clone(), |step| &shifted + &step);
        Ok((Quantity::coherent(number, Dimension::MOLAR_ENERGY), from))
    }

    fn basis(&self) -> Basis {
        if !self.without.is_empty() {
            return Basis::NoHeatCapacity(self.without.clone());
        }
        let constant = |term: &&Term| term.course.from == CapacityFrom::Constant;
        let some: Vec<Species> = self
            .terms
            .iter()
            .filter(constant)
            .map(|t| t.species.clone())
            .collect();
        if some.is_empty() {
            Basis::Functions
        } else {
            Basis::SomeConstant(some)
        }
    }

    fn species_at(&self, term: &Term, t: f64) -> SpeciesAt {
        let used = term.course.rise(t).filter(|_| self.without.is_empty());
        let none = Rise {
            enthalpy: 0.0,
            entropy: 0.0,
            heat_capacity: 0.0,
        };
        SpeciesAt {
            species: term.species.clone(),
            phase: used.map_or(term.species.phase(), |(_, segment)| Some(segment.phase)),
            form: used.map_or("", |(_, segment)| segment.form),
            rise: used.map_or(none, |(rise, _)| rise),
            from: term.course.from,
            range: term.course.range,
            source: used.map(|(_, segment)| segment.source.clone()),
            boils: self.boils(&term.species, t),
        }
    }

    /// Whether the gas has the lower Gibbs energy at 1 bar.
    fn boils(&self, species: &Species, t: f64) -> bool {
        let contribution = self
            .data
            .contributions
            .iter()
            .find(|c| &c.species == species);
        let Some(Ok(condensed)) = contribution.map(|c| c.data.as_ref()) else {
            return false;
        };
        if !matches!(
            condensed.species.phase(),
            Some(Phase::Solid | Phase::Liquid)
        ) {
            return false;
        }
        let gibbs = |standard: &super::Standard| {
            let value = |property| {
                let found = standard.get(property)?;
                Some(found.value.number().to_f64())
            };
            let (rise, _) = Course::of(standard).rise(t)?;
            let enthalpy = value(crate::data::Property::FormationEnthalpy)? + rise.enthalpy;
            let entropy = value(crate::data::Property::Entropy)? + rise.entropy;
            Some(enthalpy - t * entropy)
        };
        let gas = standard(&self.data.store, &species.with_phase(Some(Phase::Gas)));
        let gas = gas.ok().and_then(|gas| gibbs(&gas));
        gas.zip(gibbs(condensed))
            .is_some_and(|(gas, condensed)| gas < condensed)
    }
}

/// log10 K = −G/(R·T·ln 10); an uncertain temperature acts through G, which brings that along, and through T itself.
fn log10_k_at(gibbs: &Number, kelvin: &Number) -> Number {
    let t = kelvin.to_f64();
    let value = log10_k(gibbs, t);
    let slope = gibbs.to_f64() / (super::GAS_CONSTANT * std::f64::consts::LN_10 * t * t);
    let step = kelvin.through_model(0.0, slope);
    step.map_or(value.clone(), |step| &value + &step)
}
