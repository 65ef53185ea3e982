//! Electrons by oxidation numbers: what each element of a balanced reaction gives off or takes up.
//!
//! This holds for every redox reaction, also where no half-reactions can be told apart: what is given off is what is
//! taken up. Atoms that keep their number are set aside; the others are paired in the order of their numbers, so that no
//! more electrons pass than must.

use std::collections::BTreeMap;

use num_bigint::BigInt;

use crate::matter::{Element, Species};
use crate::number::Exact;

use super::Reaction;
use super::oxidation::numbers;

/// Atoms of one element that change their number alike.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Transfer {
    /// Which.
    pub element: Element,
    /// Oxidation number on the left.
    pub from: Exact,
    /// On the right.
    pub to: Exact,
    /// How many, for the coefficients of the reaction.
    pub atoms: Exact,
}

impl Transfer {
    /// Electrons that these atoms give off; negative if they take them up.
    pub fn electrons(&self) -> Exact {
        &self.atoms * &(&self.to - &self.from)
    }
}

/// Every change of an oxidation number; those that give off electrons come first.
///
/// ```
/// use aludel::equation::{balance, parse_equation, transfers};
/// let found = balance(&parse_equation("NI3 -> N2 + I2").unwrap()).unwrap();
/// let all = transfers(found.reaction().unwrap());
/// let electrons: Vec<String> = all.iter().map(|t| t.electrons().to_plain()).collect();
/// assert_eq!(electrons, ["6", "-6"]);
/// ```
pub fn transfers(reaction: &Reaction) -> Vec<Transfer> {
    let mut left = counted(&reaction.left);
    let mut right = counted(&reaction.right);
    let mut all: Vec<Transfer> = Vec::new();
    for (element, before) in &mut left {
        if let Some(after) = right.get_mut(element) {
            set_aside(before, after);
            pair(*element, before, after, &mut all);
        }
    }
    all.sort_by_key(|transfer| transfer.electrons().is_negative());
    all
}

/// Atoms by oxidation number, in its order.
type ByNumber = BTreeMap<Exact, Exact>;

fn counted(terms: &[(BigInt, Species)]) -> BTreeMap<Element, ByNumber> {
    let mut all: BTreeMap<Element, ByNumber> = BTreeMap::new();
    for (n, species) in terms {
        for atoms in numbers(species).atoms {
            let count = &atoms.count * &Exact::from(n.clone());
            let of_element = all.entry(atoms.element).or_default();
            *of_element.entry(atoms.number).or_default() += &count;
        }
    }
    all
}

fn set_aside(before: &mut ByNumber, after: &mut ByNumber) {
    for (number, atoms) in before.iter_mut() {
        if let Some(others) = after.get_mut(number) {
            let both = (&*atoms).min(&*others).clone();
            *atoms -= &both;
            *others -= &both;
        }
    }
}

fn pair(element: Element, before: &ByNumber, after: &ByNumber, all: &mut Vec<Transfer>) {
    let there = |(_, atoms): &(&Exact, &Exact)| !atoms.is_zero();
    let mut targets = after
        .iter()
        .filter(there)
        .map(|(number, atoms)| (number, atoms.clone()));
    let mut target = targets.next();
    for (from, atoms) in before.iter().filter(there) {
        let mut left = atoms.clone();
        while let Some((to, room)) = target.as_mut().filter(|_| !left.is_zero()) {
            let atoms = (&left).min(&*room).clone();
            left -= &atoms;
            *room -= &atoms;
            let (from, to) = (from.clone(), to.clone());
            all.push(Transfer {
                element,
                from,
                to,
                atoms,
            });
            if room.is_zero() {
                target = targets.next();
            }
        }
    }
}
