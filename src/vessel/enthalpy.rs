//! The enthalpy of contents as a function of what they are and of their temperature, and back.
//!
//! It is counted from the same substances pure, or at infinite dilution in water, at 25 °C: the excess enthalpy of the
//! solution at its strength, and what warms it from 25 °C. Liquid water, ice and steam follow the IAPWS tables and solids
//! their heat capacity functions through melting; what is dissolved keeps the heat capacity it has at 25 °C.
//!
//! Since it depends on nothing else, neither does a temperature found from it: not on the order in which things were put
//! together.

use std::sync::Arc;

use crate::data::{Range, Store};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number, root};
use crate::solution::{self, Water};
use crate::thermo::{self, Warming};

use super::contents::Contents;
use super::{Cited, Sources, liquid};

/// K; formation data and heats of solution hold here.
const STANDARD: f64 = 298.15;
/// Hotter than any datum, in K.
const HOTTEST: f64 = 6000.0;

/// What the enthalpy of some contents depends on besides their temperature.
#[derive(Clone, Debug)]
pub struct SensibleEnthalpy {
    /// J/K at 25 °C, without ice and steam.
    capacity: Number,
    /// Of the solution, kJ.
    excess: Number,
    /// g
    water: Number,
    ice: Number,
    vapour: Number,
    solids: Vec<Solid>,
}

#[derive(Clone, Debug)]
struct Solid {
    species: Species,
    moles: f64,
    warming: Arc<Warming>,
}

/// A temperature that contents with some enthalpy have.
#[derive(Clone, Debug)]
pub enum Found {
    /// In K.
    At(Number),
    /// More heat is missing than the contents could ever give.
    TooCold,
    /// Hotter than any datum.
    TooHot,
}

impl SensibleEnthalpy {
    /// `None` for nothing.
    pub fn of(store: &Store, contents: &Contents) -> Option<Cited<SensibleEnthalpy>> {
        if contents.is_empty() {
            return None;
        }
        let of_water = |phase: Phase| {
            let all = contents.iter();
            let water = all.filter(|(s, _)| s.key() == "H2O" && s.phase() == Some(phase));
            let masses: Vec<_> = water.map(|(s, n)| (n, s.molar_mass().to_f64())).collect();
            Number::modelled_sum(&masses)
        };
        let mut sources = Sources::new();
        let standard = Number::exact(Exact::ratio(29_815, 100));
        let capacity = liquid::heat_capacity(store, contents, &standard);
        let value = SensibleEnthalpy {
            capacity: capacity.map_or_else(Number::zero, |found| found.noting(&mut sources)),
            excess: liquid::excess(store, contents).noting(&mut sources),
            water: of_water(Phase::Liquid),
            ice: of_water(Phase::Solid),
            vapour: of_water(Phase::Gas),
            solids: solids(store, contents),
        };
        Some(Cited { value, sources })
    }

    /// J/K at 25 °C, without ice and steam.
    pub fn capacity(&self) -> &Number {
        &self.capacity
    }

    /// kJ; what diluting without end would give off.
    pub fn excess(&self) -> &Number {
        &self.excess
    }

    /// In kJ, at a temperature in K.
    pub fn enthalpy(&self, kelvin: &Number) -> Number {
        let at = kelvin.to_f64();
        let value = self.excess.to_f64() + self.joules(at) / 1000.0;
        let with_temperature = [(kelvin, self.capacity.to_f64() / 1000.0)];
        let slopes: Vec<_> = self
            .slopes(at)
            .into_iter()
            .chain(with_temperature)
            .collect();
        Number::of_model(value, &slopes).unwrap_or_else(Number::zero)
    }

    /// What the enthalpy may be off by in kJ because a temperature, in K, is kept to the digits of a model. It grows with the
    /// heat capacity and not with the heat that moved, and at 25 °C, where enthalpies are near zero, it is the larger.
    pub fn resolution(&self, kelvin: f64) -> f64 {
        let off = kelvin * Exact::MODEL_ROUNDING;
        (self.joules(kelvin + off) - self.joules(kelvin - off)).abs() / 1000.0
    }

    /// J from 25 °C to a temperature in K.
    fn joules(&self, at: f64) -> f64 {
        let fluid: f64 = self
            .bent(at)
            .iter()
            .map(|(grams, each)| grams.to_f64() * each)
            .sum();
        self.capacity.to_f64() * (at - STANDARD) + fluid + self.solids_bend(at)
    }

    /// Water, ice and steam in g with what each departs by from a constant heat capacity, in J/g.
    fn bent(&self, at: f64) -> [(&Number, f64); 3] {
        [
            (&self.water, water_bend(at)),
            (&self.ice, solution::ice_enthalpy(at)),
            (&self.vapour, solution::vapour_enthalpy(at)),
        ]
    }

    /// What the enthalpy in kJ at a temperature in K changes by with each of its parts.
    fn slopes(&self, at: f64) -> [(&Number, f64); 5] {
        let [water, ice, vapour] = self.bent(at).map(|(grams, each)| (grams, each / 1000.0));
        let capacity = (&self.capacity, (at - STANDARD) / 1000.0);
        [(&self.excess, 1.0), capacity, water, ice, vapour]
    }

    /// The temperature at which the contents have an enthalpy, in kJ.
    pub fn temperature(&self, enthalpy: &Number) -> Found {
        let wanted = 1000.0 * (enthalpy.to_f64() - self.excess.to_f64());
        let (low, high) = (1.0, HOTTEST);
        if wanted < self.joules(low) {
            return Found::TooCold;
        }
        if wanted > self.joules(high) {
            return Found::TooHot;
        }
        // Where it would be with a constant heat capacity, which it nearly is.
        let guess = STANDARD + wanted / self.capacity.to_f64();
        let at = root::rising(|at| self.joules(at) - wanted, (low, high), guess);
        let per_kilojoule = 1000.0 / (self.joules(at + 0.5) - self.joules(at - 0.5));
        let parts = self
            .slopes(at)
            .map(|(part, slope)| (part, -slope * per_kilojoule));
        let slopes: Vec<_> = parts
            .into_iter()
            .chain([(enthalpy, per_kilojoule)])
            .collect();
        Found::At(Number::of_model(at, &slopes).unwrap_or_else(Number::zero))
    }

    /// The solid whose heat capacity does not reach a temperature in K, with how far it does.
    pub fn beyond(&self, kelvin: f64) -> Option<(Species, Range)> {
        let reach = |solid: &Solid| {
            let range = solid.warming.range();
            (kelvin > range.high).then(|| (solid.species.clone(), range))
        };
        self.solids.iter().find_map(reach)
    }

    /// J by which the solids depart from a constant heat capacity.
    fn solids_bend(&self, kelvin: f64) -> f64 {
        self.solids.iter().map(|solid| solid.bend(kelvin)).sum()
    }
}

impl Solid {
    /// Straight between whole kelvins from 25 °C, so that a melting point is a steep rise and no jump.
    fn bend(&self, kelvin: f64) -> f64 {
        let range = self.warming.range();
        let known = |kelvin: f64| {
            let both = self.warming.enthalpy(kelvin);
            both.zip(self.warming.heat_capacity(kelvin))
        };
        let Some((_, start)) = known(STANDARD) else {
            return 0.0;
        };
        let at_knot = |kelvin: f64| {
            let at = kelvin.clamp(range.low, range.high);
            // Beyond the data it runs on straight.
            known(at).map_or(f64::NAN, |(enthalpy, capacity)| {
                enthalpy + capacity * (kelvin - at)
            })
        };
        let steps = (kelvin - STANDARD).floor();
        let low = at_knot(STANDARD + steps);
        let high = at_knot(STANDARD + steps + 1.0);
        let whole = low + (high - low) * (kelvin - STANDARD - steps);
        if !whole.is_finite() {
            return 0.0;
        }
        self.moles * (whole - start * (kelvin - STANDARD))
    }
}

/// J/g by which water departs from the heat capacity it has at 25 °C.
fn water_bend(kelvin: f64) -> f64 {
    static CAPACITY: std::sync::LazyLock<f64> = std::sync::LazyLock::new(|| {
        let at = Number::exact(Exact::ratio(29_815, 100));
        solution::water(Water::HeatCapacity, &at).map_or(f64::NAN, |found| found.value.to_f64())
    });
    solution::water_enthalpy(kelvin) - *CAPACITY * (kelvin - STANDARD)
}

fn solids(store: &Store, contents: &Contents) -> Vec<Solid> {
    let solid = contents.solid();
    let dry = solid.iter().filter(|(species, _)| species.key() != "H2O");
    dry.filter_map(|(species, moles)| {
        Some(Solid {
            species: species.clone(),
            moles: moles.to_f64(),
            warming: thermo::warming(store, species)?,
        })
    })
    .collect()
}

/// The enthalpy of contents at a temperature in K, in kJ; nothing for nothing.
pub fn of_contents(store: &Store, contents: &Contents, kelvin: &Number) -> Cited<Number> {
    match SensibleEnthalpy::of(store, contents) {
        Some(found) => found.map(|sensible| sensible.enthalpy(kelvin).settled()),
        None => Cited::plain(Number::zero()),
    }
}
