//! The table of a whole equation.

use schemars::JsonSchema;
use serde::Serialize;

use super::figures::Uncertainties;
use crate::matter::Notation;
use crate::route::ledger::{ScaleRow, ScaleTable};

/// What `aludel scale --json` prints. Figures stand in the unit that their key names, unrounded, and are null where they are
/// not known.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(
    deny_unknown_fields,
    title = "The table of a whole equation",
    rename = "scale"
)]
pub struct ScaleJson {
    equation: String,
    basis: String,
    rows: Vec<RowJson>,
    /// Negative: given off.
    heat_kJ: Option<f64>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// One species; `gas_L` at ambient conditions, `bottle_mL` and `bottle_g` as measured from the bottle.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "row")]
struct RowJson {
    species: String,
    reactant: bool,
    mol: f64,
    g: f64,
    gas_L: Option<f64>,
    bottle: Option<String>,
    bottle_mL: Option<f64>,
    bottle_g: Option<f64>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

impl ScaleJson {
    /// The table with all its figures.
    pub fn of(table: &ScaleTable) -> Self {
        let mut beside = Uncertainties::default();
        ScaleJson {
            equation: table.reaction.to_text(Notation::Plain),
            basis: table.basis.plain().to_owned(),
            rows: table.rows.iter().map(RowJson::of).collect(),
            heat_kJ: beside.perhaps("heat_kJ", table.heat.known()),
            uncertainty: beside,
        }
    }
}

impl RowJson {
    fn of(row: &ScaleRow) -> Self {
        let bottle = row.bottle.as_ref();
        let volume = bottle.and_then(|(_, volume, _)| volume.as_ref());
        let mut beside = Uncertainties::default();
        RowJson {
            species: row.species.plain().to_owned(),
            reactant: row.reactant,
            mol: beside.figure("mol", &row.moles),
            g: beside.figure("g", &row.grams),
            gas_L: beside.perhaps("gas_L", row.litres.as_ref()),
            bottle: bottle.map(|(name, ..)| name.clone()),
            bottle_mL: beside.perhaps("bottle_mL", volume),
            bottle_g: beside.perhaps("bottle_g", bottle.map(|(.., grams)| grams)),
            uncertainty: beside,
        }
    }
}
