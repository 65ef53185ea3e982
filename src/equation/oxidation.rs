//! Oxidation numbers of the atoms of a species, each with the rule that gave it.
//!
//! A salt is taken as its ions, a complex as its metal and its ligands; within each piece the known numbers are set in
//! the order of the rules and what is left takes the rest, exactly, so that averages such as +8/3 in Fe3O4 come out as
//! they are. Where the rules leave a choice, the one taken is told.
//!
//! Knows nothing of bonds: an average over atoms of one element in one piece is all that a formula tells.

use std::sync::LazyLock;

use crate::matter::{Composition, Count, Element, Formula, Item, Kernel, Part, Species};
use crate::number::Exact;

use super::ionic;

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
    let rest = Formula {
        parts: rest.into_iter().cloned().collect(),
    };
    found.join(of_items(&whole(&rest), species.charge()), &Exact::one());
    found
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
                unit: Kernel::Group('(', part.items.clone()),
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
    collect(items, &Exact::one(), &mut open, &mut found);
    open.settle(&mut found);
    found
}

/// Sets ligands apart and gathers the other atoms; the charge of the ligands is taken from that of the rest.
fn collect(items: &[Item], times: &Exact, open: &mut Open, found: &mut Numbers) {
    for item in items {
        let count = exact(item.count) * times;
        match &item.unit {
            Kernel::Atom(element) => match open.atoms.iter_mut().find(|(e, _)| e == element) {
                Some((_, total)) => *total += &count,
                None => open.atoms.push((*element, count)),
            },
            Kernel::Group(_, inner) => match ligand_charge(inner) {
                Some(own) => {
                    if is_nitrosyl(inner) {
                        found.choices.push(Choice::Nitrosyl);
                    }
                    open.charge -= &(Exact::from(own) * &count);
                    found.join(of_items(inner, own), &count);
                }
                None => collect(inner, &count, open, found),
            },
        }
    }
}

/// The charge of a group that is a ligand or an ion of the table; `None` for any other group.
fn ligand_charge(items: &[Item]) -> Option<i64> {
    let composition = composition_of(items)?;
    static NEUTRAL: LazyLock<Vec<Composition>> = LazyLock::new(|| {
        let texts = ["NH3", "H2O", "CO", "NO", "N2H4", "C2H8N2", "D2O"];
        let read = |text: &str| Species::parse(text).ok().map(|s| s.composition().clone());
        texts.into_iter().filter_map(read).collect()
    });
    if NEUTRAL.contains(&composition) {
        return Some(0);
    }
    ionic::anion_charge(&composition)
}

fn is_nitrosyl(items: &[Item]) -> bool {
    let symbols: Vec<&str> = items
        .iter()
        .filter_map(|item| match &item.unit {
            Kernel::Atom(element) if item.count == Count::ONE => Some(element.symbol()),
            _ => None,
        })
        .collect();
    symbols == ["N", "O"]
}

/// Atoms without a number yet, and the sum that their numbers must have.
struct Open {
    atoms: Vec<(Element, Exact)>,
    charge: Exact,
}

impl Open {
    fn settle(mut self, found: &mut Numbers) {
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
            let (element, number, rule) = self.next();
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

    /// The next element to be set where no rule is certain: the most electronegative one.
    fn next(&self) -> (Element, i64, Rule) {
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
        let usual = Exact::from(facts.usual[0]);
        let too_high = number > highest;
        let oxygen = found
            .atoms
            .iter()
            .position(|a| a.element == Element::O && a.rule == Rule::Oxygen);
        let sulfur = found
            .atoms
            .iter()
            .position(|a| a.element.symbol() == "S" && a.rule == Rule::Electronegative);
        let unusual = element.is_metal() && !facts.usual.iter().any(|n| Exact::from(*n) >= number);
        // What the element cannot have was not taken by the other: oxygen is then peroxidic, sulfur a disulfide.
        let (other, own) = match (oxygen, sulfur) {
            (Some(at), _) if too_high => (at, highest),
            (None, Some(at)) if unusual => (at, usual),
            _ => return found.add(element, count, number, Rule::Rest),
        };
        let taken = &self.charge + &(&found.atoms[other].count * &found.atoms[other].number);
        let left = &taken - &(&own * &count);
        let atoms = found.atoms.remove(other);
        let each = left.checked_div(&atoms.count).unwrap_or_default();
        let (rule, own_rule) = if oxygen.is_some() {
            (Rule::OddOxygen, Rule::Highest)
        } else {
            found.choices.push(Choice::Disulfide(element));
            (Rule::Rest, Rule::Usual)
        };
        found.add(element, count, own, own_rule);
        found.add(atoms.element, atoms.count, each, rule);
    }
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

struct Facts {
    electronegativity: f64,
    usual: Vec<i64>,
    highest: i64,
}

/// The row of an element; one without a row counts as a metal with the number 3.
fn facts(element: Element) -> &'static Facts {
    static ROWS: LazyLock<Vec<Option<Facts>>> = LazyLock::new(|| {
        let mut rows: Vec<Option<Facts>> = (0..120).map(|_| None).collect();
        let lines = include_str!("../data/oxidation.csv").lines();
        for line in lines.filter(|line| !line.starts_with('#')).skip(1) {
            if let Some((element, facts)) = Facts::read(line) {
                rows[element.index()] = Some(facts);
            }
        }
        rows
    });
    static UNKNOWN: LazyLock<Facts> = LazyLock::new(|| Facts {
        electronegativity: 1.3,
        usual: vec![3],
        highest: 8,
    });
    ROWS[element.index()].as_ref().unwrap_or(&UNKNOWN)
}

impl Facts {
    fn read(line: &str) -> Option<(Element, Facts)> {
        let mut cells = line.split(',');
        let element = Element::of_symbol(cells.next()?)?;
        let electronegativity = cells.next()?.parse().ok()?;
        let usual: Vec<i64> = cells
            .next()?
            .split(' ')
            .map(str::parse)
            .collect::<Result<_, _>>()
            .ok()?;
        let highest = cells.next()?.parse().ok()?;
        (!usual.is_empty()).then_some((
            element,
            Facts {
                electronegativity,
                usual,
                highest,
            },
        ))
    }
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

    fn read(text: &str) -> String {
        let mut all: Vec<String> = numbers(&Species::parse(text).unwrap())
            .atoms
            .iter()
            .map(|a| format!("{} {}", a.element.symbol(), a.number))
            .collect();
        all.sort();
        all.join(", ")
    }

    /// Common practice: the numbers that textbooks give these; no source.
    #[test]
    fn numbers_are_those_of_the_textbooks() {
        for (text, expected) in [
            ("Fe", "Fe 0"),
            ("S8", "S 0"),
            ("I3^-", "I -1/3"),
            ("Hg2^2+", "Hg 1"),
            ("KMnO4", "K 1, Mn 7, O -2"),
            ("Cr2O7^2-", "Cr 6, O -2"),
            ("Fe3O4", "Fe 8/3, O -2"),
            ("S4O6^2-", "O -2, S 2.5"),
            ("S2O3^2-", "O -2, S 2"),
            ("H2O2", "H 1, O -1"),
            ("Na2O2", "Na 1, O -1"),
            ("BaO2", "Ba 2, O -1"),
            ("KO2", "K 1, O -0.5"),
            ("KO3", "K 1, O -1/3"),
            ("PbO2", "O -2, Pb 4"),
            ("OF2", "F -1, O 2"),
            ("NaH", "H -1, Na 1"),
            ("LiAlH4", "Al 3, H -1, Li 1"),
            ("BH4^-", "B 3, H -1"),
            ("NH3", "H 1, N -3"),
            ("N2H4", "H 1, N -2"),
            ("NH2OH", "H 1, N -1, O -2"),
            ("HN3", "H 1, N -1/3"),
            ("NaN3", "N -1/3, Na 1"),
            ("NH4NO3", "H 1, N -3, N 5, O -2"),
            ("KSCN", "C 4, K 1, N -3, S -2"),
            ("HCN", "C 2, H 1, N -3"),
            ("CN^-", "C 2, N -3"),
            ("CNO^-", "C 4, N -3, O -2"),
            ("CH3COOH", "C 0, H 1, O -2"),
            ("C6H5CH3", "C -8/7, H 1"),
            ("C2O4^2-", "C 3, O -2"),
            ("K4[Fe(CN)6]", "C 2, Fe 2, K 1, N -3"),
            ("[Fe(CN)6]^3-", "C 2, Fe 3, N -3"),
            ("[Cu(NH3)4]SO4", "Cu 2, H 1, N -3, O -2, S 6"),
            ("[Cr(H2O)6]^3+", "Cr 3, H 1, O -2"),
            ("[Fe(SCN)]^2+", "C 4, Fe 3, N -3, S -2"),
            ("[Fe(C2O4)3]^3-", "C 3, Fe 3, O -2"),
            ("Ni(CO)4", "C 2, Ni 0, O -2"),
            ("[Al(OH)4]^-", "Al 3, H 1, O -2"),
            ("[HgCl4]^2-", "Cl -1, Hg 2"),
            ("K2[PtCl6]", "Cl -1, K 1, Pt 4"),
            ("CuSO4·5H2O", "Cu 2, H 1, O -2, S 6"),
            ("KAl(SO4)2·12H2O", "Al 3, H 1, K 1, O -2, S 6"),
            ("S2O8^2-", "O -1.75, S 6"),
            ("HSO5^-", "H 1, O -1.6, S 6"),
            ("CrO5", "Cr 6, O -1.2"),
            ("FeS2", "Fe 2, S -1"),
            ("CuFeS2", "Cu 1, Fe 3, S -2"),
            ("As2S3", "As 3, S -2"),
            ("CrI3", "Cr 3, I -1"),
            ("Na4XeO6", "Na 1, O -2, Xe 8"),
            ("POCl3", "Cl -1, O -2, P 5"),
            ("ICl3", "Cl -1, I 3"),
            ("D2O", "D 1, O -2"),
            ("NH4Fe(SO4)2·12H2O", "Fe 3, H 1, N -3, O -2, S 6"),
            ("e^-", ""),
        ] {
            assert_eq!(read(text), expected, "{text}");
        }
    }

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

    #[test]
    fn every_row_of_the_table_can_be_read() {
        let rows = include_str!("../data/oxidation.csv")
            .lines()
            .filter(|l| !l.starts_with('#'))
            .skip(1);
        for row in rows {
            assert!(Facts::read(row).is_some(), "{row}");
        }
    }
}
