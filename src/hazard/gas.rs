//! What a gas does in a room: where it goes, whether it burns, at what strength it harms.

use std::fmt;

use crate::data::Row;
use crate::equation::identity;
use crate::matter::Species;

use super::tables::GASES;

/// One gas or vapour; volume shares are per cent for flammability and ppm for exposure.
#[derive(Clone, Copy)]
pub struct GasHazard {
    row: Row,
}

/// The row of a gas; `None` means that nothing was found, not that it is safe.
pub fn gas(species: &Species) -> Option<GasHazard> {
    let row = GASES.find(identity(species).key()).next()?;
    Some(GasHazard { row })
}

impl fmt::Debug for GasHazard {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("GasHazard").field(&self.name()).finish()
    }
}

impl GasHazard {
    /// The name.
    pub fn name(self) -> &'static str {
        self.row.cell("name")
    }

    /// Density against air at the same temperature and pressure: above 1 it sinks.
    pub fn density_against_air(self) -> Option<f64> {
        self.row.float("density_rel_air")
    }

    /// Lower explosive limit in vol% of air, the lowest of the sources.
    pub fn lower_explosive_limit(self) -> Option<f64> {
        self.least(&["lel_iec_pct", "lel_nfpa_pct", "lel_other_pct"])
    }

    /// Upper explosive limit in vol% of air, the highest of the sources.
    pub fn upper_explosive_limit(self) -> Option<f64> {
        ["uel_iec_pct", "uel_nfpa_pct", "uel_other_pct"]
            .iter()
            .filter_map(|column| self.row.float(column))
            .max_by(f64::total_cmp)
    }

    /// The strictest exposure limit in ppm, of those for a working day, for a short time and the ceilings.
    pub fn exposure_limit(self) -> Option<f64> {
        self.least(&[
            "ontario_twa_ppm",
            "ontario_stel_ppm",
            "ontario_ceiling_ppm",
            "niosh_rel_ppm",
            "osha_pel_ppm",
        ])
    }

    /// Immediately dangerous to life or health, in ppm.
    pub fn idlh(self) -> Option<f64> {
        self.least(&["idlh_ppm"])
    }

    /// What it smells of, and from how many ppm.
    pub fn odour(self) -> (Option<&'static str>, Option<f64>) {
        (
            self.row.filled("odour"),
            self.row.float("odour_threshold_ppm"),
        )
    }

    /// Remarks of the row, such as "lung damage comes hours later"; those on its own figures are in a column of their own.
    pub fn notes(self) -> impl Iterator<Item = &'static str> {
        let all = self.row.filled("note").into_iter();
        all.flat_map(|notes| notes.split("; "))
    }

    /// Where the row comes from.
    pub fn source(self) -> &'static str {
        self.row.cell("source")
    }

    fn least(self, columns: &[&str]) -> Option<f64> {
        let cells = columns.iter().map(|column| self.row.cell(column));
        cells.filter_map(first_number).min_by(f64::total_cmp)
    }
}

/// The least limit in ppm of a cell such as `5e+03`, `C 10 (10 min)` or `TWA 25, ST 35`; limits by mass are left out.
fn first_number(cell: &str) -> Option<f64> {
    let clauses = cell.split(',').filter(|clause| !clause.contains("mg/m3"));
    let numbers = clauses.filter_map(|clause| {
        clause
            .split_whitespace()
            .find_map(|word| word.parse::<f64>().ok())
    });
    numbers.min_by(f64::total_cmp)
}

/// Litres of air that dilute a release; `None` where the row has no such limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoomAir {
    /// Below a quarter of the lower explosive limit (T41 of the rules of thumb, NFPA 69 from memory).
    pub below_quarter_of_explosive: Option<f64>,
    /// Below the strictest exposure limit.
    pub below_exposure: Option<f64>,
}

/// The air that `litres` of a gas need, mixed evenly; gas and air at the same temperature and pressure.
pub fn room_air(gas: GasHazard, litres: f64) -> RoomAir {
    let air = |share: f64| litres * (1.0 / share - 1.0);
    RoomAir {
        below_quarter_of_explosive: gas
            .lower_explosive_limit()
            .map(|lel| air(lel / 100.0 / 4.0)),
        below_exposure: gas.exposure_limit().map(|ppm| air(ppm / 1e6)),
    }
}
