//! The syntax tree into a checked program: names, dimensions, strengths, balances.
//!
//! Promises: every fault is collected, in the order of the text; a statement with a fault is left out and what hangs
//! on its names is not told again.
//!
//! Knows nothing of what the vessels will hold.

use std::ops::Range;

use rustc_hash::{FxHashMap, FxHashSet};

use crate::data::Store;
use crate::number::{Dimension, Exact, Input, InputId, Number, Quantity};
use crate::text::{Source, Span, near};

use super::program::Setting;
use super::program::*;
use super::syntax::{Name, Spanned, Statement, Tree};

mod accept;
mod declaration;
mod expression;
mod fault;
pub(super) mod function;
mod heat;
mod instrument;
mod names;
mod operation;
mod planning;
mod procedure;
mod question;
mod scope;
mod solution;
mod temperature;
mod titration;
mod variant;

pub use declaration::{literal, quantity};
pub use fault::{CheckFault, NameKind, ReadingFault};
pub(crate) use function::FUNCTIONS;
pub use instrument::InstrumentFault;
use scope::Scope;

/// Checks a tree. The program holds every statement without a fault.
pub fn check(tree: &Tree, source: &Source, store: &Store) -> (Program, Vec<CheckFault>) {
    let mut checker = Checker::new(
        source,
        source.around(0),
        Program::with_data(store),
        Names::default(),
    );
    checker.announce(&tree.statements);
    checker.extend(&tree.statements);
    let faults = std::mem::take(&mut checker.faults);
    (checker.finish().0, faults)
}

/// The program with other values of some `let`s, as `--set` gives them.
pub fn set(program: &Program, settings: &[Setting]) -> Result<Program, Vec<CheckFault>> {
    let mut faults = Vec::new();
    let mut found = Vec::new();
    let mut program = program.clone();
    for one in settings {
        match setting(&program, &one.name, &one.value) {
            Ok(id) => found.push((id, of_its_own(one, &mut program.inputs))),
            Err(fault) => faults.push(fault),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    program.with(&found).map_err(|fault| vec![fault])
}

/// A value from outside was read without knowing the inputs of the route: its uncertainty becomes one of them.
fn of_its_own(setting: &Setting, inputs: &mut Vec<Input>) -> Quantity {
    let number = setting.value.number();
    if number.is_exact() {
        return setting.value.clone();
    }
    let input = InputId(inputs.len() as u32);
    inputs.push(Input {
        label: format!("{} as set", setting.name),
        distribution: setting.distribution,
    });
    let exact = Number::exact(number.value().clone());
    let number = exact.with_uncertainty(input, number.standard_uncertainty());
    let value = Quantity::coherent(number, setting.value.dimension());
    match setting.value.written_in() {
        Some(unit) => value.shown_in(&unit),
        None => value,
    }
}

/// The `let` that a setting means.
fn setting(program: &Program, name: &str, value: &Quantity) -> Result<LetId, CheckFault> {
    let id = program.lets.position(|slot| slot.name == name);
    let id = id.ok_or_else(|| CheckFault::UnknownSetting {
        name: name.to_owned(),
        near: near(name, program.lets.iter().map(|slot| slot.name.as_str())).map(str::to_owned),
    })?;
    let slot = &program.lets[id];
    if slot.dimension != value.dimension() {
        return Err(CheckFault::SettingDimension {
            name: name.to_owned(),
            found: value.dimension(),
            expected: slot.dimension,
        });
    }
    match slot.sought {
        Some(find) => Err(CheckFault::SetSought {
            name: name.to_owned(),
            find,
        }),
        None => Ok(id),
    }
}

/// What one name means.
#[derive(Clone, Copy, Debug)]
enum Meaning {
    Let(LetId),
    Bottle(BottleId),
    Vessel(VesselId),
    Procedure(ProcedureId),
}

impl Meaning {
    fn kind(self) -> NameKind {
        match self {
            Meaning::Let(_) => NameKind::Value,
            Meaning::Bottle(_) => NameKind::Bottle,
            Meaning::Vessel(_) => NameKind::Vessel,
            Meaning::Procedure(_) => NameKind::Procedure,
        }
    }
}

/// A name with its place, and how many names of the whole route stand before it.
#[derive(Clone, Copy, Debug)]
struct Known {
    meaning: Meaning,
    span: Span,
    order: usize,
}

/// Checks statements one after the other.
#[derive(Clone)]
pub(super) struct Checker<'s> {
    source: &'s Source,
    /// The part of it that no other file brought.
    own: Range<usize>,
    program: Program,
    /// Names of the whole route.
    names: FxHashMap<String, Known>,
    /// The procedures that are being checked, each called from the one before it.
    scopes: Vec<Scope>,
    /// Statements made by calls so far.
    called: usize,
    /// Names that a faulty statement would have declared: using them is not told again.
    lost: FxHashSet<String>,
    /// Names made anywhere in the text, for "it is made only further down".
    later: FxHashMap<String, Span>,
    /// Procedures anywhere in the text, with the procedures that they call.
    calls: FxHashMap<String, Vec<Name>>,
    /// The vessels that the statement names which is being checked.
    named: Vec<VesselId>,
    pub(super) faults: Vec<CheckFault>,
}

type Checked<T> = Result<T, ()>;

/// The names of the whole route, with what they mean.
#[derive(Clone, Debug, Default)]
pub(super) struct Names(FxHashMap<String, Known>);

impl Names {
    /// Drops names that a route turned out not to have.
    pub(super) fn forget(&mut self, names: &[String]) {
        for name in names {
            self.0.remove(name);
        }
    }
}

impl<'s> Checker<'s> {
    /// Goes on with a program and its names; `own` is where the text stands that nobody brought from another file.
    pub(super) fn new(
        source: &'s Source,
        own: Range<usize>,
        program: Program,
        names: Names,
    ) -> Self {
        Checker {
            source,
            own,
            program,
            names: names.0,
            scopes: Vec::new(),
            called: 0,
            lost: FxHashSet::default(),
            later: FxHashMap::default(),
            calls: FxHashMap::default(),
            named: Vec::new(),
            faults: Vec::new(),
        }
    }

    pub(super) fn extend(&mut self, statements: &[Spanned<Statement>]) {
        let body = self.statements(statements, false);
        std::sync::Arc::make_mut(&mut self.program.body).extend(body);
    }

    pub(super) fn finish(self) -> (Program, Names) {
        (self.program, Names(self.names))
    }

    /// Notes which names are made where.
    pub(super) fn announce(&mut self, statements: &[Spanned<Statement>]) {
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
                Statement::Step { body, .. } | Statement::Use { brings: body, .. } => {
                    self.announce(body);
                    Vec::new()
                }
                Statement::Procedure { name, body, .. } => {
                    self.calls
                        .insert(name.node.clone(), procedure::called(body));
                    vec![name]
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
            self.named.clear();
            let done = match &statement.node {
                Statement::Do { name, arguments } => self
                    .call(name, arguments, statement.span, in_step)
                    .map(|made| body.extend(made)),
                Statement::Use { brings, .. } if !in_step && self.scopes.is_empty() => {
                    body.extend(self.statements(brings, in_step));
                    Ok(())
                }
                Statement::Procedure { .. } if in_step => {
                    self.misplaced("procedure", "step", statement.span)
                }
                Statement::Step {
                    title,
                    body: inside,
                } if !in_step => {
                    let action = Action::Step {
                        title: title.clone(),
                        body: self.statements(inside, true),
                    };
                    body.push(self.instruction(statement.span, action));
                    Ok(())
                }
                other => self.statement(other, statement.span).map(|action| {
                    body.extend(action.map(|action| self.instruction(statement.span, action)))
                }),
            };
            if done.is_err() {
                self.lose_names(&statement.node);
            }
        }
        body
    }

    fn instruction(&mut self, span: Span, action: Action) -> Instruction {
        Instruction {
            span,
            text: self.written(span),
            calls: self.scopes.iter().map(|scope| scope.call).collect(),
            vessels: std::mem::take(&mut self.named),
            action,
        }
    }

    /// A statement that failed still made its names: what uses them must not fail for that.
    fn lose_names(&mut self, statement: &Statement) {
        if let Statement::Bottle { name, .. }
        | Statement::Let { name, .. }
        | Statement::Vessel { name, .. }
        | Statement::Procedure { name, .. } = statement
        {
            self.lost.insert(name.node.clone());
        }
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
            S::Instrument(declared) => self.instrument(declared, span).map(|()| None),
            S::Step { .. } => self.misplaced("step", "step", span),
            S::Use { .. } => self.misplaced("use", "step", span),
            S::Procedure {
                name,
                parameters,
                body,
            } => self.procedure(name, parameters, body).map(|()| None),
            S::Accept(text) => self.accept(text).map(|()| None),
            S::Heat {
                equation,
                at,
                activities,
            } => self.heat(equation, at.as_ref(), activities).map(Some),
            S::Solution { asked, at } => self.solution(asked, at.as_ref(), span).map(Some),
            S::Scale { .. }
            | S::Show(_)
            | S::Expect(_)
            | S::Yield { .. }
            | S::Find { .. }
            | S::Vary { .. } => self.question(statement, span).map(Some),
            operation => self.operation(operation).map(Some),
        }
    }

    fn keep<T>(&mut self, result: Result<T, CheckFault>) -> Checked<T> {
        match result {
            Ok(value) => Ok(value),
            Err(fault) => self.fault(fault),
        }
    }

    fn misplaced<T>(&mut self, what: &'static str, inside: &'static str, span: Span) -> Checked<T> {
        self.fault(CheckFault::Misplaced { span, what, inside })
    }

    /// Tells a fault; one inside a procedure with the calls that led there, and only for the first of them.
    fn fault<T>(&mut self, fault: CheckFault) -> Checked<T> {
        if self.scopes.is_empty() {
            self.faults.push(fault);
            return Err(());
        }
        let told = |known: &CheckFault| matches!(known, CheckFault::Inside { fault: inner, .. } if **inner == fault);
        if !self.faults.iter().any(told) {
            let calls = self.scopes.iter();
            self.faults.push(CheckFault::Inside {
                calls: calls
                    .map(|s| (s.procedure.name.node.clone(), s.call))
                    .collect(),
                fault: Box::new(fault),
            });
        }
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
