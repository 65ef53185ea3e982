//! The enthalpy of water, ice and steam along the temperature, and where a solution boils and freezes.
//!
//! Inside the tables of the IAPWS equations the figures are theirs; beyond their ends they run on straight. Boiling and
//! freezing points of solutions follow Raoult's law with every ion counted as a particle: right for thin solutions, an
//! estimate (some kelvins) for strong ones.

use std::sync::LazyLock;

use crate::data::WATER;
use crate::number::ZERO_CELSIUS as ZERO;

use super::water::{Water, water_at};

const GAS_CONSTANT: f64 = crate::thermo::GAS_CONSTANT;
/// g/mol
const WATER_MASS: f64 = 18.015;

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

/// Share of the water in all particles of a solution: g of water, mol of ions and molecules.
fn water_share(water: f64, particles: f64) -> f64 {
    let moles = water / WATER_MASS;
    moles / (moles + particles)
}

/// Where a solution boils under a pressure in kPa, in K; above 100 °C by the law of Clausius and Clapeyron with a constant
/// heat of vaporisation. `None` for a share of water or a pressure that gives no temperature.
///
/// ```
/// // One mole of sodium chloride in a kilogram: 2 · 0.513 K above water (ebullioscopic constant, from memory)
/// let boils = aludel::solution::solution_boiling_point(1000.0, 2.0, 101.325).unwrap();
/// assert!((boils - 373.12 - 1.0).abs() < 0.05);
/// ```
pub fn solution_boiling_point(water: f64, particles: f64, kilopascal: f64) -> Option<f64> {
    let wanted = kilopascal / water_share(water, particles);
    let pressure = |celsius: f64| water_at(Water::VapourPressure, celsius);
    if !wanted.is_finite() || wanted < pressure(0.0) {
        return None;
    }
    if wanted > pressure(100.0) {
        let vaporisation = water_at(Water::Vaporisation, 100.0) * WATER_MASS;
        let inverse =
            1.0 / 373.15 - GAS_CONSTANT * libm::log(wanted / pressure(100.0)) / vaporisation;
        return (inverse > 0.0).then(|| 1.0 / inverse);
    }
    let (mut low, mut high) = (0.0, 100.0);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if pressure(middle) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(0.5 * (low + high) + ZERO)
}

/// Where ice and a solution are at rest beside each other, in K: Raoult's law with a constant heat of fusion.
///
/// ```
/// // One mole of sugar in a kilogram: 1.86 K below water (cryoscopic constant, from memory)
/// let freezes = aludel::solution::solution_freezing_point(1000.0, 1.0);
/// assert!((freezes - 273.15 + 1.86).abs() < 0.03);
/// ```
pub fn solution_freezing_point(water: f64, particles: f64) -> f64 {
    let fusion = (water_enthalpy(ZERO) - ice_enthalpy(ZERO)) * WATER_MASS;
    let share = water_share(water, particles).max(1e-3);
    1.0 / (1.0 / ZERO - GAS_CONSTANT * libm::log(share) / fusion)
}
