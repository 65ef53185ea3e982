//! The enthalpy of contents as a function of what they are and of their temperature, and back.
//!
//! It is counted from the same substances pure, or at infinite dilution in water, at 25 °C: the excess enthalpy of the
//! solution at its strength, and what warms it from 25 °C. Liquid water, ice and steam follow the IAPWS tables and solids
//! their heat capacity functions through melting; what is dissolved keeps the heat capacity it has at 25 °C.
//!
//! Since it depends on nothing else, neither does a temperature found from it: not on the order in which things were put
//! together.

use crate::data::Range;
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};
use crate::solution::{self, Water};
use crate::thermo::{self, ReactionData};

use super::super::contents::{Contents, grams};
use super::super::program::Program;
use super::properties;
use super::state::State;

/// K; formation data and heats of solution hold here.
const STANDARD: f64 = 298.15;
/// Hotter than any datum, in K.
const HOTTEST: f64 = 6000.0;

/// What the enthalpy of some contents depends on besides their temperature.
#[derive(Clone, Debug)]
pub(super) struct Warmth {
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
    moles: f64,
    data: ReactionData,
}

/// A temperature that contents with some enthalpy have.
#[derive(Clone, Debug)]
pub(super) enum Found {
    /// In K.
    At(Number),
    /// More heat is missing than the contents could ever give.
    TooCold,
    /// Hotter than any datum.
    TooHot,
}

impl Warmth {
    /// `None` for nothing.
    pub fn of(program: &Program, state: &mut State, contents: &Contents) -> Option<Warmth> {
        if contents.is_empty() {
            return None;
        }
        let of_water = |phase: Phase| {
            let all = contents.iter();
            let water = all.filter(|(s, _)| s.key() == "H2O" && s.phase() == Some(phase));
            water.map(|(s, n)| grams(s, n)).sum::<Number>()
        };
        let standard = Number::exact(Exact::ratio(29_815, 100));
        let capacity = properties::heat_capacity(program, state, contents, &standard);
        Some(Warmth {
            capacity: capacity.unwrap_or_else(Number::zero),
            excess: properties::excess(program, state, contents),
            water: of_water(Phase::Liquid),
            ice: of_water(Phase::Solid),
            vapour: of_water(Phase::Gas),
            solids: solids(program, contents),
        })
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
        let thousandth = Exact::ratio(1, 1000);
        let rise = kelvin - &Number::exact(Exact::ratio(29_815, 100));
        let bent = [
            (&self.water, water_bend(at)),
            (&self.ice, solution::ice_enthalpy(at)),
            (&self.vapour, solution::vapour_enthalpy(at)),
        ];
        let mut joules = &self.capacity * &rise;
        for (grams, each) in bent {
            joules += &grams.scaled(&Exact::modelled(each).unwrap_or_else(Exact::zero));
        }
        joules += &Number::modelled(self.solids_bend(at)).unwrap_or_else(Number::zero);
        &self.excess + &joules.scaled(&thousandth)
    }

    /// The temperature at which the contents have an enthalpy, in kJ.
    pub fn temperature(&self, enthalpy: &Number) -> Found {
        let figures = [
            &self.capacity,
            &self.excess,
            &self.water,
            &self.ice,
            &self.vapour,
        ];
        let [capacity, excess, water, ice, vapour] = figures.map(Number::to_f64);
        let joules = |at: f64| {
            let fluid = water * water_bend(at)
                + ice * solution::ice_enthalpy(at)
                + vapour * solution::vapour_enthalpy(at);
            capacity * (at - STANDARD) + fluid + self.solids_bend(at)
        };
        let wanted = 1000.0 * (enthalpy.to_f64() - excess);
        let (low, high) = (1.0, HOTTEST);
        if wanted < joules(low) {
            return Found::TooCold;
        }
        if wanted > joules(high) {
            return Found::TooHot;
        }
        let at = root(low, high, |at| joules(at) - wanted);
        let slope = joules(at + 0.5) - joules(at - 0.5);
        let near = Number::modelled(at).unwrap_or_else(Number::zero);
        // The remainder is of the size of rounding; its uncertainty is that of the temperature.
        let remainder = enthalpy - &self.enthalpy(&near);
        let kelvin_per_kilojoule = Exact::modelled(1000.0 / slope).unwrap_or_else(Exact::zero);
        Found::At((&near + &remainder.scaled(&kelvin_per_kilojoule)).settled())
    }

    /// The solid whose heat capacity does not reach a temperature in K, with how far it does.
    pub fn beyond(&self, kelvin: f64) -> Option<(Species, Range)> {
        let reach = |solid: &Solid| {
            let range = solid.data.course().range();
            let species = solid.data.contributions.first()?.species.clone();
            (kelvin > range.high).then_some((species, range))
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
        let course = self.data.course();
        let range = course.range();
        let Some(start) = course.rise(STANDARD) else {
            return 0.0;
        };
        let at_knot = |kelvin: f64| {
            let at = kelvin.clamp(range.low, range.high);
            // Beyond the data it runs on straight.
            course.rise(at).map_or(f64::NAN, |rise| {
                rise.enthalpy + rise.heat_capacity * (kelvin - at)
            })
        };
        let steps = (kelvin - STANDARD).floor();
        let low = at_knot(STANDARD + steps);
        let high = at_knot(STANDARD + steps + 1.0);
        let whole = low + (high - low) * (kelvin - STANDARD - steps);
        if !whole.is_finite() {
            return 0.0;
        }
        self.moles * (whole - start.heat_capacity * (kelvin - STANDARD))
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

fn solids(program: &Program, contents: &Contents) -> Vec<Solid> {
    let solid = contents.solid();
    let dry = solid.iter().filter(|(species, _)| species.key() != "H2O");
    dry.map(|(species, moles)| Solid {
        moles: moles.to_f64(),
        data: thermo::reaction(&program.store, &[(Exact::one(), species.clone())]),
    })
    .collect()
}

/// Where a rising function is zero between two places of which it is not above, and not below zero: regula falsi, the side
/// that stays twice counted by half, with bisection when that gets slow.
pub(super) fn root(mut low: f64, mut high: f64, of: impl Fn(f64) -> f64) -> f64 {
    let (mut at_low, mut at_high) = (of(low), of(high));
    for round in 0..200 {
        if at_low == 0.0 || high - low <= 1e-13 * high.abs() {
            return low;
        }
        if at_high == 0.0 {
            return high;
        }
        let guess = match round % 4 {
            3 => 0.5 * (low + high),
            _ => low - at_low * (high - low) / (at_high - at_low),
        };
        let guess = guess.clamp(low, high);
        let value = of(guess);
        if value.abs() <= f64::EPSILON * at_low.abs().max(at_high.abs()) {
            return guess;
        }
        if value < 0.0 {
            if guess == low {
                return low;
            }
            (low, at_low, at_high) = (
                guess,
                value,
                if round % 4 == 3 {
                    at_high
                } else {
                    0.5 * at_high
                },
            );
        } else {
            if guess == high {
                return high;
            }
            (high, at_high, at_low) = (
                guess,
                value,
                if round % 4 == 3 { at_low } else { 0.5 * at_low },
            );
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_root_is_found_on_straight_and_bent_and_broken_lines() {
        assert!((root(0.0, 6000.0, |x| 3.0 * x - 900.0) - 300.0).abs() < 1e-9);
        assert!((root(0.0, 10.0, |x| x * x * x - 2.0) - 2f64.cbrt()).abs() < 1e-9);
        let step = |x: f64| if x < 4.0 { x - 5.0 } else { x + 5.0 };
        assert!((root(0.0, 10.0, step) - 4.0).abs() < 1e-9);
        assert_eq!(root(0.0, 1.0, |x| x), 0.0);
    }
}
