//! The same program with other values.
//!
//! What stands on a label, on a vessel or in the weather may be reckoned from a `let`, and a `let` may be given another
//! value from outside; then all that hangs on it is reckoned again, and nothing is read or checked twice.

use crate::number::{Number, Quantity, Unit, unit};

use super::super::arithmetic;
use super::super::check::CheckFault;
use super::super::stuff::{self, StuffFault};
use super::{Label, LetId, Node, Program, Stuff, Value};

impl Program {
    /// What an expression comes to that asks no vessel; `None` if it asks one, or divides by zero.
    pub fn constant(&self, value: &Value) -> Option<Quantity> {
        let found = match &value.node {
            Node::Constant(quantity) => quantity.clone(),
            Node::Let(id) => self.lets[*id].known.clone()?,
            Node::Negative(inner) => self.constant(inner)?.negated(),
            Node::Binary(operator, left, right) => {
                arithmetic::apply(*operator, &self.constant(left)?, &self.constant(right)?).ok()?
            }
            Node::Magnitude(inner) => arithmetic::magnitude(self.constant(inner)?),
            Node::Extreme { largest, among } => {
                let all: Option<Vec<Quantity>> = among.iter().map(|v| self.constant(v)).collect();
                arithmetic::extreme(*largest, all?)?
            }
            _ => return None,
        };
        Some(match value.unit {
            Some(unit) if found.written_in().is_none() => found.shown_in(unit),
            _ => found,
        })
    }

    /// The program with other values of some `let`s; the fault tells what cannot stand with them.
    pub fn with(&self, settings: &[(LetId, Quantity)]) -> Result<Program, CheckFault> {
        let mut program = self.clone();
        for (id, value) in settings {
            program.lets[*id].set = Some(value.clone());
        }
        for id in 0..program.lets.len() {
            let slot = &program.lets[id];
            program.lets[id].known = slot.set.clone().or_else(|| program.constant(&slot.value));
        }
        program.set_scene()?;
        Ok(program)
    }

    fn set_scene(&mut self) -> Result<(), CheckFault> {
        let (temperature, pressure) = self.ambient_from.clone();
        let hangs = |value: &Option<Value>| value.as_ref().is_some_and(|v| !v.is_literal());
        let other_room = hangs(&temperature) || hangs(&pressure);
        if let Some(kelvins) = temperature {
            self.ambient.temperature = self.stated_in(&kelvins, &unit::KELVIN)?;
        }
        if let Some(pressure) = pressure {
            self.ambient.pressure = self.stated_in(&pressure, &unit::KILOPASCAL)?;
        }
        for id in 0..self.vessels.len() {
            if let Some(from) = self.vessels[id].capacity_from.clone() {
                self.vessels[id].capacity = Some(self.stated_in(&from, &unit::MILLILITRE)?);
            }
        }
        for id in 0..self.bottles.len() {
            let label = &self.bottles[id].label;
            if other_room || hangs(&label.strength) || hangs(&label.density) {
                self.fill_again(id)?;
            }
        }
        Ok(())
    }

    fn fill_again(&mut self, id: super::BottleId) -> Result<(), CheckFault> {
        let bottle = &self.bottles[id];
        let pourable = stuff::pourable(&bottle.stuff).is_ok();
        let made = self.fill(&bottle.label)?;
        if pourable && let Err(fault) = stuff::pourable(&made) {
            let span = bottle.span;
            return Err(CheckFault::Stuff { span, fault });
        }
        self.bottles[id].stuff = made;
        Ok(())
    }

    /// What a label says is in the bottle.
    pub fn fill(&self, label: &Label) -> Result<Stuff, CheckFault> {
        let density = match &label.density {
            Some(density) => Some(self.stated_in(density, &unit::GRAM_PER_MILLILITRE)?),
            None => None,
        };
        let Some(strength) = &label.strength else {
            let made = stuff::pure(&self.store, &label.species, Number::one(), density);
            return made.map_err(|fault| CheckFault::Stuff {
                span: Default::default(),
                fault,
            });
        };
        let span = strength.span;
        let value = self.constant(strength);
        let value = value.ok_or(CheckFault::NotStated { span })?;
        let text = if strength.is_literal() {
            strength.text.clone()
        } else {
            as_written(&value)
        };
        let made = stuff::bottle(
            &self.store,
            &label.species,
            &value,
            density,
            (&text, &self.ambient),
        );
        made.map_err(|fault: StuffFault| CheckFault::Stuff { span, fault })
    }

    /// A stated value in a unit.
    pub fn stated_in(&self, value: &Value, wanted: &Unit) -> Result<Number, CheckFault> {
        let span = value.span;
        let quantity = self.constant(value);
        let quantity = quantity.ok_or(CheckFault::NotStated { span })?;
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
    /// Whether it is a number as written, on which no `let` has a say.
    pub fn is_literal(&self) -> bool {
        matches!(self.node, Node::Constant(_))
    }
}

/// A reckoned strength as a label would say it, to the last digit.
fn as_written(value: &Quantity) -> String {
    let Some(unit) = value.written_in() else {
        return value.number().value().to_plain();
    };
    let number = value.in_unit(unit);
    let number = number.unwrap_or_else(|_| value.number().clone());
    format!("{} {}", number.value().to_plain(), unit.symbol)
}
