//! `heat …` checked.

use crate::equation::{Skeleton, Stated};
use crate::matter::Species;
use crate::number::Number;

/// A question about the quantities of a reaction.
#[derive(Clone, Debug)]
pub struct HeatQuestion {
    /// As written.
    pub skeleton: Skeleton,
    /// With the coefficients the answer is for.
    pub equation: Stated,
    /// K
    pub kelvin: Number,
    /// Activities that are not one.
    pub activities: Vec<(Species, Number)>,
}
