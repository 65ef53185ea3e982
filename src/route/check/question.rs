//! Questions checked.

use crate::matter::Phase;
use crate::text::Span;

use super::super::program::*;
use super::super::syntax::{self, Statement};
use super::{Checked, Checker};

impl Checker<'_> {
    /// A statement that asks something.
    pub(super) fn question(&mut self, statement: &Statement, span: Span) -> Checked<Action> {
        use Statement as S;
        Ok(match statement {
            S::Scale {
                equation,
                to,
                species,
            } => Action::Scale {
                reaction: self.reaction(equation)?,
                to: self.value_of(to, Demand::PORTION)?,
                basis: species.node.clone(),
            },
            S::Show(values) => {
                let values: Vec<_> = values.iter().map(|v| self.value(v)).collect();
                Action::Show(values.into_iter().collect::<Checked<_>>()?)
            }
            S::Expect(conditions) => self.expect(conditions, span)?,
            S::Yield {
                vessel,
                species,
                basis,
            } => Action::Yield {
                vessel: self.vessel(vessel)?,
                product: self.formula(species)?.with_phase(Some(Phase::Solid)),
                basis: self.formula(basis)?,
            },
            S::Find { unknowns, targets } => self.find(unknowns, targets, span)?,
            S::Vary { variations, shown } => self.vary(variations, shown)?,
            _ => return Err(()),
        })
    }

    fn expect(&mut self, conditions: &[syntax::Condition], span: Span) -> Checked<Action> {
        let mut checked = Vec::new();
        for condition in conditions {
            let left = self.value(&condition.left)?;
            let right = self.value(&condition.right)?;
            self.same_kind(&left, &right)?;
            checked.push((left, condition.comparison, right));
        }
        let text = self.written(span);
        let text = text.trim_start_matches("expect").trim().to_owned();
        Ok(Action::Expect {
            text,
            conditions: checked,
        })
    }
}
