//! Procedures and their calls, in words.

use super::{Message, all_of};
use crate::route::syntax::Name;
use crate::text::Span;

/// A procedure that comes back to itself.
pub(super) fn recursion(cycle: &[Name]) -> Message {
    let home = cycle.last().map_or("", |name| name.node.as_str());
    let way: Vec<&str> = cycle.iter().map(|name| name.node.as_str()).collect();
    let message = Message::error(
        "recursion",
        format!("`{home}` would call itself: {home} → {}", way.join(" → ")),
    );
    let message = cycle.iter().fold(message, |message, name| {
        message.at(name.span, "called here")
    });
    message.hint("write out what is to be done again, or call it from the route")
}

/// Too many arguments or too few.
pub(super) fn arity(call: &Name, parameters: &[String], given: usize) -> Message {
    let wants = match parameters.len() {
        0 => "nothing".to_owned(),
        1 => parameters[0].clone(),
        _ => all_of(parameters),
    };
    Message::error(
        "wrong-arguments",
        format!("`{}` is given {given}, and takes {wants}", call.node),
    )
    .at(call.span, "")
    .hint(format!(
        "it is called as: do {}({})",
        call.node,
        parameters.join(", ")
    ))
}

/// A message about the inside of a procedure, with the calls that led there.
pub(super) fn inside(message: Message, calls: &[(String, Span)]) -> Message {
    calls.iter().rev().fold(message, |message, (name, call)| {
        message.at(*call, format!("in this call of `{name}`"))
    })
}
