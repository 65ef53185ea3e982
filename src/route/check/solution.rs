//! `solution …` checked: labels into compositions at the temperature asked for.

use crate::matter::Species;
use crate::number::unit;
use crate::text::Span;

use super::super::program::*;
use super::super::syntax::{self, Expr, Literal, Shelf, ShelfKind, SolutionAsked, Spanned};
use super::{Checked, Checker};

impl Checker<'_> {
    pub(super) fn solution(
        &mut self,
        asked: &SolutionAsked,
        at: Option<&Spanned<Literal>>,
        span: Span,
    ) -> Checked<Action> {
        let room = self.program.ambient.temperature.clone();
        let kelvin = match at {
            Some(at) => self.measured(at, Demand::TEMPERATURE, &unit::KELVIN)?,
            None => room.clone(),
        };
        self.program.ambient.temperature = kelvin.clone();
        let kind = self.solution_kind(asked);
        self.program.ambient.temperature = room;
        let written = self.written(span);
        let written = written.trim_start_matches("solution");
        Ok(Action::Solution(Box::new(SolutionQuestion {
            text: written.trim().to_owned(),
            kelvin,
            kind: kind?,
        })))
    }

    fn solution_kind(&mut self, asked: &SolutionAsked) -> Checked<SolutionKind> {
        Ok(match asked {
            SolutionAsked::Strengths(shelf) => SolutionKind::Strengths(self.shelf(shelf)?),
            SolutionAsked::Make {
                amount,
                target,
                from,
            } => SolutionKind::Make {
                amount: self.value_of(amount, Demand::SIZE)?,
                target: self.shelf(target)?,
                from: self.shelves(from)?,
            },
            SolutionAsked::Dilute { amount, from, to } => {
                let amount = self.value_of(amount, Demand::SIZE);
                let from = self.shelf(from)?;
                let to = self.diluted_to(to, from.stuff.substance())?;
                let amount = amount?;
                SolutionKind::Dilute { amount, from, to }
            }
            SolutionAsked::Mix(portions) => {
                let portions = portions.iter().map(|(amount, shelf)| {
                    let amount = self.value_of(amount, Demand::PORTION)?;
                    let matter = self.shelf(shelf)?;
                    Ok(Portion { amount, matter })
                });
                SolutionKind::Mix(portions.collect::<Checked<_>>()?)
            }
            SolutionAsked::Compare {
                bottles,
                equation,
                to,
                species,
                within,
            } => SolutionKind::Compare(Box::new(Compared {
                bottles: self.shelves(bottles)?,
                reaction: self.reaction(equation)?,
                to: self.value_of(to, Demand::PORTION)?,
                basis: species.node.clone(),
                within: self.within(within)?,
            })),
        })
    }

    fn within(&mut self, portions: &[syntax::Portion]) -> Checked<Vec<Portion>> {
        let all: Vec<_> = portions.iter().map(|p| self.portion(p)).collect();
        all.into_iter().collect()
    }

    fn shelves(&mut self, shelves: &[Shelf]) -> Checked<Vec<Matter>> {
        // All are checked before the first fault ends the statement, so that all are told.
        let all: Vec<_> = shelves.iter().map(|shelf| self.shelf(shelf)).collect();
        all.into_iter().collect()
    }

    fn shelf(&mut self, shelf: &Shelf) -> Checked<Matter> {
        let label = self.written(shelf.span);
        match &shelf.kind {
            ShelfKind::Named(name) => {
                let matter = syntax::Matter::Name(name.node.clone());
                self.matter(&Spanned {
                    node: matter,
                    span: name.span,
                })
            }
            ShelfKind::Labelled {
                species,
                strength,
                density,
            } => {
                let (stuff, _) =
                    self.labelled(&label, species, strength.as_ref(), density.as_ref())?;
                Ok(Matter {
                    bottle: None,
                    stuff,
                    label,
                })
            }
        }
    }

    /// A mark, a mass or a strength of the same solute.
    fn diluted_to(&mut self, to: &Spanned<Expr>, solute: &Species) -> Checked<DilutedTo> {
        let inputs = self.program.inputs.len();
        let value = self.value(to)?;
        if Demand::SIZE
            .dimensions()
            .any(|kind| kind == value.dimension)
        {
            let amount = self.demanded(value, Demand::SIZE)?;
            return Ok(DilutedTo::Amount(amount));
        }
        // Read again as a strength, which names its uncertain inputs itself.
        self.program.inputs.truncate(inputs);
        let species = Spanned {
            node: solute.with_phase(None),
            span: to.span,
        };
        let label = self.written(to.span);
        let (stuff, _) = self.labelled(&label, &species, Some(to), None)?;
        Ok(DilutedTo::Strength(Matter {
            bottle: None,
            stuff,
            label,
        }))
    }
}
