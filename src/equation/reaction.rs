//! A balanced reaction.

use std::collections::BTreeMap;

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::One;

use crate::matter::{Notation, Species};
use crate::number::Exact;

use super::matrix::Conserved;

/// Species with their coefficients; whoever makes one has counted it.
///
/// Coefficients are positive and whole, in lowest terms unless the user chose a multiple.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Reaction {
    /// Used up.
    pub left: Vec<(BigInt, Species)>,
    /// Formed.
    pub right: Vec<(BigInt, Species)>,
}

impl Reaction {
    /// Species with signed coefficients: negative for what is used up. A species on both sides comes once, with the
    /// difference, and not at all if nothing is left.
    pub fn signed(&self) -> Vec<(Exact, Species)> {
        let left = self.left.iter().map(|(n, s)| (Exact::from(-n.clone()), s));
        let right = self.right.iter().map(|(n, s)| (Exact::from(n.clone()), s));
        netted(left.chain(right))
    }

    /// The coefficient of a species: negative if used up, zero if absent or the same on both sides.
    pub fn coefficient(&self, species: &Species) -> Exact {
        let signed = self.signed().into_iter();
        signed.filter(|(_, s)| s == species).map(|(n, _)| n).sum()
    }

    /// An independent count: atoms of each element and charge, term by term, with nothing shared with the matrix.
    pub fn is_balanced(&self) -> bool {
        let mut totals: BTreeMap<Conserved, Exact> = BTreeMap::new();
        let sides = [(&self.left, Exact::one()), (&self.right, Exact::from(-1))];
        for (terms, sign) in sides {
            for (coefficient, species) in terms {
                let n = Exact::from(coefficient.clone()) * &sign;
                for (element, count) in species.composition().iter() {
                    *totals.entry(Conserved::Element(element)).or_default() += &(count * &n);
                }
                *totals.entry(Conserved::Charge).or_default() +=
                    &(Exact::from(species.charge()) * &n);
            }
        }
        let positive = self
            .left
            .iter()
            .chain(&self.right)
            .all(|(n, _)| n >= &BigInt::one());
        positive && totals.values().all(Exact::is_zero)
    }

    /// Divides all coefficients by what they have in common.
    pub(super) fn reduce(&mut self) {
        let all = || self.left.iter().chain(&self.right);
        let common = all().fold(BigInt::ZERO, |g, (n, _)| g.gcd(n));
        if common > BigInt::from(1) {
            let terms = self.left.iter_mut().chain(&mut self.right);
            terms.for_each(|(n, _)| *n /= &common);
        }
    }

    /// As text, `2 H2 + O2 -> 2 H2O`.
    pub fn to_text(&self, notation: Notation) -> String {
        let term = |(n, species): &(BigInt, Species)| match species.to_text(notation) {
            text if n.is_one() => text,
            text => format!("{n} {text}"),
        };
        written(&self.left, &self.right, notation, term)
    }
}

/// Each species once, with the sum of its signed coefficients, and not at all if nothing is left.
pub(super) fn netted<'s>(
    terms: impl Iterator<Item = (Exact, &'s Species)>,
) -> Vec<(Exact, Species)> {
    let mut net: Vec<(Exact, Species)> = Vec::with_capacity(terms.size_hint().0);
    for (n, species) in terms {
        match net.iter_mut().find(|(_, known)| known == species) {
            Some((total, _)) => *total += &n,
            None => net.push((n, species.clone())),
        }
    }
    net.retain(|(n, _)| !n.is_zero());
    net
}

/// Both sides as text, each of their terms as `term` writes it.
pub(super) fn written<T>(
    left: &[T],
    right: &[T],
    notation: Notation,
    term: impl Fn(&T) -> String,
) -> String {
    let side = |terms: &[T]| terms.iter().map(&term).collect::<Vec<_>>().join(" + ");
    format!("{} {} {}", side(left), notation.arrow(), side(right))
}
