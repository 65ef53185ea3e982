//! The syntax tree into a checked program: names, dimensions, strengths, balances.
//!
//! Promises: every fault is collected, in the order of the text; a statement with a fault is left out and what hangs
//! on its names is not told again.
//!
//! Knows nothing of what the vessels will hold.

use rustc_hash::FxHashMap;

use crate::data::{Own, Store};
use crate::equation::{Balance, Reaction, Skeleton, balance};
use crate::matter::{Phase, Species};
use crate::number::{Dimension, Exact, InputId, Number, Quantity, unit};
use crate::text::{Source, Span, near};

use super::program::*;
use super::stuff::{self, Label, StuffFault};
use super::syntax::{self, Charge, Datum, Expr, Literal, Name, Spanned, Statement, Tree};

pub(super) mod expression;
mod fault;

pub use fault::{CheckFault, NameKind};

/// Checks a tree. The program holds every statement without a fault.
pub fn check(tree: &Tree, source: &Source, store: &Store) -> (Program, Vec<CheckFault>) {
    let mut checker = Checker::new(
        source,
        Program {
            store: store.clone(),
            ..Program::default()
        },
    );
    checker.announce(&tree.statements);
    checker.extend(&tree.statements);
    let faults = std::mem::take(&mut checker.faults);
    (checker.finish(), faults)
}

/// Marks values of `let` as replaced, as `--set` does.
pub fn set(program: &mut Program, name: &str, value: Quantity) -> Result<(), CheckFault> {
    let known: Vec<&str> = program.lets.iter().map(|slot| slot.name.as_str()).collect();
    let meant = near(name, known).map(str::to_owned);
    let slot = program.lets.iter_mut().find(|slot| slot.name == name);
    let slot = slot.ok_or_else(|| CheckFault::UnknownSetting {
        name: name.to_owned(),
        near: meant,
    })?;
    if slot.dimension != value.dimension() {
        return Err(CheckFault::SettingDimension {
            name: name.to_owned(),
            found: value.dimension(),
            expected: slot.dimension,
        });
    }
    slot.set = Some(value);
    Ok(())
}

/// A literal as a quantity; the fault names the unit.
pub fn literal(
    value: &Literal,
    label: impl FnOnce() -> String,
    inputs: &mut Vec<String>,
) -> Result<Quantity, CheckFault> {
    let unit = value.unit.as_ref().map(known_unit).transpose()?;
    let number = Number::exact(value.number.clone());
    let quantity = match unit {
        Some(unit) => Quantity::of(number, unit),
        None => Quantity::plain(number),
    };
    let Some((size, size_unit)) = &value.uncertainty else {
        return Ok(quantity);
    };
    let size_unit = size_unit.as_ref().map(known_unit).transpose()?;
    let standard = match (size_unit, unit) {
        // `2.00 g ± 1 %` is relative.
        (Some(own), Some(_))
            if own == &unit::PER_CENT && quantity.dimension() != Dimension::NONE =>
        {
            quantity.number().to_f64() * size.to_f64() / 100.0
        }
        (Some(own), _) if own.dimension == quantity.dimension() => {
            size.to_f64() * own.factor().to_f64()
        }
        (Some(own), _) => {
            let span = value
                .uncertainty
                .as_ref()
                .and_then(|(_, u)| u.as_ref())
                .map_or(Span::default(), |u| u.span);
            return Err(CheckFault::MixedDimensions {
                span,
                left: quantity.dimension(),
                right: own.dimension,
            });
        }
        (None, _) => size.to_f64(),
    };
    let input = InputId(inputs.len() as u32);
    inputs.push(label());
    let number = quantity.number().clone().with_uncertainty(input, standard);
    let uncertain = Quantity::coherent(number, quantity.dimension());
    Ok(match unit {
        Some(unit) => uncertain.shown_in(unit),
        None => uncertain,
    })
}

fn known_unit(name: &Name) -> Result<&'static crate::number::Unit, CheckFault> {
    unit::find(&name.node).ok_or_else(|| CheckFault::UnknownUnit {
        unit: name.clone(),
        near: near(&name.node, unit::ALL.iter().map(|u| u.symbol)),
    })
}

/// What one name means.
#[derive(Clone, Copy, Debug)]
enum Meaning {
    Let(LetId),
    Bottle(BottleId),
    Vessel(VesselId),
}

impl Meaning {
    fn kind(self) -> NameKind {
        match self {
            Meaning::Let(_) => NameKind::Value,
            Meaning::Bottle(_) => NameKind::Bottle,
            Meaning::Vessel(_) => NameKind::Vessel,
        }
    }
}

/// Checks statements one after the other; the prompt keeps one for a whole session.
#[derive(Clone)]
pub(super) struct Checker<'s> {
    source: &'s Source,
    program: Program,
    names: FxHashMap<String, (Meaning, Span)>,
    /// Names that a faulty statement would have declared: using them is not told again.
    lost: Vec<String>,
    /// Names made anywhere in the text, for "it is made only further down".
    later: FxHashMap<String, Span>,
    pub(super) faults: Vec<CheckFault>,
}

type Checked<T> = Result<T, ()>;

impl<'s> Checker<'s> {
    pub(super) fn new(source: &'s Source, program: Program) -> Self {
        let mut names = FxHashMap::default();
        for (id, slot) in program.lets.iter().enumerate() {
            names.insert(slot.name.clone(), (Meaning::Let(id), slot.span));
        }
        for (id, bottle) in program.bottles.iter().enumerate() {
            names.insert(bottle.name.clone(), (Meaning::Bottle(id), bottle.span));
        }
        for (id, vessel) in program.vessels.iter().enumerate() {
            names.insert(vessel.name.clone(), (Meaning::Vessel(id), Span::default()));
        }
        Checker {
            source,
            program,
            names,
            lost: Vec::new(),
            later: FxHashMap::default(),
            faults: Vec::new(),
        }
    }

    pub(super) fn extend(&mut self, statements: &[Spanned<Statement>]) {
        let body = self.statements(statements, false);
        self.program.body.extend(body);
    }

    pub(super) fn finish(self) -> Program {
        self.program
    }

    /// Notes which names are made where.
    fn announce(&mut self, statements: &[Spanned<Statement>]) {
        for statement in statements {
            let made: Vec<&Name> = match &statement.node {
                Statement::Bottle { name, .. }
                | Statement::Let { name, .. }
                | Statement::Vessel { name, .. } => vec![name],
                Statement::Filter { filtrate, cake, .. } => vec![filtrate, cake],
                Statement::Decant { into, .. }
                | Statement::Pour { into, .. }
                | Statement::Take { into, .. }
                | Statement::Crystallise { into, .. }
                | Statement::Wash {
                    into: Some(into), ..
                } => vec![into],
                Statement::Step { body, .. } => {
                    self.announce(body);
                    Vec::new()
                }
                _ => Vec::new(),
            };
            for name in made {
                self.later.entry(name.node.clone()).or_insert(name.span);
            }
        }
    }

    fn statements(&mut self, statements: &[Spanned<Statement>], in_step: bool) -> Vec<Instruction> {
        let mut body = Vec::new();
        for statement in statements {
            let action = match &statement.node {
                Statement::Step { .. } if in_step => {
                    self.faults.push(CheckFault::Misplaced {
                        span: statement.span,
                        what: "step",
                    });
                    continue;
                }
                Statement::Step { title, body } => {
                    let body = self.statements(body, true);
                    Ok(Some(Action::Step {
                        title: title.clone(),
                        body,
                    }))
                }
                other => self.statement(other, statement.span),
            };
            match action {
                Ok(Some(action)) => body.push(Instruction {
                    span: statement.span,
                    text: self.source.slice(statement.span).to_owned(),
                    action,
                }),
                Ok(None) => {}
                Err(()) => self.lose_names(&statement.node),
            }
        }
        body
    }

    /// A statement that failed still made its names: what uses them must not fail for that.
    fn lose_names(&mut self, statement: &Statement) {
        let mut made = match statement {
            Statement::Bottle { name, .. } | Statement::Let { name, .. } => vec![name],
            _ => Vec::new(),
        };
        if let Statement::Vessel { name, .. } = statement {
            made.push(name);
        }
        self.lost.extend(made.into_iter().map(|n| n.node.clone()));
    }

    fn statement(&mut self, statement: &Statement, span: Span) -> Checked<Option<Action>> {
        use Statement as S;
        Ok(Some(match statement {
            S::Title(title) => {
                self.program.title = Some(title.clone());
                return Ok(None);
            }
            S::Ambient {
                temperature,
                pressure,
            } => {
                self.ambient(temperature, pressure.as_ref())?;
                return Ok(None);
            }
            S::Bottle {
                name,
                species,
                strength,
                density,
            } => {
                self.bottle(name, species, strength.as_ref(), density.as_ref(), span)?;
                return Ok(None);
            }
            S::Vessel { name, capacity } => {
                let capacity = match capacity {
                    Some(capacity) => Some(self.measured(capacity, &unit::MILLILITRE)?),
                    None => None,
                };
                self.define(name, |program| {
                    program.vessels.push(VesselSlot {
                        name: name.node.clone(),
                        capacity,
                    });
                    Meaning::Vessel(program.vessels.len() - 1)
                })?;
                return Ok(None);
            }
            S::Substance { species, data } => {
                self.substance(species, data)?;
                return Ok(None);
            }
            S::Let { name, value } => {
                let value = self.value(value)?;
                let slot = LetSlot {
                    name: name.node.clone(),
                    dimension: value.dimension,
                    span: name.span,
                    set: None,
                };
                let mut id = 0;
                self.define(name, |program| {
                    program.lets.push(slot);
                    id = program.lets.len() - 1;
                    Meaning::Let(id)
                })?;
                Action::Let { slot: id, value }
            }
            S::Step { .. } => return Err(()),
            S::Charge {
                vessel,
                what,
                at,
                over,
            } => {
                return self
                    .charge(vessel, what, at.as_ref(), over.as_ref())
                    .map(Some);
            }
            S::React {
                vessel,
                equation,
                degree,
                limit,
            } => Action::React {
                vessel: self.vessel(vessel)?,
                reaction: self.reaction(equation)?,
                degree: self.optional(degree.as_ref(), &[Dimension::NONE])?,
                limit: match limit {
                    Some(matter) => Some(self.matter(matter)?),
                    None => None,
                },
            },
            S::Warm { vessel, to } => self.bath(vessel, to, BathKind::Warm)?,
            S::Cool { vessel, to } => self.bath(vessel, to, BathKind::Cool)?,
            S::Hold { vessel, at } => self.bath(vessel, at, BathKind::Hold)?,
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
                retaining: self.optional(
                    retaining.as_ref(),
                    &[Dimension::VOLUME, Dimension::MASS, Dimension::NONE],
                )?,
            },
            S::Decant { vessel, into } => Action::Decant {
                vessel: self.vessel(vessel)?,
                into: self.target(into)?,
            },
            S::Pour { vessel, into } => Action::Pour {
                vessel: self.vessel(vessel)?,
                into: self.target(into)?,
            },
            S::Take {
                amount,
                vessel,
                into,
            } => Action::Take {
                amount: self.value_of(
                    amount,
                    &[Dimension::VOLUME, Dimension::MASS, Dimension::NONE],
                )?,
                vessel: self.vessel(vessel)?,
                into: self.target(into)?,
            },
            S::Wash { vessel, with, into } => Action::Wash {
                vessel: self.vessel(vessel)?,
                with: self.portion(with)?,
                into: match into {
                    Some(into) => Some(self.target(into)?),
                    None => None,
                },
            },
            S::Dry { vessel, at } => Action::Dry {
                vessel: self.vessel(vessel)?,
                at: self.optional(at.as_ref(), &[Dimension::TEMPERATURE])?,
            },
            S::Evaporate { vessel, to } => Action::Evaporate {
                vessel: self.vessel(vessel)?,
                to: self.value_of(to, &[Dimension::VOLUME, Dimension::MASS])?,
            },
            S::Dilute { vessel, to } => Action::Dilute {
                vessel: self.vessel(vessel)?,
                to: self.value_of(to, &[Dimension::VOLUME, Dimension::MASS])?,
            },
            S::Crystallise {
                vessel,
                at,
                species,
                into,
            } => Action::Crystallise {
                vessel: self.vessel(vessel)?,
                at: self.value_of(at, &[Dimension::TEMPERATURE])?,
                solid: species.node.with_phase(Some(Phase::Solid)),
                into: self.target(into)?,
            },
            S::Weigh { vessel, found } => Action::Weigh {
                vessel: self.vessel(vessel)?,
                found: self.value_of(found, &[Dimension::MASS])?,
            },
            S::Measure { what, found } => {
                let what = self.value(what)?;
                let found = self.value_of(found, &[what.dimension])?;
                Action::Measure { what, found }
            }
            S::Wait(time) => Action::Wait(self.value_of(time, &[Dimension::TIME])?),
            S::Note(text) => Action::Note(text.clone()),
            S::Scale {
                equation,
                to,
                species,
            } => Action::Scale {
                reaction: self.reaction(equation)?,
                to: self.value_of(to, &[Dimension::MASS, Dimension::AMOUNT, Dimension::VOLUME])?,
                basis: species.node.clone(),
            },
            S::Show(values) => {
                let values: Vec<_> = values.iter().map(|v| self.value(v)).collect();
                Action::Show(values.into_iter().collect::<Checked<_>>()?)
            }
            S::Expect(conditions) => self.expect(conditions, span)?,
            S::Yield {
                vessel,
                species,
                basis,
            } => Action::Yield {
                vessel: self.vessel(vessel)?,
                product: species.node.with_phase(Some(Phase::Solid)),
                basis: basis.node.clone(),
            },
        }))
    }

    fn expect(&mut self, conditions: &[syntax::Condition], span: Span) -> Checked<Action> {
        let mut checked = Vec::new();
        for condition in conditions {
            let left = self.value(&condition.left)?;
            let right = self.value(&condition.right)?;
            if left.dimension != right.dimension {
                return self.fault(CheckFault::MixedDimensions {
                    span: condition.right.span,
                    left: left.dimension,
                    right: right.dimension,
                });
            }
            checked.push((left, condition.comparison, right));
        }
        let text = self
            .source
            .slice(span)
            .trim_start_matches("expect")
            .trim()
            .to_owned();
        Ok(Action::Expect {
            text,
            conditions: checked,
        })
    }

    fn bath(&mut self, vessel: &Name, to: &Spanned<Expr>, kind: BathKind) -> Checked<Action> {
        let vessel = self.vessel(vessel);
        let to = self.value_of(to, &[Dimension::TEMPERATURE])?;
        Ok(Action::Bath {
            vessel: vessel?,
            to,
            kind,
        })
    }

    fn ambient(
        &mut self,
        temperature: &Spanned<Literal>,
        pressure: Option<&Spanned<Literal>>,
    ) -> Checked<()> {
        self.program.ambient.temperature = self.measured(temperature, &unit::KELVIN)?;
        if let Some(pressure) = pressure {
            self.program.ambient.pressure = self.measured(pressure, &unit::KILOPASCAL)?;
        }
        Ok(())
    }

    fn bottle(
        &mut self,
        name: &Name,
        species: &Spanned<Species>,
        strength: Option<&Spanned<Literal>>,
        density: Option<&Spanned<Literal>>,
        span: Span,
    ) -> Checked<()> {
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
                    bottle: &name.node,
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
        let stuff = self.stuff(at, made)?;
        let bottle = Bottle {
            name: name.node.clone(),
            stuff,
            span,
        };
        self.define(name, |program| {
            program.bottles.push(bottle);
            Meaning::Bottle(program.bottles.len() - 1)
        })
    }

    fn substance(&mut self, species: &Spanned<Species>, data: &[Spanned<Datum>]) -> Checked<()> {
        let phase = species.node.phase().unwrap_or(Phase::Solid);
        let mut own = Own {
            formula: species.node.key().to_owned(),
            phase: phase.symbol().to_owned(),
            formation_enthalpy: None,
            formation_gibbs: None,
            entropy: None,
            heat_capacity: None,
            source: String::new(),
        };
        for datum in data {
            match &datum.node {
                Datum::Source(text) => own.source = text.clone(),
                Datum::Value(key, value) => {
                    let label = || format!("{} of {}", key.node, own.formula);
                    let value = literal(value, label, &mut self.program.inputs);
                    let value = self.keep(value)?;
                    let (slot, dimension) = match key.node.as_str() {
                        "dfH" => (&mut own.formation_enthalpy, Dimension::MOLAR_ENERGY),
                        "dfG" => (&mut own.formation_gibbs, Dimension::MOLAR_ENERGY),
                        "S" => (&mut own.entropy, Dimension::MOLAR_ENTROPY),
                        _ => (&mut own.heat_capacity, Dimension::MOLAR_ENTROPY),
                    };
                    if value.dimension() != dimension || slot.is_some() {
                        return self.fault(CheckFault::BadDatum { span: datum.span });
                    }
                    *slot = Some(value);
                }
            }
        }
        self.program.store.add(own);
        Ok(())
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
        let at = self.optional(at, &[Dimension::TEMPERATURE]);
        let over = self.optional(over, &[Dimension::TIME]);
        match what {
            Charge::Portions(portions) => {
                let portions: Vec<_> = portions.iter().map(|p| self.portion(p)).collect();
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
                let excess = self.optional(excess.as_ref(), &[Dimension::NONE]);
                Ok(Action::ChargeEnough {
                    vessel: vessel?,
                    matter: matter?,
                    reaction: reaction?,
                    excess: excess?,
                    at: at?,
                    over: over?,
                })
            }
        }
    }

    fn portion(&mut self, portion: &syntax::Portion) -> Checked<Portion> {
        let matter = self.matter(&portion.matter);
        let amount = self.value_of(
            &portion.amount,
            &[Dimension::MASS, Dimension::VOLUME, Dimension::AMOUNT],
        );
        let (matter, amount) = (matter?, amount?);
        if amount.dimension == Dimension::VOLUME
            && let Err(fault) = stuff::pourable(&matter.stuff)
        {
            return self.fault(CheckFault::Stuff {
                span: portion.amount.span.to(portion.matter.span),
                fault,
            });
        }
        Ok(Portion { amount, matter })
    }

    fn matter(&mut self, matter: &Spanned<syntax::Matter>) -> Checked<Matter> {
        let label = self.source.slice(matter.span).to_owned();
        let made = match &matter.node {
            syntax::Matter::Name(name) => {
                if let Some(stuff) = stuff::household(name) {
                    return Ok(Matter {
                        bottle: None,
                        stuff,
                        label,
                    });
                }
                let name = Name {
                    node: name.clone(),
                    span: matter.span,
                };
                let Meaning::Bottle(id) = self.resolve(&name, NameKind::Bottle)? else {
                    return Err(());
                };
                let stuff = self.program.bottles[id].stuff.clone();
                return Ok(Matter {
                    bottle: Some(id),
                    stuff,
                    label,
                });
            }
            syntax::Matter::Species(species) => {
                stuff::pure(&self.program.store, species, Number::one(), None)
            }
        };
        let stuff = self.stuff(matter.span, made)?;
        Ok(Matter {
            bottle: None,
            stuff,
            label,
        })
    }

    /// The balanced reaction of an equation, or the fault that it has none.
    fn reaction(&mut self, skeleton: &Skeleton) -> Checked<Reaction> {
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

    fn vessel(&mut self, name: &Name) -> Checked<VesselId> {
        match self.resolve(name, NameKind::Vessel)? {
            Meaning::Vessel(id) => Ok(id),
            _ => Err(()),
        }
    }

    /// The vessel of a name after `->`: made here unless it exists.
    fn target(&mut self, name: &Name) -> Checked<VesselId> {
        if self.names.contains_key(&name.node) {
            return self.vessel(name);
        }
        let mut id = 0;
        self.define(name, |program| {
            program.vessels.push(VesselSlot {
                name: name.node.clone(),
                capacity: None,
            });
            id = program.vessels.len() - 1;
            Meaning::Vessel(id)
        })?;
        Ok(id)
    }

    fn resolve(&mut self, name: &Name, wanted: NameKind) -> Checked<Meaning> {
        if let Some((meaning, _)) = self.names.get(&name.node) {
            let meaning = *meaning;
            if meaning.kind() == wanted {
                return Ok(meaning);
            }
            return self.fault(CheckFault::WrongKind {
                name: name.clone(),
                is: meaning.kind(),
                wanted,
            });
        }
        if self.lost.contains(&name.node) {
            return Err(());
        }
        let same_kind = self.names.iter().filter(|(_, (m, _))| m.kind() == wanted);
        let mut known: Vec<&str> = same_kind.map(|(n, _)| n.as_str()).collect();
        known.sort_unstable();
        let near = near(&name.node, known).map(str::to_owned);
        let later = self
            .later
            .get(&name.node)
            .copied()
            .filter(|at| at.start > name.span.start);
        self.fault(CheckFault::UnknownName {
            name: name.clone(),
            wanted,
            near,
            later,
        })
    }

    fn define(&mut self, name: &Name, make: impl FnOnce(&mut Program) -> Meaning) -> Checked<()> {
        if let Some((_, first)) = self.names.get(&name.node) {
            let first = *first;
            return self.fault(CheckFault::Redefined {
                name: name.clone(),
                first,
            });
        }
        let meaning = make(&mut self.program);
        self.names.insert(name.node.clone(), (meaning, name.span));
        Ok(())
    }

    /// A literal as a number of `wanted`.
    fn measured(
        &mut self,
        value: &Spanned<Literal>,
        wanted: &'static crate::number::Unit,
    ) -> Checked<Number> {
        let label = self.source.slice(value.span).to_owned();
        let quantity = literal(&value.node, || label, &mut self.program.inputs);
        let quantity = self.keep(quantity)?;
        match quantity.in_unit(wanted) {
            Ok(number) => Ok(number),
            Err(mismatch) => self.fault(CheckFault::WrongDimension {
                span: value.span,
                found: mismatch.found,
                expected: vec![mismatch.expected],
            }),
        }
    }

    fn stuff(&mut self, span: Span, made: Result<Stuff, StuffFault>) -> Checked<Stuff> {
        match made {
            Ok(stuff) => Ok(stuff),
            Err(fault) => self.fault(CheckFault::Stuff { span, fault }),
        }
    }

    fn keep<T>(&mut self, result: Result<T, CheckFault>) -> Checked<T> {
        match result {
            Ok(value) => Ok(value),
            Err(fault) => self.fault(fault),
        }
    }

    fn fault<T>(&mut self, fault: CheckFault) -> Checked<T> {
        self.faults.push(fault);
        Err(())
    }

    /// Whole-number exponents are literals, so their value is known here.
    fn small_integer(value: &Value) -> Option<i32> {
        let Node::Constant(quantity) = &value.node else {
            return None;
        };
        let number = quantity.number().value();
        let whole = quantity.dimension() == Dimension::NONE && number.is_integer();
        let small = number.abs() <= Exact::from(16);
        (whole && small).then(|| number.to_f64() as i32)
    }
}
