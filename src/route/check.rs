//! The syntax tree into a checked program: names, dimensions, strengths, balances.
//!
//! Promises: every fault is collected, in the order of the text; a statement with a fault is left out and what hangs
//! on its names is not told again.
//!
//! Knows nothing of what the vessels will hold.

use rustc_hash::FxHashMap;

use crate::data::Store;
use crate::number::{Dimension, Exact, Quantity};
use crate::text::{Source, Span, near};

use super::program::*;
use super::syntax::{Name, Spanned, Statement, Tree};

mod accept;
mod declaration;
pub(super) mod expression;
mod fault;
mod heat;
mod names;
mod operation;
mod question;
mod solution;
mod titration;

pub use declaration::literal;
pub use fault::{CheckFault, NameKind};

/// Checks a tree. The program holds every statement without a fault.
pub fn check(tree: &Tree, source: &Source, store: &Store) -> (Program, Vec<CheckFault>) {
    let mut checker = Checker::new(
        source,
        Program {
            store: store.clone(),
            inputs: store.inputs().to_vec(),
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
        match statement {
            S::Title(_)
            | S::Ambient { .. }
            | S::Bottle { .. }
            | S::Let { .. }
            | S::Vessel { .. }
            | S::Substance { .. } => self.declaration(statement, span),
            S::Accept(text) => self.accept(text).map(|()| None),
            S::Heat {
                equation,
                at,
                activities,
            } => self.heat(equation, at.as_ref(), activities).map(Some),
            S::Solution { asked, at } => self.solution(asked, at.as_ref(), span).map(Some),
            S::Scale { .. } | S::Show(_) | S::Expect(_) | S::Yield { .. } => {
                self.question(statement, span).map(Some)
            }
            operation => self.operation(operation).map(Some),
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
