//! Faults of written equations in words.

use super::{Message, any_of, formula_fault};
use crate::equation::{EquationFault, EquationFaultKind as Kind};
use crate::text::Span;

/// The message of an equation fault; its place is that of the fault.
pub fn equation_fault(fault: &EquationFault) -> Message {
    let span = fault.span;
    match &fault.kind {
        Kind::Formula(fault) => formula_fault(fault),
        Kind::ZeroCoefficient => Message::error(
            "zero-coefficient",
            "a coefficient of zero takes the species out",
        )
        .at(span, "")
        .hint("remove the species, or leave the coefficient to be found"),
        Kind::MalformedCoefficient => {
            Message::error("malformed-coefficient", "this coefficient cannot be read")
                .at(span, "")
                .hint("write a number such as 2, 1/2 or 0.5, or leave it to be found")
        }
        Kind::UnevenRatio => Message::error(
            "uneven-ratio",
            "a ratio needs one number for each of its species",
        )
        .at(span, "")
        .hint("write as many numbers as species: with O2 : H2O2 = 1 : 1"),
        Kind::TooDeep => Message::error("too-deep", "too many brackets inside each other")
            .at(span, "this one goes too far")
            .hint("write the formula with fewer nested brackets"),
        Kind::Unexpected { expected } => unexpected(span, expected),
    }
}

fn unexpected(span: Span, expected: &[String]) -> Message {
    let at_end = span.start == span.end;
    let title = match expected {
        [] => "this is not understood".to_owned(),
        words => format!("expected {} here", any_of(words)),
    };
    let label = if at_end { "it ends here" } else { "found this" };
    let hint = if expected.iter().any(|word| word == "an arrow") && at_end {
        "write an arrow between what is used up and what is formed: H2 + O2 -> H2O"
    } else {
        "write species with ` + ` between them and one `->`: H2 + O2 -> H2O"
    };
    Message::error("malformed-equation", title)
        .at(span, label)
        .hint(hint)
}
