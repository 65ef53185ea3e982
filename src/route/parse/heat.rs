//! `heat …` taken apart.

use pest::iterators::Pair;

use crate::text::grammar::Rule;

use super::super::syntax::Statement;
use super::{Read, Reader};

impl Reader {
    pub(super) fn heat<'i>(&self, parts: impl Iterator<Item = Pair<'i, Rule>>) -> Read<Statement> {
        let mut parts = parts.filter(|pair| pair.as_rule() != Rule::EOI);
        let equation = self.equation(parts.next().expect("a heat statement has an equation"))?;
        let (mut at, mut activities) = (None, Vec::new());
        for part in parts {
            if part.as_rule() == Rule::heat_temperature {
                at = self.signed(part.into_inner())?.pop();
                continue;
            }
            let mut one = part.into_inner();
            let species = self.species(one.next().expect("an activity is that of a species"))?;
            let value = self.signed(one)?.pop();
            activities.push((species, value.expect("an activity has a value")));
        }
        Ok(Statement::Heat {
            equation,
            at,
            activities,
        })
    }
}
