//! What can be wrong with a formula: facts only, the wording lives in the diagnostic room.

use crate::text::Span;

/// A fault and the stretch of text it is about.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct FormulaFault {
    /// Where, in the text that was read.
    pub span: Span,
    /// What.
    pub kind: FormulaFaultKind,
}

/// How a bracket is wrong.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Bracket {
    /// `K3[Fe(CN)6`
    Unclosed,
    /// `Fe(SO4)3)`
    Unopened,
    /// `K4[Fe(CN]6)`
    Crossed,
    /// `Fe()3`
    Empty,
}

/// The kinds of fault, each with the shortest text that has it.
#[derive(Clone, Debug, Eq, PartialEq)]
pub enum FormulaFaultKind {
    /// `Xx2`; the spelling in another letter case that would be read, if there is one: `NACL` → `NaCl`.
    UnknownElement {
        /// The letters that name no element.
        symbol: String,
        /// The whole formula in a letter case that can be read.
        meant: Option<String>,
    },
    /// `nacl`: a formula begins with a capital letter or a bracket.
    SmallLetter {
        /// The whole formula in a letter case that can be read.
        meant: Option<String>,
    },
    /// `K4[Fe(CN]6)`
    Bracket(Bracket),
    /// `H0`
    ZeroCount,
    /// `H02`
    LeadingZero,
    /// `C99999999999999999999H4`
    CountTooLarge,
    /// `Fe^99999999999999999999+`
    ChargeTooLarge,
    /// `Fe^3`, `Fe^x+`, `Fe^+3-`
    MalformedCharge,
    /// `Fe^0+`
    ZeroCharge,
    /// `^2+`
    ChargeWithoutSpecies,
    /// `I3-`: three iodine atoms or a charge of three.
    AmbiguousCharge {
        /// Both ways to write it unmistakably.
        readings: [String; 2],
    },
    /// `e^2-`
    ElectronCharge,
    /// `CuSO4··5H2O`, `CuSO4·5`, `·5H2O`
    MalformedHydrate,
    /// `CuSO4·0H2O`
    ZeroHydrate,
    /// `NaCl(x)`
    UnknownPhase {
        /// What stands in the brackets.
        phase: String,
    },
    /// `NaCl(aq)(s)`
    TwoPhases,
    /// `СH4` with a Cyrillic С
    ForeignLetter {
        /// The character found.
        found: char,
        /// The Latin letter it looks like.
        looks_like: Option<char>,
    },
    /// More nested brackets than can be read.
    TooDeep,
    /// A formula longer than can be read.
    TooLong,
    /// Anything else: what would have been understood there.
    Unexpected {
        /// Names of what could stand there.
        expected: Vec<String>,
    },
}
