//! Water and ice against temperature, from the table computed with the IAPWS equations.

use std::sync::LazyLock;

use crate::data::{OutOfRange, Range, Source, Sourced, WATER};
use crate::number::{Exact, Number, ZERO_CELSIUS};

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
    const ALL: [Water; 5] = [
        Water::Density,
        Water::HeatCapacity,
        Water::VapourPressure,
        Water::Vaporisation,
        Water::Enthalpy,
    ];

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
    let value = through(&[kelvin], |at| water_at(property, at[0] - ZERO_CELSIUS)).ok_or(outside)?;
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
    let steps = &LIQUID[property as usize];
    let value = |at: f64| steps[at as usize];
    let (low, high) = (value(below), value(below + 1.0));
    let share = held - below;
    if property == Water::VapourPressure {
        let inverse = |t: f64| 1.0 / (t + ZERO_CELSIUS);
        let part = (inverse(below) - inverse(held)) / (inverse(below) - inverse(below + 1.0));
        return low * libm::pow(high / low, part);
    }
    low + share * (high - low)
}

/// Each property at 0, 1 … 100 °C, in the order of [`Water::ALL`].
static LIQUID: LazyLock<[[f64; 101]; 5]> = LazyLock::new(|| {
    let mut steps = [[f64::NAN; 101]; 5];
    for row in WATER.rows().filter(|row| row.cell("phase") == "l") {
        let celsius = row.float("t_C").filter(|t| t.fract() == 0.0);
        let Some(step) = celsius.and_then(|t| (0.0..=100.0).contains(&t).then_some(t as usize))
        else {
            continue;
        };
        for property in Water::ALL {
            let value = row.float(property.column()).unwrap_or(f64::NAN);
            steps[property as usize][step] = value * property.scale();
        }
    }
    steps
});

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
        0.5 * (low + high) + ZERO_CELSIUS
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

/// A property of ice at 101.325 kPa.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum Ice {
    /// g/mL
    Density,
    /// J/(g·K)
    HeatCapacity,
    /// Enthalpy from liquid water at 0.01 °C, J/g: about −333 at the melting point.
    Enthalpy,
}

/// A property of ice at a temperature in K, from −40 to 0 °C; straight lines between the rows of the table.
///
/// # Errors
/// A temperature outside the table.
///
/// ```
/// use aludel::{number::{Exact, Number}, solution::{self, Ice}};
/// let at = Number::exact(Exact::ratio(26815, 100));
/// let capacity = solution::ice(Ice::HeatCapacity, &at).unwrap().value.to_f64();
/// assert!((capacity - 2.06).abs() < 0.02);
/// ```
pub fn ice(property: Ice, kelvin: &Number) -> Result<Sourced<Number>, OutOfRange> {
    let (column, scale) = match property {
        Ice::Density => ("density_kg_m3", 1e-3),
        Ice::HeatCapacity => ("cp_J_g_K", 1.0),
        Ice::Enthalpy => ("enthalpy_J_g", 1.0),
    };
    let rows = WATER.rows().filter(|row| row.cell("phase") == "s");
    let mut points: Vec<(f64, f64)> = rows
        .filter_map(|row| Some((row.float("t_C")?, scale * row.float(column)?)))
        .collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let ends = (
        points.first().map_or(0.0, |p| p.0),
        points.last().map_or(0.0, |p| p.0),
    );
    let range = Range::celsius(ends.0, ends.1);
    let outside = OutOfRange {
        value: kelvin.to_f64(),
        range,
    };
    if !range.holds(outside.value) || points.len() < 2 {
        return Err(outside);
    }
    let line = |kelvin: f64| {
        let celsius = kelvin - ZERO_CELSIUS;
        let above = points
            .partition_point(|(t, _)| *t < celsius)
            .clamp(1, points.len() - 1);
        let ((t0, y0), (t1, y1)) = (points[above - 1], points[above]);
        y0 + (y1 - y0) * (celsius - t0) / (t1 - t0)
    };
    Ok(Sourced {
        value: through(&[kelvin], |at| line(at[0])).ok_or(outside)?,
        source: Source::published("IAPWS-06", ""),
        ranges: vec![range],
    })
}
