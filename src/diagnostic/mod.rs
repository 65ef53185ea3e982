//! Facts into messages: what went wrong, where, why, and what to do next.
//!
//! Promises: every fault of the rooms above has its own message with a stable kind word; a hint is an action; a name is
//! suggested only when it is near. [`draw`] is the one place where a message meets the text it is about.
//!
//! Finds no faults itself, and never prints: the doors do.

mod draw;
mod equation;
mod expectation;
mod fact;
mod formula;
mod gone;
mod hazard;
mod heat;
mod in_hand;
mod instrument;
mod outline;
mod planning;
mod procedure;
mod quantity;
mod range;
mod route;
mod sampling;
mod solution;
mod unbalanced;
mod unread;

pub use draw::{draw, draw_all};
pub use equation::equation_fault;
pub use expectation::unmet;
pub use fact::{reminder, route_fact, route_remark};
pub use formula::formula_fault;
pub use heat::{no_energetics, no_heat, undecided};
pub use outline::outline_fault;
pub use route::route_fault;
pub use sampling::{bad_samples, not_sampled};
pub use unbalanced::{several_balances, unbalanced, unstated_medium, written_wrongly};
pub use unread::unread;

use crate::text::Span;
pub use crate::text::near;
pub(crate) use crate::text::{all_of, any_of};

/// How much a message matters.
#[derive(Clone, Copy, Debug, Eq, Ord, PartialEq, PartialOrd)]
pub enum Severity {
    /// Nothing can be done before this is mended.
    Error,
    /// It goes on, but somebody should look.
    Warning,
    /// Worth knowing.
    Remark,
}

/// A finding in words, with the places it is about.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Message {
    /// How much it matters.
    pub severity: Severity,
    /// A stable word for programs, such as `unknown-element`.
    pub kind: &'static str,
    /// What is the matter, in one line without a full stop.
    pub title: String,
    /// The places, the main one first, each with a few words of its own (or none).
    pub labels: Vec<(Span, String)>,
    /// What to do next, one action each.
    pub hints: Vec<String>,
}

impl Message {
    /// An error without places and hints yet.
    pub fn error(kind: &'static str, title: impl Into<String>) -> Self {
        Self::new(Severity::Error, kind, title)
    }

    /// A warning without places and hints yet.
    pub fn warning(kind: &'static str, title: impl Into<String>) -> Self {
        Self::new(Severity::Warning, kind, title)
    }

    /// A remark without places and hints yet.
    pub fn remark(kind: &'static str, title: impl Into<String>) -> Self {
        Self::new(Severity::Remark, kind, title)
    }

    fn new(severity: Severity, kind: &'static str, title: impl Into<String>) -> Self {
        Message {
            severity,
            kind,
            title: title.into(),
            labels: Vec::new(),
            hints: Vec::new(),
        }
    }

    /// With one more place.
    pub fn at(mut self, span: Span, label: impl Into<String>) -> Self {
        self.labels.push((span, label.into()));
        self
    }

    /// With `span` as its main place, unless that is a part of `span` already; other places stand behind it.
    pub fn at_first(mut self, span: Span) -> Self {
        let inside =
            |(place, _): &(Span, String)| span.start <= place.start && place.end <= span.end;
        if !self.labels.first().is_some_and(inside) {
            self.labels.insert(0, (span, String::new()));
        }
        self
    }

    /// With one more thing to do.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// The same message about a text that begins at byte `offset` of a larger one.
    pub fn shifted(mut self, offset: usize) -> Self {
        for (span, _) in &mut self.labels {
            *span = span.shifted(offset);
        }
        self
    }

    /// The main place; messages are sorted by it, those without one first.
    pub fn place(&self) -> Option<Span> {
        self.labels.first().map(|(span, _)| *span)
    }
}
