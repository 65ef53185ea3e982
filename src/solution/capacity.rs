//! Heat capacity of concentrated acids beyond the fit of the Laliberté model.

use crate::data::{Row, SOLUTION_CAPACITY};
use crate::matter::Species;

use super::laliberte::{Solute, water_heat_capacity};
use super::model::rows_of;

/// The code of the table's source.
pub(super) const SOURCE: &str = "Perry-capacity-memory";

/// Mass fraction, temperature in °C and J/(g·K) of the solutions listed for one solute.
#[derive(Clone, Debug, Default)]
pub(super) struct Concentrated(Vec<[f64; 3]>);

impl Concentrated {
    pub fn of(solute: &Species) -> Self {
        let read = |row: &Row| {
            let cells = ["mass_fraction", "t_C", "cp_J_g_K"].map(|column| row.float(column));
            let [Some(w), Some(t), Some(whole)] = cells else {
                return None;
            };
            Some([w, t, whole])
        };
        Concentrated(
            rows_of(&SOLUTION_CAPACITY, solute)
                .iter()
                .filter_map(read)
                .collect(),
        )
    }

    /// Apparent heat capacity in J/(g·K) of the solute at a mass fraction beyond its fit, straight between the rows of
    /// the table, from the edge of the fit on; `None` without rows and beyond the last.
    pub fn apparent(&self, solute: &Solute, w: f64, celsius: f64) -> Option<f64> {
        let edge = solute.capacity_edge()?;
        let apparent =
            |[at, t, whole]: &[f64; 3]| (*at, (whole - (1.0 - at) * water_heat_capacity(*t)) / at);
        let mut points = vec![(edge, solute.apparent_heat_capacity(edge, celsius)?)];
        points.extend(self.0.iter().map(apparent).filter(|(at, _)| *at > edge));
        let above = points.iter().position(|(at, _)| *at >= w)?;
        let ((low, from), (high, to)) = (points[above.max(1) - 1], *points.get(above.max(1))?);
        Some(from + (to - from) * (w - low) / (high - low))
    }
}
