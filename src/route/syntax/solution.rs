//! `solution …` as written.

use crate::equation::Skeleton;
use crate::matter::Species;
use crate::text::Span;

use super::{Expr, Name, Portion, Spanned};

/// What a `solution` statement asks.
#[derive(Clone, Debug, PartialEq)]
pub enum SolutionAsked {
    /// `solution HCl 37 %w/w`: every strength of it.
    Strengths(Shelf),
    /// `solution make 500 mL HCl 1 mol/L from HCl 37 %w/w and water`
    Make {
        /// Volume or mass.
        amount: Spanned<Expr>,
        /// What is to be made.
        target: Shelf,
        /// One or two, water understood.
        from: Vec<Shelf>,
    },
    /// `solution dilute 50 mL HCl 37 %w/w to 1 mol/L`
    Dilute {
        /// Volume or mass.
        amount: Spanned<Expr>,
        /// Of what.
        from: Shelf,
        /// A strength, a volume (the mark) or a mass.
        to: Spanned<Expr>,
    },
    /// `solution mix 100 mL HCl 37 %w/w and 400 mL water`
    Mix(Vec<(Spanned<Expr>, Shelf)>),
    /// `solution compare H2O2 3 %w/w and H2O2 30 %w/w for EQUATION to 10 g Fe in 50 mL water`
    Compare {
        /// At least two.
        bottles: Vec<Shelf>,
        /// The step.
        equation: Skeleton,
        /// How much of which species.
        to: Spanned<Expr>,
        /// Which.
        species: Spanned<Species>,
        /// What is in the vessel before.
        within: Vec<Portion>,
    },
}

/// Something that stands on a shelf: by its name, or by what its label says.
#[derive(Clone, Debug, PartialEq)]
pub struct Shelf {
    /// Where.
    pub span: Span,
    /// Which.
    pub kind: ShelfKind,
}

/// How something on a shelf is named.
#[derive(Clone, Debug, PartialEq)]
pub enum ShelfKind {
    /// A declared bottle, or `water`.
    Named(Name),
    /// `HCl 37 %w/w, density 1.18 g/mL`
    Labelled {
        /// What.
        species: Spanned<Species>,
        /// How strong, or how pure; none for a pure substance.
        strength: Option<Spanned<Expr>>,
        /// As given.
        density: Option<Spanned<Expr>>,
    },
}
