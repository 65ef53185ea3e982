//! What is measured with, checked.

use crate::number::{Distribution, Quantity};
use crate::text::Span;

use super::super::syntax::InstrumentKind;
use super::Program;

/// An instrument that was declared.
#[derive(Clone, Debug)]
pub struct Instrument {
    /// What it is.
    pub kind: InstrumentKind,
    /// In mL, of one size of glassware alone.
    pub size: Option<f64>,
    /// One standard uncertainty: of a mass in kg or a volume in m³ as its dimension says, or relative. Exact.
    pub standard: Quantity,
    /// How the values about a reading are distributed.
    pub distribution: Distribution,
    /// Where.
    pub span: Span,
}

/// What one use of an instrument adds to a quantity: nothing, with an uncertainty, or, for a relative one, a factor of one
/// with an uncertainty.
#[derive(Clone, Debug)]
pub struct Slack(pub Quantity);

impl Slack {
    /// Whether it is a factor.
    pub fn is_factor(&self) -> bool {
        self.0.dimension() == crate::number::Dimension::NONE
    }

    /// The quantity as it was measured with the instrument; as it is, if that measures something else.
    pub fn on(&self, program: &Program, quantity: &Quantity) -> Quantity {
        let slack = program.as_drawn(&self.0);
        match self.is_factor() {
            true => quantity.times(&slack),
            false => quantity.plus(&slack).unwrap_or_else(|_| quantity.clone()),
        }
    }
}
