//! Procedures and their calls, in words.

use super::Message;
use crate::route::syntax::Name;
use crate::text::Span;

/// A procedure that comes back to itself.
pub(super) fn recursion(message: Message, cycle: &[Name]) -> Message {
    let message = cycle.iter().fold(message, |message, name| {
        message.at(name.span, "called here")
    });
    message.hint("write out what is to be done again, or call it from the route")
}

/// Too many arguments or too few.
pub(super) fn arity(message: Message, call: &Name, parameters: &[String]) -> Message {
    message.at(call.span, "").hint(format!(
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
