//! Gases: the volume of a mole, and how much stays dissolved in water.

use crate::data::{GAS_SOLUBILITY, OutOfRange, Range, Source, Sourced};
use crate::matter::Species;
use crate::number::{Number, STANDARD_TEMPERATURE, ZERO_CELSIUS};
use crate::thermo::GAS_CONSTANT;

use super::model::{rows_of, through};
use super::water::{Water, water};

/// Volume of one mole of an ideal gas in L at a temperature in K and a pressure in kPa.
///
/// Real gases at bench conditions differ by less than 2 % (carbon dioxide and ammonia by about 1 %).
///
/// ```
/// use aludel::{number::{Exact, Number}, solution};
/// let number = |text| Number::exact(Exact::decimal(text).unwrap());
/// let volume = solution::molar_volume(&number("298.15"), &number("101.325")).unwrap();
/// assert!((volume.to_f64() - 24.465).abs() < 1e-3);
/// ```
pub fn molar_volume(kelvin: &Number, kilopascal: &Number) -> Option<Number> {
    if !kelvin.is_positive() || !kilopascal.is_positive() {
        return None;
    }
    through(&[kelvin, kilopascal], |at| GAS_CONSTANT * at[0] / at[1])
}

/// Why there is no Henry constant.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoHenry {
    /// The gas is not in the table.
    #[error("no Henry constant is listed for this gas")]
    Unlisted,
    /// `HCl`: it ionises, and the constant says nothing about a solution at the bench.
    #[error(
        "this gas ionises in water, so that its Henry constant does not tell how much dissolves"
    )]
    Ionises,
    /// The temperature is outside the range of the constant.
    #[error(transparent)]
    OutOfRange(OutOfRange),
}

/// Henry constant in mol/(L·kPa): concentration of the dissolved gas in pure water over its partial pressure, at a
/// temperature in K. Gases that react with water hold more in all; the note of the source says so.
///
/// # Errors
/// [`NoHenry`].
///
/// ```
/// use aludel::{matter::Species, number::{Exact, Number}, solution};
/// let at = Number::exact(Exact::ratio(29815, 100));
/// let oxygen = solution::henry(&Species::parse("O2").unwrap(), &at).unwrap();
/// // 1.27 mmol/L under one atmosphere of oxygen.
/// assert!((oxygen.value.to_f64() * 101.325 - 1.27e-3).abs() < 4e-5);
/// ```
pub fn henry(species: &Species, kelvin: &Number) -> Result<Sourced<Number>, NoHenry> {
    let rows = rows_of(&GAS_SOLUBILITY, &species.with_phase(None));
    let row = rows.first().ok_or(NoHenry::Unlisted)?;
    let note = row.cell("note");
    if row.cell("use") == "nothing" {
        return Err(NoHenry::Ionises);
    }
    let quoted = row.float("check_Hcp_mol_m3Pa");
    let slope = row.float("slope_K");
    // The table says where the usually quoted pair is the better one.
    let (constant, slope, note) = match (row.cell("use") == "check", quoted) {
        (true, Some(quoted)) => (
            Some(quoted),
            row.float("check_slope_K").or(slope),
            "the figure usually quoted, from memory",
        ),
        _ => (row.float("Hcp_mol_m3Pa"), slope, note),
    };
    let constant = constant.ok_or(NoHenry::Unlisted)?;
    let range = match slope {
        Some(_) => Range::kelvin(ZERO_CELSIUS, 323.15),
        None => Range::kelvin(STANDARD_TEMPERATURE, STANDARD_TEMPERATURE),
    };
    let outside = NoHenry::OutOfRange(OutOfRange {
        value: kelvin.to_f64(),
        range,
    });
    if !range.holds(kelvin.to_f64()) {
        return Err(outside);
    }
    let slope = slope.unwrap_or(0.0);
    // mol/(m³·Pa) is mol/(L·kPa).
    let value = through(&[kelvin], |at| {
        constant * libm::exp(slope * (1.0 / at[0] - 1.0 / STANDARD_TEMPERATURE))
    });
    Ok(Sourced {
        value: value.ok_or(outside)?,
        source: Source::published("Sander2015", note),
        ranges: vec![range],
    })
}

/// Volume in L of one mole of gas collected over water: the water vapour takes its part of the pressure (in kPa).
///
/// # Errors
/// A temperature outside the table of water, or one at which water boils under that pressure.
///
/// ```
/// use aludel::{number::{Exact, Number}, solution};
/// let number = |text| Number::exact(Exact::decimal(text).unwrap());
/// let moist = solution::moist_molar_volume(&number("298.15"), &number("101.325")).unwrap();
/// assert!((moist.to_f64() - 25.25).abs() < 0.01);
/// ```
pub fn moist_molar_volume(kelvin: &Number, kilopascal: &Number) -> Result<Number, OutOfRange> {
    let vapour = water(Water::VapourPressure, kelvin)?;
    let outside = OutOfRange {
        value: kelvin.to_f64(),
        range: Range::celsius(0.0, 100.0),
    };
    molar_volume(kelvin, &(kilopascal - &vapour.value)).ok_or(outside)
}

/// The share of a gas that stays dissolved, from 0 to 1, in a closed vessel with `liquid` L of water under `headspace` L
/// of gas, from its Henry constant in mol/(L·kPa).
///
/// ```
/// use aludel::{matter::Species, number::{Exact, Number}, solution};
/// let number = |text| Number::exact(Exact::decimal(text).unwrap());
/// let at = number("298.15");
/// let henry = solution::henry(&Species::parse("CO2").unwrap(), &at).unwrap().value;
/// let share = solution::dissolved_share(&henry, &at, &number("1"), &number("1")).unwrap();
/// assert!((share.to_f64() - 0.459).abs() < 0.005);
/// ```
pub fn dissolved_share(
    henry: &Number,
    kelvin: &Number,
    liquid: &Number,
    headspace: &Number,
) -> Option<Number> {
    through(&[henry, kelvin, liquid, headspace], |at| {
        let in_water = at[0] * GAS_CONSTANT * at[1] * at[2];
        in_water / (in_water + at[3])
    })
}

/// How many seconds a stream of gas in mol/s needs to fill `headspace` L at a temperature in K and a pressure in kPa.
/// `None` without a stream.
///
/// ```
/// use aludel::{number::{Exact, Number}, solution};
/// let number = |text| Number::exact(Exact::decimal(text).unwrap());
/// let seconds = solution::filling_time(&number("1"), &number("0.01"), &number("298.15"), &number("101.325"));
/// assert!((seconds.unwrap().to_f64() - 4.0875).abs() < 1e-3);
/// ```
pub fn filling_time(
    headspace: &Number,
    stream: &Number,
    kelvin: &Number,
    kilopascal: &Number,
) -> Option<Number> {
    let per_mole = molar_volume(kelvin, kilopascal)?;
    headspace
        .checked_div(&(stream * &per_mole))
        .filter(|_| stream.is_positive())
}
