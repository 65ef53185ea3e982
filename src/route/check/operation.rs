//! Operations checked: vessels, portions, reactions.

use crate::equation::{Balance, Reaction, Skeleton, balance};
use crate::matter::Phase;
use crate::number::{Dimension, Number};
use crate::text::Span;
use crate::vessel::{Reagent, ReagentFault, reagent};

use super::super::program::*;
use super::super::syntax::{self, Charge, Expr, Glass, Name, Spanned, Statement};
use super::scope::Found;
use super::{CheckFault, Checked, Checker, Meaning, NameKind};

impl Checker<'_> {
    /// A statement that does something to a vessel.
    pub(super) fn operation(&mut self, statement: &Statement) -> Checked<Action> {
        use Statement as S;
        Ok(match statement {
            S::Charge {
                vessel,
                what,
                at,
                over,
            } => {
                return self.charge(vessel, what, at.as_ref(), over.as_ref());
            }
            S::React {
                vessel,
                equation,
                degree,
                limit,
            } => Action::React {
                vessel: self.vessel(vessel)?,
                reaction: self.reaction(equation)?,
                degree: self.optional(degree.as_ref(), Demand::DEGREE)?,
                limit: match limit {
                    Some(matter) => Some(self.matter(matter)?),
                    None => None,
                },
            },
            S::Warm { vessel, to } => self.bath(vessel, to, BathKind::Warm, None)?,
            S::Cool { vessel, to } => self.bath(vessel, to, BathKind::Cool, None)?,
            S::Hold { vessel, at, with } => self.bath(vessel, at, BathKind::Hold, with.as_ref())?,
            S::Vent { vessel } => Action::Vent(self.vessel(vessel)?),
            S::Seal { vessel } => Action::Seal(self.vessel(vessel)?),
            S::Open { vessel } => Action::Open(self.vessel(vessel)?),
            S::Discard { vessel } => Action::Discard(self.vessel(vessel)?),
            S::Filter {
                vessel,
                filtrate,
                cake,
                retaining,
            } => Action::Filter {
                vessel: self.vessel(vessel)?,
                filtrate: self.target(filtrate)?,
                cake: self.target(cake)?,
                retaining: self.optional(retaining.as_ref(), Demand::RETAINED)?,
            },
            S::Decant { vessel, into } => Action::Decant {
                vessel: self.vessel(vessel)?,
                into: self.target(into)?,
            },
            S::Pour { vessel, into } => Action::Pour {
                vessel: self.vessel(vessel)?,
                into: self.target(into)?,
            },
            S::Titrate(asked) => return self.titrate(asked),
            S::Take {
                amount,
                by,
                vessel,
                into,
            } => Action::Take {
                amount: self
                    .value_of(amount, Demand::PART)
                    .and_then(|amount| self.taken(amount, by.as_ref(), &vessel.node))?,
                vessel: self.vessel(vessel)?,
                into: self.target(into)?,
            },
            S::Wash {
                vessel,
                with,
                retaining,
                into,
            } => Action::Wash {
                vessel: self.vessel(vessel)?,
                with: self.measured_portion(with)?,
                retaining: self.optional(retaining.as_ref(), Demand::RETAINED)?,
                into: match into {
                    Some(into) => Some(self.target(into)?),
                    None => None,
                },
            },
            S::Dry { vessel, at } => Action::Dry {
                vessel: self.vessel(vessel)?,
                at: self.optional(at.as_ref(), Demand::TEMPERATURE)?,
            },
            S::Boil { vessel, time } => Action::Boil {
                vessel: self.vessel(vessel)?,
                time: self.value_of(time, Demand::TIME)?,
            },
            S::Evaporate { vessel, to } => Action::Evaporate {
                vessel: self.vessel(vessel)?,
                to: self.value_of(to, Demand::SIZE)?,
            },
            S::Dilute { vessel, to, by } => Action::Dilute {
                vessel: self.vessel(vessel)?,
                to: self
                    .value_of(to, Demand::SIZE)
                    .and_then(|to| self.up_to(to, by.as_ref(), &vessel.node))?,
            },
            S::Crystallise {
                vessel,
                at,
                species,
                into,
            } => Action::Crystallise {
                vessel: self.vessel(vessel)?,
                at: self.value_of(at, Demand::TEMPERATURE)?,
                solid: self.formula(species)?.with_phase(Some(Phase::Solid)),
                into: self.target(into)?,
            },
            S::Weigh { vessel, found } => Action::Weigh {
                vessel: self.vessel(vessel)?,
                found: {
                    let found = self.value_of(found, Demand::MASS)?;
                    self.by_instrument(found, &vessel.node)
                },
            },
            S::Measure { what, found } => {
                let what = self.value(what)?;
                let found = self.value_in(found, &[what.dimension])?;
                let found = self.demanded(found, Demand::on_finding(&what))?;
                let found = self.by_instrument(found, &what.text);
                Action::Measure { what, found }
            }
            S::Wait(time) => Action::Wait(self.value_of(time, Demand::TIME)?),
            S::Note(text) => Action::Note(text.clone()),
            _ => return Err(()),
        })
    }

    fn bath(
        &mut self,
        vessel: &Name,
        to: &Spanned<Expr>,
        kind: BathKind,
        with: Option<&Spanned<Expr>>,
    ) -> Checked<Action> {
        let vessel = self.vessel(vessel);
        let with = self.optional(with, Demand::COOLING);
        let to = self.value_of(to, Demand::TEMPERATURE)?;
        Ok(Action::Bath {
            vessel: vessel?,
            to,
            kind,
            with: with?,
        })
    }

    fn charge(
        &mut self,
        vessel: &Name,
        what: &Charge,
        at: Option<&Spanned<Expr>>,
        over: Option<&Spanned<Expr>>,
    ) -> Checked<Action> {
        // All parts are checked before the first fault ends the statement, so that all are told.
        let vessel = self.vessel(vessel);
        let at = self.optional(at, Demand::TEMPERATURE);
        let over = self.optional(over, Demand::TIME);
        match what {
            Charge::Portions(portions) => {
                let portions: Vec<_> = portions.iter().map(|p| self.measured_portion(p)).collect();
                let portions = portions.into_iter().collect::<Checked<_>>()?;
                Ok(Action::Charge {
                    vessel: vessel?,
                    portions,
                    at: at?,
                    over: over?,
                })
            }
            Charge::Enough {
                matter,
                equation,
                excess,
            } => {
                let matter = self.matter(matter);
                let reaction = self.reaction(equation);
                let excess = self.optional(excess.as_ref(), Demand::EXCESS);
                let matter = matter?;
                let enough = Enough {
                    slack: self.measuring(&matter),
                    matter,
                    reaction: reaction?,
                    excess: excess?,
                    at: at?,
                    over: over?,
                };
                Ok(Action::ChargeEnough {
                    vessel: vessel?,
                    enough: Box::new(enough),
                })
            }
        }
    }

    /// A portion as it is really measured out: by glassware, or by the instruments that were declared.
    fn measured_portion(&mut self, portion: &syntax::Portion) -> Checked<Portion> {
        let Portion { amount, matter } = self.portion(portion)?;
        let amount = self.taken(amount, portion.by.as_ref(), &matter.label)?;
        Ok(Portion { amount, matter })
    }

    fn taken(&mut self, amount: Value, by: Option<&Spanned<Glass>>, what: &str) -> Checked<Value> {
        match by {
            Some(glass) => self.by_glass(amount, glass),
            None => Ok(self.by_instrument(amount, what)),
        }
    }

    /// Filling up to a volume is no measuring out, unless a flask says where its mark is.
    fn up_to(&mut self, to: Value, by: Option<&Spanned<Glass>>, what: &str) -> Checked<Value> {
        match to.dimension {
            Dimension::VOLUME if by.is_none() => Ok(to),
            _ => self.taken(to, by, what),
        }
    }

    pub(super) fn portion(&mut self, portion: &syntax::Portion) -> Checked<Portion> {
        let matter = self.matter(&portion.matter);
        let amount = self.value_of(&portion.amount, Demand::PORTION);
        let (matter, amount) = (matter?, amount?);
        if amount.dimension == Dimension::VOLUME
            && let Err(fault) = reagent::pourable(&matter.stuff)
        {
            return self.fault(CheckFault::Reagent {
                span: portion.amount.span.to(portion.matter.span),
                fault,
            });
        }
        Ok(Portion { amount, matter })
    }

    pub(super) fn matter(&mut self, matter: &Spanned<syntax::Matter>) -> Checked<Matter> {
        let species = match &matter.node {
            syntax::Matter::Species(species) => species.clone(),
            syntax::Matter::Name(name) => {
                let name = Name {
                    node: name.clone(),
                    span: matter.span,
                };
                match self.find_name(&name) {
                    Found::Formula(species) => species,
                    Found::Nothing(name, _) => match reagent::household(&name.node) {
                        Some(stuff) => {
                            return Ok(Matter {
                                bottle: None,
                                stuff,
                                label: name.node,
                            });
                        }
                        None => return self.out_of_bottle(&name),
                    },
                    _ => return self.out_of_bottle(&name),
                }
            }
        };
        let made = reagent::pure(&self.program.store, &species, Number::one(), None);
        let stuff = self.stuff(matter.span, made)?;
        Ok(Matter {
            bottle: None,
            stuff,
            label: self.written(matter.span),
        })
    }

    fn out_of_bottle(&mut self, name: &Name) -> Checked<Matter> {
        let Meaning::Bottle(id) = self.resolve(name, NameKind::Bottle)? else {
            return Err(());
        };
        let bottle = &self.program.bottles[id];
        Ok(Matter {
            bottle: Some(id),
            stuff: bottle.stuff.clone(),
            label: bottle.name.clone(),
        })
    }

    /// The balanced reaction of an equation, or the fault that it has none.
    pub(super) fn reaction(&mut self, skeleton: &Skeleton) -> Checked<Reaction> {
        match balance(skeleton) {
            Ok(Balance::Unique(reaction) | Balance::Settled { reaction, .. }) => Ok(reaction),
            Ok(Balance::Open { freedom, balances }) => self.fault(CheckFault::ManyBalances {
                skeleton: skeleton.clone(),
                freedom,
                balances,
            }),
            Err(why) => self.fault(CheckFault::CannotBalance {
                skeleton: skeleton.clone(),
                why,
            }),
        }
    }

    pub(super) fn stuff(
        &mut self,
        span: Span,
        made: Result<Reagent, ReagentFault>,
    ) -> Checked<Reagent> {
        match made {
            Ok(stuff) => Ok(stuff),
            Err(fault) => self.fault(CheckFault::Reagent { span, fault }),
        }
    }
}
