//! `procedure` and `do`: a call is checked as if the statements of the procedure stood in its place.

use std::sync::Arc;

use rustc_hash::{FxHashMap, FxHashSet};

use crate::text::Span;

use super::super::program::*;
use super::super::syntax::{self, Expr, Name, Spanned, Statement};
use super::scope::{Argument, Given, Scope};
use super::{CheckFault, Checked, Checker, Meaning, NameKind};

/// How deep procedures may call each other.
const DEEPEST: usize = 32;
/// How many statements the calls of a route may come to.
const MOST_STATEMENTS: usize = 100_000;
/// How many procedures are looked through for a way back to the first.
const MOST_LOOKED_AT: usize = 1_000;

/// Every `do` of some statements.
pub(super) fn called(body: &[Spanned<Statement>]) -> Vec<Name> {
    let mut all = Vec::new();
    for statement in body {
        match &statement.node {
            Statement::Do { name, .. } => all.push(name.clone()),
            Statement::Step { body, .. } => all.extend(called(body)),
            _ => {}
        }
    }
    all
}

impl Checker<'_> {
    /// `procedure NAME(a, b) { … }`
    pub(super) fn procedure(
        &mut self,
        name: &Name,
        parameters: &[Name],
        body: &Arc<[Spanned<Statement>]>,
    ) -> Checked<()> {
        if !self.scopes.is_empty() {
            return self.misplaced("procedure", "procedure", name.span);
        }
        self.only_once(parameters)?;
        self.placed_well(body)?;
        for call in called(body) {
            self.defined_before(name, &call)?;
        }
        let procedure = Arc::new(Procedure {
            name: name.clone(),
            parameters: parameters.to_vec(),
            body: body.clone(),
            sees: self.program.order.len(),
        });
        self.define(name, |program, _| {
            Meaning::Procedure(program.procedures.push_and_get_key(procedure))
        })
    }

    fn only_once(&mut self, parameters: &[Name]) -> Checked<()> {
        let mut seen: FxHashMap<&str, Span> = FxHashMap::default();
        for parameter in parameters {
            if let Some(first) = seen.insert(&parameter.node, parameter.span) {
                let name = parameter.clone();
                return self.fault(CheckFault::Redefined { name, first });
            }
        }
        Ok(())
    }

    /// What sets the scene or runs the whole route again has no place in a part of it.
    fn placed_well(&mut self, body: &[Spanned<Statement>]) -> Checked<()> {
        let mut well = Ok(());
        for statement in body {
            let what = match &statement.node {
                Statement::Title(_) => "title",
                Statement::Ambient { .. } => "ambient",
                Statement::Substance { .. } => "substance",
                Statement::Instrument(_) => "instrument",
                Statement::Accept(_) => "accept",
                Statement::Use { .. } => "use",
                Statement::Procedure { .. } => "procedure",
                Statement::Find { .. } => "find",
                Statement::Vary { .. } => "vary",
                Statement::Step { body, .. } => {
                    well = well.and(self.placed_well(body));
                    continue;
                }
                _ => continue,
            };
            well = self.misplaced(what, "procedure", statement.span);
        }
        well
    }

    /// A procedure calls those above it; calling itself, by whatever way, is told with that way.
    fn defined_before(&mut self, name: &Name, call: &Name) -> Checked<()> {
        if let Some(cycle) = self.way_back(name, call) {
            return self.fault(CheckFault::Recursion { cycle });
        }
        self.resolve(call, NameKind::Procedure).map(|_| ())
    }

    /// From a call along the procedures that it calls to the one it stands in: breadth first, so by the shortest way.
    fn way_back(&self, home: &Name, call: &Name) -> Option<Vec<Name>> {
        let mut ways = vec![vec![call.clone()]];
        let mut seen: FxHashSet<&str> = FxHashSet::default();
        let mut at = 0;
        while at < ways.len() && at < MOST_LOOKED_AT {
            let way = ways[at].clone();
            at += 1;
            let last = way.last()?;
            if last.node == home.node {
                return Some(way);
            }
            let Some((known, next)) = self.calls.get_key_value(&last.node) else {
                continue;
            };
            if seen.insert(known) {
                let longer = next
                    .iter()
                    .map(|name| way.iter().chain([name]).cloned().collect());
                ways.extend(longer);
            }
        }
        None
    }

    /// `do NAME(x, y)`
    pub(super) fn call(
        &mut self,
        name: &Name,
        arguments: &[Spanned<syntax::Argument>],
        span: Span,
        in_step: bool,
    ) -> Checked<Vec<Instruction>> {
        let Meaning::Procedure(id) = self.resolve(name, NameKind::Procedure)? else {
            return Err(());
        };
        let procedure = self.program.procedures[id].clone();
        if arguments.len() != procedure.parameters.len() {
            return self.fault(CheckFault::Arity {
                call: name.clone(),
                parameters: procedure
                    .parameters
                    .iter()
                    .map(|p| p.node.clone())
                    .collect(),
                given: arguments.len(),
            });
        }
        if self.scopes.len() == DEEPEST {
            return self.fault(CheckFault::TooDeep { span });
        }
        self.called += procedure.body.len() + 1;
        if self.called > MOST_STATEMENTS {
            self.called = MOST_STATEMENTS;
            let most = MOST_STATEMENTS;
            return self.fault(CheckFault::TooManyStatements { span, most });
        }
        self.enter(procedure, arguments, span, in_step)
    }

    fn enter(
        &mut self,
        procedure: Arc<Procedure>,
        arguments: &[Spanned<syntax::Argument>],
        call: Span,
        in_step: bool,
    ) -> Checked<Vec<Instruction>> {
        let tag = self.tag(&procedure.name.node);
        let mut made = Vec::new();
        let mut given = FxHashMap::default();
        for (parameter, argument) in procedure.parameters.iter().zip(arguments) {
            let means =
                self.argument_of(argument, &format!("{} in {tag}", parameter.node), &mut made)?;
            let text = self.written(argument.span);
            given.insert(parameter.node.clone(), Given { means, text });
        }
        let body = procedure.body.clone();
        self.scopes.push(Scope {
            procedure,
            call,
            given,
            names: FxHashMap::default(),
            tag,
            replaced: Vec::new(),
        });
        made.extend(self.statements(&body, in_step));
        self.scopes.pop();
        Ok(made)
    }

    fn argument_of(
        &mut self,
        argument: &Spanned<syntax::Argument>,
        slot: &str,
        made: &mut Vec<Instruction>,
    ) -> Checked<Argument> {
        let expr = match &argument.node {
            syntax::Argument::Species(species) => return Ok(Argument::Formula(species.clone())),
            syntax::Argument::Expr(Expr::Name(name)) => {
                return Ok(Argument::Name(Name {
                    node: name.clone(),
                    span: argument.span,
                }));
            }
            syntax::Argument::Expr(expr) => Spanned {
                node: expr.clone(),
                span: argument.span,
            },
        };
        let value = self.value(&expr)?;
        let known = self.program.constant(&value);
        let difference = self.is_difference(&value);
        let id = self.program.lets.push_and_get_key(LetSlot {
            name: slot.to_owned(),
            dimension: value.dimension,
            span: argument.span,
            value: value.clone(),
            set: None,
            known,
            sought: None,
            difference,
        });
        made.push(self.instruction(argument.span, Action::Let { slot: id, value }));
        Ok(Argument::Value(id))
    }

    /// The name of a procedure, with a number from its second call on.
    fn tag(&mut self, name: &str) -> String {
        let count = self.program.called.entry(name.to_owned()).or_default();
        *count += 1;
        match *count {
            1 => name.to_owned(),
            more => format!("{name} {more}"),
        }
    }
}
