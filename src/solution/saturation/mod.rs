//! Solids in equilibrium with a liquid: what is above saturation, and what precipitates or dissolves until all is at rest.
//!
//! A solid precipitates where the activity product of its ions is above its constant. The constants are calculated from the measured
//! solubilities in pure water; activities by ion interaction give the effect of a common ion or another salt, and show which of all
//! combinations of ions is the least soluble.
//!
//! Complexes are not counted, nor acids and bases: a solid with the anion of a weak acid is left alone where there are hydrogen ions, and
//! is named.

mod rest;
mod solids;

use crate::matter::Species;

use super::activity::{Electrolytes, WATER_MOLE};
use super::anhydrous;
use super::phase_change::Based;
use rest::{Candidate, End, System};

/// Molality of hydrogen ions from which on the salts of weak acids are left alone.
const ACID: f64 = 1e-6;

/// g of a mole of water.
const WATER_GRAMS: f64 = 1000.0 * WATER_MOLE;

/// Water with what is dissolved in it and solids under it.
#[derive(Clone, Debug)]
pub struct Slurry {
    water: f64,
    dissolved: Vec<(String, f64)>,
    solids: Vec<(Species, f64)>,
}

/// How far a liquid is from saturation with one solid.
#[derive(Clone, Debug, PartialEq)]
pub struct Saturation {
    /// The solid.
    pub solid: Species,
    /// ln of the activity product over the constant: above zero it precipitates.
    pub ln_ratio: f64,
    /// Whether the solid is the stable one in the pure saturated solution at this temperature.
    pub stable: bool,
    /// Whether its constant was carried beyond the temperatures of the table.
    pub carried: bool,
    /// Code of the publication of its solubility.
    pub source: &'static str,
}

/// A slurry at rest.
#[derive(Clone, Debug, PartialEq)]
pub struct AtRest {
    /// g of water left in the liquid.
    pub water_grams: f64,
    /// mol in the liquid.
    pub dissolved: Vec<(String, f64)>,
    /// mol of solids; those that took no part are among them.
    pub solids: Vec<(Species, f64)>,
    /// Solids that took no part, since nothing is known of their solubility.
    pub inert: Vec<Species>,
    /// Salts of weak acids that were left alone because of the hydrogen ions.
    pub left_alone: Vec<Species>,
    /// Whether next to no liquid is left: the whole sets.
    pub sets_whole: bool,
    /// Whether the search came to an end; else the amounts are the last that were tried.
    pub settled: bool,
}

impl Slurry {
    /// Grams of free water, dissolved species by formula without phase, and solids, in mol; `None` without water.
    ///
    /// ```
    /// use aludel::{matter::Species, solution::saturation::Slurry};
    /// // Nitre and common salt, as from sodium nitrate and potassium chloride, boiled down: salt comes first.
    /// let ions = [("Na^+", 1.0), ("K^+", 1.0), ("Cl^-", 1.0), ("NO3^-", 1.0)];
    /// let hot = Slurry::new(70.0, &ions, &[]).unwrap().at_rest(373.15);
    /// let solids: Vec<_> = hot.value.solids.iter().map(|(solid, _)| solid.key()).collect();
    /// assert_eq!(solids, ["NaCl"]);
    /// ```
    pub fn new(
        water_grams: f64,
        dissolved: &[(&str, f64)],
        solids: &[(Species, f64)],
    ) -> Option<Self> {
        let there = |n: &f64| *n > 0.0 && n.is_finite();
        let dissolved = dissolved.iter().filter(|(_, n)| there(n));
        (water_grams > 0.0).then(|| Slurry {
            water: water_grams / WATER_GRAMS,
            dissolved: dissolved.map(|(key, n)| ((*key).to_owned(), *n)).collect(),
            solids: solids.iter().filter(|(_, n)| there(n)).cloned().collect(),
        })
    }

    /// How far the liquid is from saturation with each solid of the tables, the highest first, at a temperature in K.
    pub fn saturation(&self, kelvin: f64) -> Based<Vec<Saturation>> {
        let liquid = Slurry {
            solids: Vec::new(),
            ..self.clone()
        };
        let system = liquid.system(kelvin, &|_| true);
        let (dissolved, water, ratios) = system.now();
        let molality: Vec<f64> = dissolved.iter().map(|n| n / (water * WATER_MOLE)).collect();
        let mut basis = system.electrolytes.basis(&molality, kelvin);
        let all = system.solids.iter().zip(ratios);
        let mut all: Vec<Saturation> = all
            .map(|(candidate, ln_ratio)| {
                basis.note(candidate.constant.source);
                Saturation {
                    solid: candidate.solid.species.clone(),
                    ln_ratio,
                    stable: candidate.constant.stable,
                    carried: candidate.constant.carried,
                    source: candidate.constant.source,
                }
            })
            .collect();
        all.sort_by(|a, b| b.ln_ratio.total_cmp(&a.ln_ratio));
        Based { value: all, basis }
    }

    /// The equilibrium of all solids with the liquid, at a temperature in K.
    pub fn at_rest(&self, kelvin: f64) -> Based<AtRest> {
        self.at_rest_with(kelvin, &|_| true)
    }

    /// The same with some solids kept from precipitating, such as one that is slow to form.
    pub fn at_rest_with(&self, kelvin: f64, admitted: &dyn Fn(&Species) -> bool) -> Based<AtRest> {
        let mut system = self.system(kelvin, admitted);
        let end = system.settle();
        let (dissolved, water, _) = system.now();
        let molality: Vec<f64> = dissolved.iter().map(|n| n / (water * WATER_MOLE)).collect();
        let mut basis = system.electrolytes.basis(&molality, kelvin);
        let mut solids = Vec::new();
        for candidate in system
            .solids
            .iter()
            .filter(|candidate| candidate.amount > 0.0)
        {
            basis.note(candidate.constant.source);
            solids.push((candidate.solid.species.clone(), candidate.amount));
        }
        let inert: Vec<Species> = self
            .solids
            .iter()
            .filter(|(solid, _)| self.gives(solid, kelvin).is_none())
            .map(|(solid, _)| solid.clone())
            .collect();
        solids.extend(
            self.solids
                .iter()
                .filter(|(solid, _)| inert.contains(solid))
                .cloned(),
        );
        let species = system.electrolytes.species().iter().cloned();
        let value = AtRest {
            water_grams: water * WATER_GRAMS,
            dissolved: species.zip(dissolved).filter(|(_, n)| *n > 0.0).collect(),
            solids,
            inert,
            left_alone: self.left_alone(kelvin),
            sets_whole: end == End::SetsWhole,
            settled: end != End::Unsettled,
        };
        Based { value, basis }
    }

    /// What a solid gives to the liquid, with its water; `None` if nothing is known of its solubility at the temperature.
    fn gives(&self, solid: &Species, kelvin: f64) -> Option<(Vec<(String, f64)>, f64)> {
        let bare = solid.with_phase(None);
        let (salt, waters) = anhydrous(&bare);
        let gives = solids::in_liquid(&salt);
        let keys: Vec<String> = gives.iter().map(|(key, _)| key.clone()).collect();
        let known = solids::of(&keys);
        let same = |other: &[(String, f64)]| {
            let ratio = other[0].1
                / gives
                    .iter()
                    .find(|(key, _)| *key == other[0].0)
                    .map_or(f64::NAN, |(_, n)| *n);
            other.len() == gives.len()
                && gives.iter().all(|(key, n)| {
                    other
                        .iter()
                        .any(|(known, m)| known == key && (m / n / ratio - 1.0).abs() < 1e-9)
                })
        };
        let knows = known
            .iter()
            .any(|candidate| same(&candidate.gives) && candidate.constant(kelvin).is_some());
        let alone = known.iter().any(|candidate| candidate.basic) && self.is_acid();
        (knows && !alone).then(|| (gives, waters.to_f64()))
    }

    fn is_acid(&self) -> bool {
        let hydrogen = self.dissolved.iter().find(|(key, _)| key == "H^+");
        hydrogen.is_some_and(|(_, n)| n / (self.water * WATER_MOLE) > ACID)
    }

    /// Everything dissolved that dissolves, with the solids that may precipitate.
    fn system(&self, kelvin: f64, admitted: &dyn Fn(&Species) -> bool) -> System {
        let mut species: Vec<String> = self.dissolved.iter().map(|(key, _)| key.clone()).collect();
        let mut totals: Vec<f64> = self.dissolved.iter().map(|(_, n)| *n).collect();
        let mut water = self.water;
        for (solid, moles) in &self.solids {
            let Some((gives, waters)) = self.gives(solid, kelvin) else {
                continue;
            };
            water += waters * moles;
            for (key, n) in gives {
                match species.iter().position(|known| *known == key) {
                    Some(at) => totals[at] += n * moles,
                    None => {
                        species.push(key);
                        totals.push(n * moles);
                    }
                }
            }
        }
        let acid = self.is_acid();
        let known = solids::of(&species);
        let solids = known
            .iter()
            .filter(|solid| !(acid && solid.basic) && admitted(&solid.species));
        let solids = solids.filter_map(|solid| {
            let place = |key: &str| species.iter().position(|known| known == key);
            let gives = solid.gives.iter().map(|(key, n)| Some((place(key)?, *n)));
            Some(Candidate {
                gives: gives.collect::<Option<Vec<_>>>()?,
                constant: solid.constant(kelvin)?,
                solid: solid.clone(),
                amount: 0.0,
            })
        });
        let mut solids: Vec<Candidate> = solids.collect();
        raise_parts(&mut solids, &totals, kelvin);
        let keys: Vec<&str> = species.iter().map(String::as_str).collect();
        System {
            electrolytes: Electrolytes::of(&keys),
            kelvin,
            totals,
            water,
            solids,
        }
    }

    fn left_alone(&self, kelvin: f64) -> Vec<Species> {
        if !self.is_acid() {
            return Vec::new();
        }
        let species: Vec<String> = self.dissolved.iter().map(|(key, _)| key.clone()).collect();
        let known = solids::of(&species);
        let basic = known
            .iter()
            .filter(|solid| solid.basic && solid.constant(kelvin).is_some());
        basic.map(|solid| solid.species.clone()).collect()
    }
}

/// Raises the constants of the parts of double and acid salts, by the share of the latter in the liquid.
fn raise_parts(solids: &mut [Candidate], totals: &[f64], kelvin: f64) {
    for whole in 0..solids.len() {
        for part in 0..solids.len() {
            let (double, single) = (&solids[whole], &solids[part]);
            let inside = single
                .gives
                .iter()
                .all(|(ion, _)| double.gives.iter().any(|(known, _)| known == ion));
            if !inside || single.gives.len() >= double.gives.len() || !double.constant.stable {
                continue;
            }
            let units = || double.gives.iter().map(|(ion, n)| totals[*ion] / n);
            let share =
                units().fold(f64::MAX, f64::min) / units().fold(f64::MIN_POSITIVE, f64::max);
            let raised = share * double.solid.congruence(&single.solid, kelvin);
            solids[part].constant.ln_k += raised;
        }
    }
}

impl AtRest {
    /// mol of a solid by its formula without phase, zero if it is not there.
    pub fn solid(&self, formula: &str) -> f64 {
        let found = self
            .solids
            .iter()
            .filter(|(solid, _)| solid.key() == formula);
        found.map(|(_, n)| n).sum()
    }

    /// mol of a dissolved species, zero if it is not there.
    pub fn in_liquid(&self, key: &str) -> f64 {
        let found = self.dissolved.iter().find(|(known, _)| known == key);
        found.map_or(0.0, |(_, n)| *n)
    }
}
