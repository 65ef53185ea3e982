//! Why an operation is not carried out.

use super::super::ledger::{Fact, Weight};

/// An operation that is not carried out, with the reason: without one there is no refusal.
///
/// Its words are those of its fact, which `diagnostic` writes.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("an operation is not carried out")]
pub struct Refusal {
    /// How bad that is.
    pub weight: Weight,
    /// The reason; boxed, since expressions nest deep and each level may be refused.
    pub fact: Box<Fact>,
}

/// What comes of an operation, or why nothing does.
pub type Done<T> = Result<T, Refusal>;

impl Refusal {
    /// A fault of the route.
    pub fn of(fact: Fact) -> Refusal {
        Refusal {
            weight: Weight::Fault,
            fact: Box::new(fact),
        }
    }
}

impl From<Fact> for Refusal {
    fn from(fact: Fact) -> Self {
        Refusal::of(fact)
    }
}
