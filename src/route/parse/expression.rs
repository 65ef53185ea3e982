//! Expressions, quantities and species taken apart.

use std::ops::RangeInclusive;

use pest::iterators::Pair;

use crate::equation::{Skeleton, read_equation};
use crate::matter::{Species, read_species};
use crate::number::{Distribution, Exact, Places};
use crate::text::Span;
use crate::text::grammar::Rule;

use super::super::syntax::*;
use super::{Read, Reader, SyntaxFault, only};

/// Operands of one expression: enough for any sum at a bench, and few enough to be worked out by recursion.
const MOST_OPERANDS: usize = 200;

impl Reader {
    pub(super) fn species(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Species>> {
        let span = self.span(&pair);
        Ok(Spanned {
            node: read_species(pair)?,
            span,
        })
    }

    pub(super) fn equation(&self, pair: Pair<'_, Rule>) -> Read<Skeleton> {
        Ok(read_equation(pair)?.shifted(self.base))
    }

    pub(super) fn name(&self, pair: Pair<'_, Rule>) -> Name {
        Spanned {
            span: self.span(&pair),
            node: pair.as_str().to_owned(),
        }
    }

    /// Any pair that stands for an expression. Recursion is bounded by the nesting limit.
    pub(super) fn expr(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Expr>> {
        let span = self.span(&pair);
        match pair.as_rule() {
            Rule::measured | Rule::primary => self.expr(only(pair)),
            Rule::bracketed => Ok(Spanned {
                node: self.expr(only(pair))?.node,
                span,
            }),
            Rule::quantity => {
                let literal = self.literal(pair)?;
                Ok(Spanned {
                    node: Expr::Literal(literal.node),
                    span,
                })
            }
            Rule::name => Ok(Spanned {
                node: Expr::Name(pair.as_str().to_owned()),
                span,
            }),
            Rule::call => self.call(pair),
            _ => self.climb(pair),
        }
    }

    fn call(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Expr>> {
        let span = self.span(&pair);
        let mut parts = pair.into_inner();
        let function = self.name(parts.next().expect("a call has a function"));
        let arguments = parts.map(|argument| self.argument(argument));
        let arguments = arguments.collect::<Read<_>>()?;
        Ok(Spanned {
            node: Expr::Call(function, arguments),
            span,
        })
    }

    pub(super) fn argument(&self, argument: Pair<'_, Rule>) -> Read<Spanned<Argument>> {
        let span = self.span(&argument);
        let inner = only(argument);
        let node = match inner.as_rule() {
            Rule::species => Argument::Species(read_species(inner)?),
            _ => Argument::Expr(self.expr(inner)?.node),
        };
        Ok(Spanned { node, span })
    }

    /// Operators by precedence climbing; `^` binds to the right, the rest to the left; a sign belongs to its operand.
    fn climb(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Expr>> {
        let mut operands: Vec<Spanned<Expr>> = Vec::new();
        let mut operators: Vec<Operator> = Vec::new();
        let mut negative: Option<Span> = None;
        let mut read = 0;
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::negation => negative = Some(self.span(&part)),
                Rule::operator if read == MOST_OPERANDS => {
                    return Err(SyntaxFault::TooLong {
                        span: self.span(&part),
                    });
                }
                Rule::operator => {
                    let operator = match part.as_str() {
                        "+" => Operator::Add,
                        "*" | "×" => Operator::Multiply,
                        "/" => Operator::Divide,
                        "^" => Operator::Power,
                        _ => Operator::Subtract,
                    };
                    while let Some(last) = operators.last().copied() {
                        let tighter = strength(last) > strength(operator)
                            || (strength(last) == strength(operator)
                                && operator != Operator::Power);
                        if !tighter {
                            break;
                        }
                        fold(&mut operands, &mut operators);
                    }
                    operators.push(operator);
                }
                _ => {
                    read += 1;
                    let operand = self.expr(part)?;
                    operands.push(match negative.take() {
                        Some(sign) => Spanned {
                            span: sign.to(operand.span),
                            node: Expr::Negative(Box::new(operand)),
                        },
                        None => operand,
                    });
                }
            }
        }
        while !operators.is_empty() {
            fold(&mut operands, &mut operators);
        }
        Ok(operands.pop().expect("an expression has an operand"))
    }

    /// Literals, each with the sign before it.
    pub(super) fn signed<'i>(
        &self,
        pairs: impl Iterator<Item = Pair<'i, Rule>>,
    ) -> Read<Vec<Spanned<Literal>>> {
        let mut all = Vec::new();
        let mut sign: Option<Span> = None;
        for pair in pairs {
            if pair.as_rule() == Rule::negation {
                sign = Some(self.span(&pair));
                continue;
            }
            let Spanned { node, span } = self.literal(pair)?;
            all.push(match sign.take() {
                Some(sign) => Spanned {
                    node: node.negated(),
                    span: sign.to(span),
                },
                None => Spanned { node, span },
            });
        }
        Ok(all)
    }

    pub(super) fn literal(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Literal>> {
        let span = self.span(&pair);
        let mut numbers = Vec::new();
        let mut units = Vec::new();
        let mut plus_minus_before_unit = false;
        let (mut divisor, mut distribution) = (None, Distribution::Normal);
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::number => {
                    plus_minus_before_unit |= numbers.len() == 1 && units.is_empty();
                    numbers.push(self.number(&part)?);
                }
                Rule::spread => (divisor, distribution) = self.spread(part)?,
                _ => units.push(self.name(part)),
            }
        }
        let mut units = units.into_iter();
        let unit = units.next();
        let mut numbers = numbers.into_iter();
        let (number, value) = numbers.next().expect("a quantity begins with a number");
        let mut places = Places {
            value,
            spread: None,
        };
        let uncertainty = numbers.next().map(|(size, decimals)| -> Read<_> {
            // What is divided to become a standard uncertainty is not shown as it was written.
            places.spread = divisor.is_none().then_some(decimals);
            // `1.00 ± 0.01 g` shares its unit; `1.00 g ± 0.01` means it too.
            let own = if plus_minus_before_unit {
                None
            } else {
                units.next()
            };
            let standard = match divisor {
                // More than any number: told as one that cannot be read.
                Some(by) => {
                    Exact::modelled(size.to_f64() / by).ok_or(SyntaxFault::BadNumber { span })?
                }
                None => size,
            };
            Ok((standard, own.or_else(|| unit.clone())))
        });
        let uncertainty = uncertainty.transpose()?;
        Ok(Spanned {
            node: Literal {
                number,
                places,
                uncertainty,
                distribution,
                unit,
            },
            span,
        })
    }

    /// What a stated half-width is divided by to become a standard uncertainty: JCGM 100:2008, 4.3.7 (rectangular), 4.3.9
    /// (triangular), 2.3.6 (coverage factor).
    pub(super) fn spread(&self, pair: Pair<'_, Rule>) -> Read<(Option<f64>, Distribution)> {
        let kind = only(pair);
        Ok(match kind.as_rule() {
            Rule::limits => (Some(3_f64.sqrt()), Distribution::Rectangular),
            Rule::triangular => (Some(6_f64.sqrt()), Distribution::Triangular),
            _ => {
                let factor = only(kind);
                let size = self.number(&factor)?.0.to_f64();
                if !COVERAGE_FACTORS.contains(&size) {
                    return Err(SyntaxFault::CoverageFactor {
                        span: self.span(&factor),
                    });
                }
                (Some(size), Distribution::Normal)
            }
        })
    }

    pub(super) fn number(&self, pair: &Pair<'_, Rule>) -> Read<(Exact, i32)> {
        let text = pair.as_str();
        let number = Exact::decimal(text).map_err(|_| SyntaxFault::BadNumber {
            span: self.span(pair),
        })?;
        if !number.is_zero() && !SIZES.contains(&number.to_f64().abs()) {
            return Err(SyntaxFault::BeyondReach {
                span: self.span(pair),
            });
        }
        let (mantissa, power) = text.split_once(['e', 'E']).unwrap_or((text, "0"));
        let decimals = mantissa.split_once('.').map_or(0, |(_, part)| part.len());
        let shifted = i64::try_from(decimals).ok().zip(power.parse::<i64>().ok());
        let places = shifted.and_then(|(decimals, power)| i32::try_from(decimals - power).ok());
        Ok((number, places.unwrap_or(0)))
    }
}

/// Numbers that are read, besides zero: from solubility products to equilibrium constants, and with squares that floating-point
/// numbers reach.
const SIZES: RangeInclusive<f64> = 1e-100..=1e100;

/// Coverage factors that are read: Student's t for 95 % and one degree of freedom is 13 (JCGM 100:2008, table G.2).
const COVERAGE_FACTORS: RangeInclusive<f64> = 0.1..=100.0;

fn strength(operator: Operator) -> u8 {
    match operator {
        Operator::Add | Operator::Subtract => 1,
        Operator::Multiply | Operator::Divide => 2,
        Operator::Power => 3,
    }
}

fn fold(operands: &mut Vec<Spanned<Expr>>, operators: &mut Vec<Operator>) {
    let (Some(operator), Some(right), Some(left)) =
        (operators.pop(), operands.pop(), operands.pop())
    else {
        return;
    };
    operands.push(Spanned {
        span: left.span.to(right.span),
        node: Expr::Binary(operator, Box::new(left), Box::new(right)),
    });
}
