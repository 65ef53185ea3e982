//! What names mean inside a procedure: what it was given, what it makes itself, and what stands above it in the route.

use std::sync::Arc;

use rustc_hash::FxHashMap;

use crate::matter::Species;
use crate::text::Span;

use super::super::program::{LetId, Procedure};
use super::super::syntax::Name;
use super::{Checker, Known, Meaning};

/// A procedure while one call of it is checked.
#[derive(Clone)]
pub(super) struct Scope {
    pub(super) procedure: Arc<Procedure>,
    /// Where it is called.
    pub(super) call: Span,
    pub(super) given: FxHashMap<String, Given>,
    pub(super) names: FxHashMap<String, Known>,
    /// What sets names made in this call apart from those of another.
    pub(super) tag: String,
    /// Places where a parameter stands, with what it stands for.
    pub(super) replaced: Vec<(Span, String)>,
}

/// What a parameter stands for.
#[derive(Clone)]
pub(super) struct Given {
    pub(super) means: Argument,
    /// As written in the call.
    pub(super) text: String,
}

/// The kinds of argument.
#[derive(Clone)]
pub(super) enum Argument {
    /// A name of the caller, perhaps of a vessel that is not made yet.
    Name(Name),
    /// A value worked out when the procedure begins.
    Value(LetId),
    /// A formula.
    Formula(Species),
}

/// What a name stands for.
pub(super) enum Found {
    Known(Meaning, Span),
    Formula(Species),
    /// Nothing yet: the name, and how many scopes deep it would be made.
    Nothing(Name, usize),
}

impl Checker<'_> {
    /// Follows a name through what procedures were given to what it stands for.
    pub(super) fn find_name(&mut self, name: &Name) -> Found {
        let deepest = self.scopes.len();
        let mut name = name.clone();
        for level in (0..=deepest).rev() {
            let Some(scope) = level.checked_sub(1).and_then(|at| self.scopes.get_mut(at)) else {
                break;
            };
            let Some(given) = scope.given.get(&name.node) else {
                return self.in_scope(name, level);
            };
            if level == deepest {
                scope.replaced.push((name.span, given.text.clone()));
            }
            match &given.means {
                Argument::Formula(species) => return Found::Formula(species.clone()),
                Argument::Value(id) => return Found::Known(Meaning::Let(*id), name.span),
                Argument::Name(outer) => name = outer.clone(),
            }
        }
        match self.names.get(&name.node) {
            Some(known) => Found::Known(known.meaning, known.span),
            None => Found::Nothing(name, 0),
        }
    }

    /// A name that the procedure was not given: its own, or one that stands above it.
    fn in_scope(&self, name: Name, level: usize) -> Found {
        let scope = &self.scopes[level - 1];
        let above = || {
            let known = self.names.get(&name.node);
            known.filter(|known| known.order < scope.procedure.sees)
        };
        match scope.names.get(&name.node).or_else(above) {
            Some(known) => Found::Known(known.meaning, known.span),
            None => Found::Nothing(name, level),
        }
    }

    /// A place of the text, with what a procedure was given in the place of its parameters.
    pub(super) fn written(&self, span: Span) -> String {
        let Some(scope) = self.scopes.last() else {
            return self.source.slice(span).to_owned();
        };
        let text = self.source.slice(span);
        let mut inside: Vec<&(Span, String)> = scope
            .replaced
            .iter()
            .filter(|(at, _)| span.start <= at.start && at.end <= span.end)
            .collect();
        inside.sort_by_key(|(at, _)| at.start);
        inside.dedup_by_key(|(at, _)| at.start);
        let mut out = String::new();
        let mut from = 0;
        for (at, by) in inside {
            out += &text[from..at.start - span.start];
            out += by;
            from = at.end - span.start;
        }
        out + &text[from..]
    }
}
