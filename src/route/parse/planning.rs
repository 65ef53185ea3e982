//! `find` and `vary` taken apart.

use pest::iterators::Pair;

use crate::text::grammar::Rule;

use super::super::syntax::*;
use super::{Read, Reader};

impl Reader {
    pub(super) fn find<'i>(&self, parts: impl Iterator<Item = Pair<'i, Rule>>) -> Read<Statement> {
        let (mut unknowns, mut targets) = (Vec::new(), Vec::new());
        for part in parts {
            if part.as_rule() == Rule::unknown {
                unknowns.push(self.unknown(part)?);
            } else {
                targets.push(self.target(part)?);
            }
        }
        Ok(Statement::Find { unknowns, targets })
    }

    pub(super) fn vary<'i>(&self, parts: impl Iterator<Item = Pair<'i, Rule>>) -> Read<Statement> {
        let (mut variations, mut shown) = (Vec::new(), Vec::new());
        for part in parts {
            if part.as_rule() == Rule::variation {
                variations.push(self.variation(part)?);
            } else {
                shown.push(self.expr(part)?);
            }
        }
        Ok(Statement::Vary { variations, shown })
    }

    fn unknown(&self, pair: Pair<'_, Rule>) -> Read<Unknown> {
        let mut parts = pair.into_inner();
        let name = self.name(parts.next().expect("an unknown has a name"));
        let (low, high) = self.bounds(parts.next().expect("an unknown has bounds"))?;
        Ok(Unknown { name, low, high })
    }

    fn bounds(&self, pair: Pair<'_, Rule>) -> Read<(Spanned<Expr>, Spanned<Expr>)> {
        let mut parts = pair.into_inner();
        let low = self.expr(parts.next().expect("bounds begin with the lower one"))?;
        let high = self.expr(parts.next().expect("bounds end with the upper one"))?;
        Ok((low, high))
    }

    fn target(&self, pair: Pair<'_, Rule>) -> Read<Condition> {
        let mut parts = pair.into_inner();
        Ok(Condition {
            left: self.expr(parts.next().expect("a target has a left side"))?,
            comparison: Comparison::Equal,
            right: self.expr(parts.next().expect("a target has a right side"))?,
        })
    }

    fn variation(&self, pair: Pair<'_, Rule>) -> Read<Variation> {
        let mut parts = pair.into_inner();
        let name = self.name(parts.next().expect("a variation has a name"));
        let values = parts.next().expect("a variation has values");
        let is_series = values.as_rule() == Rule::series;
        let mut inner = values.into_inner();
        let values = if is_series {
            let (low, high) = self.bounds(inner.next().expect("a series has bounds"))?;
            let step = self.expr(inner.next().expect("a series has a step"))?;
            Values::Series { low, high, step }
        } else {
            Values::Listed(inner.map(|p| self.expr(p)).collect::<Read<_>>()?)
        };
        Ok(Variation { name, values })
    }
}
