//! What `find` and `vary` ask, checked.

use crate::number::{Exact, Number, Places, Quantity};
use crate::text::Span;

use super::{Action, Instruction, LetId, Program, Value};

/// The most runs that one `vary` may ask for.
pub const MOST_RUNS: usize = 10_000;

/// A value that `find` looks for.
#[derive(Clone, Debug)]
pub struct Sought {
    /// The `let`.
    pub slot: LetId,
    /// The smallest value that is tried.
    pub low: Value,
    /// The largest.
    pub high: Value,
}

/// A condition that `find` meets.
#[derive(Clone, Debug)]
pub struct Target {
    /// What is reckoned.
    pub left: Value,
    /// What it shall come to.
    pub right: Value,
    /// As written.
    pub text: String,
}

/// A name and the values that `vary` gives it.
#[derive(Clone, Debug)]
pub struct Variation {
    /// The `let`.
    pub slot: LetId,
    /// The values.
    pub values: Values,
}

/// The values of a [`Variation`].
#[derive(Clone, Debug)]
pub enum Values {
    /// As listed.
    Listed(Vec<Value>),
    /// From `low` on, by `step`, none above `high`.
    Series {
        /// The first.
        low: Value,
        /// The limit.
        high: Value,
        /// From one to the next.
        step: Value,
    },
}

/// Why a range has no values.
#[derive(Clone, Copy, Debug, Eq, PartialEq, thiserror::Error)]
pub enum RangeFault {
    /// A bound that hangs on what a vessel holds.
    #[error("a value is needed here that is known before the route runs")]
    NotStated(Span),
    /// `1 g .. 5 g by 0 g`, or by less.
    #[error("a step is more than nothing")]
    NoStep(Span),
    /// `5 g .. 1 g`
    #[error("this range is empty")]
    Empty(Span),
    /// More runs than [`MOST_RUNS`].
    #[error("this asks for more than {} runs of the route", MOST_RUNS)]
    TooMany(Span),
}

impl RangeFault {
    /// Where.
    pub fn span(self) -> Span {
        match self {
            RangeFault::NotStated(span)
            | RangeFault::NoStep(span)
            | RangeFault::Empty(span)
            | RangeFault::TooMany(span) => span,
        }
    }
}

impl Instruction {
    /// Whether it makes the route run more than once.
    pub fn plans(&self) -> bool {
        matches!(self.action, Action::Find { .. } | Action::Vary { .. })
    }
}

impl Program {
    /// Every `find` and `vary`, in the order in which a run meets them.
    pub fn planning(&self) -> Vec<&Instruction> {
        let mut all = Vec::new();
        for instruction in self.body.iter() {
            match &instruction.action {
                Action::Step { body, .. } => all.extend(body.iter().filter(|i| i.plans())),
                _ if instruction.plans() => all.push(instruction),
                _ => {}
            }
        }
        all
    }

    /// A value that no vessel has to be asked for.
    pub fn stated(&self, value: &Value) -> Result<Quantity, RangeFault> {
        self.constant(value)
            .ok_or(RangeFault::NotStated(value.span))
    }

    /// The bounds of an unknown, the smaller first.
    pub fn bounds(&self, sought: &Sought) -> Result<(Quantity, Quantity), RangeFault> {
        self.ordered(&sought.low, &sought.high)
    }

    fn ordered(&self, low: &Value, high: &Value) -> Result<(Quantity, Quantity), RangeFault> {
        let (first, last) = (self.stated(low)?, self.stated(high)?);
        if first.number().value() >= last.number().value() {
            return Err(RangeFault::Empty(low.span.to(high.span)));
        }
        Ok((first, last))
    }

    /// The values of a variation, in order.
    pub fn values(&self, variation: &Variation) -> Result<Vec<Quantity>, RangeFault> {
        match &variation.values {
            Values::Listed(values) => values.iter().map(|value| self.stated(value)).collect(),
            Values::Series { low, high, step } => self.series(low, high, step),
        }
    }

    fn series(&self, low: &Value, high: &Value, step: &Value) -> Result<Vec<Quantity>, RangeFault> {
        let (first, last) = self.ordered(low, high)?;
        let stated = self.stated(step)?;
        let by = difference(&stated);
        let places = places(&first, &stated);
        if !by.is_positive() {
            return Err(RangeFault::NoStep(step.span));
        }
        let length = last.number().value() - first.number().value();
        let steps = length
            .checked_div(&by)
            .ok_or(RangeFault::NoStep(step.span))?;
        if steps >= Exact::from(MOST_RUNS as i64) {
            return Err(RangeFault::TooMany(low.span.to(step.span)));
        }
        let value = |index: i64| {
            let number = first.number() + &Number::exact(&by * &Exact::from(index));
            let value = Quantity::coherent(number, first.dimension());
            let value = match first.written_in() {
                Some(unit) => value.shown_in(&unit),
                None => value,
            };
            match places {
                Some(places) => value.entered(places),
                None => value,
            }
        };
        Ok((0..=steps.to_f64().floor() as i64).map(value).collect())
    }
}

/// The decimals that every value of a series needs, if its beginning and its step are written in one unit.
fn places(first: &Quantity, step: &Quantity) -> Option<Places> {
    let factor = |one: &Quantity| one.written_in().map(|unit| unit.factor());
    let (a, b) = (first.places()?, step.places()?);
    let same = factor(first) == factor(step) && first.number().is_exact();
    same.then_some(Places {
        value: a.value.max(b.value),
        spread: None,
    })
}

/// A step in SI units: a step of 5 °C is 5 K, and not the reading.
fn difference(step: &Quantity) -> Exact {
    match step.written_in() {
        Some(unit) if unit.has_offset() => (step.number() - &Number::exact(unit.offset()))
            .value()
            .clone(),
        _ => step.number().value().clone(),
    }
}
