//! Formulas and species as text.

use super::Phase;
use super::formula::{Count, Formula, FormulaUnit, Item};

/// How to write formulas.
#[derive(Clone, Copy, Debug, Default, Eq, Hash, PartialEq)]
pub enum Notation {
    /// `[Al(OH)4]^-`, `CuSO4·5H2O`: what scripts and JSON use.
    Plain,
    /// `[Al(OH)4]^-`, `CuSO4.5H2O`: nothing beyond ASCII.
    Ascii,
    /// `[Al(OH)₄]⁻`, `CuSO₄·5H₂O`: as printed.
    #[default]
    Printed,
}

impl Notation {
    /// The arrow of a reaction.
    pub fn arrow(self) -> &'static str {
        match self {
            Notation::Printed => "→",
            Notation::Plain | Notation::Ascii => "->",
        }
    }
}

/// A species in `notation`.
pub(super) fn species(
    formula: &Formula,
    charge: i64,
    phase: Option<Phase>,
    notation: Notation,
) -> String {
    let mut out = String::new();
    if formula.parts.is_empty() {
        out.push('e');
    }
    for (index, part) in formula.parts.iter().enumerate() {
        if index > 0 {
            out.push(if notation == Notation::Ascii {
                '.'
            } else {
                '·'
            });
        }
        if part.multiplier != Count::ONE {
            out += &part.multiplier.to_string();
        }
        items(&part.items, notation, &mut out);
    }
    push_charge(charge, notation, &mut out);
    if let Some(phase) = phase {
        out.push('(');
        out += phase.symbol();
        out.push(')');
    }
    out
}

fn items(all: &[Item], notation: Notation, out: &mut String) {
    for item in all {
        match &item.unit {
            FormulaUnit::Atom(element) => out.push_str(element.symbol()),
            FormulaUnit::Group(open, inner) => {
                out.push(*open);
                items(inner, notation, out);
                out.push(match open {
                    '[' => ']',
                    '{' => '}',
                    _ => ')',
                });
            }
        }
        if item.count != Count::ONE {
            let count = item.count.to_string();
            if notation == Notation::Printed {
                out.extend(count.chars().map(subscript));
            } else {
                out.push_str(&count);
            }
        }
    }
}

fn push_charge(charge: i64, notation: Notation, out: &mut String) {
    if charge == 0 {
        return;
    }
    let size = charge.unsigned_abs();
    let digits = if size == 1 {
        String::new()
    } else {
        size.to_string()
    };
    if notation == Notation::Printed {
        out.extend(digits.chars().map(superscript));
        out.push(if charge > 0 { '⁺' } else { '⁻' });
    } else {
        out.push('^');
        out.push_str(&digits);
        out.push(if charge > 0 { '+' } else { '-' });
    }
}

fn subscript(digit: char) -> char {
    match digit {
        '0'..='9' => char::from_u32('₀' as u32 + digit as u32 - '0' as u32).unwrap_or(digit),
        other => other,
    }
}

fn superscript(digit: char) -> char {
    match digit {
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        '0' | '4'..='9' => char::from_u32('⁰' as u32 + digit as u32 - '0' as u32).unwrap_or(digit),
        other => other,
    }
}
