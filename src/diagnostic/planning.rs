//! What `find` and `vary` cannot do, in words.

use super::{Message, all_of, any_of};
use crate::figure;
use crate::matter::Notation;
use crate::route::ledger::{AlsoMet, Constraint, Level, NoValue, NotFound};
use crate::route::program::RangeFault;
use crate::text::Span;

/// A range that has no values, or too many.
pub(super) fn no_range(fault: RangeFault) -> Message {
    let message = |kind| Message::error(kind, fault.to_string());
    match fault {
        RangeFault::NotStated(span) => return not_stated(span),
        RangeFault::NoStep(_) => message("bad-range")
            .hint("write a step above zero: a range goes from its smaller bound to its larger one"),
        RangeFault::Empty(_) => message("bad-range").hint("write the smaller bound first"),
        RangeFault::TooMany(_) => {
            message("too-many-runs").hint("take larger steps, or fewer names at once")
        }
    }
    .at(fault.span(), "")
}

/// A value that would have to be known before anything is in a vessel.
pub(super) fn not_stated(span: Span) -> Message {
    Message::error("not-stated", RangeFault::NotStated(span).to_string())
        .at(span, "this asks a vessel")
        .hint("write a number, or a `let` that is reckoned from numbers")
}

/// A search that ended without a value.
pub(super) fn not_found(found: &NotFound, notation: Notation) -> Message {
    let conditions = all_of(&found.conditions);
    let unknowns = found.unknowns.iter();
    let names: Vec<String> = unknowns.clone().map(|(n, _)| format!("`{n}`")).collect();
    let values: Vec<String> = unknowns
        .map(|(name, value)| format!("{name} = {}", figure::quantity(value)))
        .collect();
    let values = all_of(&values);
    let none = format!(
        "no value of {} in its range gives {conditions}",
        any_of(&names)
    );
    match &found.why {
        NoValue::OutOfReach {
            wanted,
            ends: [low, high],
            nearest,
            constraints,
        } => {
            let end = |(value, comes_to): &(_, _)| {
                format!(
                    "{} at {}",
                    figure::quantity(comes_to),
                    figure::quantity(value)
                )
            };
            let (low, high, wanted) = (end(low), end(high), figure::quantity(wanted));
            let message = Message::error("not-found", none).hint(match nearest {
                Some(nearest) => format!(
                    "it comes to {low} and {high}, and nearest to {wanted} between them with {}: see what holds it there",
                    end(nearest)
                ),
                None => format!(
                    "it comes to {low} and {high}, and {wanted} is wanted: widen the range, or see what holds it"
                ),
            });
            let held = constraints.iter().map(|one| constraint(one, notation));
            held.fold(message, Message::hint)
        }
        NoValue::Jump { wanted, comes_to } => Message::error("not-found", none).hint(format!(
            "it jumps at {values}: to {}, past {}",
            figure::quantity(comes_to),
            figure::quantity(wanted)
        )),
        NoValue::NoInfluence { wanted, comes_to } => Message::error(
            "not-found",
            format!("{} has no influence on {conditions}", all_of(&names)),
        )
        .hint(format!(
            "it is {} whatever the value, and {} is wanted: look for another value, or see whether this one is used above",
            figure::quantity(comes_to),
            figure::quantity(wanted)
        )),
        NoValue::NoAnswer => Message::error("not-found", none)
            .hint(format!("there is no answer at {values}: narrow the range")),
        NoValue::NotTogether {
            off,
            at_bound,
            constraints,
        } => {
            let title = format!("no values of {} give {conditions} together", all_of(&names));
            let nearest =
                Message::error("not-found", title).hint(format!("nearest comes {values}"));
            let message = off
                .iter()
                .fold(nearest, |message, (condition, wanted, comes_to)| {
                    message.hint(format!(
                        "then `{condition}` is off: {} instead of {}",
                        figure::quantity(comes_to),
                        figure::quantity(wanted)
                    ))
                });
            let message = match at_bound.as_slice() {
                [] => message,
                [one] => message.hint(format!("{one} stands at the end of the range")),
                names => message.hint(format!("{} stand at the end of the range", all_of(names))),
            };
            let held = constraints.iter().map(|one| constraint(one, notation));
            held.fold(message, Message::hint)
        }
        NoValue::Undone => Message::error(
            "not-found",
            format!("{conditions} was met with {values}, until a later `find` changed it"),
        )
        .hint("ask for both at once: find a in …, b in …: … = … and … = …"),
    }
}

/// A search that has more than one answer.
pub(super) fn also_met(also: &AlsoMet) -> Message {
    let (name, found) = &also.unknown;
    let (low, high) = (
        figure::quantity(&also.between.0),
        figure::quantity(&also.between.1),
    );
    let found = figure::quantity(found);
    let title = match (also.everywhere, low == high) {
        (true, _) => format!("every value of `{name}` meets this: it has no influence"),
        (false, true) => format!("`{name}` = {found} is not the only value: {low} meets this too"),
        (false, false) => {
            format!(
                "`{name}` = {found} is not the only value: there is another between {low} and {high}"
            )
        }
    };
    let hint = match also.everywhere {
        true => "look for a value that it hangs on",
        false => "narrow the range to choose",
    };
    Message::remark("several-values", title).hint(hint)
}

fn constraint(constraint: &Constraint, notation: Notation) -> String {
    match constraint {
        Constraint::RunsOut { operation, species } => {
            let species = species.with_phase(None).to_text(notation);
            format!("there `{operation}` ends when {species} runs out")
        }
        Constraint::Said(fact) => {
            let message = super::route_fact(fact, Level::Note, notation);
            format!("there {}", message.title)
        }
    }
}
