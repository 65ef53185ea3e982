//! When solutions boil and freeze: the activity of water in them, with what was measured of strong solutions.
//!
//! Ion interaction ([`activity`](super::activity)) holds to a stated strength. For lyes, strong acids, melts in little water
//! and molecules, measured freezing and boiling points correct it; a mixture gets the corrections of its salts in the share
//! of their equivalents, so that nothing jumps where one salt is all there is. What is in neither counts by Raoult's law, and
//! is named.

mod measured;
mod saturated;

use std::sync::Arc;

use crate::data::{EUTECTIC, Row};
use crate::matter::Species;
use crate::number::root::zero;

use super::activity::{Basis, Electrolytes, WATER_MOLE};
use measured::Measured;

pub use saturated::{ice_vapour_pressure, ln_water_with_ice, water_vapour_pressure};

/// The share of a salt from which on it counts for the eutectic.
const COUNTED_SHARE: f64 = 0.02;

/// The share of all salts whose eutectics have to be known for a limit.
const COVERED_SHARE: f64 = 0.9;

/// Solutes in water as molalities, ready to be asked at many temperatures.
#[derive(Clone, Debug)]
pub struct Aqueous {
    electrolytes: Arc<Electrolytes>,
    molality: Vec<f64>,
    corrections: Vec<Correction>,
}

/// One measured solute in a mixture.
#[derive(Clone, Debug)]
struct Correction {
    measured: Arc<Measured>,
    /// mol/kg at which it is looked up.
    molality: f64,
    /// mol/kg with which it counts.
    counted: f64,
}

/// A figure with what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Based<T> {
    /// The figure.
    pub value: T,
    /// What it rests on.
    pub basis: Basis,
}

/// Where a solution begins to freeze.
#[derive(Clone, Debug, PartialEq)]
pub struct Freezing {
    /// K; never below the eutectic where that is known.
    pub kelvin: f64,
    /// What freezes out beside ice at the eutectic, and its temperature in K, where it is known.
    pub eutectic: Option<(f64, Species)>,
    /// Whether ice comes first; else the solution is past the eutectic, and something else does.
    pub ice_first: bool,
}

impl Aqueous {
    /// Solutes by formula without phase, in mol, in grams of water; `None` without water.
    ///
    /// ```
    /// use aludel::solution::phase_change::Aqueous;
    /// let brine = Aqueous::new(1000.0, &[("Na^+", 6.82), ("Cl^-", 6.82)]).unwrap();
    /// // Saturated brine boils at 108.7 °C (G. T. Gerlach, as in handbooks).
    /// let boiling = brine.boiling_point(101_325.0).unwrap();
    /// assert!((boiling.value - 273.15 - 108.7).abs() < 0.5);
    /// ```
    pub fn new(water_grams: f64, solutes: &[(&str, f64)]) -> Option<Self> {
        if water_grams.is_nan() || water_grams <= 0.0 {
            return None;
        }
        let keys: Vec<&str> = solutes.iter().map(|(key, _)| *key).collect();
        let electrolytes = Electrolytes::of(&keys);
        let molality: Vec<f64> = solutes
            .iter()
            .map(|(_, n)| n.max(0.0) * 1000.0 / water_grams)
            .collect();
        let corrections = corrections(&electrolytes, &molality);
        Some(Aqueous {
            electrolytes,
            molality,
            corrections,
        })
    }

    /// The species, in the order given.
    pub fn electrolytes(&self) -> &Arc<Electrolytes> {
        &self.electrolytes
    }

    /// mol in 1 kg of water, in the order given.
    pub fn molality(&self) -> &[f64] {
        &self.molality
    }

    /// Natural logarithm of the activity of water at a temperature in K.
    pub fn ln_water(&self, kelvin: f64) -> f64 {
        let model = self.electrolytes.at(&self.molality, kelvin).ln_water;
        let lacking: f64 = self
            .corrections
            .iter()
            .map(|one| one.counted * one.measured.lacking(one.molality, kelvin))
            .sum();
        (model - WATER_MOLE * lacking).min(0.0)
    }

    /// Vapour pressure of the water in Pa at a temperature in K.
    pub fn water_pressure(&self, kelvin: f64) -> f64 {
        libm::exp(self.ln_water(kelvin)) * water_vapour_pressure(kelvin)
    }

    /// Where the water alone boils under a pressure in Pa: K. Volatile solutes are the matter of
    /// [`vapour`](super::vapour). `None` outside 200 to 640 K.
    pub fn boiling_point(&self, pascal: f64) -> Option<Based<f64>> {
        let ln_pressure = libm::log(pascal);
        let excess = |kelvin: f64| {
            Some(self.ln_water(kelvin) + libm::log(water_vapour_pressure(kelvin)) - ln_pressure)
        };
        let pure = zero(
            |kelvin| Some(libm::log(water_vapour_pressure(kelvin)) - ln_pressure),
            200.0,
            640.0,
        )
        .ok()?;
        let kelvin = match secant(|kelvin| excess(kelvin).unwrap_or(f64::NAN), pure) {
            Some(kelvin) if kelvin <= 640.0 => kelvin,
            _ => zero(excess, pure - 1e-6, 640.0).ok()?,
        };
        Some(Based {
            value: kelvin,
            basis: self.basis(kelvin),
        })
    }

    /// Where the solution begins to freeze, by ice or at its eutectic. `None` below 173 K.
    pub fn freezing_point(&self) -> Option<Based<Freezing>> {
        let eutectic = self.eutectic();
        let excess = |kelvin: f64| Some(ln_water_with_ice(kelvin) - self.ln_water(kelvin));
        let by_ice = match excess(273.15)? <= 0.0 {
            true => Some(273.15),
            false => zero(excess, 173.15, 273.15).ok(),
        };
        let (kelvin, ice_first) = match (by_ice, &eutectic) {
            (Some(ice), Some((lowest, _))) if ice < *lowest => (*lowest, false),
            (Some(ice), _) => (ice, true),
            (None, Some((lowest, _))) => (*lowest, false),
            (None, None) => return None,
        };
        let mut basis = self.basis(kelvin);
        if let Some((_, row)) = &eutectic {
            basis.note(row.cell("source"));
        }
        let eutectic =
            eutectic.and_then(|(at, row)| Some((at, Species::parse(row.cell("solid")).ok()?)));
        let value = Freezing {
            kelvin,
            eutectic,
            ice_first,
        };
        Some(Based { value, basis })
    }

    /// The temperature of [`Freezing::eutectic`] in K, where it is known: no ice is beside it below that.
    pub fn eutectic_point(&self) -> Option<f64> {
        self.eutectic().map(|(kelvin, _)| kelvin)
    }

    /// The lowest eutectic of the salts in it, in K: exact for one salt; that of a mixture lies somewhat lower still. `None` where
    /// no eutectic is known for a good part of it.
    fn eutectic(&self) -> Option<(f64, Row)> {
        let shared = EUTECTIC.rows().map(|row| {
            let share = match row.cell("cation") {
                "" => self.share_of(row.cell("formula")),
                cation => self.share_of_salt(cation, row.cell("anion")),
            };
            (row, share)
        });
        let counted: Vec<(Row, f64)> = shared.filter(|(_, share)| *share > COUNTED_SHARE).collect();
        let covered: f64 = counted.iter().map(|(_, share)| share).sum();
        if covered < COVERED_SHARE {
            return None;
        }
        let known = counted
            .into_iter()
            .filter_map(|(row, _)| Some((row.float("t_C")? + 273.15, row)));
        known.min_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// The share of a molecule in all particles.
    fn share_of(&self, molecule: &str) -> f64 {
        let all: f64 = self.molality.iter().sum();
        let mut those = self.electrolytes.species().iter().zip(&self.molality);
        those
            .find(|(key, _)| *key == molecule)
            .map_or(0.0, |(_, m)| m / all)
    }

    fn share_of_salt(&self, cation: &str, anion: &str) -> f64 {
        let mut salts = self.electrolytes.salts(&self.molality);
        let found = salts.find(|salt| salt.cation == cation && salt.anion == anion);
        found.map_or(0.0, |salt| salt.share)
    }

    /// What the activity of water at a temperature in K rests on.
    pub fn basis(&self, kelvin: f64) -> Basis {
        let mut basis = self.electrolytes.basis(&self.molality, kelvin);
        let mut all_measured = !self.corrections.is_empty();
        let mut counted = 0.0;
        for one in &self.corrections {
            for code in one.measured.sources(one.molality) {
                basis.note(code);
            }
            counted += one.counted;
            all_measured &= one.molality <= one.measured.most(kelvin) * 1.001;
        }
        // Where what was measured covers the solution, the strength of ion interaction is no limit.
        let salts = self.electrolytes.salts(&self.molality);
        let units: f64 = salts.map(|salt| salt.share * salt.alone).sum();
        if all_measured && counted >= 0.98 * units {
            basis.beyond = None;
            basis.guessed.clear();
        }
        let ideal = self
            .electrolytes
            .species()
            .iter()
            .zip(self.electrolytes.charges())
            .zip(&self.molality);
        for ((key, charge), m) in ideal {
            if *charge == 0.0 && *m > 0.05 && Measured::of(key, "").is_none() {
                basis.ideal.push(key.clone());
            }
        }
        basis
    }
}

/// Where ln of a vapour pressure in a given unit is zero, beginning at a temperature in K: against 1/T it is all but
/// straight, so that a few steps do. `None` where they do not.
fn secant(ln_pressure: impl Fn(f64) -> f64, from: f64) -> Option<f64> {
    /// Of water near 100 °C, in K.
    const SLOPE: f64 = -5000.0;
    const CLOSE: f64 = 1e-11;
    let (mut before, mut off) = (1.0 / from, ln_pressure(from));
    let mut at = before - off / SLOPE;
    for _ in 0..12 {
        let here = ln_pressure(1.0 / at);
        if here.abs() < CLOSE {
            return Some(1.0 / at);
        }
        let slope = (here - off) / (at - before);
        if !slope.is_finite() || slope > -500.0 {
            return None;
        }
        (before, off) = (at, here);
        at -= here / slope;
    }
    None
}

/// The measured solutes of a mixture: each salt at the molality that has all the equivalents, counted by its share.
fn corrections(electrolytes: &Electrolytes, molality: &[f64]) -> Vec<Correction> {
    let mut all = Vec::new();
    for salt in electrolytes.salts(molality).filter(|salt| salt.share > 0.0) {
        if let Some(measured) = Measured::of(salt.cation, salt.anion) {
            let counted = salt.share * salt.alone;
            all.push(Correction {
                measured,
                molality: salt.alone,
                counted,
            });
        }
    }
    let species = electrolytes
        .species()
        .iter()
        .zip(electrolytes.charges())
        .zip(molality);
    for ((key, charge), m) in species {
        if *charge == 0.0
            && *m > 0.0
            && let Some(measured) = Measured::of(key, "")
        {
            all.push(Correction {
                measured,
                molality: *m,
                counted: *m,
            });
        }
    }
    all
}
