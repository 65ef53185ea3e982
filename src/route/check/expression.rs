//! Expressions: names and functions resolved, dimensions worked out.

use crate::number::{Dimension, Unit};

use super::super::program::{Demand, Node, Value};
use super::super::syntax::{Expr, Name, Operator, Spanned};
use super::{CheckFault, Checked, Checker, Meaning, NameKind, temperature};

impl Checker<'_> {
    /// An expression of any dimension. Recursion is bounded by the parser's limit on nesting.
    pub(super) fn value(&mut self, expr: &Spanned<Expr>) -> Checked<Value> {
        let span = expr.span;
        let made = |node, dimension, unit: Option<Unit>| (node, dimension, unit);
        let (node, dimension, unit) = match &expr.node {
            Expr::Literal(value) => {
                let label = bare(self.written(span));
                let quantity = self.written_quantity(value, span, label)?;
                let unit = quantity.written_in();
                let dimension = quantity.dimension();
                made(Node::Constant(quantity), dimension, unit)
            }
            Expr::Name(name) => {
                let name = Name {
                    node: name.clone(),
                    span,
                };
                let Meaning::Let(id) = self.resolve(&name, NameKind::Value)? else {
                    return Err(());
                };
                let slot = &self.program.lets[id];
                made(Node::Let(id), slot.dimension, slot.value.unit)
            }
            // `-10 °C` is ten degrees of frost, not the negative of 283.15 K.
            Expr::Negative(inner) if matches!(inner.node, Expr::Literal(_)) => {
                let Expr::Literal(value) = &inner.node else {
                    return Err(());
                };
                let below = Spanned {
                    node: Expr::Literal(value.negated()),
                    span,
                };
                return self.value(&below);
            }
            Expr::Negative(inner) => {
                let inner = self.value(inner)?;
                self.no_reading(&inner)?;
                let (dimension, unit) = (inner.dimension, inner.unit);
                made(Node::Negative(Box::new(inner)), dimension, unit)
            }
            Expr::Binary(operator, left, right) => {
                let (left, right) = (self.value(left), self.value(right));
                let (left, right) = (left?, right?);
                let dimension = self.combined(*operator, &left, &right, span)?;
                let unit = temperature::unit_of(*operator, &left, &right).or_else(|| {
                    let kept = left.dimension == dimension;
                    kept.then(|| left.unit.or(right.unit)).flatten()
                });
                made(
                    Node::Binary(*operator, Box::new(left), Box::new(right)),
                    dimension,
                    unit,
                )
            }
            Expr::Call(function, arguments) => return self.function(function, arguments, expr),
        };
        Ok(Value {
            node,
            dimension,
            unit,
            demand: Demand::ANY,
            span,
            text: self.written(span),
        })
    }

    /// An expression for a place that demands something: of the right kind, and in its range as far as that is known
    /// before the route runs.
    pub(super) fn value_of(&mut self, expr: &Spanned<Expr>, demand: Demand) -> Checked<Value> {
        let allowed: Vec<Dimension> = demand.dimensions().collect();
        let value = self.value_in(expr, &allowed)?;
        self.demanded(value, demand)
    }

    /// The value with what its place demands; numbers as written are admitted now.
    pub(super) fn demanded(&mut self, value: Value, demand: Demand) -> Checked<Value> {
        let value = Value { demand, ..value };
        if value.is_constant()
            && let Some(quantity) = self.program.constant(&value)
        {
            self.keep(value.admit(&quantity))?;
        }
        Ok(value)
    }

    /// An expression that must have one of some dimensions.
    pub(super) fn value_in(
        &mut self,
        expr: &Spanned<Expr>,
        allowed: &[Dimension],
    ) -> Checked<Value> {
        let value = self.value(expr)?;
        self.expected(&value, allowed)?;
        if allowed == [Dimension::TEMPERATURE] {
            self.no_difference(&value)?;
        }
        Ok(value)
    }

    pub(super) fn expected(&mut self, value: &Value, allowed: &[Dimension]) -> Checked<()> {
        if allowed.contains(&value.dimension) {
            return Ok(());
        }
        self.fault(CheckFault::WrongDimension {
            span: value.span,
            found: value.dimension,
            expected: allowed.to_vec(),
        })
    }

    pub(super) fn optional(
        &mut self,
        expr: Option<&Spanned<Expr>>,
        demand: Demand,
    ) -> Checked<Option<Value>> {
        expr.map(|expr| self.value_of(expr, demand)).transpose()
    }

    fn combined(
        &mut self,
        operator: Operator,
        left: &Value,
        right: &Value,
        span: crate::text::Span,
    ) -> Checked<Dimension> {
        if [left, right]
            .map(|side| side.dimension)
            .contains(&Dimension::TEMPERATURE)
        {
            self.readings(operator, left, right, span)?;
        }
        match operator {
            Operator::Multiply => Ok(left.dimension * right.dimension),
            Operator::Divide => Ok(left.dimension / right.dimension),
            Operator::Add | Operator::Subtract if left.dimension == right.dimension => {
                Ok(left.dimension)
            }
            Operator::Add | Operator::Subtract => self.fault(CheckFault::MixedDimensions {
                span,
                left: left.dimension,
                right: right.dimension,
            }),
            Operator::Power => {
                match Self::small_integer(right).and_then(|n| left.dimension.power(n)) {
                    Some(dimension) => Ok(dimension),
                    None => self.fault(CheckFault::BadPower { span }),
                }
            }
        }
    }

    /// Both sides measure the same kind, and where that is temperature, both a reading or both a difference.
    pub(super) fn same_kind(&mut self, left: &Value, right: &Value) -> Checked<()> {
        if left.dimension == right.dimension {
            return self.same_scale(left, right);
        }
        self.fault(CheckFault::MixedDimensions {
            span: right.span,
            left: left.dimension,
            right: right.dimension,
        })
    }
}

/// Without the brackets around all of it.
fn bare(text: String) -> String {
    let inner = text.strip_prefix('(').and_then(|t| t.strip_suffix(')'));
    inner.map_or(text.clone(), |inner| inner.trim().to_owned())
}
