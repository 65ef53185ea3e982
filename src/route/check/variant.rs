//! The same program with other values.
//!
//! What stands on a label, on a vessel or in the weather may be reckoned from a `let`, and a `let` may be given another
//! value from outside; then all that hangs on it is reckoned again, and nothing is read or checked twice.

use std::sync::Arc;

use crate::number::{Number, Quantity, SampleDraw, Unit, unit};
use crate::vessel::{Reagent, ReagentFault, reagent};

use super::super::arithmetic;
use super::super::program::{Label, LetId, Node, Program, Value};
use super::CheckFault;

impl Program {
    /// What an expression comes to that asks no vessel; `None` if it asks one, or divides by zero.
    pub fn constant(&self, value: &Value) -> Option<Quantity> {
        self.reckoned(value, self.draw.as_deref())
    }

    /// The same for an expression of numbers alone, with what was written in the place of what is drawn for it.
    pub fn as_written(&self, value: &Value) -> Option<Quantity> {
        self.reckoned(value, None)
    }

    fn reckoned(&self, value: &Value, draw: Option<&SampleDraw>) -> Option<Quantity> {
        let reckon = |value: &Value| self.reckoned(value, draw);
        let found = match &value.node {
            Node::Constant(quantity) => match draw {
                Some(draw) => quantity.drawn(draw),
                None => quantity.clone(),
            },
            Node::Let(id) => self.lets[*id].known.clone()?,
            Node::Negative(inner) => reckon(inner)?.negated(),
            Node::Binary(operator, left, right) => {
                arithmetic::apply(*operator, &reckon(left)?, &reckon(right)?).ok()?
            }
            Node::Magnitude(inner) => arithmetic::magnitude(reckon(inner)?),
            Node::Extreme { largest, among } => {
                let all: Option<Vec<Quantity>> = among.iter().map(reckon).collect();
                arithmetic::extreme(*largest, all?)?
            }
            _ => return None,
        };
        Some(match value.unit {
            Some(unit) if found.written_in().is_none() => found.shown_in(&unit),
            _ => found,
        })
    }

    /// The program with other values of some `let`s; the fault tells what cannot stand with them.
    pub fn with(&self, settings: &[(LetId, Quantity)]) -> Result<Program, CheckFault> {
        let mut program = self.clone();
        for (id, value) in settings {
            program.lets[*id].set = Some(value.clone());
        }
        program.reckon()?;
        Ok(program)
    }

    /// The program with values at random in the place of every uncertainty; the fault tells what cannot stand with
    /// them.
    pub fn drawn(&self, draw: SampleDraw) -> Result<Program, CheckFault> {
        let draw = Arc::new(draw);
        let mut program = self.clone();
        for slot in &mut program.lets {
            slot.set = slot.set.as_ref().map(|set| set.drawn(&draw));
        }
        program.store = self.store.drawn(draw.clone());
        program.draw = Some(draw);
        program.reckon()?;
        Ok(program)
    }

    /// A stated quantity, or what was drawn for it.
    pub fn as_drawn(&self, stated: &Quantity) -> Quantity {
        match &self.draw {
            Some(draw) => stated.drawn(draw),
            None => stated.clone(),
        }
    }

    /// The same for a number.
    pub fn number_as_drawn(&self, stated: &Number) -> Number {
        match &self.draw {
            Some(draw) => draw.of(stated),
            None => stated.clone(),
        }
    }

    /// Everything that is known before the route runs.
    fn reckon(&mut self) -> Result<(), CheckFault> {
        for id in self.lets.keys() {
            let slot = &self.lets[id];
            self.lets[id].known = slot.set.clone().or_else(|| self.constant(&slot.value));
        }
        self.set_scene()
    }

    fn set_scene(&mut self) -> Result<(), CheckFault> {
        let (temperature, pressure) = self.ambient_from.clone();
        let drawn = self.draw.is_some();
        let hangs = |value: &Option<Value>| {
            let value = value.as_ref();
            value.is_some_and(|value| !value.is_literal() || (drawn && !value.is_exact()))
        };
        let other_room = hangs(&temperature) || hangs(&pressure);
        if let Some(kelvins) = temperature {
            self.ambient.temperature = self.stated_in(&kelvins, &unit::KELVIN)?;
        }
        if let Some(pressure) = pressure {
            self.ambient.pressure = self.stated_in(&pressure, &unit::KILOPASCAL)?;
        }
        for id in self.vessels.keys() {
            if let Some(from) = self.vessels[id].capacity_from.clone() {
                self.vessels[id].capacity = Some(self.stated_in(&from, &unit::MILLILITRE)?);
            }
        }
        for id in self.bottles.keys() {
            let label = &self.bottles[id].label;
            if other_room || hangs(&label.strength) || hangs(&label.density) {
                self.fill_again(id).map_err(|fault| CheckFault::OfBottle {
                    bottle: self.bottles[id].name.clone(),
                    fault: Box::new(fault),
                })?;
            }
        }
        Ok(())
    }

    fn fill_again(&mut self, id: super::BottleId) -> Result<(), CheckFault> {
        let bottle = &self.bottles[id];
        let pourable = reagent::pourable(&bottle.stuff).is_ok();
        let made = self.fill(&bottle.label)?;
        if pourable && let Err(fault) = reagent::pourable(&made) {
            let span = bottle.span;
            return Err(CheckFault::Reagent { span, fault });
        }
        self.bottles[id].stuff = made;
        Ok(())
    }

    /// What a label says is in the bottle.
    pub fn fill(&self, label: &Label) -> Result<Reagent, CheckFault> {
        let density = match &label.density {
            Some(density) => Some(self.stated_in(density, &unit::GRAM_PER_MILLILITRE)?),
            None => None,
        };
        let Some(strength) = &label.strength else {
            let made = reagent::pure(&self.store, &label.species, Number::one(), density);
            return made.map_err(|fault| CheckFault::Reagent {
                span: Default::default(),
                fault,
            });
        };
        let span = strength.span;
        let value = self.constant(strength);
        let value = value.ok_or_else(|| self.unknown(strength))?;
        strength.admit(&value)?;
        let text = if strength.is_literal() {
            strength.text.clone()
        } else {
            as_written(&value)
        };
        let made = reagent::bottle(
            &self.store,
            &label.species,
            &value,
            density,
            (&text, &self.ambient),
        );
        made.map_err(|fault: ReagentFault| CheckFault::Reagent { span, fault })
    }

    /// Why [`Program::constant`] has no answer: a vessel is asked, or nothing comes out of it.
    fn unknown(&self, value: &Value) -> CheckFault {
        let span = value.span;
        match self.asks_a_vessel(value) {
            true => CheckFault::NotStated { span },
            false => CheckFault::NoResult { span },
        }
    }

    /// Whether what is known before a route runs is not enough. A `let` that is not known counts as asking.
    fn asks_a_vessel(&self, value: &Value) -> bool {
        match &value.node {
            Node::Constant(_) => false,
            Node::Let(id) => self.lets[*id].known.is_none(),
            Node::Negative(inner) | Node::Magnitude(inner) => self.asks_a_vessel(inner),
            Node::Binary(_, left, right) => self.asks_a_vessel(left) || self.asks_a_vessel(right),
            Node::Extreme { among, .. } => among.iter().any(|one| self.asks_a_vessel(one)),
            _ => true,
        }
    }

    /// A stated value in a unit.
    pub fn stated_in(&self, value: &Value, wanted: &Unit) -> Result<Number, CheckFault> {
        let span = value.span;
        let quantity = self.constant(value);
        let quantity = quantity.ok_or_else(|| self.unknown(value))?;
        value.admit(&quantity)?;
        quantity
            .in_unit(wanted)
            .map_err(|mismatch| CheckFault::WrongDimension {
                span,
                found: mismatch.found,
                expected: vec![mismatch.expected],
            })
    }
}

impl Value {
    /// Whether it is a number as written that was given no uncertainty.
    pub fn is_exact(&self) -> bool {
        matches!(&self.node, Node::Constant(quantity) if quantity.number().is_exact())
    }

    /// Whether it is a number as written, on which no `let` has a say.
    pub fn is_literal(&self) -> bool {
        matches!(self.node, Node::Constant(_))
    }

    /// Whether it is made of numbers as written alone.
    pub fn is_constant(&self) -> bool {
        match &self.node {
            Node::Constant(_) => true,
            Node::Negative(inner) | Node::Magnitude(inner) => inner.is_constant(),
            Node::Binary(_, left, right) => left.is_constant() && right.is_constant(),
            Node::Extreme { among, .. } => among.iter().all(Value::is_constant),
            _ => false,
        }
    }

    /// Fails where what it comes to is not what its place demands.
    pub fn admit(&self, quantity: &Quantity) -> Result<(), CheckFault> {
        let admitted = self.demand.admit(quantity);
        admitted.map_err(|fault| CheckFault::OutOfRange {
            span: self.span,
            expression: self.text.clone(),
            fault,
        })
    }
}

/// The most decimals of a label.
const MOST_PLACES: usize = 12;

/// A strength as a label would say it: as somebody wrote it, or to the last digit where it is reckoned.
fn as_written(value: &Quantity) -> String {
    let Some(unit) = value.written_in() else {
        return value.number().value().to_plain();
    };
    let number = value.in_unit(&unit);
    let number = number.unwrap_or_else(|_| value.number().clone());
    let written = value
        .places()
        .and_then(|places| usize::try_from(places.value).ok());
    let number = match written {
        Some(places) if places <= MOST_PLACES => number.value().to_fixed(places),
        _ => number.value().to_plain(),
    };
    format!("{number} {}", unit.symbol())
}
