//! Text into skeletons, by the grammar.

use pest::Parser;
use pest::error::InputLocation;
use pest::iterators::Pair;

use crate::matter::{FormulaFault, expected_words, explain, overlong, read_species, small_letter};
use crate::number::Exact;
use crate::text::grammar::{Grammar, Rule, nesting};
use crate::text::{Span, expected_here};

use super::skeleton::{Medium, Ratio, Skeleton, Term};

/// A fault and the stretch of text it is about.
#[derive(Clone, Debug, Eq, PartialEq, thiserror::Error)]
#[error("{kind}")]
pub struct EquationFault {
    /// Where, in the text that was read.
    pub span: Span,
    /// What.
    pub kind: EquationFaultKind,
}

/// The kinds of fault, each with the shortest text that has it.
#[derive(Clone, Debug, Eq, PartialEq, thiserror::Error)]
pub enum EquationFaultKind {
    /// `Xx -> Y`: one of the formulas is at fault.
    #[error(transparent)]
    Formula(FormulaFault),
    /// `0 H2 + O2 -> H2O`
    #[error("a coefficient of zero takes the species out")]
    ZeroCoefficient,
    /// `1/0 H2 + O2 -> H2O`, or more digits than can be read.
    #[error("this coefficient cannot be read")]
    MalformedCoefficient,
    /// `…, with O2 : H2O2 = 1 : 1 : 1`
    #[error("a ratio needs one number for each of its species")]
    UnevenRatio,
    /// More nested brackets than can be read.
    #[error("too many brackets inside each other")]
    TooDeep,
    /// Anything else: what would have been understood there.
    #[error("{}", expected_here(.expected))]
    Unexpected {
        /// Names of what could stand there.
        expected: Vec<String>,
    },
}

impl From<FormulaFault> for EquationFault {
    fn from(fault: FormulaFault) -> Self {
        EquationFault {
            span: fault.span,
            kind: EquationFaultKind::Formula(fault),
        }
    }
}

/// Reads a text that holds one equation and nothing else.
///
/// ```
/// use aludel::equation::parse_equation;
/// let skeleton = parse_equation("MnO4^- + SO3^2- -> MnO2 + SO4^2- in base").unwrap();
/// assert_eq!(skeleton.left.len(), 2);
/// ```
pub fn parse_equation(text: &str) -> Result<Skeleton, EquationFault> {
    if let Some(at) = nesting(text) {
        return Err(EquationFault {
            span: Span::new(at, at + 1),
            kind: EquationFaultKind::TooDeep,
        });
    }
    if let Some(fault) = overlong(text) {
        return Err(fault.into());
    }
    let mut pairs = Grammar::parse(Rule::lone_equation, text).map_err(|error| {
        let at = match error.location {
            InputLocation::Pos(at) | InputLocation::Span((at, _)) => at,
        };
        if let Some(slip) = explain(text, at).or_else(|| small_letter(text, at)) {
            return slip.into();
        }
        let length = text[at..].chars().next().map_or(0, char::len_utf8);
        EquationFault {
            span: Span::new(at, at + length),
            kind: EquationFaultKind::Unexpected {
                expected: expected_words(&error),
            },
        }
    })?;
    let lone = pairs
        .next()
        .expect("a successful parse gives the rule asked for");
    let equation = lone
        .into_inner()
        .next()
        .expect("lone_equation holds an equation");
    read_equation(equation)
}

/// Reads an `equation` pair of the grammar; spans are those of the text that was parsed.
pub fn read_equation(pair: Pair<'_, Rule>) -> Result<Skeleton, EquationFault> {
    let mut skeleton = Skeleton {
        left: Vec::new(),
        right: Vec::new(),
        medium: None,
        ratio: None,
        span: span_of(&pair),
    };
    let mut after_arrow = false;
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::side => {
                let terms: Result<Vec<Term>, _> = inner.into_inner().map(read_term).collect();
                let side = if after_arrow {
                    &mut skeleton.right
                } else {
                    &mut skeleton.left
                };
                *side = terms?;
            }
            Rule::arrow => after_arrow = true,
            Rule::medium => {
                skeleton.medium = Some(match inner.as_str() {
                    "acid" => Medium::Acid,
                    "base" => Medium::Base,
                    _ => Medium::Neutral,
                });
            }
            Rule::ratio => skeleton.ratio = Some(read_ratio(inner)?),
            _ => {}
        }
    }
    Ok(skeleton)
}

fn span_of(pair: &Pair<'_, Rule>) -> Span {
    let span = pair.as_span();
    Span::new(span.start(), span.end())
}

fn read_term(pair: Pair<'_, Rule>) -> Result<Term, EquationFault> {
    let span = span_of(&pair);
    let mut coefficient = None;
    let mut species = None;
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::coefficient => coefficient = Some(read_number(&inner)?),
            _ => species = Some(read_species(inner)?),
        }
    }
    Ok(Term {
        coefficient,
        species: species.expect("a term holds a species"),
        span,
    })
}

fn read_number(pair: &Pair<'_, Rule>) -> Result<Exact, EquationFault> {
    let text = match pair.as_str() {
        "½" => "1/2",
        "⅓" => "1/3",
        "⅔" => "2/3",
        "¼" => "1/4",
        "¾" => "3/4",
        text => text,
    };
    let fault = |kind| EquationFault {
        span: span_of(pair),
        kind,
    };
    match Exact::decimal(text) {
        Ok(number) if number.is_positive() => Ok(number),
        Ok(_) => Err(fault(EquationFaultKind::ZeroCoefficient)),
        Err(_) => Err(fault(EquationFaultKind::MalformedCoefficient)),
    }
}

fn read_ratio(pair: Pair<'_, Rule>) -> Result<Ratio, EquationFault> {
    let span = span_of(&pair);
    let mut species = Vec::new();
    let mut numbers = Vec::new();
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::share => numbers.push(read_number(&inner)?),
            _ => species.push(read_species(inner)?),
        }
    }
    if species.len() != numbers.len() {
        return Err(EquationFault {
            span,
            kind: EquationFaultKind::UnevenRatio,
        });
    }
    Ok(Ratio {
        shares: species.into_iter().zip(numbers).collect(),
        span,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::matter::Notation;

    #[test]
    fn arrows_signs_and_coefficients_stand_close() {
        for (text, expected) in [
            ("H2+O2->H2O", "H2 + O2 -> H2O"),
            ("Na++Cl-->NaCl", "Na^+ + Cl^- -> NaCl"),
            (
                "MnO4^-+8H^++5e^-->Mn^2++4H2O",
                "MnO4^- + H^+ + e^- -> Mn^2+ + H2O",
            ),
            ("2 H₂ + O₂ → 2 H₂O", "H2 + O2 -> H2O"),
            ("Fe³⁺ + SCN⁻ ⇌ [Fe(SCN)]²⁺", "Fe^3+ + SCN^- -> [Fe(SCN)]^2+"),
            ("½ O2 + H2 = H2O", "O2 + H2 -> H2O"),
        ] {
            let skeleton = parse_equation(text);
            let printed = skeleton.map(|s| s.to_text(Notation::Plain));
            assert_eq!(printed.as_deref(), Ok(expected), "{text}");
        }
    }

    #[test]
    fn medium_and_ratio_follow_the_equation() {
        let skeleton = parse_equation("KMnO4 + H2O2 -> MnO2 + O2 in base, with O2 : H2O2 = 1 : 1");
        let skeleton = skeleton.unwrap();
        assert_eq!(skeleton.medium, Some(Medium::Base));
        assert_eq!(skeleton.ratio.unwrap().shares.len(), 2);
    }
}
