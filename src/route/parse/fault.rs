//! What can be wrong with a statement before its names are looked up, each with its sentence; the diagnostic room says
//! where it is and what to do.

use pest::error::InputLocation;

use crate::equation::EquationFault;
use crate::matter::{FormulaFault, expected_words, explain};
use crate::number::unit;
use crate::text::grammar::Rule;
use crate::text::{OutlineFault, Span, any_of};

use super::super::syntax::Name;
use super::used::UseFault;

/// What can be wrong with a statement before its names are looked up.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SyntaxFault {
    /// Braces and quotes.
    #[error(transparent)]
    Outline(OutlineFault),
    /// `charge flask: 5 g Xx`
    #[error(transparent)]
    Formula(FormulaFault),
    /// `react flask: 0 Fe -> Fe`
    #[error(transparent)]
    Equation(EquationFault),
    /// `stir flask`
    #[error("{}", unknown_verb(&.word.node))]
    UnknownVerb {
        /// The word.
        word: Name,
    },
    /// `titrate flask with acid: …`: a word of the language that is not there yet.
    #[error("`{}` is a word of the language that is not there yet", .word.node)]
    NotYet {
        /// The word.
        word: Name,
    },
    /// `charge flask { }`: only a step has a block.
    #[error("only a step or a procedure has a block in braces")]
    StrayBlock {
        /// The statement before the block.
        header: Span,
    },
    /// `step "Mix"` without a block.
    #[error("this needs its block")]
    MissingBlock {
        /// The statement.
        header: Span,
    },
    /// Too many brackets in each other.
    #[error("too many brackets in each other")]
    TooDeep {
        /// The bracket.
        span: Span,
    },
    /// A statement of more than 64 KiB, or an expression of more than 200 operands.
    #[error("this statement is too long to be read")]
    TooLong {
        /// Where it goes too far.
        span: Span,
    },
    /// A number with more digits than can be read.
    #[error("this number cannot be read")]
    BadNumber {
        /// The number.
        span: Span,
    },
    /// `let x = 1e308 g`: nothing that a bench has, and its square is no floating-point number.
    #[error("no quantity of a bench is so large or so small")]
    BeyondReach {
        /// The number.
        span: Span,
    },
    /// `1 g ± 1 % (k = 1e-300)`
    #[error("no uncertainty has such a coverage factor")]
    CoverageFactor {
        /// The factor.
        span: Span,
    },
    /// `use "nowhere.route"`
    #[error("`{}` cannot be used: {why}", .path.node)]
    Unusable {
        /// The path as written.
        path: Name,
        /// Why.
        why: UseFault,
    },
    /// `bottle acid: HCl 5 mol / kg`: `kg` could be the name of a value.
    #[error("a unit is written without blanks here")]
    SplitUnit {
        /// The solidus with what follows.
        span: Span,
        /// The unit as it can be read.
        unit: String,
    },
    /// Anything else: what would have been understood there.
    #[error("{}", unexpected_words(.verb, .expected))]
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
            | SyntaxFault::BeyondReach { span }
            | SyntaxFault::CoverageFactor { span }
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

fn unknown_verb(word: &str) -> String {
    match word {
        "" => "a statement begins with a verb".to_owned(),
        word => format!("there is no statement `{word}`"),
    }
}

fn unexpected_words(verb: &str, expected: &[String]) -> String {
    match (expected, verb) {
        ([], "") => "this cannot be read here".to_owned(),
        ([], verb) => format!("this is not how `{verb}` is written"),
        (expected, _) => format!("expected {}", any_of(expected)),
    }
}
