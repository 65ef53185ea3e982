//! The account of heat of a step.

use crate::number::Number;

use super::Heat;

/// Where the heat of a step came from and where it went, in kJ. What is taken up counts positive and what is given off
/// negative, so that with `boiling` taken away the sum of all is zero.
#[derive(Clone, Debug)]
pub struct StepHeat {
    /// Reactions, at 25 °C.
    pub reactions: Heat,
    /// Dissolving, crystallising, melting, diluting and mixing.
    pub dissolving: Number,
    /// Taken up by baths, also while they hold a vessel; negative where they gave heat.
    pub baths: Number,
    /// What boiling down needed, and so what a heater gave for it.
    pub boiling: Number,
    /// Gone with vapour and gas, what it took to make the vapour among it.
    pub vapour: Number,
    /// What warmed the contents; negative where they cooled.
    pub warming: Number,
    /// What could not be followed, and what a measured temperature shows to be gone to the room.
    pub room: Number,
}

impl Default for StepHeat {
    fn default() -> Self {
        StepHeat {
            reactions: Heat::none(),
            dissolving: Number::zero(),
            baths: Number::zero(),
            boiling: Number::zero(),
            vapour: Number::zero(),
            warming: Number::zero(),
            room: Number::zero(),
        }
    }
}
