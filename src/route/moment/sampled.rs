//! Figures that a run brings back for a sample.

use std::sync::Arc;

use crate::number::Quantity;
use crate::text::Span;

use super::super::ledger::{Answer, AskedBy};
use super::super::program::{Node, Value};
use super::super::syntax::Comparison;
use super::{Done, Run};

/// A figure met in a run.
#[derive(Clone, Debug)]
pub struct Met {
    /// By which statement.
    pub asked_by: AskedBy,
    /// As written.
    pub expression: String,
    /// Its place.
    pub span: Span,
    /// What it came to.
    pub figure: Option<Quantity>,
    /// `mass(crop) > 10 g`
    pub condition: Option<String>,
    /// Whether the condition was met.
    pub holds: Option<bool>,
}

/// What a run that serves a sample brings back.
#[derive(Clone, Debug, Default)]
pub struct Figures {
    /// In the order in which they were met.
    pub all: Vec<Met>,
    /// What `uncertainty(…)` came to by the plan, in order: in a sample nothing has an uncertainty any more.
    pub spreads: Vec<Quantity>,
    /// How many of them were asked for again.
    pub repeated: usize,
    /// What they came to by the plan; `None` in the run of the plan.
    pub planned: Option<Arc<[Quantity]>>,
}

/// What asks for an uncertainty has none of its own.
fn asks_spread(value: &Value) -> bool {
    match &value.node {
        Node::Uncertainty(_) | Node::Budget(_) => true,
        Node::Negative(inner) | Node::Magnitude(inner) => asks_spread(inner),
        Node::Binary(_, left, right) => asks_spread(left) || asks_spread(right),
        Node::Extreme { among, .. } => among.iter().any(asks_spread),
        _ => false,
    }
}

impl Run<'_> {
    /// Remembers a figure that a question asked for.
    pub fn met(&mut self, asked_by: AskedBy, value: &Value, answer: &Answer) {
        let figure = match answer {
            Answer::Quantity(quantity) if !asks_spread(value) => Some(quantity.clone()),
            _ => None,
        };
        self.met_figure(asked_by, (&value.text, value.span), figure);
    }

    /// The same for what is no expression.
    pub fn met_figure(
        &mut self,
        asked_by: AskedBy,
        (expression, span): (&str, Span),
        figure: Option<Quantity>,
    ) {
        if let Some(figures) = &mut self.scope.figures {
            figures.all.push(Met {
                asked_by,
                expression: expression.to_owned(),
                span,
                figure,
                condition: None,
                holds: None,
            });
        }
    }

    /// Whether the last figure met the condition it was asked for.
    pub fn held(&mut self, comparison: Comparison, wanted: &Value, met: bool) {
        // With `=` the right side's uncertainty decides, and a sample has none.
        let ordered = !matches!(comparison, Comparison::Equal | Comparison::Unequal);
        let figures = self.scope.figures.as_mut().filter(|_| ordered);
        let Some(figures) = figures else { return };
        let is_plan = figures.planned.is_none();
        if let Some(last) = figures.all.last_mut() {
            last.holds = Some(met);
            last.condition = is_plan
                .then(|| format!("{} {} {}", last.expression, comparison.sign(), wanted.text));
        }
    }

    /// What an uncertainty came to; in a sample, what it came to by the plan.
    pub fn spread(&mut self, found: Quantity) -> Done<Quantity> {
        let Some(figures) = &mut self.scope.figures else {
            return Ok(found);
        };
        let Some(planned) = &figures.planned else {
            figures.spreads.push(found.clone());
            return Ok(found);
        };
        let again = planned.get(figures.repeated).cloned();
        figures.repeated += 1;
        Ok(again.unwrap_or(found))
    }
}
