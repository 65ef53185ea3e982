//! Faults of formulas in words.

use super::Message;
use crate::matter::{Bracket, FormulaFault, FormulaFaultKind as Kind};
use crate::text::Span;

/// The message of a formula fault; its place is that of the fault.
///
/// ```
/// use aludel::{diagnostic::formula_fault, matter::Species};
/// let message = formula_fault(&Species::parse("NACL").unwrap_err());
/// assert_eq!(message.kind, "unknown-element");
/// assert_eq!(message.hints, ["did you mean `NaCl`?"]);
/// ```
pub fn formula_fault(fault: &FormulaFault) -> Message {
    let span = fault.span;
    let message = |kind| Message::error(kind, fault.to_string());
    match &fault.kind {
        Kind::UnknownElement { meant, .. } => unknown_element(
            message("unknown-element").at(span, "not in the periodic table"),
            meant.as_deref(),
        ),
        Kind::SmallLetter { meant } => small_letter(
            message("letter-case").at(span, "begins with a small letter"),
            meant.as_deref(),
        ),
        Kind::Bracket(bracket) => wrong_bracket(message("brackets"), span, *bracket),
        Kind::ZeroCount
        | Kind::LeadingZero
        | Kind::CountTooLarge
        | Kind::MalformedHydrate
        | Kind::ZeroHydrate => {
            let (word, hint) = wrong_count(&fault.kind);
            message(word).at(span, "").hint(hint)
        }
        Kind::ChargeTooLarge
        | Kind::MalformedCharge
        | Kind::ZeroCharge
        | Kind::ChargeWithoutSpecies
        | Kind::ElectronCharge => {
            let (word, hint) = wrong_charge(&fault.kind);
            message(word).at(span, "").hint(hint)
        }
        Kind::AmbiguousCharge { readings: [a, b] } => message("ambiguous-charge")
            .at(span, "is the digit a count or the charge?")
            .hint(format!("write `{a}` or `{b}`, whichever is meant")),
        Kind::UnknownPhase { .. } => message("unknown-phase")
            .at(span, "")
            .hint("write (s), (l), (g) or (aq), or leave it out"),
        Kind::TwoPhases => message("two-phases").at(span, "").hint("keep one of them"),
        Kind::ForeignLetter { found, looks_like } => message("foreign-letter")
            .at(span, "")
            .hint(foreign_letter(*found, *looks_like)),
        Kind::TooDeep => message("too-deep")
            .at(span, "this one goes too far")
            .hint("write the formula with fewer nested brackets"),
        Kind::TooLong => message("too-long")
            .at(span, "")
            .hint("write its composition with counts, as in C60H122"),
        Kind::Unexpected { .. } => message("malformed-formula")
            .at(span, found_here(span))
            .hint("write a formula as it is printed: Fe2(SO4)3, SO4^2-, CuSO4·5H2O, H2O(l)"),
    }
}

fn unknown_element(message: Message, meant: Option<&str>) -> Message {
    match meant {
        Some(meant) => message.hint(format!("did you mean `{meant}`?")),
        None => message
            .hint("write the element's symbol: a capital letter, then at most one small letter"),
    }
}

fn small_letter(message: Message, meant: Option<&str>) -> Message {
    match meant {
        Some(meant) => message.hint(format!("did you mean `{meant}`?")),
        None => message.hint("write element symbols as in the periodic table: Na, Cl, O"),
    }
}

fn wrong_bracket(message: Message, span: Span, bracket: Bracket) -> Message {
    let (label, hint) = match bracket {
        Bracket::Unclosed => (
            "opened here",
            "close it where the group ends, before its count",
        ),
        Bracket::Unopened => (
            "no bracket is open here",
            "remove it, or open the bracket where the group begins",
        ),
        Bracket::Crossed => (
            "closes a bracket of another kind",
            "close brackets in the reverse order of opening, each with its own kind",
        ),
        Bracket::Empty => (
            "empty",
            "write the atoms of the group in them, or remove them",
        ),
    };
    message.at(span, label).hint(hint)
}

/// The stable word and what to do.
fn wrong_count(kind: &Kind) -> (&'static str, &'static str) {
    match kind {
        Kind::ZeroCount => (
            "zero-count",
            "leave the atom out, or write how many there are",
        ),
        Kind::LeadingZero => (
            "leading-zero",
            "drop the zero, or write the letter O if oxygen is meant",
        ),
        Kind::ZeroHydrate => (
            "zero-hydrate",
            "leave that part out, or write how much there is, as in CuSO4·5H2O",
        ),
        Kind::MalformedHydrate => ("malformed-hydrate", "write both, as in CuSO4·5H2O"),
        _ => (
            "count-too-large",
            "check it: no formula of the bench has more than a million million atoms",
        ),
    }
}

/// The stable word and what to do.
fn wrong_charge(kind: &Kind) -> (&'static str, &'static str) {
    match kind {
        Kind::ZeroCharge => ("zero-charge", "leave it out for a neutral species"),
        Kind::ChargeTooLarge => (
            "charge-too-large",
            "check it, and write it after `^`, as in Fe^3+",
        ),
        Kind::ChargeWithoutSpecies => (
            "charge-without-species",
            "write the formula before it, as in Fe^3+",
        ),
        Kind::ElectronCharge => (
            "electron-charge",
            "write `e^-`, with a coefficient before it for several, as in 2 e^-",
        ),
        _ => (
            "malformed-charge",
            "write digits, then one sign, after `^`: Fe^3+, SO4^2-, Na^+",
        ),
    }
}

fn foreign_letter(found: char, looks_like: Option<char>) -> String {
    match looks_like {
        Some(latin) => format!("type the Latin letter `{latin}` in its place"),
        None if !found.is_alphanumeric() => "delete it and type the place anew".to_owned(),
        None => "write formulas in Latin letters".to_owned(),
    }
}

/// What stands where something else was expected.
pub(super) fn found_here(span: Span) -> &'static str {
    match span.start == span.end {
        true => "it ends here",
        false => "found this",
    }
}
