//! How a titration went.

use crate::matter::Species;
use crate::number::{Number, Quantity};

use super::{ReactRecord, Withdrawal};

/// One titration; replicate readings are of equal portions, and the books follow one of them.
#[derive(Clone, Debug)]
pub struct TitrationRecord {
    /// What was titrated.
    pub vessel: String,
    /// The bottle in the burette.
    pub bottle: String,
    /// What was run in of it.
    pub titrant: Withdrawal,
    /// The reaction as it ran.
    pub reaction: ReactRecord,
    /// What was titrated in the vessel.
    pub analyte: Species,
    /// Of the analyte by the plan, in mol.
    pub planned_analyte: Number,
    /// Of the analyte by the readings, in mol; the plan's if there are none, or if they tell the burette's strength.
    pub found_analyte: Number,
    /// Of the analyte in the liquid of the vessel before any titrant, in mol/L; `None` without a volume.
    pub concentration: Option<Number>,
    /// Volume at the end point by the plan, in mL.
    pub planned: Number,
    /// Each volume found, in mL; empty while it is only planned.
    pub readings: Vec<Number>,
    /// Their mean, in mL.
    pub mean: Option<Number>,
    /// Experimental standard deviation of the readings, in mL (JCGM 100:2008, 4.2.2).
    pub scatter: Option<f64>,
    /// In mL.
    pub blank: Option<Number>,
    /// The bottle whose strength it gave.
    pub given: Option<GivenStrength>,
    /// How the end is seen.
    pub indicator: Option<String>,
}

/// A bottle's strength by a titration.
#[derive(Clone, Debug)]
pub struct GivenStrength {
    /// The bottle.
    pub bottle: String,
    /// Before.
    pub planned: Quantity,
    /// From here on.
    pub found: Quantity,
}
