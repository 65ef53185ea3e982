//! `aludel substance`

use std::io;

use super::arguments::Substance;
use super::mass::formula;
use super::{Doors, Status, data, input, refuse, refuse_unread};
use crate::data::{formulas_named, near_names};
use crate::diagnostic::Message;
use crate::matter::{Phase, Species};
use crate::report;
use crate::text::Source;

pub(super) fn substance(asked: &Substance, doors: &mut Doors<'_>) -> io::Result<Status> {
    let store = match data::store(asked.own.data.as_deref(), doors)? {
        Ok(store) => store,
        Err(status) => return Ok(status),
    };
    let source = match input::argument("formula", &asked.what, doors.input) {
        Ok(source) => source,
        Err(message) => return refuse_unread(&message, doors),
    };
    match meant(&source) {
        Ok(species) => {
            write!(doors.output, "{}", report::substance(&species, &store))?;
            Ok(Status::Well)
        }
        Err(message) => refuse(&message, &source, doors),
    }
}

/// The substance that a formula, a name or a CAS number stands for; a phase may follow any of them.
fn meant(source: &Source) -> Result<Species, Message> {
    let text = source.text().trim();
    // Formulas begin with a capital letter or a bracket; a name may too, so a formula that can be read goes first.
    let read = formula(source);
    if read.is_ok() {
        return read;
    }
    let (name, phase) = with_phase(text);
    match formulas_named(name).as_slice() {
        [] => read.map_err(|fault| unnamed(name, fault)),
        [only] => {
            let species =
                Species::parse(only).map_err(|fault| crate::diagnostic::formula_fault(&fault))?;
            Ok(species.with_phase(phase))
        }
        several => {
            let all: Vec<String> = several
                .iter()
                .map(|formula| format!("`{formula}`"))
                .collect();
            let title = format!("`{name}` is the name of {} substances", all.len());
            Err(Message::error("ambiguous-name", title).hint(format!(
                "write the formula that is meant: {}",
                all.join(", ")
            )))
        }
    }
}

/// `water(g)`
fn with_phase(text: &str) -> (&str, Option<Phase>) {
    let split = text
        .strip_suffix(')')
        .and_then(|open| open.rsplit_once('('));
    match split.map(|(name, symbol)| (name.trim(), Phase::of_symbol(symbol))) {
        Some((name, Some(phase))) => (name, Some(phase)),
        _ => (text, None),
    }
}

/// Nothing has this name: what it may have been meant for.
fn unnamed(name: &str, fault: Message) -> Message {
    let near = near_names(name);
    // A slip in a formula has a better message of its own; what looks like words has not.
    let words =
        name.len() > 3 && name.chars().filter(|c| c.is_lowercase()).count() * 2 > name.len();
    let number = name.starts_with(|c: char| c.is_ascii_digit());
    let slip = fault
        .hints
        .iter()
        .any(|hint| hint.starts_with("did you mean"));
    if near.is_empty() && (slip || !words && !number) {
        return fault;
    }
    let message = Message::error(
        "unknown-substance",
        format!("no substance is called `{name}`"),
    );
    if near.is_empty() {
        return message.hint("write its formula, its systematic name or its CAS number");
    }
    let near: Vec<String> = near.iter().map(|name| format!("`{name}`")).collect();
    message.hint(format!("there is {}", near.join(", ")))
}
