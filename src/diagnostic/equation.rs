//! Faults of written equations in words.

use super::Message;
use super::formula::{formula_fault, found_here};
use crate::equation::{EquationFault, EquationFaultKind as Kind};
use crate::text::{Span, expected_here};

/// The message of an equation fault; its place is that of the fault.
pub fn equation_fault(fault: &EquationFault) -> Message {
    let span = fault.span;
    let message = |kind| Message::error(kind, fault.to_string());
    match &fault.kind {
        Kind::Formula(fault) => formula_fault(fault),
        Kind::ZeroCoefficient => message("zero-coefficient")
            .at(span, "")
            .hint("remove the species, or leave the coefficient to be found"),
        Kind::MalformedCoefficient => message("malformed-coefficient")
            .at(span, "")
            .hint("write a number such as 2, 1/2 or 0.5, or leave it to be found"),
        Kind::UnevenRatio => message("uneven-ratio")
            .at(span, "")
            .hint("write as many numbers as species: with O2 : H2O2 = 1 : 1"),
        Kind::TooDeep => message("too-deep")
            .at(span, "this one goes too far")
            .hint("write the formula with fewer nested brackets"),
        Kind::Unexpected { expected } => unexpected(span, expected),
    }
}

fn unexpected(span: Span, expected: &[String]) -> Message {
    let could_be = |word: &str| expected.iter().any(|known| known == word);
    if span.start == span.end && could_be("an arrow") {
        return Message::error("no-arrow", "the equation has no arrow")
            .at(span, "it ends here")
            .hint("write `->` between what is used up and what is formed: H2 + O2 -> H2O");
    }
    if could_be("a species") {
        return Message::error("missing-species", "a species is missing here")
            .at(span, found_here(span))
            .hint("write a formula on both sides of each ` + ` and of the arrow");
    }
    // Past the end of a formula nearly everything that could go on inside it is expected too; it only hides the rest.
    let inner = ["a charge", "a count", "a formula", "a phase", "a sign"];
    let outer: Vec<String> = expected
        .iter()
        .filter(|word| !could_be("an arrow") || !inner.contains(&word.as_str()))
        .cloned()
        .collect();
    Message::error("malformed-equation", expected_here(&outer))
        .at(span, found_here(span))
        .hint("write species with ` + ` between them and one `->`: H2 + O2 -> H2O")
}
