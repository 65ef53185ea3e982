//! The solids that can precipitate from a solution, and their constants.
//!
//! The constant of a solid with a measured solubility is the activity product of its pure saturated solution; of others, the
//! solubility product.

use std::sync::{Arc, LazyLock};

use rustc_hash::FxHashSet;

use crate::data::{Memo, SOLID_PHASE, SOLUBILITY, SOLUBILITY_PRODUCT};
use crate::equation::ionic::{Form, dissociate, in_water};
use crate::matter::{Phase, Species};
use crate::number::Number;
use crate::solution::activity::Electrolytes;
use crate::solution::{anhydrous, solubility};

const STANDARD: f64 = 298.15;

/// K beyond its own branch of the solubility up to which the constant of a solid is carried on.
const CARRIED: f64 = 40.0;

/// Gas constant in J/(mol·K).
const GAS: f64 = crate::thermo::GAS_CONSTANT;

/// A solid that dissolves into ions or a molecule.
#[derive(Debug)]
pub(super) struct Solid {
    pub species: Species,
    /// What it gives, with the number of each.
    pub gives: Vec<(String, f64)>,
    /// mol of water in one mole.
    pub waters: f64,
    /// Whether it holds an anion that acids take away.
    pub basic: bool,
    origin: Origin,
}

#[derive(Debug)]
enum Origin {
    /// Its branch of the measured solubility of an anhydrous salt: the lowest and highest temperature in K, and the measured
    /// ones between them.
    Measured {
        salt: Species,
        from: f64,
        to: f64,
        points: Vec<f64>,
    },
    /// pKsp at 25 °C, the enthalpy of dissolution in J/mol if known.
    Product {
        ln_k: f64,
        enthalpy: Option<f64>,
        source: &'static str,
    },
}

/// The constant of a solid at one temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Constant {
    /// ln of the activity product at saturation.
    pub ln_k: f64,
    pub source: &'static str,
    /// Whether the solid is stable against its pure saturated solution at this temperature, as far as the tables say.
    pub stable: bool,
    /// Whether it was carried beyond the temperatures of the table.
    pub carried: bool,
}

/// The formulas of both tables, each once: those with a measured solubility first.
static FORMULAS: LazyLock<Vec<(&'static str, bool)>> = LazyLock::new(|| {
    let measured = SOLUBILITY.rows().map(|row| (row.cell("formula"), true));
    let products = SOLUBILITY_PRODUCT
        .rows()
        .map(|row| (row.cell("formula"), false));
    let mut all: Vec<(&str, bool)> = measured.chain(products).collect();
    all.dedup();
    all
});

/// The solids of one formula of a table.
fn listed(formula: &'static str, measured: bool) -> Arc<Vec<Arc<Solid>>> {
    type Seen = Memo<(&'static str, bool), Arc<Vec<Arc<Solid>>>>;
    static SEEN: LazyLock<Seen> = LazyLock::new(Seen::default);
    SEEN.recall((formula, measured), |_| {
        let solids = match measured {
            true => self::measured(formula),
            false => SOLUBILITY_PRODUCT
                .find(formula)
                .filter_map(by_product)
                .collect(),
        };
        Arc::new(solids.into_iter().map(Arc::new).collect())
    })
}

/// The symbols of elements in a formula.
fn symbols(formula: &str) -> impl Iterator<Item = &str> {
    let starts = formula
        .char_indices()
        .filter(|(_, c)| c.is_ascii_uppercase());
    starts.map(|(at, _)| {
        let rest = &formula[at + 1..];
        let small = rest
            .find(|c: char| !c.is_ascii_lowercase())
            .unwrap_or(rest.len());
        &formula[at..at + 1 + small]
    })
}

/// The points of a grid of temperatures in K around one, and its share of the way between them.
fn grid(kelvin: f64) -> (f64, f64, f64) {
    const STEP: f64 = 0.5;
    let steps = (kelvin - 273.15) / STEP;
    let near = steps.round();
    let at = |step: f64| 273.15 + STEP * step;
    if (steps - near).abs() < 1e-9 {
        return (at(near), at(near + 1.0), 0.0);
    }
    let below = steps.floor();
    (at(below), at(below + 1.0), steps - below)
}

/// What a solid gives, whatever its water.
fn key_of(solid: &Solid) -> String {
    let mut gives: Vec<String> = solid
        .gives
        .iter()
        .map(|(key, n)| format!("{n}{key}"))
        .collect();
    gives.sort();
    gives.join(" ")
}

fn measured(formula: &'static str) -> Vec<Solid> {
    let Ok(salt) = Species::parse(formula) else {
        return Vec::new();
    };
    let gives = in_liquid(&salt);
    let temperatures: Vec<f64> = SOLUBILITY
        .find(formula)
        .filter_map(|row| row.float("t_C"))
        .collect();
    let (Some(coldest), Some(hottest)) = (temperatures.first(), temperatures.last()) else {
        return Vec::new();
    };
    let basic = is_basic(&gives);
    let phases = SOLID_PHASE.find(formula).filter_map(|row| {
        let species = Species::parse(row.filled("solid")?).ok()?;
        let from = row.float("t_min_C").unwrap_or(*coldest).max(*coldest);
        let to = row.float("t_max_C").unwrap_or(*hottest).min(*hottest);
        // Numbers of water such as 8/3 follow from the masses.
        let water = Species::parse("H2O").ok()?.molar_mass().to_f64();
        let units = units(&species, &salt);
        let waters = (species.molar_mass().to_f64() - units * salt.molar_mass().to_f64()) / water;
        (from <= to).then(|| Solid {
            gives: gives
                .iter()
                .map(|(key, n)| (key.clone(), n * units))
                .collect(),
            waters: waters.max(0.0),
            basic,
            origin: Origin::Measured {
                salt: salt.clone(),
                from: from + 273.15,
                to: to + 273.15,
                points: temperatures
                    .iter()
                    .filter(|t| (from..=to).contains(t))
                    .map(|t| t + 273.15)
                    .collect(),
            },
            species: species.with_phase(Some(Phase::Solid)),
        })
    });
    phases.collect()
}

/// What an anhydrous substance is in water: ions with their numbers, or itself.
pub(super) fn in_liquid(salt: &Species) -> Vec<(String, f64)> {
    let ions = match in_water(salt) {
        Form::Ions(ions) => Some(ions),
        // Sparingly soluble salts are solids by the rules, and give ions all the same.
        Form::Solid => dissociate(salt),
        Form::Molecule | Form::Gas | Form::Liquid => None,
    };
    match ions {
        Some(ions) => ions
            .iter()
            .map(|(n, ion)| (ion.key().to_owned(), n.to_f64()))
            .collect(),
        None => vec![(salt.key().to_owned(), 1.0)],
    }
}

/// Units of the anhydrous salt in one of the hydrate as it is written.
fn units(solid: &Species, salt: &Species) -> f64 {
    let (bare, _) = anhydrous(solid);
    (bare.molar_mass().to_f64() / salt.molar_mass().to_f64())
        .round()
        .max(1.0)
}

fn by_product(row: crate::data::Row) -> Option<Solid> {
    let species = Species::parse(row.cell("formula"))
        .ok()?
        .with_phase(Some(Phase::Solid));
    let mut gives = Vec::new();
    let mut waters = 0.0;
    for part in row.cell("ions").split(' ') {
        let (key, number) = part.rsplit_once(':')?;
        let number: f64 = number.parse().ok()?;
        match key {
            "H2O" => waters = number,
            key => gives.push((key.to_owned(), number)),
        }
    }
    Some(Solid {
        species,
        waters,
        basic: is_basic(&gives),
        origin: Origin::Product {
            ln_k: -row.float("pKsp")? * std::f64::consts::LN_10,
            enthalpy: row.float("dH_kJ_mol").map(|kilojoule| 1000.0 * kilojoule),
            source: row.cell("source"),
        },
        gives,
    })
}

/// Anions of weak acids, which hydrogen ions take away.
fn is_basic(gives: &[(String, f64)]) -> bool {
    const BASIC: [&str; 14] = [
        "OH^-", "CO3^2-", "HCO3^-", "S^2-", "PO4^3-", "HPO4^2-", "CN^-", "F^-", "SO3^2-",
        "AsO4^3-", "C2O4^2-", "CH3COO^-", "CrO4^2-", "BO3^3-",
    ];
    gives.iter().any(|(key, _)| BASIC.contains(&key.as_str()))
}

/// The solids whose ions and molecules are all among some species.
pub(super) fn of(species: &[String]) -> Arc<Vec<Arc<Solid>>> {
    type Seen = Memo<Vec<String>, Arc<Vec<Arc<Solid>>>>;
    static SEEN: LazyLock<Seen> = LazyLock::new(Seen::default);
    SEEN.recall(species.to_vec(), |species| {
        // A glance at the elements spares reading nearly all of the tables.
        let elements: FxHashSet<&str> = species.iter().flat_map(|key| symbols(key)).collect();
        let mut all: Vec<Arc<Solid>> = Vec::new();
        for (formula, measured) in FORMULAS.iter() {
            let water = |symbol: &str| matches!(symbol, "H" | "O");
            if !symbols(formula).all(|symbol| water(symbol) || elements.contains(symbol)) {
                continue;
            }
            let solids = listed(formula, *measured);
            for solid in solids.iter() {
                let there = solid.gives.iter().all(|(key, _)| species.contains(key));
                // What has a measured solubility needs no solubility product beside it.
                let known = !measured && all.iter().any(|other| key_of(other) == key_of(solid));
                if there && !known {
                    all.push(Arc::clone(solid));
                }
            }
        }
        Arc::new(all)
    })
}

impl Solid {
    /// Its constant at a temperature in K; `None` too far from what is known.
    ///
    /// It is calculated on a grid of temperatures and runs straight between them, so that a run with many temperatures need
    /// not calculate each: the table has steps of 10 K.
    pub fn constant(self: &Arc<Solid>, kelvin: f64) -> Option<Constant> {
        let (below, above, share) = grid(kelvin);
        let low = self.remembered(below);
        if share == 0.0 {
            return low;
        }
        match (low, self.remembered(above)) {
            (Some(low), Some(high)) if low.stable == high.stable && low.carried == high.carried => {
                Some(Constant {
                    ln_k: low.ln_k + share * (high.ln_k - low.ln_k),
                    ..low
                })
            }
            // A transition lies between.
            _ => self.calculate(kelvin),
        }
    }

    fn remembered(self: &Arc<Solid>, kelvin: f64) -> Option<Constant> {
        type Seen = Memo<(Species, u64), Option<Constant>>;
        static SEEN: LazyLock<Seen> = LazyLock::new(Seen::default);
        let key = (self.species.clone(), kelvin.to_bits());
        SEEN.recall(key, |_| self.calculate(kelvin))
    }

    fn calculate(&self, kelvin: f64) -> Option<Constant> {
        match &self.origin {
            Origin::Product {
                ln_k,
                enthalpy,
                source,
            } => {
                let warmer = 1.0 / kelvin - 1.0 / STANDARD;
                Some(Constant {
                    ln_k: ln_k - enthalpy.unwrap_or(0.0) / GAS * warmer,
                    source,
                    stable: true,
                    carried: enthalpy.is_none() && (kelvin - STANDARD).abs() > 5.0,
                })
            }
            Origin::Measured {
                salt,
                from,
                to,
                points,
            } => {
                // At a transition the upper solid counts, as in the table of solids.
                let last = points.last().is_some_and(|point| (point - to).abs() < 1e-6);
                let within = kelvin >= *from - 1e-6
                    && (kelvin < *to - 1e-6 || (last && kelvin <= *to + 1e-6));
                if within {
                    let (ln_k, source) = self.calibrated(salt, kelvin.clamp(*from, *to))?;
                    return Some(Constant {
                        ln_k,
                        source,
                        stable: true,
                        carried: false,
                    });
                }
                let edge = if kelvin < *from { *from } else { *to };
                if (kelvin - edge).abs() > CARRIED {
                    return None;
                }
                // Straight in 1/T through the nearest two points of its branch: at a transition the table bends.
                let (near, next) = match (kelvin < *from, points.as_slice()) {
                    (true, [near, next, ..]) | (false, [.., next, near]) => (*near, *next),
                    _ => return None,
                };
                let ((at_near, source), (at_next, _)) =
                    (self.calibrated(salt, near)?, self.calibrated(salt, next)?);
                let slope = (at_next - at_near) / (1.0 / next - 1.0 / near);
                let carried = at_near + slope * (1.0 / kelvin - 1.0 / near);
                // Another hydrate is stable in the pure saturated solution there, so this one does not precipitate from it.
                let there = self.calibrated(salt, kelvin);
                let covered = there.is_some();
                let ln_k = there.map_or(carried, |(least, _)| carried.max(least));
                Some(Constant {
                    ln_k,
                    source,
                    stable: !covered,
                    carried: !covered,
                })
            }
        }
    }

    /// ln of the activity product of the pure saturated solution at a temperature in K.
    fn calibrated(&self, salt: &Species, kelvin: f64) -> Option<(f64, &'static str)> {
        let (molality, source) = self.saturated(salt, kelvin)?;
        let keys: Vec<&str> = self.gives.iter().map(|(key, _)| key.as_str()).collect();
        let molalities: Vec<f64> = self.gives.iter().map(|(_, n)| n * molality).collect();
        let at = Electrolytes::of(&keys).at(&molalities, kelvin);
        let terms = self.gives.iter().zip(&molalities).zip(&at.ln_gamma);
        let product: f64 = terms
            .map(|(((_, n), m), ln_gamma)| n * (libm::log(*m) + ln_gamma))
            .sum();
        Some((product + self.waters * at.ln_water, source))
    }

    /// By how much the constant of `part`, a salt of some of its ions, has to be raised so that it does not precipitate from the
    /// pure saturated solution of this solid, which dissolves as a whole: what ion interaction lacks of the mixture of its ions.
    pub fn congruence(&self, part: &Arc<Solid>, kelvin: f64) -> f64 {
        type Seen = Memo<(Species, Species, u64), f64>;
        static SEEN: LazyLock<Seen> = LazyLock::new(Seen::default);
        let at = |kelvin: f64| {
            let key = (self.species.clone(), part.species.clone(), kelvin.to_bits());
            SEEN.recall(key, |_| self.lacking(part, kelvin).unwrap_or(0.0))
        };
        let (below, above, share) = grid(kelvin);
        (1.0 - share) * at(below) + if share > 0.0 { share * at(above) } else { 0.0 }
    }

    fn lacking(&self, part: &Arc<Solid>, kelvin: f64) -> Option<f64> {
        let Origin::Measured { salt, .. } = &self.origin else {
            return None;
        };
        let molality = self.saturated(salt, kelvin)?.0;
        let keys: Vec<&str> = self.gives.iter().map(|(key, _)| key.as_str()).collect();
        let molalities: Vec<f64> = self.gives.iter().map(|(_, n)| n * molality).collect();
        let at = Electrolytes::of(&keys).at(&molalities, kelvin);
        let terms = part.gives.iter().map(|(key, n)| {
            let place = keys.iter().position(|known| known == key)?;
            Some(n * (libm::log(molalities[place]) + at.ln_gamma[place]))
        });
        let product = terms.sum::<Option<f64>>()? + part.waters * at.ln_water;
        Some((product - part.constant(kelvin)?.ln_k).max(0.0))
    }

    /// mol of it that 1 kg of pure water dissolves at a temperature in K; `None` without a measured solubility.
    pub fn solubility(&self, kelvin: f64) -> Option<f64> {
        match &self.origin {
            Origin::Measured { salt, .. } => Some(self.saturated(salt, kelvin)?.0),
            Origin::Product { .. } => None,
        }
    }

    /// mol of this solid that 1 kg of water dissolves, with the source.
    fn saturated(&self, salt: &Species, kelvin: f64) -> Option<(f64, &'static str)> {
        let found = solubility(salt, &Number::modelled(kelvin)?).ok()?;
        let grams = found.value.grams_per_100_g_water.to_f64();
        let mass = found.value.salt.molar_mass().to_f64() * self.units_of_salt(salt);
        Some((10.0 * grams / mass, found.source.code))
    }

    fn units_of_salt(&self, salt: &Species) -> f64 {
        units(&self.species.with_phase(None), salt)
    }
}
