//! How far a run goes, and what it brings back from there.

use crate::number::Quantity;
use crate::text::Span;

use super::super::ledger::Answer;
use super::{Figures, Refusal};

/// A run that serves a `find` or a `vary` ends at that statement; they are counted in the order of the text.
#[derive(Clone, Debug, Default)]
pub struct RunScope {
    /// Statements of that kind to meet; `None` goes to the end.
    pub until: Option<usize>,
    /// Met so far.
    pub met: usize,
    /// Both sides of each condition of the last `find`, where they have a value.
    pub sides: Vec<(Option<Quantity>, Option<Quantity>)>,
    /// The answers of the last `vary`.
    pub answers: Vec<Answer>,
    /// Operations that were not carried out, and why not: no figure of this run means anything then.
    pub refusals: Vec<(Span, Refusal)>,
    /// The figures that are asked for, where the run serves a sample.
    pub figures: Option<Figures>,
}

impl RunScope {
    /// A run that ends at the `until`th statement that plans.
    pub fn until(until: usize) -> RunScope {
        RunScope {
            until: Some(until),
            ..RunScope::default()
        }
    }

    /// Whether the run serves a `find`, a `vary` or a sample: it brings back figures only, and nobody looks at its record.
    pub fn serves_a_question(&self) -> bool {
        self.until.is_some() || self.figures.is_some()
    }

    /// That of a trial on the side: it serves a question, and brings back nothing of this kind.
    pub fn aside(&self) -> RunScope {
        RunScope {
            until: Some(usize::MAX),
            ..RunScope::default()
        }
    }

    /// Whether the run is where it was to go.
    pub fn arrived(&self) -> bool {
        self.until.is_some_and(|until| self.met >= until)
    }
}
