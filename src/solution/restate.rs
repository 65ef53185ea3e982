//! One solution told by every measure of strength.

use crate::data::Sourced;
use crate::matter::Species;
use crate::number::{Exact, Number};

use super::density::density;
use super::model::through;
use super::solubility::solubility;
use super::strength::Composition;

/// The measures of strength that a [`Composition`] does not hold itself.
#[derive(Clone, Debug)]
pub struct Restated {
    /// g of anhydrous solute in 1 L of solution (a tenth of it is %w/v); `None` without a density.
    pub grams_per_litre: Option<Number>,
    /// mL of the pure liquid in 1 mL of solution; `None` where it is no liquid of known density.
    pub volume_fraction: Option<Number>,
    /// Volumes of oxygen at 0 °C and 101.325 kPa that one volume gives off; for hydrogen peroxide.
    pub peroxide_volumes: Option<Number>,
    /// Mass fraction of the saturated solution, with its source and temperature range.
    pub saturated: Option<Sourced<Number>>,
}

/// Every other measure of a solution at a temperature in K.
///
/// ```
/// use aludel::{matter::Species, number::{Exact, Number}, solution::{self, Strength}};
/// let number = |text| Number::exact(Exact::decimal(text).unwrap());
/// let peroxide = Species::parse("H2O2").unwrap();
/// let made = solution::composition(&peroxide, &Strength::MassFraction(number("0.03")), &number("293.15"), None).unwrap();
/// // Common practice, no source: 3 % peroxide is sold as "10 volumes".
/// let volumes = solution::restate(&made, &number("293.15")).peroxide_volumes.unwrap();
/// assert!((volumes.to_f64() - 10.0).abs() < 0.1);
/// ```
pub fn restate(made: &Composition, kelvin: &Number) -> Restated {
    let solute = &made.solute;
    let grams_per_litre = made.density.as_ref().and_then(|density| {
        through(&[&made.mass_fraction, &density.value], |at| {
            1000.0 * at[0] * at[1]
        })
    });
    // 2 H2O2 -> 2 H2O + O2, and 22.414 L/mol of ideal gas at 0 °C and 101.325 kPa.
    let half_mole = Exact::ratio(22_414, 2000);
    let peroxide = solute.key() == "H2O2";
    Restated {
        volume_fraction: grams_per_litre
            .as_ref()
            .and_then(|grams| volume_fraction(solute, grams, kelvin)),
        grams_per_litre,
        peroxide_volumes: made
            .molarity
            .as_ref()
            .filter(|_| peroxide)
            .map(|molarity| molarity.scaled(&half_mole)),
        saturated: saturated(solute, kelvin),
    }
}

fn volume_fraction(solute: &Species, grams_per_litre: &Number, kelvin: &Number) -> Option<Number> {
    let pure = density(solute, &Number::one(), kelvin).ok()?;
    let millilitres = grams_per_litre.checked_div(&pure.value)?;
    Some(millilitres.scaled(&Exact::ratio(1, 1000)))
}

fn saturated(solute: &Species, kelvin: &Number) -> Option<Sourced<Number>> {
    let found = solubility(solute, kelvin).ok()?;
    let share = through(&[&found.value.grams_per_100_g_water], |s| {
        s[0] / (100.0 + s[0])
    });
    let share = share?;
    Some(found.map(|_| share))
}
