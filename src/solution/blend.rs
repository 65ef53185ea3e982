//! Two solutions of one substance into a third, and water into one: by mass, which adds up exactly. Volumes follow from
//! the densities and do not add up.

use crate::data::Sourced;
use crate::matter::Species;
use crate::number::{Exact, Number};

use super::density::NoDensity;
use super::strength::{Composition, Strength, StrengthFault, composition};

/// How much of each of two solutions.
#[derive(Clone, Debug, PartialEq)]
pub struct Aliquots {
    /// g of the first.
    pub first: Number,
    /// g of the second.
    pub second: Number,
}

/// A strength that no mixture of the two has: it lies outside of them.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("the mixture would not lie between {:.3} % and {:.3} % by mass", .low * 100.0, .high * 100.0)]
pub struct NotBetween {
    /// The smaller mass fraction of the two.
    pub low: f64,
    /// The larger.
    pub high: f64,
}

/// What to take of two solutions, given by their mass fractions, to make `total` grams of a third. Water has the mass
/// fraction 0, a pure solid 1, an impure one its purity.
///
/// # Errors
/// [`NotBetween`] where the third is not between the two, or all are the same.
///
/// ```
/// use aludel::{number::{Exact, Number}, solution};
/// let number = |text| Number::exact(Exact::decimal(text).unwrap());
/// // 100 g of 10 % from 30 % peroxide and water: 33.3 g and 66.7 g.
/// let take = solution::aliquots(&number("0.30"), &number("0"), &number("0.10"), &number("100")).unwrap();
/// assert_eq!(take.first.value(), &Exact::ratio(100, 3));
/// ```
pub fn aliquots(
    first: &Number,
    second: &Number,
    target: &Number,
    total: &Number,
) -> Result<Aliquots, NotBetween> {
    let outside = || {
        let (a, b) = (first.to_f64(), second.to_f64());
        NotBetween {
            low: a.min(b),
            high: a.max(b),
        }
    };
    let share = (target - second).checked_div(&(first - second));
    let share = share.ok_or_else(outside)?;
    if share.is_negative() || share.value() > &Exact::one() {
        return Err(outside());
    }
    let taken = &share * total;
    Ok(Aliquots {
        second: total - &taken,
        first: taken,
    })
}

/// Solutions of one substance mixed: the mass fraction of the whole, from grams and mass fraction of each. `None` for no
/// mass at all.
pub fn blended(parts: &[(Number, Number)]) -> Option<Number> {
    let solute: Number = parts.iter().map(|(grams, fraction)| grams * fraction).sum();
    let total: Number = parts.iter().map(|(grams, _)| grams.clone()).sum();
    solute.checked_div(&total)
}

/// A solution diluted with water to a strength or to a mark.
#[derive(Clone, Debug)]
pub struct Diluted {
    /// g of water to add.
    pub water: Number,
    /// The solution that results.
    pub made: Composition,
    /// mL of it, from its density.
    pub volume: Number,
}

/// Why a solution cannot be diluted so.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoDilution {
    /// The result would be stronger than what is there.
    #[error("the solution of {:.3} % by mass cannot be diluted to {:.3} %", .present * 100.0, .wanted * 100.0)]
    Stronger {
        /// The mass fraction there is.
        present: f64,
        /// The mass fraction asked for.
        wanted: f64,
    },
    /// The strength asked for cannot stand.
    #[error(transparent)]
    Strength(StrengthFault),
    /// The volume cannot be told.
    #[error(transparent)]
    Density(Box<NoDensity>),
}

/// Water to `grams` of a solution of mass fraction `fraction` until it has a strength, at a temperature in K.
///
/// # Errors
/// [`NoDilution`].
///
/// ```
/// use aludel::{matter::Species, number::{Exact, Number}, solution::{self, Strength}};
/// let number = |text| Number::exact(Exact::decimal(text).unwrap());
/// let acid = Species::parse("HCl").unwrap();
/// let strength = Strength::Molar(number("1"));
/// let made = solution::dilute(&acid, &number("100"), &number("0.37"), &strength, &number("293.15")).unwrap();
/// // 100 g of 37 % acid hold 1.015 mol.
/// assert!((made.volume.to_f64() - 1015.0).abs() < 1.0);
/// ```
pub fn dilute(
    species: &Species,
    grams: &Number,
    fraction: &Number,
    strength: &Strength,
    kelvin: &Number,
) -> Result<Diluted, NoDilution> {
    let made = composition(species, strength, kelvin, None).map_err(NoDilution::Strength)?;
    if made.mass_fraction.value() > fraction.value() || made.mass_fraction.is_zero() {
        return Err(NoDilution::Stronger {
            present: fraction.to_f64(),
            wanted: made.mass_fraction.to_f64(),
        });
    }
    let solute = grams * fraction;
    let Some(total) = solute.checked_div(&made.mass_fraction) else {
        return Err(NoDilution::Stronger {
            present: fraction.to_f64(),
            wanted: made.mass_fraction.to_f64(),
        });
    };
    let volume = volume_of(&total, made.density.as_ref());
    let volume = volume.ok_or_else(|| {
        NoDilution::Density(Box::new(NoDensity {
            species: made.solute.clone(),
            mass_fraction: made.mass_fraction.to_f64(),
            kelvin: kelvin.to_f64(),
            known: Vec::new(),
        }))
    })?;
    Ok(Diluted {
        water: &total - grams,
        volume,
        made,
    })
}

/// The same up to a mark: `millilitres` of solution in the end.
///
/// # Errors
/// [`NoDilution`]; a mark below the volume that is there counts as a stronger solution.
///
/// ```
/// use aludel::{matter::Species, number::{Exact, Number}, solution};
/// let number = |text| Number::exact(Exact::decimal(text).unwrap());
/// let salt = Species::parse("NaCl").unwrap();
/// let made = solution::dilute_to_mark(&salt, &number("100"), &number("0.2"), &number("500"), &number("293.15")).unwrap();
/// assert!((made.made.molarity.unwrap().to_f64() - 20.0 / 58.44 / 0.5).abs() < 1e-4);
/// ```
pub fn dilute_to_mark(
    species: &Species,
    grams: &Number,
    fraction: &Number,
    millilitres: &Number,
    kelvin: &Number,
) -> Result<Diluted, NoDilution> {
    let solute = (grams * fraction).scaled(&Exact::from(1000));
    let per_litre = solute.checked_div(millilitres);
    let per_litre = per_litre.ok_or(NoDilution::Strength(StrengthFault::AboveWhole {
        mass_fraction: None,
    }))?;
    let anhydrous = super::anhydrous(species).0;
    dilute(
        &anhydrous,
        grams,
        fraction,
        &Strength::GramsPerLitre(per_litre),
        kelvin,
    )
}

fn volume_of(grams: &Number, density: Option<&Sourced<Number>>) -> Option<Number> {
    grams.checked_div(&density?.value)
}
