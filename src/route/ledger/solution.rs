//! Answers to `solution …`.

use crate::equation::Reaction;
use crate::matter::Species;
use crate::number::{Number, Quantity};
use crate::solution::{Composition, Restated};

use super::{Content, Fact};

/// The answer to a `solution` statement.
#[derive(Clone, Debug)]
pub struct SolutionAnswer {
    /// As written.
    pub text: String,
    /// The temperature its densities are for, in K.
    pub kelvin: Number,
    /// What to take, in the order written; empty for strengths alone.
    pub take: Vec<Taken>,
    /// One solute in water.
    pub made: Option<MadeSolution>,
    /// Everything put together in one vessel.
    pub mixed: Option<MixedSolution>,
    /// The same step with different bottles.
    pub compared: Option<ComparedBottles>,
}

/// One portion.
#[derive(Clone, Debug)]
pub struct Taken {
    /// Of what, as written.
    pub label: String,
    /// g
    pub grams: Number,
    /// mL; `None` for a solid, and where the density is not known.
    pub millilitres: Option<Number>,
}

/// A solution of one substance by every measure of strength.
#[derive(Clone, Debug)]
pub struct MadeSolution {
    /// What is in it.
    pub composition: Composition,
    /// The other measures.
    pub restated: Restated,
    /// g of the whole, where an amount is made.
    pub grams: Option<Number>,
    /// mL of the whole.
    pub millilitres: Option<Number>,
}

/// What is in a vessel after mixing.
#[derive(Clone, Debug)]
pub struct MixedSolution {
    /// g
    pub grams: Number,
    /// mL from the density of the mixture.
    pub millilitres: Option<Number>,
    /// mL that adding up the volumes of the portions would give.
    pub summed: Option<Number>,
    /// K, nothing carried off.
    pub temperature: Number,
    /// Species with their amounts.
    pub contents: Vec<Content>,
}

/// A step with one bottle after the other.
#[derive(Clone, Debug)]
pub struct ComparedBottles {
    /// The step.
    pub reaction: Reaction,
    /// For so much.
    pub amount: Quantity,
    /// Of this.
    pub basis: Species,
    /// In the order written.
    pub rows: Vec<ComparedBottle>,
}

/// What one bottle makes of a step.
#[derive(Clone, Debug)]
pub struct ComparedBottle {
    /// As written.
    pub label: String,
    /// g to take.
    pub grams: Number,
    /// mL to take.
    pub millilitres: Option<Number>,
    /// mL in the vessel at the end.
    pub volume: Option<Number>,
    /// Dissolved products with their concentrations in mol/L.
    pub products: Vec<(Species, Number)>,
    /// The hottest it would be uncooled, in K.
    pub peak: Option<Number>,
    /// Whether it would boil before that.
    pub boils: bool,
}

/// Why a question about a solution has no answer, or one to be looked at.
#[derive(Clone, Debug, PartialEq)]
pub enum SolutionFact {
    /// Something that holds none of the substance wanted, or no single substance in water.
    NotOfSolute {
        /// As written.
        label: String,
        /// What was wanted of it; `None` where it is water.
        solute: Option<Species>,
    },
    /// A strength that no mixture of what is there has.
    NotBetween {
        /// Mass fraction asked for.
        wanted: Number,
        /// The lowest mass fraction that can be had.
        low: f64,
        /// The highest.
        high: f64,
    },
    /// More than dissolves.
    TooStrong {
        /// Of what.
        solute: Species,
        /// Mass fraction it would have.
        fraction: Number,
        /// That of the saturated solution, where it is known.
        saturated: Option<Number>,
    },
    /// The density given and that of the tables differ by more than 2 %.
    DensitiesDisagree {
        /// Of what.
        label: String,
        /// g/mL as given.
        given: Number,
        /// g/mL of the tables.
        known: Number,
        /// Where that is from.
        source: &'static str,
    },
}

impl From<SolutionFact> for Fact {
    fn from(fact: SolutionFact) -> Fact {
        Fact::Solution(fact)
    }
}
