//! Water and ice against temperature, from the table computed with the IAPWS equations.

use crate::data::{OutOfRange, Range, Row, Source, Sourced, WATER};
use crate::number::{Exact, Number};

use super::model::through;

/// A property of liquid water at 101.325 kPa.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum Water {
    /// g/mL
    Density,
    /// J/(g·K)
    HeatCapacity,
    /// kPa
    VapourPressure,
    /// Enthalpy of vaporisation, J/g
    Vaporisation,
    /// Enthalpy from liquid water at 0.01 °C, J/g
    Enthalpy,
}

impl Water {
    fn column(self) -> &'static str {
        match self {
            Water::Density => "density_kg_m3",
            Water::HeatCapacity => "cp_J_g_K",
            Water::VapourPressure => "vapour_pressure_kPa",
            Water::Vaporisation => "vaporisation_J_g",
            Water::Enthalpy => "enthalpy_J_g",
        }
    }

    fn scale(self) -> f64 {
        match self {
            Water::Density => 1e-3,
            _ => 1.0,
        }
    }
}

/// A property of liquid water at a temperature in K, from 0 to 100 °C; straight lines between steps of 1 K (vapour
/// pressure: its logarithm against 1/T).
///
/// # Errors
/// A temperature outside the table.
///
/// ```
/// use aludel::{number::{Exact, Number}, solution::{self, Water}};
/// let at = Number::exact(Exact::ratio(29315, 100));
/// let density = solution::water(Water::Density, &at).unwrap();
/// assert_eq!(density.value.to_f64(), 0.998207);
/// assert_eq!(density.source.code, "IAPWS-95");
/// ```
pub fn water(property: Water, kelvin: &Number) -> Result<Sourced<Number>, OutOfRange> {
    let range = Range::celsius(0.0, 100.0);
    let outside = OutOfRange {
        value: kelvin.to_f64(),
        range,
    };
    if !range.holds(outside.value) {
        return Err(outside);
    }
    let value = through(&[kelvin], |at| water_at(property, at[0] - 273.15)).ok_or(outside)?;
    Ok(Sourced {
        value,
        source: Source::published("IAPWS-95", ""),
        ranges: vec![range],
    })
}

/// The same for a model, in °C, held at the ends of the table.
pub(super) fn water_at(property: Water, celsius: f64) -> f64 {
    let held = celsius.clamp(0.0, 100.0);
    let below = held.floor().min(99.0);
    let value = |at: f64| {
        let read = liquid(at as u32).and_then(|row| row.float(property.column()));
        read.unwrap_or(f64::NAN) * property.scale()
    };
    let (low, high) = (value(below), value(below + 1.0));
    let share = held - below;
    if property == Water::VapourPressure {
        let inverse = |t: f64| 1.0 / (t + 273.15);
        let part = (inverse(below) - inverse(held)) / (inverse(below) - inverse(below + 1.0));
        return low * (high / low).powf(part);
    }
    low + share * (high - low)
}

fn liquid(celsius: u32) -> Option<Row> {
    let key = celsius.to_string();
    WATER.find(&key).find(|row| row.cell("phase") == "l")
}

/// The temperature in K at which water boils under a pressure in kPa, up to 101.4 kPa.
///
/// # Errors
/// A pressure outside the table; the range is of the temperature.
///
/// ```
/// use aludel::{number::{Exact, Number}, solution};
/// let sea_level = Number::exact(Exact::ratio(101325, 1000));
/// let boiling = solution::boiling_point(&sea_level).unwrap().value.to_f64();
/// assert!((boiling - 373.124).abs() < 0.002);
/// ```
pub fn boiling_point(kilopascal: &Number) -> Result<Sourced<Number>, OutOfRange> {
    let range = Range::celsius(0.0, 100.0);
    let pressure = kilopascal.to_f64();
    let outside = OutOfRange {
        value: pressure,
        range,
    };
    let at = |celsius: f64| water_at(Water::VapourPressure, celsius);
    if !(at(0.0)..=at(100.0)).contains(&pressure) {
        return Err(outside);
    }
    let solve = |pressure: f64| {
        let (mut low, mut high) = (0.0, 100.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if at(middle) < pressure {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high) + 273.15
    };
    let value = through(&[kilopascal], |p| solve(p[0])).ok_or(outside)?;
    Ok(Sourced {
        value,
        source: Source::published("IAPWS-95", ""),
        ranges: vec![range],
    })
}

/// Enthalpy of fusion of ice at 0 °C and 101.325 kPa, 333.42 J/g.
pub fn fusion() -> Sourced<Number> {
    Sourced::new(
        Number::exact(Exact::ratio(33_342, 100)),
        Source::published("IAPWS-06", ""),
    )
}
