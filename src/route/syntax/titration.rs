//! `titrate …` as written.

use crate::equation::Skeleton;
use crate::text::Span;

use super::{Expr, Literal, Name, Spanned};

/// What a `titrate` statement says.
#[derive(Clone, Debug, PartialEq)]
pub struct Titrate {
    /// What is titrated.
    pub vessel: Name,
    /// The bottle in the burette.
    pub bottle: Name,
    /// What happens.
    pub equation: Skeleton,
    /// `found 24.95, 25.01 mL`: volumes run out, each the difference of two readings where two are given.
    pub found: Vec<Spanned<Expr>>,
    /// `blank 0.05 mL`
    pub blank: Option<Spanned<Expr>>,
    /// `burette 50 mL`
    pub burette: Option<Spanned<Literal>>,
    /// `giving lye`: the bottle whose strength is sought.
    pub giving: Option<Name>,
    /// `indicator "starch"`
    pub indicator: Option<String>,
    /// The whole statement, for what the scatter of its readings is called by.
    pub span: Span,
}
