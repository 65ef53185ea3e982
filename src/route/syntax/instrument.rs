//! `instrument …` as written.

use super::{Literal, Spanned};

/// What an `instrument` statement says.
#[derive(Clone, Debug, PartialEq)]
pub struct Instrument {
    /// What it is.
    pub kind: Spanned<InstrumentKind>,
    /// `25 mL`, of one size of glassware alone.
    pub size: Option<Spanned<Literal>>,
    /// `± 0.01 g`: nothing, with its uncertainty.
    pub slack: Spanned<Literal>,
}

/// What something is measured out with.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum InstrumentKind {
    /// Everything that is weighed.
    Balance,
    /// Every volume that is measured out with nothing better.
    Cylinder,
    /// Glassware with a mark or a scale.
    Glass(Glass),
}

/// Glassware with a tolerance by its name.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Glass {
    /// Single-mark pipette.
    Pipette,
    /// Single-mark volumetric flask.
    Flask,
    /// Burette.
    Burette,
}

impl InstrumentKind {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            InstrumentKind::Balance => "balance",
            InstrumentKind::Cylinder => "cylinder",
            InstrumentKind::Glass(Glass::Pipette) => "pipette",
            InstrumentKind::Glass(Glass::Flask) => "flask",
            InstrumentKind::Glass(Glass::Burette) => "burette",
        }
    }
}
