//! Heat capacity of concentrated acids beyond the fit of the Laliberté model.

use crate::data::SOLUTION_CAPACITY;
use crate::matter::Species;

use super::laliberte::{Solute, water_heat_capacity};
use super::model::rows_of;

/// The code of the table's source.
pub(super) const SOURCE: &str = "Perry-capacity-memory";

/// Apparent heat capacity in J/(g·K) of a solute at a mass fraction beyond its fit, straight between the rows of the
/// table, from the edge of the fit on; `None` without rows and beyond the last.
pub(super) fn concentrated(solute: &Solute, w: f64, celsius: f64) -> Option<f64> {
    let species = Species::parse(solute.formula).ok()?;
    let rows = rows_of(&SOLUTION_CAPACITY, &species);
    let apparent = |row: &crate::data::Row| {
        let (at, t) = (row.float("mass_fraction")?, row.float("t_C")?);
        let whole = row.float("cp_J_g_K")?;
        Some((at, (whole - (1.0 - at) * water_heat_capacity(t)) / at))
    };
    let mut points: Vec<(f64, f64)> = rows.iter().filter_map(apparent).collect();
    let edge = solute.capacity_edge()?;
    points.retain(|(at, _)| *at > edge);
    points.insert(0, (edge, solute.apparent_heat_capacity(edge, celsius)?));
    let above = points.iter().position(|(at, _)| *at >= w)?;
    let ((low, from), (high, to)) = (points[above.max(1) - 1], *points.get(above.max(1))?);
    Some(from + (to - from) * (w - low) / (high - low))
}
