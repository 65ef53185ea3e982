//! Salts, acids and bases as the ions they are in water.
//!
//! A formula is taken apart by the table of ions: an anion at one end, cations at the other, charges that cancel. What
//! dissolves is told by the solubility rules of the textbooks; sulfuric acid counts as 2 H^+ and SO4^2-.
//!
//! Knows nothing of amounts, so nothing of how far a sparingly soluble salt dissolves.

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use crate::data::{IN_WATER, IONS, Memo, SOLUBILITY_RULES};
use crate::matter::{Composition, Count, Formula, FormulaUnit, Item, Part, Phase, Species};
use crate::number::Exact;

use super::identity::identity;

/// Ions and molecules of water with how many of each.
pub type Ions = Vec<(Exact, Species)>;

/// What a substance is when it is put into water.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// A strong electrolyte that dissolves: its ions, and the water of a hydrate.
    Ions(Ions),
    /// Dissolved whole.
    Molecule,
    /// A solid that stays one.
    Solid,
    /// A gas that leaves.
    Gas,
    /// A liquid of its own, water first of all.
    Liquid,
}

/// What `species` is in water; a stated phase wins.
///
/// ```
/// use aludel::{equation::ionic::{Form, in_water}, matter::Species};
/// let form = |text| in_water(&Species::parse(text).unwrap());
/// assert!(matches!(form("KOH"), Form::Ions(ions) if ions.len() == 2));
/// assert_eq!(form("BaSO4"), Form::Solid);
/// assert_eq!(form("NH3"), Form::Molecule);
/// assert_eq!(form("CO2"), Form::Gas);
/// ```
pub fn in_water(species: &Species) -> Form {
    static SEEN: LazyLock<Memo<Species, Form>> = LazyLock::new(Memo::default);
    SEEN.recall(species.clone(), look_up)
}

fn look_up(species: &Species) -> Form {
    match species.phase() {
        Some(Phase::Solid) => return Form::Solid,
        Some(Phase::Liquid) => return Form::Liquid,
        Some(Phase::Gas) => return Form::Gas,
        Some(Phase::Aqueous) => {
            let bare = species.with_phase(None);
            return match listed(&bare).or_else(|| dissociate(&bare).map(Form::Ions)) {
                Some(Form::Ions(ions)) => Form::Ions(ions),
                _ => Form::Molecule,
            };
        }
        None => {}
    }
    if let Some(form) = listed(species) {
        return form;
    }
    if species.charge() != 0 {
        return Form::Molecule;
    }
    match known_salt(species) {
        // An acid that is not on the list of strong ones stays whole; an acid sulfate gives its hydrogen off.
        Some(salt) if salt.is_weak_acid() => Form::Molecule,
        Some(salt) if salt.dissolves() => Form::Ions(salt.ions),
        Some(_) => Form::Solid,
        None if has_metal(species) => Form::Solid,
        None => Form::Molecule,
    }
}

/// The ions of a neutral salt, acid or base, whether it dissolves or not; `None` if it has none in the table.
pub fn dissociate(species: &Species) -> Option<Ions> {
    known_salt(species).map(|salt| salt.ions)
}

/// Whether the table of forms in water lists a molecule as one that dissolves; of others only their solubility tells.
///
/// ```
/// use aludel::{equation::ionic::is_known_to_dissolve, matter::Species};
/// let known = |text| is_known_to_dissolve(&Species::parse(text).unwrap());
/// assert!(known("CH3COOH") && !known("C6H14"));
/// ```
pub fn is_known_to_dissolve(species: &Species) -> bool {
    listed(species) == Some(Form::Molecule)
}

/// Whether no table and no rule tells what a substance is in water, so that [`in_water`] guesses.
///
/// ```
/// use aludel::{equation::ionic::is_guessed, matter::Species};
/// let guessed = |text| is_guessed(&Species::parse(text).unwrap());
/// assert!(guessed("NaCI") && !guessed("NaCl") && !guessed("AgCl"));
/// ```
pub fn is_guessed(species: &Species) -> bool {
    listed(species).is_none() && known_salt(species).is_none()
}

/// The charge of the anion of the table that has this composition; `None` if there is none, or more than one.
pub(super) fn anion_charge(composition: &Composition) -> Option<i64> {
    match anions().get(composition)?.as_slice() {
        [only] => Some(only.charge()),
        _ => None,
    }
}

fn has_metal(species: &Species) -> bool {
    species
        .composition()
        .atoms
        .iter()
        .any(|(element, _)| element.is_metal())
}

/// The form of the table of special cases.
fn listed(species: &Species) -> Option<Form> {
    let row = IN_WATER.find(identity(species).key()).next()?;
    Some(match row.cell("form") {
        "ions" if species.key() == "HSO4^-" => Form::Ions(vec![
            (Exact::one(), ion("H^+")),
            (Exact::one(), ion("SO4^2-")),
        ]),
        "ions" => Form::Ions(dissociate(species)?),
        "molecule" => Form::Molecule,
        "gas" => Form::Gas,
        "liquid" => Form::Liquid,
        _ => Form::Solid,
    })
}

/// A formula as cations, one kind of anion, and crystal water.
#[derive(Clone, Debug, Default)]
pub(super) struct Salt {
    cations: Vec<Species>,
    anions: Vec<Species>,
    pub(super) ions: Ions,
}

impl Salt {
    fn dissolves(&self) -> bool {
        self.anions
            .iter()
            .all(|anion| self.cations.iter().all(|cation| is_soluble(cation, anion)))
    }

    fn is_weak_acid(&self) -> bool {
        let acid = self.cations.iter().any(|c| c.key() == "H^+");
        acid && self.anions.iter().any(|a| a.key() != "SO4^2-")
    }

    fn add(&mut self, count: Exact, species: Species) {
        match self.ions.iter_mut().find(|(_, s)| *s == species) {
            Some((total, _)) => *total += &count,
            None => self.ions.push((count, species)),
        }
    }
}

fn is_soluble(cation: &Species, anion: &Species) -> bool {
    const ALWAYS: [&str; 7] = ["H^+", "Li^+", "Na^+", "K^+", "Rb^+", "Cs^+", "NH4^+"];
    if ALWAYS.contains(&cation.key()) {
        return true;
    }
    match SOLUBILITY_RULES.find(anion.key()).next() {
        Some(rule) => {
            let mut exceptions = rule.cell("cations").split(' ');
            (rule.cell("rule") == "soluble") != exceptions.any(|other| other == cation.key())
        }
        // A complex in brackets: soluble with the cations above only.
        None => false,
    }
}

/// A formula taken apart as the tables spell it: `K4Fe(CN)6` holds no cyanide of its own.
fn known_salt(species: &Species) -> Option<Salt> {
    taken_apart(&identity(species))
}

/// The salt that a formula spells.
pub(super) fn taken_apart(species: &Species) -> Option<Salt> {
    if species.charge() != 0 {
        return None;
    }
    let mut salt = Salt::default();
    for part in &species.formula().parts {
        let times = exact(part.multiplier);
        if is_water(part) {
            salt.add(times, water());
            continue;
        }
        let piece = part_taken_apart(&part.items)?;
        for (count, ion) in piece.ions {
            salt.add(count * &times, ion);
        }
        salt.cations.extend(piece.cations);
        salt.anions.extend(piece.anions);
    }
    (!salt.anions.is_empty()).then_some(salt)
}

/// Tries the places between cations and anion, the longest anion first, and the anion in front last (`CH3COONa`).
fn part_taken_apart(items: &[Item]) -> Option<Salt> {
    // An anion of the table has no more items than atoms, so of a long formula only the ends need be tried.
    let most = most_atoms().min(items.len().saturating_sub(1));
    let behind = (1..=most).rev().map(|n| items.split_at(items.len() - n));
    let in_front = (1..=most).rev().map(|n| items.split_at(n));
    behind
        .chain(in_front.map(|(anion, cations)| (cations, anion)))
        .find_map(|(cations, anion)| matched(cations, anion))
}

/// The atoms of the largest anion of the table.
fn most_atoms() -> usize {
    static MOST: LazyLock<usize> = LazyLock::new(|| {
        let size = |ion: &Composition| ion.atoms.iter().map(|(_, n)| *n as usize).sum();
        anions().keys().map(size).max().unwrap_or(0)
    });
    *MOST
}

fn matched(front: &[Item], back: &[Item]) -> Option<Salt> {
    let (anion_items, anion_count) = unwrapped(back);
    let bracketed = anion_items.is_some();
    let anion_items = anion_items.unwrap_or(back);
    // `N3` is an ion of three atoms, where `Cl2` is two ions.
    let whole = composition_of(back).is_some_and(|whole| anions().contains_key(&whole));
    let (anion_items, anion_count) = match anion_items {
        // `Cl2`: two chloride ions.
        [single] if !whole && !bracketed && matches!(single.unit, FormulaUnit::Atom(_)) => (
            vec![Item {
                unit: single.unit.clone(),
                count: Count::ONE,
            }],
            single.count,
        ),
        items => (items.to_vec(), anion_count),
    };
    let complex = matches!(
        back,
        [Item {
            unit: FormulaUnit::Group('[', _),
            ..
        }]
    );
    let composition = composition_of(&anion_items)?;
    let known = anions().get(&composition).map_or(&[][..], Vec::as_slice);
    if known.is_empty() && !complex {
        return None;
    }
    let places = cation_places(front).unwrap_or_default();
    for charges in choices(&places) {
        let total: i64 = charges
            .iter()
            .map(|(n, c)| c.charge() * n.numerator() as i64)
            .sum();
        let count = anion_count.numerator() as i64;
        let fits = |anion: &&Species| anion.charge() * count == -total;
        let anion = match known.iter().find(fits) {
            Some(anion) => anion.clone(),
            None if complex && total % count == 0 => complex_ion(back, -total / count)?,
            None => continue,
        };
        return Some(salt_of(&charges, anion, anion_count));
    }
    // `[Cu(NH3)4]SO4`: the complex is the cation, and the anion's charge tells its own.
    let [
        Item {
            unit: FormulaUnit::Group('[', _),
            count,
        },
    ] = front
    else {
        return None;
    };
    let anion = known.first()?.clone();
    let total = -anion.charge() * anion_count.numerator() as i64;
    let cation = (total % count.numerator() as i64 == 0)
        .then(|| complex_ion(front, total / count.numerator() as i64))??;
    Some(salt_of(&[(*count, &cation)], anion, anion_count))
}

fn salt_of(cations: &[(Count, &Species)], anion: Species, anion_count: Count) -> Salt {
    let mut salt = Salt::default();
    for (count, cation) in cations {
        salt.add(exact(*count), cation.with_phase(Some(Phase::Aqueous)));
        if !salt.cations.contains(cation) {
            salt.cations.push((*cation).clone());
        }
    }
    salt.add(exact(anion_count), anion.with_phase(Some(Phase::Aqueous)));
    salt.anions.push(anion);
    salt
}

/// The inside and count of a lone bracketed group.
fn unwrapped(items: &[Item]) -> (Option<&[Item]>, Count) {
    match items {
        [
            Item {
                unit: FormulaUnit::Group(_, inner),
                count,
            },
        ] => (Some(inner), *count),
        _ => (None, Count::ONE),
    }
}

fn complex_ion(items: &[Item], charge: i64) -> Option<Species> {
    let item = Item {
        count: Count::ONE,
        ..items.first()?.clone()
    };
    let part = Part {
        multiplier: Count::ONE,
        items: vec![item],
    };
    Species::new(Formula { parts: vec![part] }, charge, None)
}

/// So many of one cation, with the charges that the table knows of it.
type CationPlace = (Count, Vec<Species>);

/// The items as cations of the table; `None` if they are something else.
fn cation_places(items: &[Item]) -> Option<Vec<CationPlace>> {
    let mut places = Vec::new();
    let mut rest = items;
    while let Some(first) = rest.first() {
        let (candidates, used) = match (&first.unit, rest) {
            (FormulaUnit::Atom(n), [_, second, ..])
                if n.symbol() == "N" && first.count == Count::ONE && is_h4(second) =>
            {
                (vec![ion_bare("NH4^+")], 2)
            }
            // `Hg2` is an ion of two atoms; every other atom is an ion of its own.
            (FormulaUnit::Atom(_), _) => {
                let single = Item {
                    unit: first.unit.clone(),
                    count: Count::ONE,
                };
                let own = composition_of(std::slice::from_ref(&single))?;
                (cations().get(&own)?.clone(), 1)
            }
            (FormulaUnit::Group(_, inner), _) => {
                (cations().get(&composition_of(inner)?)?.clone(), 1)
            }
        };
        if first.count.denominator() != 1 {
            return None;
        }
        places.push((first.count, candidates));
        rest = &rest[used..];
    }
    Some(places)
}

/// The most ways to choose charges that are tried: eight metals with two charges each.
const MOST_CHOICES: usize = 256;

/// Every way to choose a charge for each cation, in the order of the table with the last place changing first; none if there
/// are no places, or more than [`MOST_CHOICES`] ways.
fn choices(places: &[CationPlace]) -> impl Iterator<Item = Vec<(Count, &Species)>> {
    let ways = places.iter().try_fold(1, |all: usize, (_, charges)| {
        let all = all * charges.len();
        (all <= MOST_CHOICES).then_some(all)
    });
    let ways = ways.filter(|_| !places.is_empty()).unwrap_or(0);
    (0..ways).map(|way| {
        let mut rest = way;
        let mut chosen: Vec<(Count, &Species)> = Vec::with_capacity(places.len());
        for (count, charges) in places.iter().rev() {
            chosen.push((*count, &charges[rest % charges.len()]));
            rest /= charges.len();
        }
        chosen.reverse();
        chosen
    })
}

fn is_h4(item: &Item) -> bool {
    matches!(&item.unit, FormulaUnit::Atom(e) if e.symbol() == "H")
        && item.count == Count::new(4, 1).unwrap_or(Count::ONE)
}

fn composition_of(items: &[Item]) -> Option<Composition> {
    let part = Part {
        multiplier: Count::ONE,
        items: items.to_vec(),
    };
    Formula { parts: vec![part] }.composition()
}

fn is_water(part: &Part) -> bool {
    let own = Formula {
        parts: vec![Part {
            multiplier: Count::ONE,
            items: part.items.clone(),
        }],
    };
    own.composition().as_ref() == Some(water().composition())
}

fn exact(count: Count) -> Exact {
    Exact::ratio(count.numerator() as i64, count.denominator() as i64)
}

fn water() -> Species {
    static WATER: LazyLock<Species> =
        LazyLock::new(|| ion_bare("H2O").with_phase(Some(Phase::Liquid)));
    WATER.clone()
}

fn ion(text: &str) -> Species {
    ion_bare(text).with_phase(Some(Phase::Aqueous))
}

fn ion_bare(text: &str) -> Species {
    Species::parse(text)
        .expect("the species of the tables and of this file can be read; a test reads them all")
}

type ByComposition = FxHashMap<Composition, Vec<Species>>;

fn cations() -> &'static ByComposition {
    static CATIONS: LazyLock<ByComposition> = LazyLock::new(|| ions_where(|charge| charge > 0));
    &CATIONS
}

fn anions() -> &'static ByComposition {
    static ANIONS: LazyLock<ByComposition> = LazyLock::new(|| ions_where(|charge| charge < 0));
    &ANIONS
}

fn ions_where(wanted: impl Fn(i64) -> bool) -> ByComposition {
    let mut all = ByComposition::default();
    for row in IONS.rows() {
        let Ok(species) = Species::parse(row.cell("ion")) else {
            continue;
        };
        if wanted(species.charge()) {
            all.entry(species.composition().clone())
                .or_default()
                .push(species);
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ions(text: &str) -> String {
        match in_water(&Species::parse(text).unwrap()) {
            Form::Ions(ions) => {
                let all: Vec<String> = ions
                    .iter()
                    .map(|(n, s)| format!("{n} {}", s.key()))
                    .collect();
                all.join(" + ")
            }
            other => format!("{other:?}"),
        }
    }

    /// OpenStax Chemistry 2e, tables 4.1 and 4.2, for what dissolves and which acids are strong.
    #[test]
    fn electrolytes_come_apart_as_the_textbook_says() {
        for (text, expected) in [
            ("KOH", "1 K^+ + 1 OH^-"),
            ("H2SO4", "2 H^+ + 1 SO4^2-"),
            ("HSO4^-", "1 H^+ + 1 SO4^2-"),
            ("KHSO4", "1 K^+ + 1 H^+ + 1 SO4^2-"),
            ("KAl(SO4)2·12H2O", "1 K^+ + 1 Al^3+ + 2 SO4^2- + 12 H2O"),
            (
                "(NH4)2Fe(SO4)2·6H2O",
                "2 NH4^+ + 1 Fe^2+ + 2 SO4^2- + 6 H2O",
            ),
            ("NH4Fe(SO4)2·12H2O", "1 NH4^+ + 1 Fe^3+ + 2 SO4^2- + 12 H2O"),
            ("K4[Fe(CN)6]", "4 K^+ + 1 [Fe(CN)6]^4-"),
            ("K[Al(OH)4]", "1 K^+ + 1 [Al(OH)4]^-"),
            ("[Cu(NH3)4]SO4", "1 [Cu(NH3)4]^2+ + 1 SO4^2-"),
            ("CH3COONa", "1 Na^+ + 1 CH3COO^-"),
            ("Pb(CH3COO)2", "1 Pb^2+ + 2 CH3COO^-"),
            ("NH4NO3", "1 NH4^+ + 1 NO3^-"),
            ("NaHCO3", "1 Na^+ + 1 HCO3^-"),
            ("FeCl3", "1 Fe^3+ + 3 Cl^-"),
            ("Na2S2O3·5H2O", "2 Na^+ + 1 S2O3^2- + 5 H2O"),
            ("KMnO4", "1 K^+ + 1 MnO4^-"),
            ("AgCl", "Solid"),
            ("BaSO4", "Solid"),
            ("Mg(OH)2", "Solid"),
            ("CuCO3", "Solid"),
            ("Cu2(OH)2CO3", "Solid"),
            ("Fe2O3", "Solid"),
            ("Al", "Solid"),
            ("CH3COOH", "Molecule"),
            ("H2O2", "Molecule"),
            ("H2", "Gas"),
            ("H2O", "Liquid"),
        ] {
            assert_eq!(ions(text), expected, "{text}");
        }
    }

    /// Nine irons have more ways to choose their charges than are tried.
    #[test]
    fn so_many_metals_are_no_salt_that_can_be_told() {
        let irons = |n| Species::parse(&format!("{}Cl20", "Fe".repeat(n))).unwrap();
        let eight = dissociate(&irons(8)).unwrap();
        let iron = |charge| {
            let found = eight.iter().find(|(_, ion)| ion.charge() == charge);
            found.map(|(n, _)| n.clone())
        };
        assert_eq!(
            (iron(2), iron(3)),
            (Some(Exact::from(4)), Some(Exact::from(4)))
        );
        assert_eq!(dissociate(&irons(9)), None);
    }
}
