//! Expressions worked out.

use crate::matter::{Phase, Species};
use crate::number::{Dimension, Exact, Number, Quantity, Unit, unit};
use crate::vessel::{Heat, grams, liquid, reagent, salts};

use super::super::arithmetic::{self, NoResult};
use super::super::ledger::{Answer, Fact, Weight};
use super::super::program::{
    Demand, HandQuestion, Node, Program, Property, SpeciesProperty, Value, VesselId,
};
use super::super::syntax::Operator;
use super::{Done, Refusal, Run, gas, heat_control, strength};

impl Run<'_> {
    /// The quantity of an expression, or why there is none.
    pub fn quantity(&mut self, value: &Value) -> Done<Quantity> {
        match self.answer(value)? {
            Answer::Quantity(quantity) => admitted(value.demand, &value.text, quantity),
            Answer::Budget(_) | Answer::Unknown => Err(no_answer(value)),
        }
    }

    /// The answer to a question that others do not depend on: without one, a remark says why.
    pub fn answered(&mut self, value: &Value) -> Answer {
        match self.answer(value) {
            Ok(answer) => answer,
            Err(refusal) => {
                self.remark(refusal.weight, *refusal.fact);
                Answer::Unknown
            }
        }
    }

    /// The quantity of an expression that others do not depend on: without one, a remark says why.
    pub fn known_quantity(&mut self, value: &Value) -> Option<Quantity> {
        match self.quantity(value) {
            Ok(quantity) => Some(quantity),
            Err(refusal) => {
                self.remark(refusal.weight, *refusal.fact);
                None
            }
        }
    }

    /// Recursion is bounded by the parser's limit on nesting.
    fn answer(&mut self, value: &Value) -> Done<Answer> {
        let quantity = match &value.node {
            Node::Constant(quantity) => self.program.as_drawn(quantity),
            Node::Let(id) => match self.values.get(*id).cloned().flatten() {
                Some(quantity) => quantity,
                None => return Err(no_answer(value)),
            },
            Node::Negative(inner) => self.quantity(inner)?.negated(),
            Node::Binary(operator, left, right) => {
                let (left, right) = (self.quantity(left)?, self.quantity(right)?);
                binary(value, *operator, &left, &right)?
            }
            Node::Of(property, vessel) => match self.of(*property, *vessel) {
                Some(quantity) => quantity,
                None => return Err(no_answer(value)),
            },
            Node::OfSpecies(property, species, vessel) => {
                match self.of_species(*property, species, *vessel) {
                    Some(quantity) => quantity,
                    None => return Err(no_answer(value)),
                }
            }
            Node::Strength(bottle) => match strength(&self.stuff(*bottle)) {
                Some(quantity) => quantity,
                None => return Err(no_answer(value)),
            },
            Node::InHand(question, vessel, limit) => {
                let limit = self.quantity(limit)?;
                let found = heat_control::answer(self, *question, *vessel, limit.number());
                let (Some(number), Some(unit)) = (found, value.unit) else {
                    return Err(no_answer(value));
                };
                match question {
                    HandQuestion::Shortest => Quantity::of(number, &unit::SECOND).shown_in(&unit),
                    _ => Quantity::of(number, &unit::GRAM),
                }
            }
            Node::Uncertainty(inner) => {
                let quantity = self.quantity(inner)?;
                let spread = quantity.number().standard_uncertainty();
                let number = Number::modelled(spread).unwrap_or_else(Number::zero);
                self.spread(Quantity::coherent(number, quantity.dimension()))?
            }
            Node::Budget(inner) => {
                let quantity = self.quantity(inner)?;
                return Ok(Answer::Budget(budget(self.program, quantity.number())));
            }
            Node::Extreme { largest, among } => {
                let mut all = Vec::new();
                for value in among {
                    all.push(self.quantity(value)?);
                }
                let found = arithmetic::extreme(*largest, all);
                match found {
                    Some(quantity) => quantity,
                    None => return Err(no_answer(value)),
                }
            }
            Node::Magnitude(inner) => arithmetic::magnitude(self.quantity(inner)?),
        };
        Ok(Answer::Quantity(match value.unit {
            Some(unit) if quantity.written_in().is_none() => quantity.shown_in(&unit),
            _ => quantity,
        }))
    }

    fn of(&mut self, property: Property, id: VesselId) -> Option<Quantity> {
        let in_unit = |number: Number, unit: &Unit| Some(Quantity::of(number, unit));
        let kelvins = |number: Number| {
            let quantity = Quantity::coherent(number, Dimension::TEMPERATURE);
            Some(quantity.shown_in(&unit::CELSIUS))
        };
        match property {
            Property::Mass => in_unit(self.contents(id).grams(), &unit::GRAM),
            Property::Volume if self.contents(id).liquid().is_empty() => {
                in_unit(Number::zero(), &unit::MILLILITRE)
            }
            Property::Volume => in_unit(self.volume(id)?, &unit::MILLILITRE),
            Property::Temperature if self.bench.vessel(id).knows_temperature() => {
                kelvins(self.kelvins(id).clone())
            }
            Property::Warmest | Property::Peak if !self.bench.vessel(id).knew_temperature() => None,
            Property::Temperature => None,
            Property::Warmest => kelvins(heat_control::warmest(self, id)?),
            Property::Peak => kelvins(self.bench.vessel(id).peak().cloned()?),
            Property::Density => {
                let vessel = self.bench.vessel(id);
                let found = liquid::density(vessel.contents(), vessel.temperature())?;
                in_unit(self.noted(found), &unit::GRAM_PER_MILLILITRE)
            }
            Property::Titre => {
                let titrated = self.record.histories[id].titrated.as_ref()?;
                in_unit(titrated.titre.clone(), &unit::MILLILITRE)
            }
            Property::Analyte => {
                let titrated = self.record.histories[id].titrated.as_ref()?;
                in_unit(titrated.analyte.clone(), &unit::MOLE)
            }
            Property::Heat => match &self.record.histories[id].heat {
                Heat::Known(heat) => in_unit(heat.clone(), &unit::KILOJOULE),
                Heat::Unknown(_) => None,
            },
        }
    }

    fn of_species(
        &mut self,
        property: SpeciesProperty,
        species: &Species,
        id: VesselId,
    ) -> Option<Quantity> {
        self.record.asked.insert(species.with_phase(None));
        let moles = self.amount_of(species, id);
        match property {
            SpeciesProperty::Amount => Some(Quantity::of(moles, &unit::MOLE)),
            SpeciesProperty::Concentration => {
                let litres = self.volume(id)?.scaled(&Exact::ratio(1, 1000));
                Some(Quantity::of(moles.checked_div(&litres)?, &unit::MOLAR))
            }
            SpeciesProperty::Fraction => {
                let whole = self.contents(id).grams();
                let part = grams(species, &moles).checked_div(&whole)?;
                Some(Quantity::plain(part).shown_in(&unit::PER_CENT))
            }
            SpeciesProperty::Moist => {
                let litres =
                    &self.given_off(species, id) * &self.program.ambient.moist_gas_volume()?;
                Some(Quantity::of(litres, &unit::LITRE))
            }
            SpeciesProperty::Filling => {
                let given_off = self.given_off(species, id);
                let seconds = gas::filling(self, id, &given_off)?;
                Some(Quantity::of(seconds, &unit::SECOND).shown_in(&unit::MINUTE))
            }
            SpeciesProperty::Gas => {
                let litres =
                    &self.given_off(species, id) * &self.program.ambient.molar_gas_volume();
                Some(Quantity::of(litres, &unit::LITRE))
            }
        }
    }

    /// Gas given off so far, in mol.
    fn given_off(&self, species: &Species, id: VesselId) -> Number {
        let gas = species.with_phase(Some(Phase::Gas));
        self.record.histories[id].gas.amount(&gas)
    }

    /// All of a species in a vessel, in whatever phase unless one is stated; a dissolved salt by its ions.
    pub fn amount_of(&self, species: &Species, id: VesselId) -> Number {
        let contents = self.contents(id);
        if species.phase().is_some() {
            return contents.amount(species);
        }
        let same = contents.iter().filter(|(s, _)| s.key() == species.key());
        let whole: Number = same.map(|(_, n)| n.clone()).sum();
        let ions = reagent::in_solution(species);
        if ions.len() < 2 {
            return whole;
        }
        let dissolved = salts::units_in_solution(contents, species).unwrap_or_else(Number::zero);
        &whole + &dissolved
    }
}

/// Shares of the inputs in the variance, largest first.
fn budget(program: &Program, number: &Number) -> Vec<(String, f64)> {
    let total: f64 = number.contributions().iter().map(|(_, c)| c * c).sum();
    if total == 0.0 {
        return Vec::new();
    }
    let label = |input: crate::number::InputId| match program.inputs.get(input.0 as usize) {
        Some(input) => input.label.clone(),
        None => "published data".to_owned(),
    };
    let mut shares: Vec<(String, f64)> = Vec::new();
    for (input, c) in number.contributions() {
        let label = label(*input);
        match shares.iter_mut().find(|(known, _)| *known == label) {
            Some((_, share)) => *share += c * c / total,
            None => shares.push((label, c * c / total)),
        }
    }
    shares.sort_by(|a, b| b.1.total_cmp(&a.1));
    shares
}

/// The quantity, or a refusal where its place demands another.
pub fn admitted(demand: Demand, expression: &str, quantity: Quantity) -> Done<Quantity> {
    match demand.admit(&quantity) {
        Ok(()) => Ok(quantity),
        Err(fault) => Err(Refusal::of(Fact::OutOfRange {
            expression: expression.to_owned(),
            fault,
        })),
    }
}

fn no_answer(value: &Value) -> Refusal {
    Refusal {
        weight: Weight::Warning,
        fact: Box::new(Fact::NoAnswer {
            expression: value.text.clone(),
        }),
    }
}

/// The check has settled that dimensions fit, so only a zero divisor or the number of digits can go wrong.
fn binary(value: &Value, operator: Operator, left: &Quantity, right: &Quantity) -> Done<Quantity> {
    arithmetic::apply(operator, left, right).map_err(|why| match why {
        NoResult::DivisionByZero => Refusal::of(Fact::DivisionByZero {
            expression: value.text.clone(),
        }),
        NoResult::TooManyDigits => Refusal::of(Fact::TooManyDigits),
    })
}
