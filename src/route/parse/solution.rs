//! `solution …` taken apart.

use pest::iterators::Pair;

use crate::text::grammar::Rule;

use super::super::syntax::{Shelf, ShelfKind, SolutionAsked, Statement};
use super::{Read, Reader, only};

impl Reader {
    pub(super) fn solution<'i>(
        &self,
        parts: impl Iterator<Item = Pair<'i, Rule>>,
    ) -> Read<Statement> {
        let mut parts = parts.filter(|pair| pair.as_rule() != Rule::EOI);
        let asked = parts.next().expect("a solution statement asks something");
        let asked = self.solution_asked(asked)?;
        let at = match parts.next() {
            Some(at) => self.signed(at.into_inner())?.pop(),
            None => None,
        };
        Ok(Statement::Solution {
            asked: Box::new(asked),
            at,
        })
    }

    fn solution_asked(&self, pair: Pair<'_, Rule>) -> Read<SolutionAsked> {
        let rule = pair.as_rule();
        if rule == Rule::shelf {
            return self.shelf(pair).map(SolutionAsked::Strengths);
        }
        let mut parts = pair.into_inner();
        let mut next = || parts.next().expect("the grammar gives every part");
        Ok(match rule {
            Rule::making => SolutionAsked::Make {
                amount: self.expr(next())?,
                target: self.shelf(next())?,
                from: parts.map(|part| self.shelf(part)).collect::<Read<_>>()?,
            },
            Rule::diluting => SolutionAsked::Dilute {
                amount: self.expr(next())?,
                from: self.shelf(next())?,
                to: self.expr(only(next()))?,
            },
            Rule::mixing => {
                let mut portions = Vec::new();
                while let (Some(amount), Some(shelf)) = (parts.next(), parts.next()) {
                    portions.push((self.expr(amount)?, self.shelf(shelf)?));
                }
                SolutionAsked::Mix(portions)
            }
            _ => return self.comparing(parts),
        })
    }

    fn comparing<'i>(&self, parts: impl Iterator<Item = Pair<'i, Rule>>) -> Read<SolutionAsked> {
        let mut parts = parts.peekable();
        let mut bottles = Vec::new();
        while let Some(part) = parts.next_if(|part| part.as_rule() == Rule::shelf) {
            bottles.push(self.shelf(part)?);
        }
        let mut next = || parts.next().expect("the grammar gives every part");
        Ok(SolutionAsked::Compare {
            bottles,
            equation: self.equation(next())?,
            to: self.expr(next())?,
            species: self.species(next())?,
            within: parts.map(|part| self.portion(part)).collect::<Read<_>>()?,
        })
    }

    fn shelf(&self, pair: Pair<'_, Rule>) -> Read<Shelf> {
        let span = self.span(&pair);
        let mut parts = pair.into_inner();
        let first = parts.next().expect("a shelf holds something");
        if first.as_rule() == Rule::name {
            let kind = ShelfKind::Named(self.name(first));
            return Ok(Shelf { span, kind });
        }
        let species = self.species(first)?;
        let (strength, density) = self.strength_and_density(parts)?;
        let kind = ShelfKind::Labelled {
            species,
            strength,
            density,
        };
        Ok(Shelf { span, kind })
    }
}
