//! Expressions worked out, and the questions and findings that use them.

use crate::matter::{Element, Species};
use crate::number::{Dimension, Exact, Number, Quantity, Unit, unit};
use crate::text::Span;

use super::super::arithmetic::{self, NoResult};
use super::super::contents::grams;
use super::super::ledger::{Answer, AskedBy, Expectation, Fact, Heat, Shown, Weight, YieldRecord};
use super::super::program::{
    HandQuestion, Node, Program, Property, SpeciesProperty, Value, VesselId,
};
use super::super::stuff;
use super::super::syntax::{Comparison, Operator};
use super::state::State;
use super::{Blank, Done, gases, hand, properties, react, titrate};

impl State {
    /// The quantity of an expression, or a remark that says why there is none.
    pub(super) fn quantity(&mut self, program: &Program, value: &Value) -> Done<Quantity> {
        match self.answer(program, value)? {
            Answer::Quantity(quantity) => Ok(quantity),
            Answer::Budget(_) | Answer::Unknown => self.no_answer(value),
        }
    }

    /// Recursion is bounded by the parser's limit on nesting.
    pub(super) fn answer(&mut self, program: &Program, value: &Value) -> Done<Answer> {
        let quantity = match &value.node {
            Node::Constant(quantity) => program.as_drawn(quantity),
            Node::Let(id) => match self.values.get(*id).cloned().flatten() {
                Some(quantity) => quantity,
                None => return self.no_answer(value),
            },
            Node::Negative(inner) => self.quantity(program, inner)?.negated(),
            Node::Binary(operator, left, right) => {
                let (left, right) = (
                    self.quantity(program, left)?,
                    self.quantity(program, right)?,
                );
                self.binary(value, *operator, &left, &right)?
            }
            Node::Of(property, vessel) => match self.of(program, *property, *vessel) {
                Some(quantity) => quantity,
                None => return self.no_answer(value),
            },
            Node::OfSpecies(property, species, vessel) => {
                match self.of_species(program, *property, species, *vessel) {
                    Some(quantity) => quantity,
                    None => return self.no_answer(value),
                }
            }
            Node::Strength(bottle) => match titrate::strength(&self.stuff(program, *bottle)) {
                Some(quantity) => quantity,
                None => return self.no_answer(value),
            },
            Node::InHand(question, vessel, limit) => {
                let limit = self.quantity(program, limit)?;
                let found = hand::answer(program, self, *question, *vessel, limit.number());
                let (Some(number), Some(unit)) = (found, value.unit) else {
                    return self.no_answer(value);
                };
                match question {
                    HandQuestion::Shortest => Quantity::of(number, &unit::SECOND).shown_in(&unit),
                    _ => Quantity::of(number, &unit::GRAM),
                }
            }
            Node::Uncertainty(inner) => {
                let quantity = self.quantity(program, inner)?;
                let spread = quantity.number().standard_uncertainty();
                let number = Number::modelled(spread).unwrap_or_else(Number::zero);
                self.spread(Quantity::coherent(number, quantity.dimension()))?
            }
            Node::Budget(inner) => {
                let quantity = self.quantity(program, inner)?;
                return Ok(Answer::Budget(budget(program, quantity.number())));
            }
            Node::Extreme { largest, among } => {
                let mut all = Vec::new();
                for value in among {
                    all.push(self.quantity(program, value)?);
                }
                let found = arithmetic::extreme(*largest, all);
                match found {
                    Some(quantity) => quantity,
                    None => return self.no_answer(value),
                }
            }
            Node::Magnitude(inner) => arithmetic::magnitude(self.quantity(program, inner)?),
        };
        Ok(Answer::Quantity(match value.unit {
            Some(unit) if quantity.written_in().is_none() => quantity.shown_in(&unit),
            _ => quantity,
        }))
    }

    fn no_answer<T>(&mut self, value: &Value) -> Done<T> {
        self.remark(
            Weight::Warning,
            Fact::NoAnswer {
                expression: value.text.clone(),
            },
        );
        Err(Blank)
    }

    fn binary(
        &mut self,
        value: &Value,
        operator: Operator,
        left: &Quantity,
        right: &Quantity,
    ) -> Done<Quantity> {
        // The check has settled that dimensions fit, so only a zero divisor can go wrong.
        arithmetic::apply(operator, left, right).map_err(|why| {
            let fact = match why {
                NoResult::DivisionByZero => Fact::DivisionByZero {
                    expression: value.text.clone(),
                },
                NoResult::TooManyDigits => Fact::TooManyDigits,
            };
            self.remark(Weight::Fault, fact);
            Blank
        })
    }

    fn of(&mut self, program: &Program, property: Property, id: VesselId) -> Option<Quantity> {
        let in_unit = |number: Number, unit: &Unit| Some(Quantity::of(number, unit));
        let kelvins = |number: Number| {
            let quantity = Quantity::coherent(number, Dimension::TEMPERATURE);
            Some(quantity.shown_in(&unit::CELSIUS))
        };
        match property {
            Property::Mass => in_unit(self.vessels[id].contents.grams(), &unit::GRAM),
            Property::Volume if self.vessels[id].contents.liquid().is_empty() => {
                in_unit(Number::zero(), &unit::MILLILITRE)
            }
            Property::Volume => in_unit(properties::volume(program, self, id)?, &unit::MILLILITRE),
            Property::Temperature => kelvins(self.vessels[id].temperature.clone()),
            Property::Warmest => kelvins(hand::warmest(program, self, id)?),
            Property::Peak => kelvins(self.vessels[id].peak.clone()?),
            Property::Density => {
                let contents = self.vessels[id].contents.clone();
                let at = self.vessels[id].temperature.clone();
                in_unit(
                    properties::density(self, &contents, &at)?,
                    &unit::GRAM_PER_MILLILITRE,
                )
            }
            Property::Titre => {
                let titrated = self.vessels[id].titrated.as_ref()?;
                in_unit(titrated.titre.clone(), &unit::MILLILITRE)
            }
            Property::Analyte => {
                let titrated = self.vessels[id].titrated.as_ref()?;
                in_unit(titrated.analyte.clone(), &unit::MOLE)
            }
            Property::Heat => match &self.vessels[id].heat {
                Heat::Known(heat) => in_unit(heat.clone(), &unit::KILOJOULE),
                Heat::Unknown(_) => None,
            },
        }
    }

    fn of_species(
        &mut self,
        program: &Program,
        property: SpeciesProperty,
        species: &Species,
        id: VesselId,
    ) -> Option<Quantity> {
        self.asked.insert(species.with_phase(None));
        let moles = self.amount_of(species, id);
        match property {
            SpeciesProperty::Amount => Some(Quantity::of(moles, &unit::MOLE)),
            SpeciesProperty::Concentration => {
                let litres = properties::volume(program, self, id)?.scaled(&Exact::ratio(1, 1000));
                Some(Quantity::of(moles.checked_div(&litres)?, &unit::MOLAR))
            }
            SpeciesProperty::Fraction => {
                let whole = self.vessels[id].contents.grams();
                let part = grams(species, &moles).checked_div(&whole)?;
                Some(Quantity::plain(part).shown_in(&unit::PER_CENT))
            }
            SpeciesProperty::Moist => {
                let litres = &self.given_off(species, id) * &gases::moist_volume(program)?;
                Some(Quantity::of(litres, &unit::LITRE))
            }
            SpeciesProperty::Filling => {
                let given_off = self.given_off(species, id);
                let seconds = gases::filling(program, self, id, &given_off)?;
                Some(Quantity::of(seconds, &unit::SECOND).shown_in(&unit::MINUTE))
            }
            SpeciesProperty::Gas => {
                let litres = &self.given_off(species, id) * &properties::molar_gas_volume(program);
                Some(Quantity::of(litres, &unit::LITRE))
            }
        }
    }

    /// Gas given off so far, in mol.
    fn given_off(&self, species: &Species, id: VesselId) -> Number {
        let gas = species.with_phase(Some(crate::matter::Phase::Gas));
        self.vessels[id].gas.amount(&gas)
    }

    /// All of a species in a vessel, in whatever phase unless one is stated; a dissolved salt by its ions.
    pub(super) fn amount_of(&self, species: &Species, id: VesselId) -> Number {
        let contents = &self.vessels[id].contents;
        if species.phase().is_some() {
            return contents.amount(species);
        }
        let same = contents.iter().filter(|(s, _)| s.key() == species.key());
        let whole: Number = same.map(|(_, n)| n.clone()).sum();
        let ions = stuff::in_solution(species);
        if ions.len() < 2 {
            return whole;
        }
        let dissolved = stuff::units_in_solution(contents, species).unwrap_or_else(Number::zero);
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

/// `show EXPR, …`
pub(super) fn show(program: &Program, state: &mut State, values: &[Value]) {
    for value in values {
        let answer = state.answer(program, value).unwrap_or(Answer::Unknown);
        state.met(AskedBy::Show, value, &answer);
        state.ledger.shows.push(Shown {
            expression: value.text.clone(),
            span: value.span,
            answer,
        });
    }
}

/// `expect CONDITION`
pub(super) fn expect(
    program: &Program,
    state: &mut State,
    text: &str,
    conditions: &[(Value, Comparison, Value)],
) {
    let span = state.here;
    let mut whole: Option<Expectation> = None;
    for (left, comparison, right) in conditions {
        let value = state.answer(program, left).unwrap_or(Answer::Unknown);
        let wanted = match &right.node {
            // What is demanded is no input: it is never drawn.
            Node::Constant(wanted) => Answer::Quantity(wanted.clone()),
            _ => state.answer(program, right).unwrap_or(Answer::Unknown),
        };
        let met = holds(&value, *comparison, &wanted);
        state.met(AskedBy::Expect, left, &value);
        state.held(*comparison, right, met);
        match &mut whole {
            // The first side that fails is the one to show.
            Some(so_far) if so_far.met && !met => {
                *so_far = expectation(text, span, value, wanted, met)
            }
            Some(_) => {}
            None => whole = Some(expectation(text, span, value, wanted, met)),
        }
    }
    state.ledger.expectations.extend(whole);
}

fn expectation(text: &str, span: Span, value: Answer, wanted: Answer, met: bool) -> Expectation {
    Expectation {
        expression: text.to_owned(),
        span,
        value,
        wanted,
        met,
    }
}

fn holds(left: &Answer, comparison: Comparison, right: &Answer) -> bool {
    let (Answer::Quantity(left), Answer::Quantity(right)) = (left, right) else {
        return false;
    };
    let (a, b) = (left.number().value(), right.number().value());
    match comparison {
        Comparison::Less => a < b,
        Comparison::AtMost => a <= b,
        Comparison::Greater => a > b,
        Comparison::AtLeast => a >= b,
        Comparison::Equal => agrees(a, right),
        Comparison::Unequal => !agrees(a, right),
    }
}

/// Equal, or within the `±` that the right side was given.
fn agrees(a: &Exact, right: &Quantity) -> bool {
    let off = (a - right.number().value()).abs();
    off.is_zero() || off.to_f64() <= right.number().standard_uncertainty()
}

/// `yield V: FORMULA on BASIS`
pub(super) fn product_yield(
    state: &mut State,
    vessel: VesselId,
    product: &Species,
    basis: &Species,
) {
    let charged = state
        .charged
        .iter()
        .filter(|c| c.substance.key() == basis.key());
    let basis_moles: Number = charged.map(|c| c.moles.clone()).sum();
    let most = basis_moles.scaled(&units_per_basis(product, basis));
    // A weighed crop counts as it is weighed, taken as pure: that is how a yield is reckoned at the bench.
    let planned = state.amount_of(&product.with_phase(None), vessel);
    let weighed = super::super::contents::moles(product, &state.vessels[vessel].contents.grams());
    let found = match weighed {
        Some(weighed) if state.vessels[vessel].weighed.is_some() => weighed,
        _ => planned,
    };
    let fraction = found.checked_div(&most);
    let shown = fraction
        .clone()
        .map(|f| Quantity::plain(f).shown_in(&unit::PER_CENT));
    let [made, from] = [product, basis].map(|species| species.with_phase(None).plain().to_owned());
    let asked = format!("yield of {made} on {from}");
    let here = state.here;
    state.met_figure(AskedBy::Yield, (&asked, here), shown);
    state.ledger.yields.push(YieldRecord {
        span: state.here,
        vessel: state.vessels[vessel].name.clone(),
        product: product.clone(),
        basis: basis.clone(),
        theoretical: (most.clone(), grams(product, &most)),
        found: (found.clone(), grams(product, &found)),
        basis_moles,
        fraction,
        weighed: state.vessels[vessel].weighed.clone(),
    });
}

/// Formula units of the product that one of the basis can make: by the scarcest element they share, hydrogen and oxygen
/// aside, which come from the water too.
fn units_per_basis(product: &Species, basis: &Species) -> Exact {
    let shared = basis
        .composition()
        .iter()
        .filter(|(e, _)| product.contains(*e));
    let ratio = |(element, count): (Element, Exact)| {
        count.checked_div(&product.composition().count(element))
    };
    let telling = shared.filter(|(e, _)| *e != Element::H && *e != Element::O);
    telling.filter_map(ratio).min().unwrap_or_else(Exact::zero)
}

/// Litres of a gas at ambient, for callers that have moles.
pub(super) fn litres(program: &Program, species: &Species, moles: &Number) -> Option<Number> {
    let mut gas = super::super::contents::Contents::new();
    gas.add(&species.with_phase(Some(crate::matter::Phase::Gas)), moles);
    react::gas_records(program, &gas)
        .pop()
        .map(|record| record.litres)
}
