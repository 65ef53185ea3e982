//! The account of heat of a step.

use serde_json::Value;

use super::object::Object;
use crate::route::ledger::StepHeat;

/// In kJ, signs as with the operations: negative is given off, positive is taken up; `null` where it is not known.
pub(super) fn of_step(heat: &StepHeat) -> Value {
    Object::default()
        .perhaps("reactions_kJ", heat.reactions.known())
        .figure("dissolving_kJ", &heat.dissolving)
        .figure("baths_kJ", &heat.baths)
        .figure("boiling_kJ", &heat.boiling)
        .figure("vapour_kJ", &heat.vapour)
        .figure("warming_kJ", &heat.warming)
        .figure("room_kJ", &heat.room)
        .done()
}
