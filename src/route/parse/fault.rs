//! What can be wrong with a statement before its names are looked up: facts only, the wording lives in the diagnostic
//! room.

use pest::error::InputLocation;

use crate::equation::EquationFault;
use crate::matter::{FormulaFault, expected_words, explain};
use crate::number::unit;
use crate::text::grammar::Rule;
use crate::text::{OutlineFault, Span};

use super::super::syntax::Name;
use super::super::uses::UseFault;

/// What can be wrong with a statement before its names are looked up.
#[derive(Clone, Debug, PartialEq)]
pub enum SyntaxFault {
    /// Braces and quotes.
    Outline(OutlineFault),
    /// `charge flask: 5 g Xx`
    Formula(FormulaFault),
    /// `react flask: 0 Fe -> Fe`
    Equation(EquationFault),
    /// `stir flask`
    UnknownVerb {
        /// The word.
        word: Name,
    },
    /// `titrate flask with acid: …`: a word of the language that is not there yet.
    NotYet {
        /// The word.
        word: Name,
    },
    /// `charge flask { }`: only a step has a block.
    StrayBlock {
        /// The statement before the block.
        header: Span,
    },
    /// `step "Mix"` without a block.
    MissingBlock {
        /// The statement.
        header: Span,
    },
    /// Too many brackets in each other.
    TooDeep {
        /// The bracket.
        span: Span,
    },
    /// A statement of more than 64 KiB, or an expression of more than 200 operands.
    TooLong {
        /// Where it goes too far.
        span: Span,
    },
    /// A number with more digits than can be read.
    BadNumber {
        /// The number.
        span: Span,
    },
    /// `use "nowhere.route"`
    Unusable {
        /// The path as written.
        path: Name,
        /// Why.
        why: UseFault,
    },
    /// `bottle acid: HCl 5 mol / kg`: `kg` could be the name of a value.
    SplitUnit {
        /// The solidus with what follows.
        span: Span,
        /// The unit as it can be read.
        unit: String,
    },
    /// Anything else: what would have been understood there.
    Unexpected {
        /// Where.
        span: Span,
        /// The verb of the statement.
        verb: String,
        /// Names of what could stand there.
        expected: Vec<String>,
    },
}

impl SyntaxFault {
    /// Where it is.
    pub fn span(&self) -> Span {
        match self {
            SyntaxFault::Outline(fault) => fault.span(),
            SyntaxFault::Formula(fault) => fault.span,
            SyntaxFault::Equation(fault) => fault.span,
            SyntaxFault::Unusable { path, .. } => path.span,
            SyntaxFault::UnknownVerb { word } | SyntaxFault::NotYet { word } => word.span,
            SyntaxFault::StrayBlock { header } | SyntaxFault::MissingBlock { header } => *header,
            SyntaxFault::TooDeep { span }
            | SyntaxFault::TooLong { span }
            | SyntaxFault::BadNumber { span }
            | SyntaxFault::SplitUnit { span, .. }
            | SyntaxFault::Unexpected { span, .. } => *span,
        }
    }
}

impl From<FormulaFault> for SyntaxFault {
    fn from(fault: FormulaFault) -> Self {
        SyntaxFault::Formula(fault)
    }
}

impl From<EquationFault> for SyntaxFault {
    fn from(fault: EquationFault) -> Self {
        SyntaxFault::Equation(fault)
    }
}

/// A failed parse as a fault: a slip in a formula if it looks like one, else what would have been understood.
pub(super) fn unexpected(
    error: &pest::error::Error<Rule>,
    text: &str,
    verb: &str,
    base: usize,
) -> SyntaxFault {
    let at = match error.location {
        InputLocation::Pos(at) | InputLocation::Span((at, _)) => at,
    };
    if let Some(slip) = explain(text, at) {
        let span = slip.span.shifted(base);
        return SyntaxFault::Formula(FormulaFault { span, ..slip });
    }
    if let Some((span, unit)) = split_unit(text, at) {
        let span = span.shifted(base);
        return SyntaxFault::SplitUnit { span, unit };
    }
    // A whole word is a better thing to point at than its first letter.
    let rest = &text[at..];
    let word = rest
        .find(|c: char| !c.is_alphanumeric())
        .unwrap_or(rest.len());
    let length = word.max(rest.chars().next().map_or(0, char::len_utf8));
    SyntaxFault::Unexpected {
        span: Span::new(at, at + length).shifted(base),
        verb: verb.to_owned(),
        expected: expected_words(error),
    }
}

/// A unit that is divided by another with blanks between them, where no division can stand: the place of its second part
/// with the solidus, and how it is read.
fn split_unit(text: &str, at: usize) -> Option<(Span, String)> {
    let word = |text: &str| {
        let end = text.find(|c: char| c.is_whitespace() || c == ',');
        end.unwrap_or(text.len())
    };
    let above = text[..at].split_whitespace().next_back()?;
    let start = text.len() - text[at..].trim_start().len();
    let rest = text[start..].strip_prefix('/')?;
    let below = rest.trim_start();
    let below = &below[..word(below)];
    let unit = format!("{above}/{below}");
    let length = 1 + rest.len() - rest.trim_start().len() + below.len();
    unit::find(&unit).map(|_| (Span::new(start, start + length), unit))
}
