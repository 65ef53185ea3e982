//! Balanced equations as text.

use std::fmt::Write;

use num_bigint::BigInt;

use crate::equation::{Balance, Reaction, SettledBy};
use crate::matter::{Element, Notation, Species};
use crate::number::Exact;

/// The equation, or the elementary ones where there are several balances; one a line.
///
/// ```
/// use aludel::{equation::{balance, parse_equation}, matter::Notation, report};
/// let found = balance(&parse_equation("Fe + Cl2 -> FeCl3").unwrap()).unwrap();
/// assert_eq!(report::balance(&found, Notation::Printed), "2 Fe + 3 Cl₂ → 2 FeCl₃\n");
/// ```
pub fn balance(found: &Balance, notation: Notation) -> String {
    match found {
        Balance::Unique(reaction) => reaction.to_text(notation) + "\n",
        Balance::Settled {
            reaction,
            by,
            freedom,
        } => format!(
            "{}\none of {freedom} independent balances, settled by {}\n",
            reaction.to_text(notation),
            match by {
                SettledBy::Ratio => "the ratio given",
                SettledBy::HalfReactions => "its half-reactions",
                SettledBy::Coefficients => "the coefficients given",
            }
        ),
        Balance::Open { balances, .. } => balances
            .iter()
            .map(|reaction| reaction.to_text(notation) + "\n")
            .collect(),
    }
}

/// How often each element and the charge stand on either side: the count anybody can make to check an equation.
pub fn count(reaction: &Reaction, notation: Notation) -> String {
    let mut page = String::new();
    for element in elements(reaction) {
        let of = |species: &Species| species.composition().count(element);
        line(element.symbol(), reaction, notation, of, &mut page);
    }
    let of = |species: &Species| Exact::from(species.charge());
    if reaction
        .left
        .iter()
        .chain(&reaction.right)
        .any(|(_, s)| s.charge() != 0)
    {
        line("charge", reaction, notation, of, &mut page);
    }
    page
}

fn elements(reaction: &Reaction) -> Vec<Element> {
    let all = reaction.left.iter().chain(&reaction.right);
    let mut elements: Vec<Element> = all
        .flat_map(|(_, species)| species.composition().iter().map(|(element, _)| element))
        .collect();
    elements.sort_unstable();
    elements.dedup();
    elements
}

fn line(
    name: &str,
    reaction: &Reaction,
    notation: Notation,
    of: impl Fn(&Species) -> Exact,
    page: &mut String,
) {
    let minus = |text: String| {
        if notation == Notation::Ascii {
            text
        } else {
            text.replace('-', "−")
        }
    };
    let side = |terms: &[(BigInt, Species)]| {
        let counted = terms
            .iter()
            .map(|(n, species)| (Exact::from(n.clone()), of(species)));
        let counted: Vec<(Exact, Exact)> = counted.filter(|(_, count)| !count.is_zero()).collect();
        let times = if notation == Notation::Ascii {
            "*"
        } else {
            "·"
        };
        let products: Vec<String> = counted
            .iter()
            .map(|(n, count)| {
                let count = if count.is_negative() {
                    format!("({})", count.to_plain())
                } else {
                    count.to_plain()
                };
                minus(format!("{}{times}{count}", n.to_plain()))
            })
            .collect();
        let total: Exact = counted.iter().map(|(n, count)| n * count).sum();
        match products.len() {
            0 => "0".to_owned(),
            _ => format!("{} = {}", products.join(" + "), minus(total.to_plain())),
        }
    };
    let _ = writeln!(
        page,
        "  {name:<6}  {}  |  {}",
        side(&reaction.left),
        side(&reaction.right)
    );
}
