//! `solution …` checked.

use crate::equation::Reaction;
use crate::matter::Species;
use crate::number::Number;

use super::{Matter, Portion, Value};

/// A question about solutions.
#[derive(Clone, Debug)]
pub struct SolutionQuestion {
    /// As written.
    pub text: String,
    /// The temperature its densities are for, in K.
    pub kelvin: Number,
    /// What is asked.
    pub kind: SolutionKind,
}

/// What a [`SolutionQuestion`] asks.
#[derive(Clone, Debug)]
pub enum SolutionKind {
    /// Every strength of one.
    Strengths(Matter),
    /// What to take.
    Make {
        /// Volume or mass of what is made.
        amount: Value,
        /// What is made.
        target: Matter,
        /// One or two.
        from: Vec<Matter>,
    },
    /// How much water to add.
    Dilute {
        /// Volume or mass taken.
        amount: Value,
        /// Of this.
        from: Matter,
        /// How far.
        to: DilutedTo,
    },
    /// What becomes of it all in one vessel.
    Mix(Vec<Portion>),
    /// The same step with different bottles.
    Compare(Box<Compared>),
}

/// How far something is diluted.
#[derive(Clone, Debug)]
pub enum DilutedTo {
    /// To a strength.
    Strength(Matter),
    /// To a mark or a mass.
    Amount(Value),
}

/// One step with different bottles.
#[derive(Clone, Debug)]
pub struct Compared {
    /// Which.
    pub bottles: Vec<Matter>,
    /// The step.
    pub reaction: Reaction,
    /// How much of which species it is for.
    pub to: Value,
    /// Which species.
    pub basis: Species,
    /// What is in the vessel before.
    pub within: Vec<Portion>,
}
