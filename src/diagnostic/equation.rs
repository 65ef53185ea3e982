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
    let could_be = |word: &str| expected.iter().any(|known| known == word);
    let at_end = span.start == span.end;
    if at_end && could_be("an arrow") {
        return Message::error("no-arrow", "the equation has no arrow")
            .at(span, "it ends here")
            .hint("write `->` between what is used up and what is formed: H2 + O2 -> H2O");
    }
    if could_be("a species") {
        return Message::error("missing-species", "a species is missing here")
            .at(span, if at_end { "it ends here" } else { "found this" })
            .hint("write a formula on both sides of each ` + ` and of the arrow");
    }
    // Past the end of a formula nearly everything that could go on inside it is expected too; it only hides the rest.
    let inner = ["a charge", "a count", "a formula", "a phase", "a sign"];
    let outer: Vec<String> = expected
        .iter()
        .filter(|word| !could_be("an arrow") || !inner.contains(&word.as_str()))
        .cloned()
        .collect();
    let title = match outer.as_slice() {
        [] => "this is not understood".to_owned(),
        words => format!("expected {} here", any_of(words)),
    };
    Message::error("malformed-equation", title)
        .at(span, if at_end { "it ends here" } else { "found this" })
        .hint("write species with ` + ` between them and one `->`: H2 + O2 -> H2O")
}
