//! `titrate …` and glassware checked.

use crate::number::{Dimension, Distribution, Exact, Input, InputId, Number, Quantity, unit};
use crate::text::Span;

use super::super::glassware;
use super::super::program::{Action, Node, Titration, Value};
use super::super::stuff;
use super::super::syntax::{self, Glass, Literal, Operator, Spanned, Titrate};
use super::{CheckFault, Checked, Checker, Meaning, NameKind, literal};

impl Checker<'_> {
    pub(super) fn titrate(&mut self, asked: &Titrate) -> Checked<Action> {
        // Every part is checked before the first fault ends the statement, so that all are told.
        let vessel = self.vessel(&asked.vessel);
        let matter = self.matter(&Spanned {
            node: syntax::Matter::Name(asked.bottle.node.clone()),
            span: asked.bottle.span,
        });
        let reaction = self.reaction(&asked.equation);
        let found = asked.found.iter();
        let found: Vec<_> = found
            .map(|one| self.value_of(one, &[Dimension::VOLUME]))
            .collect();
        let blank = self.optional(asked.blank.as_ref(), &[Dimension::VOLUME]);
        let burette = asked.burette.as_ref().map(|size| self.burette(size));
        let giving =
            asked
                .giving
                .as_ref()
                .map(|name| match self.resolve(name, NameKind::Bottle)? {
                    Meaning::Bottle(id) => Ok(id),
                    _ => Err(()),
                });
        let matter = matter?;
        if let Err(fault) = stuff::pourable(&matter.stuff) {
            let span = asked.bottle.span;
            return self.fault(CheckFault::Stuff { span, fault });
        }
        let found = found.into_iter().collect::<Checked<Vec<Value>>>()?;
        let scatter = (found.len() > 1).then(|| {
            let vessel = &asked.vessel.node;
            let label = format!("scatter of {} readings of {vessel}", found.len());
            self.input(label, of_readings(found.len()))
        });
        Ok(Action::Titrate(Box::new(Titration {
            vessel: vessel?,
            matter,
            reaction: reaction?,
            found,
            scatter,
            blank: blank?,
            burette: burette.transpose()?,
            giving: giving.transpose()?,
            indicator: asked.indicator.clone(),
        })))
    }

    fn input(&mut self, label: String, distribution: Distribution) -> InputId {
        let input = Input {
            label,
            distribution,
        };
        self.program.inputs.push(input);
        InputId(self.program.inputs.len() as u32 - 1)
    }

    /// Zero mL with the tolerance of a burette: added to what has run out of it.
    fn burette(&mut self, size: &Spanned<Literal>) -> Checked<Number> {
        let quantity = literal(&size.node, String::new, &mut Vec::new());
        let quantity = self.keep(quantity)?;
        self.tolerance(Glass::Burette, &quantity, size.span)
    }

    /// A volume measured by glassware carries the tolerance of that size.
    pub(super) fn by_glass(
        &mut self,
        value: Value,
        glass: Option<&Spanned<Glass>>,
    ) -> Checked<Value> {
        let Some(glass) = glass else {
            return Ok(value);
        };
        let Node::Constant(volume) = &value.node else {
            return self.fault(CheckFault::NoSuchGlass {
                span: value.span,
                glass: glass.node,
            });
        };
        let volume = volume.clone();
        let slack = self.tolerance(glass.node, &volume, value.span)?;
        let slack = Value {
            node: Node::Constant(Quantity::of(slack, &unit::MILLILITRE)),
            ..value.clone()
        };
        let (text, span) = (value.text.clone(), value.span);
        Ok(Value {
            dimension: value.dimension,
            unit: value.unit,
            node: Node::Binary(Operator::Add, Box::new(value), Box::new(slack)),
            span,
            text,
        })
    }

    /// 0 mL with the standard uncertainty of a size of glassware.
    fn tolerance(&mut self, glass: Glass, size: &Quantity, span: Span) -> Checked<Number> {
        let millilitres = size.in_unit(&unit::MILLILITRE).ok();
        let standard = millilitres
            .as_ref()
            .and_then(|size| glassware::standard_uncertainty(glass, size.to_f64()));
        let (Some(millilitres), Some(standard)) = (millilitres, standard) else {
            return self.fault(CheckFault::NoSuchGlass { span, glass });
        };
        let name = match glass {
            Glass::Pipette => "pipette",
            Glass::Flask => "volumetric flask",
            Glass::Burette => "burette",
        };
        let label = format!("{} mL {name}, class A", millilitres.to_f64());
        let input = self.input(label, Distribution::Rectangular);
        Ok(Number::exact(Exact::zero()).with_uncertainty(input, standard))
    }
}

/// How the mean of some readings is distributed: t with n − 1 degrees of freedom (JCGM 101:2008, 6.4.9). Below four readings
/// that has no standard deviation, and nothing could be compared with the first-order figure: then it is taken as normal.
fn of_readings(count: usize) -> Distribution {
    match count {
        0..4 => Distribution::Normal,
        count => Distribution::Student(count as u32 - 1),
    }
}
