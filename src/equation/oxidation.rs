//! Oxidation numbers of the atoms of a species, each with the rule that gave it.
//!
//! A salt is taken as its ions, a complex as its metal and its ligands; within each piece the known numbers are set in
//! the order of the rules and what is left takes the rest, exactly, so that averages such as +8/3 in Fe3O4 come out as
//! they are. Where the rules leave a choice, the one taken is told.
//!
//! Knows nothing of bonds: an average over atoms of one element in one piece is all that a formula tells.

use std::sync::LazyLock;

use crate::matter::{Composition, Count, Element, Formula, FormulaUnit, Item, Part, Species};
use crate::number::Exact;

use super::ionic;

mod facts;
mod open;

use facts::facts;
use open::Open;

/// Why an atom has its number.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Rule {
    /// `Fe`, `S8`: an element is 0.
    Free,
    /// `Fe^3+`, `I3^-`: the charge of an ion of one element is shared out.
    Ion,
    /// Fluorine is -1.
    Fluorine,
    /// A metal that has one number only: `Na`, `Ca`, `Al`, `Zn`, `Ag`.
    Metal,
    /// Hydrogen is +1.
    Hydrogen,
    /// `NaH`, `BH4^-`: -1 beside metals, boron and silicon.
    Hydride,
    /// Oxygen is -2.
    Oxygen,
    /// `H2O2`, `KO2`, `S2O8^2-`, `OF2`: the others leave oxygen no -2.
    OddOxygen,
    /// `As2S3`, `NH3`, `CCl4`: the more electronegative element takes its usual negative number.
    Electronegative,
    /// `S2O8^2-`: the element cannot go higher.
    Highest,
    /// `CuFeS2`: one of the usual numbers was chosen; see [`Numbers::choices`].
    Usual,
    /// Whatever makes the sum the charge.
    Rest,
}

/// Atoms of one element that have one number.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Atoms {
    /// Which element.
    pub element: Element,
    /// How many in one formula unit.
    pub count: Exact,
    /// The oxidation number; a fraction where it is an average.
    pub number: Exact,
    /// Why.
    pub rule: Rule,
}

/// A choice that the rules left open.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Choice {
    /// `CuFeS2`: the usual number of the first metal was kept, another one is possible.
    Metal(Element),
    /// `FeS2`: a disulfide, not a higher number of the metal.
    Disulfide(Element),
    /// `[Fe(NO)(H2O)5]^2+`: NO counted as a neutral ligand.
    Nitrosyl,
    /// `NaN3`, `S2O3^2-`: an average over atoms that are not alike.
    Average(Element),
}

/// The oxidation numbers of a species.
#[derive(Clone, Debug, Default, Eq, PartialEq)]
pub struct Numbers {
    /// In the order in which they were found; one element comes twice where it has two numbers, as N in NH4NO3.
    pub atoms: Vec<Atoms>,
    /// What was chosen.
    pub choices: Vec<Choice>,
}

impl Numbers {
    /// The numbers of one element with how many atoms have each.
    pub fn of(&self, element: Element) -> impl Iterator<Item = &Atoms> {
        self.atoms.iter().filter(move |a| a.element == element)
    }

    /// The mean number of one element; `None` if there is none of it.
    pub fn mean(&self, element: Element) -> Option<Exact> {
        let count: Exact = self.of(element).map(|a| a.count.clone()).sum();
        let total: Exact = self.of(element).map(|a| &a.count * &a.number).sum();
        total.checked_div(&count)
    }

    fn add(&mut self, element: Element, count: Exact, number: Exact, rule: Rule) {
        if !number.is_integer() {
            self.choices.push(Choice::Average(element));
        }
        let same = |a: &&mut Atoms| a.element == element && a.number == number;
        match self.atoms.iter_mut().find(same) {
            Some(known) => known.count += &count,
            None => self.atoms.push(Atoms {
                element,
                count,
                number,
                rule,
            }),
        }
    }

    fn join(&mut self, other: Numbers, times: &Exact) {
        for atoms in other.atoms {
            self.add(
                atoms.element,
                &atoms.count * times,
                atoms.number,
                atoms.rule,
            );
        }
        self.choices.extend(other.choices);
        self.choices.dedup();
    }
}

/// The oxidation numbers of all atoms; empty for the electron.
///
/// ```
/// use aludel::{equation::oxidation::numbers, matter::{Element, Species}};
/// let of = |text, symbol| {
///     let found = numbers(&Species::parse(text).unwrap());
///     found.mean(Element::of_symbol(symbol).unwrap()).unwrap().to_plain()
/// };
/// assert_eq!(of("MnO4^-", "Mn"), "7");
/// assert_eq!(of("Fe3O4", "Fe"), "8/3");
/// assert_eq!(of("K4[Fe(CN)6]", "Fe"), "2");
/// ```
pub fn numbers(species: &Species) -> Numbers {
    let mut found = Numbers::default();
    let bare = species.with_phase(None);
    if let Some(ions) = ionic::dissociate(&bare) {
        found.choices.extend(several_metals(&ions));
        for (times, ion) in ions {
            found.join(of_items(&whole(ion.formula()), ion.charge()), &times);
        }
        return found;
    }
    // The water of a hydrate keeps to itself; the other parts share the charge.
    let (water, rest): (Vec<&Part>, Vec<&Part>) = species
        .formula()
        .parts
        .iter()
        .partition(|part| is_water(part));
    let (water, rest) = if rest.is_empty() {
        (rest, water)
    } else {
        (water, rest)
    };
    for part in water {
        found.join(of_items(&part.items, 0), &exact(part.multiplier));
    }
    if let (0, [_, _, ..]) = (species.charge(), rest.as_slice()) {
        // `(NH4)3PO4·12MoO3`: each part of a neutral adduct is neutral by itself.
        for part in rest {
            found.join(of_part(part), &exact(part.multiplier));
        }
        return found;
    }
    let rest = Formula {
        parts: rest.into_iter().cloned().collect(),
    };
    found.join(of_items(&whole(&rest), species.charge()), &Exact::one());
    found
}

fn of_part(part: &Part) -> Numbers {
    let alone = Part {
        multiplier: Count::ONE,
        items: part.items.clone(),
    };
    let formula = Formula { parts: vec![alone] };
    Species::new(formula, 0, None).map_or_else(|| of_items(&part.items, 0), |part| numbers(&part))
}

/// Two metals that could share their charge in another way.
fn several_metals(ions: &ionic::Ions) -> Option<Choice> {
    let lone = |ion: &Species| match ion.composition().atoms.as_slice() {
        [(element, _)] if ion.charge() > 0 => Some(*element),
        _ => None,
    };
    let mut open = ions
        .iter()
        .filter_map(|(_, ion)| lone(ion))
        .filter(|e| facts(*e).usual.len() > 1);
    let first = open.find(|e| e.is_metal())?;
    open.next().map(|_| Choice::Metal(first))
}

/// All parts as one list of items.
fn whole(formula: &Formula) -> Vec<Item> {
    match formula.parts.as_slice() {
        [only] if only.multiplier == Count::ONE => only.items.clone(),
        parts => {
            let group = |part: &Part| Item {
                unit: FormulaUnit::Group('(', part.items.clone()),
                count: part.multiplier,
            };
            parts.iter().map(group).collect()
        }
    }
}

fn of_items(items: &[Item], charge: i64) -> Numbers {
    let mut found = Numbers::default();
    let mut open = Open {
        atoms: Vec::new(),
        charge: Exact::from(charge),
    };
    let metal = composition_of(items).is_some_and(|c| c.atoms.iter().any(|(e, _)| e.is_metal()));
    collect(items, metal, &Exact::one(), &mut open, &mut found);
    if open.atoms.is_empty() && !open.charge.is_zero() {
        return of_bare_atoms(items, charge);
    }
    open.settle(&mut found);
    if is_thiosulfate(items, charge) {
        found.choices.push(Choice::Average(Element::S));
    }
    found
}

/// `(CN)2`: groups that nothing holds together are no ligands.
fn of_bare_atoms(items: &[Item], charge: i64) -> Numbers {
    let mut found = Numbers::default();
    let composition = composition_of(items).unwrap_or_default();
    let open = Open {
        atoms: composition.iter().collect(),
        charge: Exact::from(charge),
    };
    open.settle(&mut found);
    found
}

/// The two sulfur atoms of thiosulfate are not alike, though their mean is whole.
fn is_thiosulfate(items: &[Item], charge: i64) -> bool {
    let counts = [(Element::O, 3), (Element::S, 2)];
    charge == -2 && composition_of(items).is_some_and(|c| c.atoms == counts)
}

/// Sets ligands apart and gathers the other atoms; the charge of the ligands is taken from that of the rest.
fn collect(items: &[Item], metal: bool, times: &Exact, open: &mut Open, found: &mut Numbers) {
    let mut rest = items;
    while let Some((item, after)) = rest.split_first() {
        // `[Fe(CN)5NO]^2-`: a nitrosyl needs no brackets of its own behind a metal and its ligands.
        if metal && rest.len() < items.len() && rest.len() == 2 && is_nitrosyl(rest) {
            return set_apart(rest, 0, times, open, found);
        }
        let count = exact(item.count) * times;
        match &item.unit {
            FormulaUnit::Atom(element) => match open.atoms.iter_mut().find(|(e, _)| e == element) {
                Some((_, total)) => *total += &count,
                None => open.atoms.push((*element, count)),
            },
            FormulaUnit::Group(_, inner) => match ligand_charge(inner, metal) {
                Some(own) => set_apart(inner, own, &count, open, found),
                None => collect(inner, metal, &count, open, found),
            },
        }
        rest = after;
    }
}

fn set_apart(ligand: &[Item], own: i64, count: &Exact, open: &mut Open, found: &mut Numbers) {
    if is_nitrosyl(ligand) {
        found.choices.push(Choice::Nitrosyl);
    }
    open.charge -= &(Exact::from(own) * count);
    found.join(of_items(ligand, own), count);
}

/// The charge of a group that is a ligand or an ion of the table; `None` for any other group.
fn ligand_charge(items: &[Item], metal: bool) -> Option<i64> {
    let composition = composition_of(items)?;
    static NEUTRAL: LazyLock<Vec<Composition>> = LazyLock::new(|| {
        let texts = [
            "NH3", "H2O", "CO", "NO", "N2H4", "C2H8N2", "D2O", "CH4N2O", "C5H5N",
        ];
        let read = |text: &str| Species::parse(text).ok().map(|s| s.composition().clone());
        texts.into_iter().filter_map(read).collect()
    });
    if NEUTRAL.contains(&composition) {
        return Some(0);
    }
    // `Pb(C2H5)4`: what holds carbon and hydrogen only sits on a metal with one bond.
    let hydrocarbon = composition
        .atoms
        .iter()
        .all(|(e, _)| [Element::C, Element::H].contains(e))
        && composition.atoms.len() == 2;
    if metal && hydrocarbon {
        return Some(-1);
    }
    ionic::anion_charge(&composition)
}

fn is_nitrosyl(items: &[Item]) -> bool {
    let symbols: Vec<&str> = items
        .iter()
        .filter_map(|item| match &item.unit {
            FormulaUnit::Atom(element) if item.count == Count::ONE => Some(element.symbol()),
            _ => None,
        })
        .collect();
    symbols == ["N", "O"]
}

fn is_water(part: &Part) -> bool {
    static WATER: LazyLock<Option<Composition>> =
        LazyLock::new(|| Species::parse("H2O").ok().map(|s| s.composition().clone()));
    composition_of(&part.items).as_ref() == WATER.as_ref()
}

fn composition_of(items: &[Item]) -> Option<Composition> {
    let part = Part {
        multiplier: Count::ONE,
        items: items.to_vec(),
    };
    Formula { parts: vec![part] }.composition()
}

fn exact(count: Count) -> Exact {
    num_rational::BigRational::new(count.numerator().into(), count.denominator().into()).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sum_is_the_charge_and_choices_are_told() {
        for text in [
            "CuFeS2",
            "FeS2",
            "[Fe(NO)(H2O)5]^2+",
            "S4O6^2-",
            "C21H26N7O17P3^4-",
            "CaSO4·0.5H2O",
            "Fe0.947O",
        ] {
            let species = Species::parse(text).unwrap();
            let found = numbers(&species);
            let sum: Exact = found.atoms.iter().map(|a| &a.count * &a.number).sum();
            assert_eq!(sum, Exact::from(species.charge()), "{text}");
        }
        let choices = |text: &str| numbers(&Species::parse(text).unwrap()).choices;
        assert!(!choices("CuFeS2").is_empty());
        assert!(!choices("FeS2").is_empty());
        assert_eq!(choices("[Fe(NO)(H2O)5]^2+"), [Choice::Nitrosyl]);
        assert_eq!(choices("KMnO4"), []);
    }
}
