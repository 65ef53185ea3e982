//! `instrument …` and glassware taken apart.

use pest::iterators::Pair;

use crate::number::{Distribution, Exact, Places};
use crate::text::grammar::Rule;

use super::super::syntax::{Glass, Instrument, InstrumentKind, Literal, Spanned, Statement};
use super::{Read, Reader, only};

impl Reader {
    pub(super) fn instrument<'i>(
        &self,
        parts: impl Iterator<Item = Pair<'i, Rule>>,
    ) -> Read<Statement> {
        let (mut kind, mut size, mut slack) = (None, None, None);
        for part in parts {
            match part.as_rule() {
                Rule::instrument_kind => {
                    kind = Some(Spanned {
                        span: self.span(&part),
                        node: kind_of(part.as_str()),
                    });
                }
                Rule::instrument_size => size = self.signed(part.into_inner())?.pop(),
                _ => slack = Some(self.slack(part)?),
            }
        }
        Ok(Statement::Instrument(Instrument {
            kind: kind.expect("an instrument has a kind"),
            size,
            slack: slack.expect("an instrument has a slack"),
        }))
    }

    /// `± 0.01 g tolerance` as nothing with that uncertainty.
    fn slack(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Literal>> {
        let span = self.span(&pair);
        let mut parts = pair.into_inner();
        let (size, decimals) = self.number(&parts.next().expect("a slack has a number"))?;
        let unit = self.name(parts.next().expect("a slack has a unit"));
        let (divisor, distribution) = match parts.next() {
            Some(spread) => self.spread(spread)?,
            None => (None, Distribution::Normal),
        };
        let standard = match divisor {
            Some(divisor) => Exact::modelled(size.to_f64() / divisor).unwrap_or(size),
            None => size,
        };
        Ok(Spanned {
            node: Literal {
                number: Exact::zero(),
                places: Places {
                    value: decimals,
                    spread: None,
                },
                uncertainty: Some((standard, Some(unit.clone()))),
                distribution,
                unit: Some(unit),
            },
            span,
        })
    }

    pub(super) fn glass(&self, pair: Pair<'_, Rule>) -> Spanned<Glass> {
        let glass = only(pair);
        let node = match glass.as_str() {
            "flask" => Glass::Flask,
            _ => Glass::Pipette,
        };
        Spanned {
            span: self.span(&glass),
            node,
        }
    }
}

fn kind_of(word: &str) -> InstrumentKind {
    match word {
        "balance" => InstrumentKind::Balance,
        "cylinder" => InstrumentKind::Cylinder,
        "pipette" => InstrumentKind::Glass(Glass::Pipette),
        "flask" => InstrumentKind::Glass(Glass::Flask),
        _ => InstrumentKind::Glass(Glass::Burette),
    }
}
