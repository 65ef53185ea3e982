//! Faults of formulas in words.

use super::{Message, any_of};
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
    match &fault.kind {
        Kind::UnknownElement { symbol, meant } => unknown_element(span, symbol, meant.as_deref()),
        Kind::SmallLetter { meant } => small_letter(span, meant.as_deref()),
        Kind::Bracket(bracket) => wrong_bracket(span, *bracket),
        Kind::ZeroCount
        | Kind::LeadingZero
        | Kind::CountTooLarge
        | Kind::MalformedHydrate
        | Kind::ZeroHydrate => wrong_count(span, &fault.kind),
        Kind::ChargeTooLarge
        | Kind::MalformedCharge
        | Kind::ZeroCharge
        | Kind::ChargeWithoutSpecies
        | Kind::AmbiguousCharge { .. }
        | Kind::ElectronCharge => wrong_charge(span, &fault.kind),
        Kind::UnknownPhase { phase } => {
            Message::error("unknown-phase", format!("`({phase})` is no phase"))
                .at(span, "")
                .hint("write (s), (l), (g) or (aq), or leave it out")
        }
        Kind::TwoPhases => Message::error("two-phases", "one species cannot have two phases")
            .at(span, "")
            .hint("keep one of them"),
        Kind::ForeignLetter { found, looks_like } => foreign_letter(span, *found, *looks_like),
        Kind::TooDeep => Message::error("too-deep", "too many brackets inside each other")
            .at(span, "this one goes too far")
            .hint("write the formula with fewer nested brackets"),
        Kind::TooLong => Message::error("too-long", "this formula is longer than can be read")
            .at(span, "")
            .hint("write its composition with counts, as in C60H122"),
        Kind::Unexpected { expected } => unexpected(span, expected),
    }
}

fn unknown_element(span: Span, symbol: &str, meant: Option<&str>) -> Message {
    let message = Message::error("unknown-element", format!("`{symbol}` is no element"))
        .at(span, "not in the periodic table");
    match meant {
        Some(meant) => message.hint(format!("did you mean `{meant}`?")),
        None => message
            .hint("write the element's symbol: a capital letter, then at most one small letter"),
    }
}

fn small_letter(span: Span, meant: Option<&str>) -> Message {
    let message = Message::error("letter-case", "a formula begins with a capital letter")
        .at(span, "begins with a small letter");
    match meant {
        Some(meant) => message.hint(format!("did you mean `{meant}`?")),
        None => message.hint("write element symbols as in the periodic table: Na, Cl, O"),
    }
}

fn wrong_bracket(span: Span, bracket: Bracket) -> Message {
    let (title, label, hint) = match bracket {
        Bracket::Unclosed => (
            "this bracket is never closed",
            "opened here",
            "close it where the group ends, before its count",
        ),
        Bracket::Unopened => (
            "this bracket closes nothing",
            "no bracket is open here",
            "remove it, or open the bracket where the group begins",
        ),
        Bracket::Crossed => (
            "brackets cross each other",
            "closes a bracket of another kind",
            "close brackets in the reverse order of opening, each with its own kind",
        ),
        Bracket::Empty => (
            "there is nothing in these brackets",
            "empty",
            "write the atoms of the group in them, or remove them",
        ),
    };
    Message::error("brackets", title).at(span, label).hint(hint)
}

fn wrong_count(span: Span, kind: &Kind) -> Message {
    let (word, title, hint) = match kind {
        Kind::ZeroCount => (
            "zero-count",
            "a count of zero means that the atom is not there",
            "leave the atom out, or write how many there are",
        ),
        Kind::LeadingZero => (
            "leading-zero",
            "a count does not begin with 0",
            "drop the zero, or write the letter O if oxygen is meant",
        ),
        Kind::ZeroHydrate => (
            "zero-hydrate",
            "zero times water is no water",
            "leave that part out, or write how much there is, as in CuSO4·5H2O",
        ),
        Kind::MalformedHydrate => (
            "malformed-hydrate",
            "a dot joins two formulas, and one is missing here",
            "write both, as in CuSO4·5H2O",
        ),
        _ => (
            "count-too-large",
            "this count is larger than can be reckoned with",
            "check it: no formula of the bench has more than a million million atoms",
        ),
    };
    Message::error(word, title).at(span, "").hint(hint)
}

fn wrong_charge(span: Span, kind: &Kind) -> Message {
    let (word, title, hint) = match kind {
        Kind::AmbiguousCharge { readings: [a, b] } => {
            return Message::error("ambiguous-charge", "this charge can be read in two ways")
                .at(span, "is the digit a count or the charge?")
                .hint(format!("write `{a}` or `{b}`, whichever is meant"));
        }
        Kind::ZeroCharge => (
            "zero-charge",
            "a charge of zero is no charge",
            "leave it out for a neutral species",
        ),
        Kind::ChargeTooLarge => (
            "charge-too-large",
            "this charge is larger than can be reckoned with",
            "check it, and write it after `^`, as in Fe^3+",
        ),
        Kind::ChargeWithoutSpecies => (
            "charge-without-species",
            "a charge needs something that carries it",
            "write the formula before it, as in Fe^3+",
        ),
        Kind::ElectronCharge => (
            "electron-charge",
            "an electron has the charge −1",
            "write `e^-`, with a coefficient before it for several, as in 2 e^-",
        ),
        _ => (
            "malformed-charge",
            "this is not how a charge is written",
            "write digits, then one sign, after `^`: Fe^3+, SO4^2-, Na^+",
        ),
    };
    Message::error(word, title).at(span, "").hint(hint)
}

fn foreign_letter(span: Span, found: char, looks_like: Option<char>) -> Message {
    let message = Message::error(
        "foreign-letter",
        if found.is_alphanumeric() {
            let code = u32::from(found);
            format!("`{found}` (U+{code:04X}) is not a letter of a formula")
        } else {
            format!(
                "the character U+{:04X}, hardly to be seen, is none of a formula",
                u32::from(found)
            )
        },
    )
    .at(span, "");
    match looks_like {
        Some(latin) => message.hint(format!("type the Latin letter `{latin}` in its place")),
        None if !found.is_alphanumeric() => message.hint("delete it and type the place anew"),
        None => message.hint("write formulas in Latin letters"),
    }
}

fn unexpected(span: Span, expected: &[String]) -> Message {
    let at_end = span.start == span.end;
    let title = match expected {
        [] => "this is not understood".to_owned(),
        words => format!("expected {} here", any_of(words)),
    };
    let label = if at_end { "it ends here" } else { "found this" };
    Message::error("malformed-formula", title)
        .at(span, label)
        .hint("write a formula as it is printed: Fe2(SO4)3, SO4^2-, CuSO4·5H2O, H2O(l)")
}
