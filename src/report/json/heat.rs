//! The account of heat of a step.

use schemars::JsonSchema;
use serde::Serialize;

use super::figures::Uncertainties;
use crate::route::ledger::StepHeat;

/// The account of heat of the step in kJ; null where a part is not known.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "step_heat")]
pub(super) struct StepHeatJson {
    /// Negative: given off.
    reactions_kJ: Option<f64>,
    /// Of dissolving, crystallising, melting, diluting and mixing; negative: given off.
    dissolving_kJ: f64,
    /// Of warm, cool, hold, crystallise and dry, and of what a bath holds; positive: taken up by the baths.
    baths_kJ: f64,
    /// Needed by evaporate, and so given by a heater.
    boiling_kJ: f64,
    /// Gone with vapour and gas; what it took to make the vapour is in it.
    vapour_kJ: f64,
    /// What warmed the contents; negative where they cooled.
    warming_kJ: f64,
    /// What could not be followed, and what a measured temperature shows to be gone. All but `boiling_kJ`, less that, sum to
    /// zero where `reactions_kJ` is known.
    room_kJ: f64,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

impl StepHeatJson {
    pub(super) fn of(heat: &StepHeat) -> Self {
        let mut beside = Uncertainties::default();
        StepHeatJson {
            reactions_kJ: beside.perhaps("reactions_kJ", heat.reactions.known()),
            dissolving_kJ: beside.figure("dissolving_kJ", &heat.dissolving),
            baths_kJ: beside.figure("baths_kJ", &heat.baths),
            boiling_kJ: beside.figure("boiling_kJ", &heat.boiling),
            vapour_kJ: beside.figure("vapour_kJ", &heat.vapour),
            warming_kJ: beside.figure("warming_kJ", &heat.warming),
            room_kJ: beside.figure("room_kJ", &heat.room),
            uncertainty: beside,
        }
    }
}
