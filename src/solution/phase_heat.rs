//! The enthalpy of water, ice and steam along the temperature.
//!
//! Inside the tables of the IAPWS equations the figures are theirs; beyond their ends they run on straight.

use std::sync::LazyLock;

use crate::data::WATER;
use crate::number::ZERO_CELSIUS as ZERO;

use super::water::{Water, water_at};

/// Enthalpies of liquid water in J/g above 25 °C, for each °C from 0 to 100.
static LIQUID: LazyLock<Vec<f64>> = LazyLock::new(|| {
    let at = |celsius: u32| water_at(Water::Enthalpy, f64::from(celsius));
    (0..=100).map(|celsius| at(celsius) - at(25)).collect()
});

/// °C and J/g above liquid water of 25 °C, ascending.
static ICE: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| {
    let rows = WATER.rows().filter(|row| row.cell("phase") == "s");
    let read = rows.filter_map(|row| Some((row.float("t_C")?, row.float("enthalpy_J_g")?)));
    let base = water_at(Water::Enthalpy, 25.0);
    let mut points: Vec<(f64, f64)> = read.map(|(t, h)| (t, h - base)).collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    points
});

/// Enthalpy of liquid water at a temperature in K above that at 25 °C, in J/g.
///
/// ```
/// // 25 K at about 4.18 J/(g·K)
/// assert!((aludel::solution::water_enthalpy(323.15) - 104.5).abs() < 0.2);
/// ```
pub fn water_enthalpy(kelvin: f64) -> f64 {
    let celsius = kelvin - ZERO;
    let below = celsius.floor().clamp(0.0, 99.0);
    let (low, high) = (LIQUID[below as usize], LIQUID[below as usize + 1]);
    low + (high - low) * (celsius - below)
}

/// Enthalpy of ice at a temperature in K above that of liquid water at 25 °C, in J/g; below −40 °C as it runs there.
///
/// ```
/// // Melting and warming by 25 K: 333.4 + 104.8
/// assert!((aludel::solution::ice_enthalpy(273.15) + 438.2).abs() < 0.5);
/// ```
pub fn ice_enthalpy(kelvin: f64) -> f64 {
    let celsius = kelvin - ZERO;
    let last = ICE.len().saturating_sub(1).max(1);
    let above = ICE.partition_point(|(t, _)| *t < celsius).clamp(1, last);
    let ((t0, h0), (t1, h1)) = (ICE[above - 1], ICE[above]);
    h0 + (h1 - h0) * (celsius - t0) / (t1 - t0)
}

/// Enthalpy of water vapour at a temperature in K above its own at 25 °C, in J/g: that of the liquid and the heat of
/// vaporisation at the temperature, less the heat of vaporisation at 25 °C.
///
/// ```
/// // 2256.5 J/g at 100 °C, and 314.3 J/g to get there, less 2441.7 J/g
/// assert!((aludel::solution::vapour_enthalpy(373.15) - 129.0).abs() < 1.0);
/// ```
pub fn vapour_enthalpy(kelvin: f64) -> f64 {
    let vaporisation = |celsius| water_at(Water::Vaporisation, celsius);
    water_enthalpy(kelvin) + vaporisation(kelvin - ZERO) - vaporisation(25.0)
}
