//! Statements taken apart, rule by rule.

use std::sync::Arc;

use pest::iterators::Pair;

use crate::matter::read_species;
use crate::text::grammar::Rule;

use super::super::syntax::*;
use super::{Read, Reader, only, text};

/// A strength or density as written, if it is.
type Stated = Option<Spanned<Expr>>;

impl Reader {
    pub(super) fn statement(&self, pair: Pair<'_, Rule>) -> Read<Statement> {
        let (rule, whole) = (pair.as_rule(), self.span(&pair));
        let mut parts = pair
            .into_inner()
            .filter(|p| p.as_rule() != Rule::EOI)
            .peekable();
        let mut next = || {
            parts
                .next()
                .expect("the grammar gives every fixed part of a statement")
        };
        Ok(match rule {
            Rule::title_statement => Statement::Title(text(&next())),
            Rule::accept_statement => {
                let named = next();
                Statement::Accept(Spanned {
                    span: self.span(&named),
                    node: text(&named),
                })
            }
            Rule::note_statement => Statement::Note(text(&next())),
            Rule::ambient_statement => Statement::Ambient {
                temperature: self.expr(next())?,
                pressure: parts.next().map(|p| self.expr(p)).transpose()?,
            },
            Rule::bottle_statement => {
                let name = self.name(next());
                let rest: Vec<_> = parts.collect();
                return self.bottle(name, rest.into_iter());
            }
            Rule::let_statement => Statement::Let {
                name: self.name(next()),
                value: self.expr(next())?,
            },
            Rule::vessel_statement => Statement::Vessel {
                name: self.name(next()),
                capacity: parts.next().map(|p| self.expr(p)).transpose()?,
            },
            Rule::instrument_statement => return self.instrument(parts),
            Rule::substance_statement => Statement::Substance {
                species: self.species(next())?,
                data: parts.map(|p| self.datum(p)).collect::<Read<_>>()?,
            },
            Rule::use_statement => {
                let path = next();
                Statement::Use {
                    path: Name {
                        span: self.span(&path),
                        node: text(&path),
                    },
                    brings: Vec::new(),
                }
            }
            Rule::procedure_statement => Statement::Procedure {
                name: self.name(next()),
                parameters: parts.map(|p| self.name(p)).collect(),
                body: Arc::default(),
            },
            Rule::do_statement => Statement::Do {
                name: self.name(next()),
                arguments: parts.map(|p| self.argument(p)).collect::<Read<_>>()?,
            },
            Rule::step_statement => Statement::Step {
                title: parts.next().map(|p| text(&p)),
                body: Vec::new(),
            },
            Rule::charge_statement => {
                let vessel = self.name(next());
                return self.charge(vessel, next());
            }
            Rule::react_statement => {
                let (vessel, equation) = (self.name(next()), self.equation(next())?);
                let (mut degree, mut limit) = (None, None);
                for part in parts {
                    let is_degree = part.as_rule() == Rule::degree;
                    let inner = only(part);
                    if is_degree {
                        degree = Some(self.expr(inner)?);
                    } else {
                        limit = Some(self.matter(inner)?);
                    }
                }
                Statement::React {
                    vessel,
                    equation,
                    degree,
                    limit,
                }
            }
            Rule::warm_statement => Statement::Warm {
                vessel: self.name(next()),
                to: self.expr(next())?,
            },
            Rule::cool_statement => Statement::Cool {
                vessel: self.name(next()),
                to: self.expr(next())?,
            },
            Rule::hold_statement => Statement::Hold {
                vessel: self.name(next()),
                at: self.expr(next())?,
                with: parts.next().map(|pair| self.expr(pair)).transpose()?,
            },
            Rule::vent_statement => Statement::Vent {
                vessel: self.name(next()),
            },
            Rule::seal_statement => Statement::Seal {
                vessel: self.name(next()),
            },
            Rule::open_statement => Statement::Open {
                vessel: self.name(next()),
            },
            Rule::discard_statement => Statement::Discard {
                vessel: self.name(next()),
            },
            Rule::filter_statement => Statement::Filter {
                vessel: self.name(next()),
                filtrate: self.name(next()),
                cake: self.name(next()),
                retaining: parts.next().map(|p| self.expr(p)).transpose()?,
            },
            Rule::decant_statement => Statement::Decant {
                vessel: self.name(next()),
                into: self.name(next()),
            },
            Rule::pour_statement => Statement::Pour {
                vessel: self.name(next()),
                into: self.name(next()),
            },
            Rule::take_statement => Statement::Take {
                amount: self.expr(next())?,
                by: parts
                    .next_if(|part| part.as_rule() == Rule::by_glass)
                    .map(|part| self.glass(part)),
                vessel: self.name(parts.next().expect("a vessel to take from")),
                into: self.name(parts.next().expect("a vessel to take into")),
            },
            Rule::wash_statement => {
                let (vessel, with) = (self.name(next()), self.portion(next())?);
                let kept = parts.next_if(|part| part.as_rule() == Rule::measured);
                Statement::Wash {
                    vessel,
                    with,
                    retaining: kept.map(|p| self.expr(p)).transpose()?,
                    into: parts.next().map(|p| self.name(p)),
                }
            }
            Rule::dry_statement => Statement::Dry {
                vessel: self.name(next()),
                at: parts.next().map(|p| self.expr(p)).transpose()?,
            },
            Rule::evaporate_statement => Statement::Evaporate {
                vessel: self.name(next()),
                to: self.expr(next())?,
            },
            Rule::boil_statement => Statement::Boil {
                vessel: self.name(next()),
                time: self.expr(next())?,
            },
            Rule::dilute_statement => Statement::Dilute {
                vessel: self.name(next()),
                to: self.expr(next())?,
                by: parts.next().map(|part| self.glass(part)),
            },
            Rule::crystallise_statement => Statement::Crystallise {
                vessel: self.name(next()),
                at: self.expr(next())?,
                species: self.matter(next())?,
                into: self.name(next()),
            },
            Rule::titrate_statement => {
                let rest: Vec<_> = parts.collect();
                return self.titrate(whole, rest.into_iter());
            }
            Rule::weigh_statement => Statement::Weigh {
                vessel: self.name(next()),
                found: self.expr(next())?,
            },
            Rule::measure_statement => Statement::Measure {
                what: self.expr(next())?,
                found: self.expr(next())?,
            },
            Rule::wait_statement => Statement::Wait(self.expr(next())?),
            Rule::scale_statement => Statement::Scale {
                equation: self.equation(next())?,
                to: self.expr(next())?,
                species: self.species(next())?,
            },
            Rule::heat_statement => return self.heat(parts),
            Rule::solution_statement => return self.solution(parts),
            Rule::show_statement => {
                Statement::Show(parts.map(|p| self.expr(p)).collect::<Read<_>>()?)
            }
            Rule::find_statement => return self.find(parts),
            Rule::vary_statement => return self.vary(parts),
            Rule::expect_statement => Statement::Expect(self.conditions(next())?),
            Rule::yield_statement => Statement::Yield {
                vessel: self.name(next()),
                species: self.matter(next())?,
                basis: self.matter(next())?,
            },
            other => unreachable!("{other:?} is not in the table of verbs"),
        })
    }

    /// What follows the formula on a label.
    pub(super) fn strength_and_density<'i>(
        &self,
        parts: impl Iterator<Item = Pair<'i, Rule>>,
    ) -> Read<(Stated, Stated)> {
        let (mut strength, mut density) = (None, None);
        for part in parts {
            if part.as_rule() == Rule::strength {
                strength = Some(self.expr(only(part))?);
            } else {
                density = Some(self.expr(part)?);
            }
        }
        Ok((strength, density))
    }

    pub(super) fn bottle<'i>(
        &self,
        name: Name,
        parts: impl Iterator<Item = Pair<'i, Rule>>,
    ) -> Read<Statement> {
        let mut parts = parts.filter(|p| p.as_rule() != Rule::EOI);
        let species = self.species(parts.next().expect("a bottle has a formula"))?;
        let (strength, density) = self.strength_and_density(parts)?;
        Ok(Statement::Bottle {
            name,
            species,
            strength,
            density,
        })
    }

    fn charge(&self, vessel: Name, pair: Pair<'_, Rule>) -> Read<Statement> {
        let (mut at, mut over) = (None, None);
        let (mut portions, mut matter, mut equation, mut excess) = (Vec::new(), None, None, None);
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::portion => portions.push(self.portion(part)?),
                Rule::matter => matter = Some(self.matter(part)?),
                Rule::equation => equation = Some(self.equation(part)?),
                Rule::excess => excess = Some(self.expr(only(part))?),
                Rule::at_temperature => at = Some(self.expr(only(part))?),
                _ => over = Some(self.expr(only(part))?),
            }
        }
        let what = match (matter, equation) {
            (Some(matter), Some(equation)) => Charge::Enough {
                matter,
                equation,
                excess,
            },
            _ => Charge::Portions(portions),
        };
        Ok(Statement::Charge {
            vessel,
            what,
            at,
            over,
        })
    }

    fn conditions(&self, pair: Pair<'_, Rule>) -> Read<Vec<Condition>> {
        let mut parts = pair.into_inner();
        let mut all = Vec::new();
        while let (Some(left), Some(sign), Some(right)) = (parts.next(), parts.next(), parts.next())
        {
            let comparison = match sign.as_str() {
                "<" => Comparison::Less,
                "<=" | "≤" => Comparison::AtMost,
                ">" => Comparison::Greater,
                ">=" | "≥" => Comparison::AtLeast,
                "=" => Comparison::Equal,
                _ => Comparison::Unequal,
            };
            all.push(Condition {
                left: self.expr(left)?,
                comparison,
                right: self.expr(right)?,
            });
        }
        Ok(all)
    }

    fn datum(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Datum>> {
        let span = self.span(&pair);
        let mut parts = pair.into_inner();
        let key = parts.next().expect("a datum has a key");
        let key = Spanned {
            span: self.span(&key),
            node: key.as_str().to_owned(),
        };
        let mut negative = false;
        let mut node = None;
        for part in parts {
            match part.as_rule() {
                Rule::negation => negative = true,
                Rule::text => node = Some(Datum::Source(text(&part))),
                _ => {
                    let mut value = self.literal(part)?.node;
                    if negative {
                        value.number = -value.number;
                    }
                    node = Some(Datum::Value(key.clone(), value));
                }
            }
        }
        Ok(Spanned {
            node: node.expect("a datum has a value or a text"),
            span,
        })
    }

    pub(super) fn portion(&self, pair: Pair<'_, Rule>) -> Read<Portion> {
        let mut parts = pair.into_inner();
        let amount = self.expr(parts.next().expect("a portion has a quantity"))?;
        let matter = self.matter(parts.next().expect("a portion is of something"))?;
        let by = parts.next().map(|part| self.glass(part));
        Ok(Portion { amount, matter, by })
    }

    fn matter(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Matter>> {
        let span = self.span(&pair);
        let inner = only(pair);
        let node = match inner.as_rule() {
            Rule::name => Matter::Name(inner.as_str().to_owned()),
            _ => Matter::Species(read_species(inner)?),
        };
        Ok(Spanned { node, span })
    }
}
