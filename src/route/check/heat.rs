//! `heat …` checked: an equation balanced, a temperature and activities read.

use crate::equation::{Skeleton, Stated, balance};
use crate::matter::Species;
use crate::number::{Dimension, Number, standard_temperature, unit};

use super::super::program::{Action, Demand, HeatQuestion};
use super::super::syntax::{Literal, Spanned};
use super::{CheckFault, Checked, Checker};

impl Checker<'_> {
    pub(super) fn heat(
        &mut self,
        skeleton: &Skeleton,
        at: Option<&Spanned<Literal>>,
        activities: &[(Spanned<Species>, Spanned<Literal>)],
    ) -> Checked<Action> {
        let stated = balance(skeleton).ok();
        let stated = stated.and_then(|balance| Stated::of(skeleton, &balance));
        let Some(equation) = stated else {
            // There is none, or more than one: told as for any other equation.
            self.reaction(skeleton)?;
            return Err(());
        };
        let kelvin = match at {
            Some(at) => self.measured(at, Demand::TEMPERATURE, &unit::KELVIN)?,
            None => Number::exact(standard_temperature()),
        };
        let activities: Vec<_> = activities.iter().map(|one| self.activity(one)).collect();
        Ok(Action::Heat(Box::new(HeatQuestion {
            skeleton: skeleton.clone(),
            equation,
            kelvin,
            activities: activities.into_iter().collect::<Checked<_>>()?,
        })))
    }

    fn activity(
        &mut self,
        (species, value): &(Spanned<Species>, Spanned<Literal>),
    ) -> Checked<(Species, Number)> {
        let label = format!("activity of {}", species.node.plain());
        let quantity = self.written_quantity(&value.node, value.span, label)?;
        if quantity.dimension() != Dimension::NONE {
            return self.fault(CheckFault::WrongDimension {
                span: value.span,
                found: quantity.dimension(),
                expected: vec![Dimension::NONE],
            });
        }
        self.admit(&quantity, value.span, Demand::ACTIVITY)?;
        Ok((species.node.clone(), quantity.number().clone()))
    }
}
