//! A program taken back to what it was before something was added to it, without a copy of the whole.

use std::sync::Arc;

use rustc_hash::FxHashMap;

use crate::data::Store;

use super::{Bottle, Instruction, Program, Value};
use crate::vessel::Ambient;

/// How far a program goes: what is only ever added to by its length, the rest as it is.
#[derive(Debug)]
pub struct Mark {
    title: Option<String>,
    ambient: Ambient,
    ambient_from: (Option<Value>, Option<Value>),
    store: Store,
    /// Of procedures called so far; most entries call none.
    called: FxHashMap<String, usize>,
    lets: usize,
    bottles: usize,
    vessels: usize,
    accepted: usize,
    instruments: usize,
    inputs: usize,
    order: usize,
    procedures: usize,
    body: usize,
}

impl Program {
    /// Where it ends now.
    pub fn mark(&self) -> Mark {
        // Named one by one, so that nobody adds a field and forgets it here.
        let Program {
            title,
            ambient,
            ambient_from,
            lets,
            bottles,
            vessels,
            accepted,
            instruments,
            inputs,
            draw: _,
            store,
            order,
            procedures,
            called,
            body,
        } = self;
        Mark {
            title: title.clone(),
            ambient: ambient.clone(),
            ambient_from: ambient_from.clone(),
            store: store.clone(),
            called: called.clone(),
            lets: lets.len(),
            bottles: bottles.len(),
            vessels: vessels.len(),
            accepted: accepted.len(),
            instruments: instruments.len(),
            inputs: inputs.len(),
            order: order.len(),
            procedures: procedures.len(),
            body: body.len(),
        }
    }

    /// Drops all that was added since, but for changes to what was there already; the names it had are given back.
    pub fn back_to(&mut self, mark: Mark) -> Vec<String> {
        self.title = mark.title;
        self.ambient = mark.ambient;
        self.ambient_from = mark.ambient_from;
        self.store = mark.store;
        self.called = mark.called;
        self.lets.truncate(mark.lets);
        self.bottles.truncate(mark.bottles);
        self.vessels.truncate(mark.vessels);
        self.accepted.truncate(mark.accepted);
        self.instruments.truncate(mark.instruments);
        self.inputs.truncate(mark.inputs);
        self.procedures.truncate(mark.procedures);
        Arc::make_mut(&mut self.body).truncate(mark.body);
        Arc::make_mut(&mut self.order).split_off(mark.order)
    }

    /// What it has that it did not have then.
    pub fn added_since<'p>(&'p self, mark: &Mark) -> Added<'p> {
        Added {
            instructions: &self.body[mark.body..],
            bottles: &self.bottles.raw[mark.bottles..],
        }
    }
}

/// What was added to a program, as far as it has to be carried out or looked at.
#[derive(Clone, Copy, Debug)]
pub struct Added<'p> {
    /// To be run.
    pub instructions: &'p [Instruction],
    /// Their labels may contradict the tables.
    pub bottles: &'p [Bottle],
}
