//! `titrate …` checked.

use crate::number::Distribution;
use crate::vessel::reagent;

use super::super::program::{Action, Demand, Titration, Value};
use super::super::syntax::{self, Spanned, Titrate};
use super::{CheckFault, Checked, Checker, Meaning, NameKind};

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
            .map(|one| self.value_of(one, Demand::VOLUME))
            .collect();
        let blank = self.optional(asked.blank.as_ref(), Demand::BLANK);
        let giving =
            asked
                .giving
                .as_ref()
                .map(|name| match self.resolve(name, NameKind::Bottle)? {
                    Meaning::Bottle(id) => Ok(id),
                    _ => Err(()),
                });
        let matter = matter?;
        if let Err(fault) = reagent::pourable(&matter.stuff) {
            let span = asked.bottle.span;
            return self.fault(CheckFault::Reagent { span, fault });
        }
        let found = found.into_iter().collect::<Checked<Vec<Value>>>()?;
        let burette = match &asked.burette {
            // Readings that say themselves how well they are known.
            None if !found.is_empty() && found.iter().all(|one| self.states_spread(one)) => None,
            size => {
                let called = format!("burette, {}", asked.vessel.node);
                self.burette(size.as_ref(), &called)?
            }
        };
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
            burette,
            giving: giving.transpose()?,
            indicator: asked.indicator.clone(),
        })))
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
