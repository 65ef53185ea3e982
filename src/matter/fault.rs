//! What can be wrong with a formula, each with its sentence; the diagnostic room says where it is and what to do.

use crate::text::{Span, expected_here};

/// A fault and the stretch of text it is about.
#[derive(Clone, Debug, Eq, PartialEq, thiserror::Error)]
#[error("{kind}")]
pub struct FormulaFault {
    /// Where, in the text that was read.
    pub span: Span,
    /// What.
    pub kind: FormulaFaultKind,
}

/// How a bracket is wrong.
#[derive(Clone, Copy, Debug, Eq, PartialEq, thiserror::Error)]
pub enum Bracket {
    /// `K3[Fe(CN)6`
    #[error("this bracket is never closed")]
    Unclosed,
    /// `Fe(SO4)3)`
    #[error("this bracket closes nothing")]
    Unopened,
    /// `K4[Fe(CN]6)`
    #[error("brackets cross each other")]
    Crossed,
    /// `Fe()3`
    #[error("there is nothing in these brackets")]
    Empty,
}

/// The kinds of fault, each with the shortest text that has it.
#[derive(Clone, Debug, Eq, PartialEq, thiserror::Error)]
pub enum FormulaFaultKind {
    /// `Xx2`; the spelling in another letter case that would be read, if there is one: `NACL` → `NaCl`.
    #[error("`{symbol}` is no element")]
    UnknownElement {
        /// The letters that name no element.
        symbol: String,
        /// The whole formula in a letter case that can be read.
        meant: Option<String>,
    },
    /// `nacl`: a formula begins with a capital letter or a bracket.
    #[error("a formula begins with a capital letter")]
    SmallLetter {
        /// The whole formula in a letter case that can be read.
        meant: Option<String>,
    },
    /// `K4[Fe(CN]6)`
    #[error(transparent)]
    Bracket(Bracket),
    /// `H0`
    #[error("a count of zero means that the atom is not there")]
    ZeroCount,
    /// `H02`
    #[error("a count does not begin with 0")]
    LeadingZero,
    /// `C99999999999999999999H4`
    #[error("this count is larger than can be reckoned with")]
    CountTooLarge,
    /// `Fe^99999999999999999999+`
    #[error("this charge is larger than can be reckoned with")]
    ChargeTooLarge,
    /// `Fe^3`, `Fe^x+`, `Fe^+3-`
    #[error("this is not how a charge is written")]
    MalformedCharge,
    /// `Fe^0+`
    #[error("a charge of zero is no charge")]
    ZeroCharge,
    /// `^2+`
    #[error("a charge needs something that carries it")]
    ChargeWithoutSpecies,
    /// `I3-`: three iodine atoms or a charge of three.
    #[error("this charge can be read in two ways")]
    AmbiguousCharge {
        /// Both ways to write it unmistakably.
        readings: [String; 2],
    },
    /// `e^2-`
    #[error("an electron has the charge −1")]
    ElectronCharge,
    /// `CuSO4··5H2O`, `CuSO4·5`, `·5H2O`
    #[error("a dot joins two formulas, and one is missing here")]
    MalformedHydrate,
    /// `CuSO4·0H2O`
    #[error("zero times water is no water")]
    ZeroHydrate,
    /// `NaCl(x)`
    #[error("`({phase})` is no phase")]
    UnknownPhase {
        /// What stands in the brackets.
        phase: String,
    },
    /// `NaCl(aq)(s)`
    #[error("one species cannot have two phases")]
    TwoPhases,
    /// `СH4` with a Cyrillic С
    #[error("{}", foreign_letter(*.found))]
    ForeignLetter {
        /// The character found.
        found: char,
        /// The Latin letter it looks like.
        looks_like: Option<char>,
    },
    /// More nested brackets than can be read.
    #[error("too many brackets inside each other")]
    TooDeep,
    /// A formula longer than can be read.
    #[error("this formula is longer than can be read")]
    TooLong,
    /// Anything else: what would have been understood there.
    #[error("{}", expected_here(.expected))]
    Unexpected {
        /// Names of what could stand there.
        expected: Vec<String>,
    },
}

/// A letter of another script is shown; what cannot be seen is named by its code point.
fn foreign_letter(found: char) -> String {
    let code = u32::from(found);
    match found.is_alphanumeric() {
        true => format!("`{found}` (U+{code:04X}) is not a letter of a formula"),
        false => format!("the character U+{code:04X}, hardly to be seen, is none of a formula"),
    }
}
