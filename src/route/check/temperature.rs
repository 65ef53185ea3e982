//! Readings of a thermometer and differences of temperature, told apart.
//!
//! A quantity in °C is a reading of a scale with a zero of its own; between two readings lies a difference in K, and what
//! is written in K may be either. So `20 °C + 5 K` is a reading, and `20 °C + 5 °C` is nothing.

use crate::number::{Dimension, Unit, unit};
use crate::text::Span;

use super::super::program::{Node, Value};
use super::super::syntax::Operator;
use super::fault::ReadingFault;
use super::{CheckFault, Checked, Checker};

/// What a sum or a difference of temperatures is written in.
pub(super) fn unit_of(operator: Operator, left: &Value, right: &Value) -> Option<Unit> {
    match (operator, is_reading(left), is_reading(right)) {
        (Operator::Subtract, true, true) => Some(unit::KELVIN),
        (Operator::Add | Operator::Subtract, true, _) | (Operator::Add, _, true) => {
            Some(unit::CELSIUS)
        }
        _ => None,
    }
}

/// The unit of what lies between two quantities of a unit.
pub(super) fn between_readings(unit: Unit) -> Unit {
    match unit.has_offset() {
        true => unit::KELVIN,
        false => unit,
    }
}

fn is_reading(value: &Value) -> bool {
    value.unit.is_some_and(|unit| unit.has_offset())
}

impl Checker<'_> {
    /// Whether it can only be a difference.
    pub(super) fn is_difference(&self, value: &Value) -> bool {
        if value.dimension != Dimension::TEMPERATURE || is_reading(value) {
            return false;
        }
        match &value.node {
            Node::Let(id) => self.program.lets[*id].difference,
            Node::Negative(inner) | Node::Magnitude(inner) => self.is_difference(inner),
            Node::Uncertainty(_) => true,
            Node::Extreme { among, .. } => among.iter().any(|one| self.is_difference(one)),
            Node::Binary(Operator::Subtract, left, right)
                if is_reading(left) && is_reading(right) =>
            {
                true
            }
            Node::Binary(_, left, right) => self.is_difference(left) || self.is_difference(right),
            _ => false,
        }
    }

    /// That an operator can be used between them.
    pub(super) fn readings(
        &mut self,
        operator: Operator,
        left: &Value,
        right: &Value,
        span: Span,
    ) -> Checked<()> {
        use Operator::{Add, Divide, Multiply, Power, Subtract};
        let fault = match (operator, is_reading(left), is_reading(right)) {
            (Multiply | Divide | Power, true, _) | (Multiply | Divide | Power, _, true) => {
                ReadingFault::Scaled
            }
            (Add, true, true) => ReadingFault::Added,
            (Subtract, false, true) if left.dimension == right.dimension => {
                ReadingFault::TakenFromDifference
            }
            _ => return Ok(()),
        };
        self.fault(CheckFault::Reading { span, fault })
    }

    /// That it has a sign, or can lose it.
    pub(super) fn no_reading(&mut self, value: &Value) -> Checked<()> {
        match is_reading(value) {
            true => self.fault(CheckFault::Reading {
                span: value.span,
                fault: ReadingFault::Scaled,
            }),
            false => Ok(()),
        }
    }

    /// That a thermometer could show it.
    pub(super) fn no_difference(&mut self, value: &Value) -> Checked<()> {
        match self.is_difference(value) {
            true => self.fault(CheckFault::Reading {
                span: value.span,
                fault: ReadingFault::DifferenceForReading,
            }),
            false => Ok(()),
        }
    }

    /// That two temperatures can be compared.
    pub(super) fn same_scale(&mut self, left: &Value, right: &Value) -> Checked<()> {
        let reading = match (self.is_difference(left), self.is_difference(right)) {
            (true, _) if is_reading(right) => right,
            (_, true) if is_reading(left) => left,
            _ => return Ok(()),
        };
        self.fault(CheckFault::Reading {
            span: reading.span,
            fault: ReadingFault::ReadingForDifference,
        })
    }
}
