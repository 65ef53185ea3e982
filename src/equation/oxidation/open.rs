//! The atoms of one piece of a formula, given their numbers in the order of the rules.

use crate::matter::Element;
use crate::number::Exact;

use super::facts::facts;
use super::{Choice, Numbers, Rule};

/// Atoms without a number yet, and the sum that their numbers must have.
pub(super) struct Open {
    pub(super) atoms: Vec<(Element, Exact)>,
    pub(super) charge: Exact,
}

impl Open {
    pub(super) fn settle(mut self, found: &mut Numbers) {
        if let [(element, count)] = self.atoms.as_slice() {
            let number = self.charge.checked_div(count).unwrap_or_default();
            let rule = if self.charge.is_zero() {
                Rule::Free
            } else {
                Rule::Ion
            };
            found.add(*element, count.clone(), number, rule);
            return;
        }
        let elements: Vec<Element> = self.atoms.iter().map(|(e, _)| *e).collect();
        for (element, number, rule) in certain(&elements) {
            self.set(element, number, rule, found);
        }
        while self.atoms.len() > 1 {
            let (element, number, rule) = self.next(found);
            if rule == Rule::Usual {
                found.choices.push(Choice::Metal(element));
            }
            self.set(element, number, rule, found);
        }
        self.rest(found);
    }

    /// Gives an element its number, unless it is the last one, which takes the rest.
    fn set(&mut self, element: Element, number: i64, rule: Rule, found: &mut Numbers) {
        let Some(at) = self.atoms.iter().position(|(e, _)| *e == element) else {
            return;
        };
        if self.atoms.len() > 1 {
            let (_, count) = self.atoms.remove(at);
            self.charge -= &(Exact::from(number) * &count);
            found.add(element, count, Exact::from(number), rule);
        }
    }

    /// The next element to be set where no rule is certain: the most electronegative one. In a compound of carbon and
    /// hydrogen it is the metal, since carbon can take any rest.
    fn next(&self, found: &Numbers) -> (Element, i64, Rule) {
        let has = |element: Element| self.atoms.iter().any(|(e, _)| *e == element);
        let mut metals = self.atoms.iter().map(|(e, _)| *e).filter(|e| e.is_metal());
        if has(Element::C)
            && found.of(Element::H).next().is_some()
            && let Some(metal) = metals.next()
        {
            return (metal, facts(metal).usual[0], Rule::Usual);
        }
        let all = self
            .atoms
            .iter()
            .map(|(element, _)| (*element, facts(*element)));
        let (element, facts) = all
            .max_by(|a, b| a.1.electronegativity.total_cmp(&b.1.electronegativity))
            .expect("more than one element is left");
        let negative = facts.usual.iter().copied().find(|n| *n < 0);
        match negative {
            _ if element == Element::O => (element, -2, Rule::Oxygen),
            Some(number) => (element, number, Rule::Electronegative),
            None => (element, facts.usual[0], Rule::Usual),
        }
    }

    /// The last element takes the rest, as far as it can.
    fn rest(self, found: &mut Numbers) {
        let Some((element, count)) = self.atoms.into_iter().next() else {
            return;
        };
        let number = self.charge.checked_div(&count).unwrap_or_default();
        if element == Element::O {
            let rule = if number == Exact::from(-2) {
                Rule::Oxygen
            } else {
                Rule::OddOxygen
            };
            return found.add(element, count, number, rule);
        }
        let facts = facts(element);
        let highest = Exact::from(facts.highest);
        let unusual = element.is_metal() && !facts.usual.iter().any(|n| Exact::from(*n) >= number);
        let oxygen = found
            .atoms
            .iter()
            .position(|a| a.element == Element::O && a.rule == Rule::Oxygen);
        let partner = found
            .atoms
            .iter()
            .rposition(|a| a.rule == Rule::Electronegative);
        // What the element cannot have was not taken by the other: oxygen is then peroxidic, sulfur a disulfide.
        match (oxygen, partner) {
            (Some(oxygen), _) if number > highest => {
                peroxidic(oxygen, (element, count, highest), &self.charge, found);
            }
            (None, Some(partner)) if unusual => {
                let usual = Exact::from(facts.usual[0]);
                paired(partner, (element, count, usual), &self.charge, found);
            }
            _ => found.add(element, count, number, Rule::Rest),
        }
    }
}

/// What is left for atoms already counted if `own` of the last element take their number.
fn left_for(at: usize, own: &(Element, Exact, Exact), charge: &Exact, found: &Numbers) -> Exact {
    let atoms = &found.atoms[at];
    let before = charge + &(&atoms.count * &atoms.number);
    &before - &(&own.1 * &own.2)
}

/// `S2O8^2-`: so many oxygen atoms are -1 that the rest can be -2; an average where that is no whole number.
fn peroxidic(at: usize, own: (Element, Exact, Exact), charge: &Exact, found: &mut Numbers) {
    let sum = left_for(at, &own, charge, found);
    let oxygen = found.atoms.remove(at);
    found.add(own.0, own.1, own.2, Rule::Highest);
    let odd = &sum + &(&oxygen.count * &Exact::from(2));
    if odd.is_integer() && odd <= oxygen.count {
        let even = &oxygen.count - &odd;
        found.add(Element::O, odd, Exact::from(-1), Rule::OddOxygen);
        if !even.is_zero() {
            found.add(Element::O, even, Exact::from(-2), Rule::Oxygen);
        }
    } else {
        let each = sum.checked_div(&oxygen.count).unwrap_or_default();
        found.add(Element::O, oxygen.count, each, Rule::OddOxygen);
    }
}

/// `FeS2`, `FeAsS`: the metal keeps its usual number, and its partner takes the rest.
fn paired(at: usize, own: (Element, Exact, Exact), charge: &Exact, found: &mut Numbers) {
    let sum = left_for(at, &own, charge, found);
    let partner = found.atoms.remove(at);
    found.choices.push(if partner.element == Element::S {
        Choice::Disulfide(own.0)
    } else {
        Choice::Metal(own.0)
    });
    let each = sum.checked_div(&partner.count).unwrap_or_default();
    found.add(own.0, own.1, own.2, Rule::Usual);
    found.add(partner.element, partner.count, each, Rule::Rest);
}

/// The numbers that hold for these elements together, in the order in which they are set.
fn certain(elements: &[Element]) -> Vec<(Element, i64, Rule)> {
    let hydride =
        |e: &Element| e.is_metal() || ["H", "D", "T", "B", "Si", "Ge"].contains(&e.symbol());
    let hydrides = elements.iter().all(hydride);
    let mut all: Vec<(Element, i64, Rule)> = Vec::new();
    for element in elements {
        all.extend(match element.symbol() {
            "F" => Some((*element, -1, Rule::Fluorine)),
            "Li" | "Na" | "K" | "Rb" | "Cs" | "Ag" => Some((*element, 1, Rule::Metal)),
            "Be" | "Mg" | "Ca" | "Sr" | "Ba" | "Ra" | "Zn" | "Cd" => {
                Some((*element, 2, Rule::Metal))
            }
            "Al" | "Sc" | "Y" | "La" => Some((*element, 3, Rule::Metal)),
            "H" | "D" | "T" if hydrides => Some((*element, -1, Rule::Hydride)),
            "H" | "D" | "T" => Some((*element, 1, Rule::Hydrogen)),
            _ => None,
        });
    }
    // Fluorine first: whatever is bound to it gives way.
    all.sort_by_key(|(_, _, rule)| *rule != Rule::Fluorine);
    all
}
