//! `titrate …` checked.

use crate::equation::Reaction;
use crate::number::InputId;

use super::{BottleId, Matter, Slack, Value, VesselId};

/// What a `titrate` does.
#[derive(Clone, Debug)]
pub struct Titration {
    /// What is titrated.
    pub vessel: VesselId,
    /// What is in the burette.
    pub matter: Matter,
    /// What happens.
    pub reaction: Reaction,
    /// The volumes found; none while it is only planned.
    pub found: Vec<Value>,
    /// The input that their scatter counts as, where there are several.
    pub scatter: Option<InputId>,
    /// What the burette gives without analyte.
    pub blank: Option<Value>,
    /// What the burette adds, if its size is said or one was declared for all.
    pub burette: Option<Slack>,
    /// The bottle whose strength is sought: the one in the burette, or the one the analyte came from.
    pub giving: Option<BottleId>,
    /// How the end is seen.
    pub indicator: Option<String>,
}
