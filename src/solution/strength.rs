//! The strength on a label into mass fraction, molarity, molality and density.

use crate::data::Sourced;
use crate::matter::Species;
use crate::number::{Exact, Number, ZERO_CELSIUS};

use super::density::{Known, NoDensity, density};
use super::model::{anhydrous, through};
use super::solubility::{NoSolubility, solubility};

/// How a label states the strength of a solution. Masses are those of the solute as it is named, so that `CuSO4·5H2O`
/// counts its water of crystallisation in.
#[derive(Clone, Debug, PartialEq)]
pub enum Strength {
    /// mol of solute in 1 L of solution
    Molar(Number),
    /// mol of solute to 1 kg of water, crystal water counted as water
    Molal(Number),
    /// g of solute in 1 g of solution, from 0 to 1 (`%w/w` is a hundredth)
    MassFraction(Number),
    /// g of solute in 1 L of solution (`%w/v` is 10 g/L)
    GramsPerLitre(Number),
    /// mL of the pure liquid in 1 mL of solution, from 0 to 1 (`%v/v` is a hundredth)
    VolumeFraction(Number),
    /// volumes of oxygen (at 0 °C and 101.325 kPa) that one volume of peroxide gives off
    PeroxideVolumes(Number),
}

/// A solution by what is in it.
#[derive(Clone, Debug)]
pub struct Composition {
    /// The solute, without water of crystallisation.
    pub solute: Species,
    /// g of anhydrous solute in 1 g of solution.
    pub mass_fraction: Number,
    /// mol in 1 kg of water; `None` for the pure solute.
    pub molality: Option<Number>,
    /// mol in 1 L of solution; `None` without a density.
    pub molarity: Option<Number>,
    /// g/mL; `None` where it is not known and was not needed.
    pub density: Option<Sourced<Number>>,
    /// The density of the tables, where the one given differs from it by more than 2 %.
    pub disagrees: Option<Sourced<Number>>,
}

/// Why a strength cannot stand.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum StrengthFault {
    /// `NaCl -1 mol/L`
    #[error("a strength is not below zero")]
    Negative,
    /// `HCl 120 %w/w`, `H2SO4 25 mol/L`: more than the pure substance.
    #[error("{}", above_whole(*.mass_fraction))]
    AboveWhole {
        /// The mass fraction it comes to, where that can be said.
        mass_fraction: Option<f64>,
    },
    /// `NaCl 8 mol/L`: more than dissolves.
    #[error("so much does not dissolve: {} by mass asked for, {} is saturated", percent(*.mass_fraction), percent(.saturated.value.to_f64()))]
    AboveSaturation {
        /// The mass fraction asked for.
        mass_fraction: f64,
        /// That of the saturated solution, with its source and temperature range.
        saturated: Box<Sourced<Number>>,
    },
    /// `H2SeO4 2 mol/L`: only a density would tell how much water is in it.
    #[error("the density of this solution is not in the tables")]
    NeedsDensity(NoDensity),
    /// `CH3COCH3 30 %v/v`: the density of the pure liquid is not in the tables.
    #[error("the density of pure {0} is not in the tables")]
    NeedsPureDensity(Species),
    /// `HCl 10 volumes`: for hydrogen peroxide only.
    #[error("volume strength is for hydrogen peroxide only")]
    NotPeroxide,
}

/// Works out a solution from the strength on its label, at a temperature in K, with the density in g/mL if the label
/// gives one.
///
/// # Errors
/// [`StrengthFault`].
///
/// ```
/// use aludel::{matter::Species, number::{Exact, Number}, solution::{self, Strength}};
/// let number = |text| Number::exact(Exact::decimal(text).unwrap());
/// let acid = Species::parse("HCl").unwrap();
/// let strength = Strength::MassFraction(number("0.37"));
/// let bottle = solution::composition(&acid, &strength, &number("293.15"), None).unwrap();
/// assert!((bottle.molarity.unwrap().to_f64() - 12.0).abs() < 0.05);
/// ```
pub fn composition(
    species: &Species,
    strength: &Strength,
    kelvin: &Number,
    given_density: Option<&Number>,
) -> Result<Composition, StrengthFault> {
    let (solute, _) = anhydrous(species);
    let label = Label {
        as_named: species.molar_mass().to_f64(),
        anhydrous: solute.molar_mass().to_f64(),
        known: Known::of(&solute),
        solute: &solute,
        kelvin,
        given: given_density,
    };
    let fraction = label.mass_fraction(strength)?;
    let w = fraction.to_f64();
    if w > 1.0 + 1e-9 {
        return Err(StrengthFault::AboveWhole {
            mass_fraction: Some(w),
        });
    }
    refuse_supersaturated(&solute, &fraction, kelvin)?;
    Ok(label.finish(fraction))
}

struct Label<'a> {
    as_named: f64,
    anhydrous: f64,
    known: Known,
    solute: &'a Species,
    kelvin: &'a Number,
    given: Option<&'a Number>,
}

impl Label<'_> {
    /// g of anhydrous solute in 1 g of solution.
    fn mass_fraction(&self, strength: &Strength) -> Result<Number, StrengthFault> {
        let (Strength::Molar(value)
        | Strength::Molal(value)
        | Strength::MassFraction(value)
        | Strength::GramsPerLitre(value)
        | Strength::VolumeFraction(value)
        | Strength::PeroxideVolumes(value)) = strength;
        if value.is_negative() {
            return Err(StrengthFault::Negative);
        }
        let dry = self.anhydrous / self.as_named;
        match strength {
            Strength::MassFraction(whole) => {
                if whole.to_f64() > 1.0 + 1e-12 {
                    let mass_fraction = Some(whole.to_f64());
                    return Err(StrengthFault::AboveWhole { mass_fraction });
                }
                Ok(whole.scaled(&Exact::modelled(dry).unwrap_or_else(Exact::one)))
            }
            // All water is solvent, crystal water too, so a hydrate counts as its anhydrous salt.
            Strength::Molal(molality) => {
                let fraction = |b: f64| b * self.anhydrous / (1000.0 + b * self.anhydrous);
                through(&[molality], |b| fraction(b[0])).ok_or(whole_unknown())
            }
            Strength::Molar(molarity) => self.by_density(molarity, self.anhydrous / 1000.0),
            Strength::GramsPerLitre(grams) => self.by_density(grams, dry / 1000.0),
            Strength::VolumeFraction(share) => {
                let pure = self.known.value(1.0, self.kelvin.to_f64() - ZERO_CELSIUS);
                let pure =
                    pure.ok_or_else(|| StrengthFault::NeedsPureDensity(self.solute.clone()))?;
                self.by_density(share, pure)
            }
            Strength::PeroxideVolumes(volumes) => {
                if self.solute.key() != "H2O2" {
                    return Err(StrengthFault::NotPeroxide);
                }
                // 2 H2O2 -> 2 H2O + O2, and 22.414 L/mol of ideal gas at 0 °C and 101.325 kPa.
                self.by_density(volumes, 2.0 / 22.414 * self.anhydrous / 1000.0)
            }
        }
    }

    /// The mass fraction w of `value · factor` grams of solute in a millilitre: w·ρ(w) = value · factor.
    fn by_density(&self, value: &Number, factor: f64) -> Result<Number, StrengthFault> {
        if let Some(given) = self.given {
            let fraction = through(&[value, given], |at| at[0] * factor / at[1]);
            return fraction.ok_or(whole_unknown());
        }
        let target = value.to_f64() * factor;
        let celsius = self.kelvin.to_f64() - ZERO_CELSIUS;
        let Some(bracket) = self.bracket(target, celsius) else {
            return Err(self.beyond(target, celsius));
        };
        let solve = |at: &[f64]| self.solve(at[0] * factor, at[1] - ZERO_CELSIUS, bracket);
        through(&[value, self.kelvin], solve).ok_or(whole_unknown())
    }

    fn grams_per_millilitre(&self, w: f64, celsius: f64) -> Option<f64> {
        if w == 0.0 {
            return Some(0.0);
        }
        Some(w * self.known.value(w, celsius)?)
    }

    /// Two neighbouring mass fractions between which the solution lies.
    fn bracket(&self, target: f64, celsius: f64) -> Option<(f64, f64)> {
        let mut last = None;
        for step in 0..=200 {
            let w = f64::from(step) / 200.0;
            let Some(here) = self.grams_per_millilitre(w, celsius) else {
                last = None;
                continue;
            };
            if let Some((low, below)) = last
                && below <= target
                && target <= here
            {
                return Some((low, w));
            }
            last = Some((w, here));
        }
        None
    }

    fn solve(&self, target: f64, celsius: f64, (mut low, mut high): (f64, f64)) -> f64 {
        // A slope may be asked for just outside the bracket: the straight line through it serves there.
        let value = |w: f64| self.grams_per_millilitre(w, celsius).unwrap_or(f64::NAN);
        let (at_low, at_high) = (value(low), value(high));
        if !(at_low..=at_high).contains(&target) {
            return low + (high - low) * (target - at_low) / (at_high - at_low);
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if value(middle) < target {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    /// No mass fraction fits: more than the pure substance, or more than the densities reach.
    fn beyond(&self, target: f64, celsius: f64) -> StrengthFault {
        if let Some(pure) = self.grams_per_millilitre(1.0, celsius)
            && target > pure
        {
            return StrengthFault::AboveWhole {
                mass_fraction: None,
            };
        }
        if let Some(fault) = self.beyond_saturation(target, celsius) {
            return fault;
        }
        // Near enough for saying where the table was left: as if the solution had the density of water.
        let fraction = Number::modelled(target.min(1.0)).unwrap_or_else(Number::one);
        match density(self.solute, &fraction, self.kelvin) {
            Err(none) => StrengthFault::NeedsDensity(none),
            Ok(_) => StrengthFault::NeedsDensity(NoDensity {
                species: self.solute.clone(),
                mass_fraction: target,
                kelvin: self.kelvin.to_f64(),
                known: Vec::new(),
            }),
        }
    }

    /// More grams in a millilitre than the saturated solution has; its density serves for telling the mass fraction.
    fn beyond_saturation(&self, target: f64, celsius: f64) -> Option<StrengthFault> {
        let found = solubility(self.solute, self.kelvin).ok()?;
        let grams = found.value.grams_per_100_g_water.to_f64();
        let saturated = grams / (100.0 + grams);
        let density = self.known.value(saturated, celsius)?;
        let share = Number::modelled(saturated)?;
        (target > 1.03 * saturated * density).then(|| StrengthFault::AboveSaturation {
            mass_fraction: target / density,
            saturated: Box::new(found.map(|_| share)),
        })
    }

    fn finish(&self, fraction: Number) -> Composition {
        let known = density(self.solute, &fraction, self.kelvin).ok();
        let given = self.given.map(|value| {
            Sourced::new(
                value.clone(),
                crate::data::Source::own("density as given with the strength"),
            )
        });
        let disagrees = match (&given, &known) {
            (Some(given), Some(known)) => {
                let ratio = given.value.to_f64() / known.value.to_f64();
                ((ratio - 1.0).abs() > 0.02).then(|| known.clone())
            }
            _ => None,
        };
        let density = given.or(known);
        let mass = self.anhydrous;
        let molarity = density.as_ref().and_then(|density| {
            through(&[&fraction, &density.value], |at| {
                1000.0 * at[0] * at[1] / mass
            })
        });
        let solvent = 1.0 - fraction.to_f64();
        let molality = (solvent > 1e-9)
            .then(|| through(&[&fraction], |w| 1000.0 * w[0] / (mass * (1.0 - w[0]))))
            .flatten();
        Composition {
            solute: self.solute.clone(),
            mass_fraction: fraction,
            molality,
            molarity,
            density,
            disagrees,
        }
    }
}

fn whole_unknown() -> StrengthFault {
    StrengthFault::AboveWhole {
        mass_fraction: None,
    }
}

/// Solubilities are good to two or three figures: 3 % above them still counts as saturated.
fn refuse_supersaturated(
    solute: &Species,
    fraction: &Number,
    kelvin: &Number,
) -> Result<(), StrengthFault> {
    let saturated = match solubility(solute, kelvin) {
        Ok(found) => found.map(|saturated| {
            through(&[&saturated.grams_per_100_g_water], |s| {
                s[0] / (100.0 + s[0])
            })
            .unwrap_or_else(Number::one)
        }),
        Err(NoSolubility::Unlisted | NoSolubility::OutOfRange(_)) => return Ok(()),
    };
    let mass_fraction = fraction.to_f64();
    if mass_fraction > 1.03 * saturated.value.to_f64() {
        return Err(StrengthFault::AboveSaturation {
            mass_fraction,
            saturated: Box::new(saturated),
        });
    }
    Ok(())
}

fn above_whole(mass_fraction: Option<f64>) -> String {
    let comes_to = mass_fraction.map_or(String::new(), |w| format!(" ({} by mass)", percent(w)));
    format!("this is more than the pure substance{comes_to}")
}

/// Of a mass fraction, which may be beyond all reason.
fn percent(fraction: f64) -> String {
    match 100.0 * fraction {
        share if share < 1e6 => format!("{share:.1} %"),
        share => format!("{share:.0e} %"),
    }
}
