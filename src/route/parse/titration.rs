//! `titrate …` taken apart.

use pest::iterators::Pair;

use crate::text::Span;
use crate::text::grammar::Rule;

use super::super::syntax::{Expr, Literal, Operator, Spanned, Statement, Titrate};
use super::{Read, Reader, only, text};

impl Reader {
    pub(super) fn titrate<'i>(
        &self,
        span: Span,
        mut parts: impl Iterator<Item = Pair<'i, Rule>>,
    ) -> Read<Statement> {
        let mut next = || {
            parts
                .next()
                .expect("vessel, bottle and equation stand first")
        };
        let mut titrate = Titrate {
            vessel: self.name(next()),
            bottle: self.name(next()),
            equation: self.equation(next())?,
            found: Vec::new(),
            blank: None,
            burette: None,
            giving: None,
            indicator: None,
            span,
        };
        for part in parts {
            match part.as_rule() {
                Rule::readings => titrate.found = self.readings(part)?,
                Rule::blank_reading => titrate.blank = Some(self.expr(only(part))?),
                Rule::burette => titrate.burette = self.signed(part.into_inner())?.pop(),
                Rule::giving => titrate.giving = Some(self.name(only(part))),
                Rule::indicator => titrate.indicator = Some(text(&only(part))),
                _ => {}
            }
        }
        Ok(Statement::Titrate(Box::new(titrate)))
    }

    /// `24.95, 25.01 mL` share the last unit.
    fn readings(&self, pair: Pair<'_, Rule>) -> Read<Vec<Spanned<Expr>>> {
        let pairs = pair.into_inner().map(|reading| {
            let span = self.span(&reading);
            Ok((span, self.signed(reading.into_inner())?))
        });
        let mut readings = pairs.collect::<Read<Vec<(Span, Vec<Spanned<Literal>>)>>>()?;
        let mut unit = None;
        for (_, ends) in readings.iter_mut().rev() {
            for end in ends.iter_mut().rev() {
                unit = end.node.unit.clone().or(unit);
                end.node.unit = unit.clone();
            }
        }
        Ok(readings.into_iter().filter_map(run_out).collect())
    }
}

/// The volume between two readings, or the one volume given.
fn run_out((span, ends): (Span, Vec<Spanned<Literal>>)) -> Option<Spanned<Expr>> {
    let mut ends = ends.into_iter().map(|end| Spanned {
        node: Expr::Literal(end.node),
        span: end.span,
    });
    let first = ends.next()?;
    Some(match ends.next() {
        None => first,
        Some(last) => Spanned {
            node: Expr::Binary(Operator::Subtract, Box::new(last), Box::new(first)),
            span,
        },
    })
}
