//! An equation as it was written, balanced or not.

use std::fmt::{self, Display, Formatter};

use crate::matter::{Notation, Species};
use crate::number::Exact;
use crate::text::Span;

use super::reaction::written;

/// Left or right of the arrow.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum Side {
    /// What is used up.
    Left,
    /// What is formed.
    Right,
}

impl Display for Side {
    fn fmt(&self, to: &mut Formatter<'_>) -> fmt::Result {
        to.write_str(match self {
            Side::Left => "left",
            Side::Right => "right",
        })
    }
}

/// What a half-reaction may take up or give off besides what is written.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum Medium {
    /// Water and H^+.
    Acid,
    /// Water and OH^-.
    Base,
    /// Water alone, which may give off H^+ or OH^-.
    Neutral,
}

impl Medium {
    /// As it is written after `in`.
    pub fn word(self) -> &'static str {
        match self {
            Medium::Acid => "acid",
            Medium::Base => "base",
            Medium::Neutral => "neutral",
        }
    }
}

/// One species with the coefficient somebody wrote.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Term {
    /// As written; `None` where nothing was.
    pub coefficient: Option<Exact>,
    /// What.
    pub species: Species,
    /// Coefficient and species in the text.
    pub span: Span,
}

/// A ratio of coefficients that must hold: `O2 : H2O2 = 1 : 1`.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Ratio {
    /// Each species with its share, all shares positive.
    pub shares: Vec<(Species, Exact)>,
    /// In the text.
    pub span: Span,
}

/// An equation as written.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Skeleton {
    /// Before the arrow.
    pub left: Vec<Term>,
    /// After the arrow.
    pub right: Vec<Term>,
    /// `in acid`, `in base`, `in neutral`.
    pub medium: Option<Medium>,
    /// `with A : B = 1 : 1`.
    pub ratio: Option<Ratio>,
    /// The whole equation in the text.
    pub span: Span,
}

impl Skeleton {
    /// Every term with its side, in the order of writing.
    pub fn terms(&self) -> impl Iterator<Item = (Side, &Term)> {
        let left = self.left.iter().map(|term| (Side::Left, term));
        left.chain(self.right.iter().map(|term| (Side::Right, term)))
    }

    /// The same skeleton in a text in which this one's text begins at byte `offset`.
    pub fn shifted(mut self, offset: usize) -> Self {
        self.span = self.span.shifted(offset);
        for term in self.left.iter_mut().chain(&mut self.right) {
            term.span = term.span.shifted(offset);
        }
        if let Some(ratio) = &mut self.ratio {
            ratio.span = ratio.span.shifted(offset);
        }
        self
    }

    /// The same skeleton in a medium.
    pub fn with_medium(&self, medium: Medium) -> Self {
        Skeleton {
            medium: Some(medium),
            ..self.clone()
        }
    }

    /// Without coefficients, medium and ratio, as text.
    pub fn to_text(&self, notation: Notation) -> String {
        written(&self.left, &self.right, notation, |term| {
            term.species.to_text(notation)
        })
    }
}
