//! A balanced equation with the coefficients its writer chose.

use crate::matter::{Notation, Species};
use crate::number::Exact;

use super::reaction::{netted, written};
use super::{Balance, Side, Skeleton, imbalances};

/// A balanced equation whose coefficients may be fractions and multiples: molar quantities are for just these.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Stated {
    /// Used up, coefficients positive.
    pub left: Vec<(Exact, Species)>,
    /// Formed, coefficients positive.
    pub right: Vec<(Exact, Species)>,
}

impl Stated {
    /// The coefficients as written where they balance, else those that were found; `None` where there is a choice of
    /// several balances and none is written.
    ///
    /// ```
    /// use aludel::{equation::{Stated, balance, parse_equation}, matter::Notation};
    /// let text = |equation| {
    ///     let skeleton = parse_equation(equation).unwrap();
    ///     Stated::of(&skeleton, &balance(&skeleton).unwrap()).unwrap().to_text(Notation::Plain)
    /// };
    /// assert_eq!(text("H2 + 0.5 O2 -> H2O"), "H2 + 0.5 O2 -> H2O");
    /// assert_eq!(text("4 H2 + O2 -> H2O"), "2 H2 + O2 -> 2 H2O");
    /// ```
    pub fn of(skeleton: &Skeleton, balance: &Balance) -> Option<Self> {
        if imbalances(skeleton).is_some_and(|wrong| wrong.is_empty()) {
            return Some(Self::as_written(skeleton));
        }
        let reaction = balance.reaction()?;
        let side = |terms: &[(num_bigint::BigInt, Species)]| {
            let terms = terms.iter();
            terms
                .map(|(n, s)| (Exact::from(n.clone()), s.clone()))
                .collect()
        };
        Some(Stated {
            left: side(&reaction.left),
            right: side(&reaction.right),
        })
    }

    fn as_written(skeleton: &Skeleton) -> Self {
        let on = |wanted: Side| {
            let terms = skeleton.terms().filter(|(side, _)| *side == wanted);
            terms
                .map(|(_, term)| {
                    let count = term.coefficient.clone().unwrap_or_else(Exact::one);
                    (count, term.species.clone())
                })
                .collect()
        };
        Stated {
            left: on(Side::Left),
            right: on(Side::Right),
        }
    }

    /// Species with signed coefficients, negative for what is used up; one that stands on both sides comes once, with
    /// the difference, and not at all if nothing is left.
    pub fn signed(&self) -> Vec<(Exact, Species)> {
        let left = self.left.iter().map(|(n, s)| (-n.clone(), s));
        let right = self.right.iter().map(|(n, s)| (n.clone(), s));
        netted(left.chain(right))
    }

    /// As text, `H2 + 0.5 O2 -> H2O`.
    pub fn to_text(&self, notation: Notation) -> String {
        let term = |(n, species): &(Exact, Species)| match species.to_text(notation) {
            text if n == &Exact::one() => text,
            text => format!("{} {text}", n.to_plain()),
        };
        written(&self.left, &self.right, notation, term)
    }
}
