//! `find` and `vary` checked: which value, within which bounds, for what.

use crate::text::Span;

use super::super::program::*;
use super::super::syntax::{self, Condition, Expr, Name, Spanned, Unknown};
use super::{CheckFault, Checked, Checker, Meaning, NameKind};

impl Checker<'_> {
    pub(super) fn find(
        &mut self,
        unknowns: &[Unknown],
        targets: &[Condition],
        span: Span,
    ) -> Checked<Action> {
        let sought: Vec<_> = unknowns.iter().map(|u| self.sought(u, span)).collect();
        let targets: Vec<_> = targets.iter().map(|t| self.planned(t)).collect();
        let (unknowns, targets) = (
            sought.into_iter().collect::<Checked<Vec<_>>>()?,
            targets.into_iter().collect::<Checked<Vec<_>>>()?,
        );
        if unknowns.len() != targets.len() {
            return self.fault(CheckFault::Unmatched {
                span,
                unknowns: unknowns.len(),
                conditions: targets.len(),
            });
        }
        Ok(Action::Find { unknowns, targets })
    }

    pub(super) fn vary(
        &mut self,
        variations: &[syntax::Variation],
        shown: &[Spanned<Expr>],
    ) -> Checked<Action> {
        let varied: Vec<_> = variations.iter().map(|v| self.variation(v)).collect();
        let shown: Vec<_> = shown.iter().map(|v| self.value(v)).collect();
        let varied = varied.into_iter().collect::<Checked<Vec<_>>>()?;
        let shown = shown.into_iter().collect::<Checked<Vec<_>>>()?;
        let mut runs = 1;
        for (variation, written) in varied.iter().zip(variations) {
            runs *= self.ranged(|program| program.values(variation))?.len();
            if runs > MOST_RUNS {
                let fault = RangeFault::TooMany(written.name.span);
                return self.fault(CheckFault::Range(fault));
            }
        }
        Ok(Action::Vary {
            variations: varied,
            shown,
        })
    }

    fn sought(&mut self, unknown: &Unknown, find: Span) -> Checked<Sought> {
        let slot = self.adjustable(&unknown.name)?;
        let dimension = [self.program.lets[slot].dimension];
        let (low, high) = (
            self.value_in(&unknown.low, &dimension),
            self.value_in(&unknown.high, &dimension),
        );
        let sought = Sought {
            slot,
            low: low?,
            high: high?,
        };
        self.ranged(|program| program.bounds(&sought))?;
        self.program.lets[slot].sought = Some(find);
        Ok(sought)
    }

    fn variation(&mut self, variation: &syntax::Variation) -> Checked<Variation> {
        // Also one that a `find` looks for: the values given take the place of what is found.
        let Meaning::Let(slot) = self.resolve(&variation.name, NameKind::Value)? else {
            return Err(());
        };
        let dimension = [self.program.lets[slot].dimension];
        let mut all = |exprs: &[&Spanned<Expr>]| {
            let values: Vec<_> = exprs
                .iter()
                .map(|expr| self.value_in(expr, &dimension))
                .collect();
            values.into_iter().collect::<Checked<Vec<Value>>>()
        };
        let values = match &variation.values {
            syntax::Values::Listed(exprs) => {
                Values::Listed(all(&exprs.iter().collect::<Vec<_>>())?)
            }
            syntax::Values::Series { low, high, step } => {
                let [low, high]: [Value; 2] = all(&[low, high])?.try_into().map_err(|_| ())?;
                // A step of temperature may be what lies between two readings.
                let step = self.value(step)?;
                self.expected(&step, &dimension)?;
                Values::Series { low, high, step }
            }
        };
        Ok(Variation { slot, values })
    }

    /// A `let` that no `find` looks for yet.
    fn adjustable(&mut self, name: &Name) -> Checked<LetId> {
        let Meaning::Let(slot) = self.resolve(name, NameKind::Value)? else {
            return Err(());
        };
        match self.program.lets[slot].sought {
            None => Ok(slot),
            Some(first) => self.fault(CheckFault::SoughtTwice {
                name: name.clone(),
                first,
            }),
        }
    }

    fn planned(&mut self, condition: &Condition) -> Checked<Target> {
        let left = self.value(&condition.left);
        let right = self.value(&condition.right);
        let (left, right) = (left?, right?);
        self.same_kind(&left, &right)?;
        let span = left.span.to(right.span);
        Ok(Target {
            left,
            right,
            text: self.written(span),
        })
    }

    fn ranged<T>(&mut self, ask: impl FnOnce(&Program) -> Result<T, RangeFault>) -> Checked<T> {
        match ask(&self.program) {
            Ok(found) => Ok(found),
            Err(fault) => self.fault(CheckFault::Range(fault)),
        }
    }
}
