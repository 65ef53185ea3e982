//! The vapour over aqueous solutions with volatile solutes: partial pressures, boiling points, what leaves and what stays.
//!
//! Every volatile solute has its model over pure water (`models`); what else is in the liquid changes the activities by ion
//! interaction, relative to the solution of the solute alone, so that a pure solution is that of its model. The vapour is taken
//! as ideal, but for the double molecules of acetic and formic acid.

mod evaporation;
mod limits;
mod models;

use crate::data::{AZEOTROPE, as_listed};
use crate::number::root::zero;

use super::activity::{Basis, Electrolytes};
use super::phase_change::{Aqueous, Based, water_vapour_pressure};
use models::{VOLATILES, Volatile, WATER_MOLALITY};

pub use evaporation::{Evaporated, Evaporation};
pub use limits::{Limit, Severity, limits};

/// g of a mole of water.
const WATER_GRAMS: f64 = 18.015_268;

/// Water with solutes in it, by amounts in mol.
#[derive(Clone, Debug, PartialEq)]
pub struct Liquid {
    water: f64,
    solutes: Vec<(String, f64)>,
}

/// A liquid with its models, ready to be asked at many temperatures.
struct Model {
    /// Ions and molecules that stay.
    staying: Aqueous,
    /// Water's mole fraction among water and volatile molecules enters with the models of these.
    leaving: Vec<Leaving>,
}

/// A volatile solute of a liquid.
struct Leaving {
    volatile: &'static Volatile,
    /// mol/kg; of ions the geometric mean.
    molality: f64,
    /// mol that the liquid has of it.
    amount: f64,
    /// Of ions: the share of its salt among all, and mol/kg of it that has all the equivalents.
    share: Option<(f64, f64)>,
}

/// One substance in the vapour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Partial {
    /// Its formula; `H2O` for water.
    pub formula: &'static str,
    /// Its partial pressure in Pa.
    pub pascal: f64,
    /// The pressure that counts its molecules as single ones, in Pa: more where there are double molecules.
    pub single: f64,
}

/// A constant-boiling mixture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConstantBoiling {
    /// Mass fraction of the solute.
    pub mass_fraction: f64,
    /// K
    pub kelvin: f64,
}

impl Liquid {
    /// Solutes by formula without phase, in mol, in grams of water; `None` without water. Acetone is `CH3COCH3` from here on,
    /// however it was spelled: solutes go by the formulas that the tables list.
    ///
    /// ```
    /// use aludel::solution::vapour::Liquid;
    /// // 37 % hydrochloric acid.
    /// let acid = Liquid::new(63.0, &[("H^+", 1.0148), ("Cl^-", 1.0148)]).unwrap();
    /// let boiling = acid.boiling_point(101_325.0).unwrap().value - 273.15;
    /// assert!((boiling - 48.0).abs() < 4.0);
    /// ```
    pub fn new(water_grams: f64, solutes: &[(&str, f64)]) -> Option<Self> {
        let there = solutes.iter().filter(|(_, n)| *n > 0.0);
        (water_grams > 0.0).then(|| Liquid {
            water: water_grams / WATER_GRAMS,
            solutes: there
                .map(|(key, n)| (as_listed(key).to_owned(), *n))
                .collect(),
        })
    }

    /// g of water.
    pub fn water_grams(&self) -> f64 {
        self.water * WATER_GRAMS
    }

    /// Solutes in mol.
    pub fn solutes(&self) -> &[(String, f64)] {
        &self.solutes
    }

    /// mol of a solute, zero if it is not there.
    pub fn amount(&self, key: &str) -> f64 {
        let key = as_listed(key);
        let found = self.solutes.iter().find(|(known, _)| known == key);
        found.map_or(0.0, |(_, n)| *n)
    }

    /// Whether anything but water can leave.
    pub fn is_volatile(&self) -> bool {
        VOLATILES.iter().any(|volatile| self.holds(volatile) > 0.0)
    }

    /// The partial pressures over it at a temperature in K, water first.
    pub fn partial_pressures(&self, kelvin: f64) -> Vec<Partial> {
        self.model().partials(kelvin)
    }

    /// Where the sum of the partial pressures reaches a pressure in Pa: K. Gases that leave with the first bubbles (carbon
    /// dioxide, sulfur dioxide, chlorine and the like) are not counted. `None` outside 200 to 640 K.
    pub fn boiling_point(&self, pascal: f64) -> Option<Based<f64>> {
        let model = self.model();
        let kelvin = model.boiling(pascal)?;
        Some(Based {
            value: kelvin,
            basis: model.basis(kelvin),
        })
    }

    /// Whether it boils at a temperature in K, or below it, under a pressure in Pa. One look at the vapour costs less than
    /// finding the boiling point.
    pub fn boils_at(&self, kelvin: f64, pascal: f64) -> bool {
        self.model().total(kelvin) >= pascal
    }

    /// What the vapour at a temperature in K rests on.
    pub fn basis(&self, kelvin: f64) -> Basis {
        self.model().basis(kelvin)
    }

    /// mol of a volatile solute.
    fn holds(&self, volatile: &Volatile) -> f64 {
        match volatile.takes {
            [] => self.amount(volatile.formula),
            ions => ions
                .iter()
                .map(|ion| self.amount(ion))
                .fold(f64::MAX, f64::min),
        }
    }

    fn model(&self) -> Model {
        let kilograms = self.water_grams() / 1000.0;
        let there = VOLATILES
            .iter()
            .map(|volatile| (volatile, self.holds(volatile)));
        let there: Vec<_> = there.filter(|(_, amount)| *amount > 0.0).collect();
        let molecule = |key: &str| {
            there
                .iter()
                .any(|(volatile, _)| volatile.takes.is_empty() && volatile.formula == key)
        };
        let staying: Vec<(&str, f64)> = self
            .solutes
            .iter()
            .filter(|(key, _)| !molecule(key))
            .map(|(key, n)| (key.as_str(), *n))
            .collect();
        let staying = Aqueous::new(1000.0 * kilograms, &staying).expect("a liquid has water");
        let leaving = there
            .iter()
            .map(|&(volatile, amount)| match volatile.takes {
                [cation, anion] => {
                    let mut salts = staying.electrolytes().salts(staying.molality());
                    let salt = salts.find(|salt| salt.cation == *cation && salt.anion == *anion);
                    let mean = (self.amount(cation) * self.amount(anion)).sqrt();
                    Leaving {
                        volatile,
                        molality: mean / kilograms,
                        amount,
                        share: salt.map(|salt| (salt.share, salt.alone)),
                    }
                }
                _ => Leaving {
                    volatile,
                    molality: amount / kilograms,
                    amount,
                    share: None,
                },
            });
        let leaving = leaving.collect();
        Model { staying, leaving }
    }
}

impl Model {
    fn partials(&self, kelvin: f64) -> Vec<Partial> {
        let mut ln_water = self.staying.ln_water(kelvin);
        let mut all = vec![Partial {
            formula: "H2O",
            pascal: 0.0,
            single: 0.0,
        }];
        let ions = self.leaving.iter().any(|one| one.share.is_some());
        let ln_gamma = match ions {
            true => {
                self.staying
                    .electrolytes()
                    .at(self.staying.molality(), kelvin)
                    .ln_gamma
            }
            false => Vec::new(),
        };
        let molecules: f64 = self
            .leaving
            .iter()
            .filter(|one| one.share.is_none())
            .map(|one| one.molality)
            .sum();
        // Several volatile molecules: each with its model over water alone, at its own fraction of all.
        let among = WATER_MOLALITY + molecules;
        let mut ideal = 0.0;
        for one in &self.leaving {
            let pascal = match one.share {
                Some((share, alone)) => {
                    let (own, water) = self.acid(one, &ln_gamma, (share, alone), kelvin);
                    ln_water += water;
                    libm::exp(own)
                }
                None => {
                    let over = one.volatile.over(one.molality, kelvin, &|_| 0.0);
                    let alone = WATER_MOLALITY + one.molality;
                    // Relative to Raoult's law of the two.
                    ln_water += over.ln_water - libm::log(WATER_MOLALITY / alone);
                    ideal += one.molality;
                    libm::exp(over.ln_pressure) * alone / among
                }
            };
            let double = one.volatile.dimer(kelvin).unwrap_or(0.0) * pascal * pascal;
            all.push(Partial {
                formula: one.volatile.formula,
                pascal: pascal + double,
                single: pascal + 2.0 * double,
            });
        }
        ln_water -= libm::log1p(ideal / WATER_MOLALITY);
        let water = libm::exp(ln_water.min(0.0)) * water_vapour_pressure(kelvin);
        all[0].pascal = water;
        all[0].single = water;
        all
    }

    /// ln of the pressure of an acid in ions, and what its model adds to ln of the activity of water.
    fn acid(
        &self,
        one: &Leaving,
        ln_gamma: &[f64],
        (share, alone): (f64, f64),
        kelvin: f64,
    ) -> (f64, f64) {
        let [cation, anion] = one.volatile.takes else {
            return (f64::NEG_INFINITY, 0.0);
        };
        let pure = Electrolytes::of(&[cation, anion]);
        let ln_mean = |m: f64| {
            let at = pure.at(&[m, m], kelvin);
            0.5 * (at.ln_gamma[0] + at.ln_gamma[1])
        };
        let species = self.staying.electrolytes().species();
        let place = |key: &str| species.iter().position(|known| known == key);
        let mixed = [cation, anion]
            .into_iter()
            .filter_map(|ion| place(ion))
            .map(|at| ln_gamma[at])
            .sum::<f64>();
        let over = one.volatile.over(one.molality, kelvin, &ln_mean);
        let others = if share > 1.0 - 1e-9 {
            0.0
        } else {
            mixed - 2.0 * ln_mean(one.molality)
        };
        let at_whole = one.volatile.over(alone, kelvin, &ln_mean);
        let water = match at_whole.ln_water.is_nan() {
            true => 0.0,
            false => {
                let by_ions = Aqueous::new(1000.0, &[(cation, alone), (anion, alone)]);
                let known = by_ions.map_or(0.0, |alone| alone.ln_water(kelvin));
                share * (at_whole.ln_water - known)
            }
        };
        (over.ln_pressure + others, water)
    }

    /// The sum of the partial pressures in Pa, gases left out.
    fn total(&self, kelvin: f64) -> f64 {
        let partials = self.partials(kelvin);
        let solutes = self.leaving.iter().zip(&partials[1..]);
        let sum: f64 = solutes
            .filter(|(one, _)| !one.volatile.is_gas())
            .map(|(_, partial)| partial.pascal)
            .sum();
        partials[0].pascal + sum
    }

    fn boiling(&self, pascal: f64) -> Option<f64> {
        let ln_pressure = libm::log(pascal);
        let excess = |kelvin: f64| Some(libm::log(self.total(kelvin)) - ln_pressure);
        let pure = zero(
            |kelvin| Some(libm::log(water_vapour_pressure(kelvin)) - ln_pressure),
            200.0,
            640.0,
        )
        .ok()?;
        let below = if excess(pure)? > 0.0 { 200.0 } else { pure };
        let above = if below < pure {
            pure
        } else {
            640.0f64.min(pure + 80.0)
        };
        match zero(excess, below, above) {
            Ok(kelvin) => Some(kelvin),
            Err(_) => zero(excess, pure, 640.0).ok(),
        }
    }

    /// Near a temperature at which it boiled just before.
    fn boiling_near(&self, pascal: f64, kelvin: f64) -> Option<f64> {
        // ln p against 1/T is all but straight.
        let (mut at, mut slope) = (kelvin, -5000.0);
        let mut last: Option<(f64, f64)> = None;
        for _ in 0..12 {
            let off = libm::log(self.total(at)) - libm::log(pascal);
            if off.abs() < 1e-6 {
                return Some(at);
            }
            if let Some((before, value)) = last
                && at != before
            {
                let steepness = (off - value) / (1.0 / at - 1.0 / before);
                slope = if steepness < -500.0 { steepness } else { slope };
            }
            last = Some((at, off));
            at = (1.0 / (1.0 / at - off / slope)).clamp(200.0, 640.0);
        }
        self.boiling(pascal)
    }

    fn basis(&self, kelvin: f64) -> Basis {
        let mut basis = self.staying.basis(kelvin);
        for one in &self.leaving {
            basis.note(one.volatile.source);
            let fraction = one.molality / (one.molality + WATER_MOLALITY);
            let (from, to) = one.volatile.range;
            let (coldest, hottest) = one.volatile.kelvins;
            let known = fraction <= to && (fraction >= from || one.share.is_some());
            if !known || kelvin < coldest - 0.5 || kelvin > hottest + 0.5 {
                basis.vapour.push(one.volatile.formula);
            }
        }
        let molecules = self
            .leaving
            .iter()
            .filter(|one| one.share.is_none() && !one.volatile.is_gas());
        if molecules.count() > 1 {
            let several = self.leaving.iter().filter(|one| one.share.is_none());
            basis.vapour.extend(several.map(|one| one.volatile.formula));
        }
        basis
    }
}

/// The published constant-boiling mixture of a solute with water at a pressure in Pa, between the pressures for which it was
/// published.
///
/// ```
/// use aludel::solution::vapour::constant_boiling;
/// let acid = constant_boiling("HCl", 101_325.0).unwrap();
/// assert!((acid.value.mass_fraction - 0.2022).abs() < 1e-4);
/// assert!((acid.value.kelvin - 273.15 - 108.58).abs() < 0.01);
/// ```
pub fn constant_boiling(formula: &str, pascal: f64) -> Option<Based<ConstantBoiling>> {
    let rows: Vec<_> = AZEOTROPE.find(as_listed(formula)).collect();
    let points = |column: &str| {
        let read = rows
            .iter()
            .filter_map(|row| Some((1000.0 * row.float("pressure_kPa")?, row.float(column)?)));
        let mut points: Vec<(f64, f64)> = read.collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        points
    };
    let at = |points: &[(f64, f64)]| {
        let near = |(pressure, _): &&(f64, f64)| (pressure / pascal - 1.0).abs() < 0.02;
        let above = points.partition_point(|(pressure, _)| *pressure < pascal);
        let nearest = points
            .iter()
            .filter(near)
            .min_by(|a, b| (a.0 - pascal).abs().total_cmp(&(b.0 - pascal).abs()));
        match (points.get(above.wrapping_sub(1)), points.get(above)) {
            (Some(low), Some(high)) => {
                let share = libm::log(pascal / low.0) / libm::log(high.0 / low.0);
                Some(low.1 + share * (high.1 - low.1))
            }
            _ => nearest.map(|(_, value)| *value),
        }
    };
    let value = ConstantBoiling {
        mass_fraction: at(&points("mass_fraction"))?,
        kelvin: at(&points("t_C"))? + 273.15,
    };
    let mut basis = Basis::default();
    rows.iter().for_each(|row| basis.note(row.cell("source")));
    Some(Based { value, basis })
}
