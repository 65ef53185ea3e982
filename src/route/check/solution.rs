//! `solution …` checked: labels into compositions at the temperature asked for.

use crate::matter::Species;
use crate::number::{Dimension, Number, unit};
use crate::text::Span;

use super::super::program::*;
use super::super::stuff::{self, Label};
use super::super::syntax::{self, Expr, Literal, Shelf, ShelfKind, SolutionAsked, Spanned};
use super::{Checked, Checker};

/// Volume or mass of a solution.
const PORTION: [Dimension; 2] = [Dimension::VOLUME, Dimension::MASS];

impl Checker<'_> {
    pub(super) fn solution(
        &mut self,
        asked: &SolutionAsked,
        at: Option<&Spanned<Literal>>,
        span: Span,
    ) -> Checked<Action> {
        let room = self.program.ambient.temperature.clone();
        let kelvin = match at {
            Some(at) => self.measured(at, &unit::KELVIN)?,
            None => room.clone(),
        };
        // An impossible temperature is told when the question is answered; labels are read at one that is possible.
        if kelvin.is_positive() {
            self.program.ambient.temperature = kelvin.clone();
        }
        let kind = self.solution_kind(asked);
        self.program.ambient.temperature = room;
        let written = self.source.slice(span).trim_start_matches("solution");
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
                amount: self.value_of(amount, &PORTION)?,
                target: self.shelf(target)?,
                from: self.shelves(from)?,
            },
            SolutionAsked::Dilute { amount, from, to } => {
                let amount = self.value_of(amount, &PORTION);
                let from = self.shelf(from)?;
                let to = self.diluted_to(to, from.stuff.substance())?;
                let amount = amount?;
                SolutionKind::Dilute { amount, from, to }
            }
            SolutionAsked::Mix(portions) => {
                let portions = portions.iter().map(|(amount, shelf)| {
                    let amount =
                        self.value_of(amount, &[PORTION[0], PORTION[1], Dimension::AMOUNT])?;
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
                to: self.value_of(to, &[PORTION[0], PORTION[1], Dimension::AMOUNT])?,
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
        let label = self.source.slice(shelf.span).to_owned();
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
                let stuff = self.labelled(&label, species, strength.as_ref(), density.as_ref())?;
                Ok(Matter {
                    bottle: None,
                    stuff,
                    label,
                })
            }
        }
    }

    /// What a label says, at the temperature of the room.
    pub(super) fn labelled(
        &mut self,
        called: &str,
        species: &Spanned<Species>,
        strength: Option<&Spanned<Literal>>,
        density: Option<&Spanned<Literal>>,
    ) -> Checked<Stuff> {
        let density = match density {
            Some(density) => Some(self.measured(density, &unit::GRAM_PER_MILLILITRE)?),
            None => None,
        };
        let label = strength.map_or(String::new(), |s| self.source.slice(s.span).to_owned());
        let made = match strength {
            None => stuff::pure(&self.program.store, &species.node, Number::one(), density),
            Some(strength) => {
                let Program {
                    store,
                    inputs,
                    ambient,
                    ..
                } = &mut self.program;
                let label = Label {
                    bottle: called,
                    strength: &label,
                    ambient,
                };
                stuff::bottle(
                    store,
                    &species.node,
                    &strength.node,
                    density,
                    &label,
                    inputs,
                )
            }
        };
        let at = strength.map_or(species.span, |s| s.span);
        self.stuff(at, made)
    }

    /// A mark, a mass or a strength of the same solute.
    fn diluted_to(&mut self, to: &Spanned<Literal>, solute: &Species) -> Checked<DilutedTo> {
        let plain = to
            .node
            .unit
            .as_ref()
            .and_then(|name| unit::find(&name.node));
        let dimension = plain.map(|unit| unit.dimension);
        if dimension.is_some_and(|found| PORTION.contains(&found)) {
            let expr = Spanned {
                node: Expr::Literal(to.node.clone()),
                span: to.span,
            };
            return self.value_of(&expr, &PORTION).map(DilutedTo::Amount);
        }
        let species = Spanned {
            node: solute.with_phase(None),
            span: to.span,
        };
        let label = self.source.slice(to.span).to_owned();
        let stuff = self.labelled(&label, &species, Some(to), None)?;
        Ok(DilutedTo::Strength(Matter {
            bottle: None,
            stuff,
            label,
        }))
    }
}
