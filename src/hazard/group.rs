//! Species into the groups of substances that behave alike.
//!
//! A vessel holds ions where a label names a salt: an ion belongs to the groups of every salt that brings it, an acid is
//! there when all its ions are. The bounds of strength of a group are its own: its holders do not take them over. What a species belongs to does not depend on its amount and is remembered.
//!
//! Knows nothing of strengths, which [`super::mix`] adds, and nothing of what a meeting of two groups leads to.

use std::sync::{LazyLock, PoisonError, RwLock};

use rustc_hash::FxHashMap;

use crate::data::{Row, formula_spelled};
use crate::equation::identity;
use crate::equation::ionic::{Form, dissociate, in_water};
use crate::matter::{Element, Phase, Species};

use super::caution::without_water;
use super::tables::GROUPS;

/// Number of a group in the order of the table.
pub(super) type GroupId = usize;

/// How many groups a set can hold.
const MOST: usize = 192;

/// A set of groups.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub(super) struct Groups([u64; MOST / 64]);

impl Groups {
    pub(super) fn insert(&mut self, group: GroupId) {
        self.0[group / 64] |= 1 << (group % 64);
    }

    pub(super) fn contains(self, group: GroupId) -> bool {
        self.0[group / 64] & (1 << (group % 64)) != 0
    }

    pub(super) fn extend(&mut self, others: Groups) {
        for (word, other) in self.0.iter_mut().zip(others.0) {
            *word |= other;
        }
    }

    pub(super) fn iter(self) -> impl Iterator<Item = GroupId> {
        let words = self.0.into_iter().enumerate();
        words.flat_map(|(at, word)| {
            let bits = std::iter::successors(Some(word), |rest| {
                rest.checked_sub(1).map(|less| rest & less)
            });
            bits.take_while(|rest| *rest != 0)
                .map(move |rest| at * 64 + rest.trailing_zeros() as usize)
        })
    }
}

/// A strong acid of some groups, as the ions it is in water.
pub(super) struct Acid {
    pub(super) key: &'static str,
    pub(super) groups: Groups,
    pub(super) anion: Species,
    /// Hydrogen ions that go with one anion.
    pub(super) hydrogens: f64,
    /// In g for each mole of anion.
    pub(super) grams: f64,
}

/// The table made ready for asking.
pub(super) struct Book {
    ids: FxHashMap<&'static str, GroupId>,
    names: Vec<&'static str>,
    short_names: Vec<&'static str>,
    /// The groups that hold a group, itself included.
    holders: Vec<Groups>,
    /// How many kinds of substance a group names, with those of its members.
    breadth: Vec<usize>,
    /// Per cent by mass from which, and below which, a group counts.
    bounds: Vec<(f64, f64)>,
    formulas: FxHashMap<&'static str, Groups>,
    anhydrous: FxHashMap<&'static str, Groups>,
    anions: FxHashMap<&'static str, Groups>,
    cations: FxHashMap<&'static str, Groups>,
    elements: Vec<(Element, Groups)>,
    ligands: Vec<(&'static str, Groups)>,
    organic: Groups,
    /// The circumstance of being heated.
    pub(super) heat: GroupId,
    /// Circumstances that hold for every vessel.
    pub(super) always: Groups,
    /// The circumstance of a closed vessel.
    pub(super) closed_vessel: Groups,
    /// The circumstance that gas is made.
    pub(super) gas_maker: Groups,
    /// The circumstances of a liquid that is boiled.
    pub(super) boiling: Groups,
    pub(super) acids: Vec<Acid>,
}

/// The book of groups, made when it is first asked.
pub(super) fn book() -> &'static Book {
    static BOOK: LazyLock<Book> = LazyLock::new(Book::read);
    &BOOK
}

/// Whether a vessel of a route can be in the circumstance that a group names.
pub fn can_hold(group: &str) -> bool {
    book().id(group).is_some_and(|group| book().can_hold(group))
}

impl Book {
    fn read() -> Book {
        let rows: Vec<Row> = GROUPS.rows().take(MOST).collect();
        let key = |row: &Row| row.cell("group_id");
        let ids: FxHashMap<_, _> = rows.iter().map(key).zip(0..).collect();
        let mut book = Book {
            names: rows.iter().map(|row| row.cell("name")).collect(),
            short_names: rows.iter().map(|row| row.cell("short_name")).collect(),
            holders: holders(&rows, &ids),
            breadth: Vec::new(),
            bounds: rows.iter().map(bounds).collect(),
            heat: ids.get("heat").copied().unwrap_or(MOST),
            ids,
            formulas: FxHashMap::default(),
            anhydrous: FxHashMap::default(),
            anions: FxHashMap::default(),
            cations: FxHashMap::default(),
            elements: Vec::new(),
            ligands: Vec::new(),
            organic: Groups::default(),
            always: Groups::default(),
            closed_vessel: Groups::default(),
            gas_maker: Groups::default(),
            boiling: Groups::default(),
            acids: Vec::new(),
        };
        for (id, row) in rows.iter().enumerate() {
            book.take_in(id, row);
        }
        book.breadth = book.breadths(&rows);
        book
    }

    fn take_in(&mut self, id: GroupId, row: &Row) {
        let holders = self.holders[id];
        for pattern in patterns(row) {
            let map = match row.cell("match_kind") {
                "acid" => {
                    self.take_in_acid(pattern, holders);
                    &mut self.formulas
                }
                "formula" | "free_element" | "organic" => &mut self.formulas,
                "anhydrous" => &mut self.anhydrous,
                "anion" => &mut self.anions,
                "cation" => &mut self.cations,
                kind => {
                    self.take_in_kind(kind, pattern, holders);
                    continue;
                }
            };
            map.entry(pattern).or_default().extend(holders);
            // Whatever is listed for one spelling holds for the substance.
            if let Some(formula) = formula_spelled(pattern) {
                map.entry(formula).or_default().extend(holders);
            }
        }
        match (row.cell("match_kind"), row.cell("group_id")) {
            ("organic", _) => self.organic = holders,
            ("condition", "closed_vessel") => self.closed_vessel = holders,
            ("condition", "any_gas_maker") => self.gas_maker = holders,
            ("condition", "hot_saturated_solution" | "late_boiling_stone") => {
                self.boiling.extend(holders);
            }
            // No route says that a vessel stands in the dark, or that it is not of glass.
            ("condition", "heat" | "glass" | "air" | "light") => self.always.extend(holders),
            _ => {}
        }
    }

    fn take_in_kind(&mut self, kind: &str, pattern: &'static str, holders: Groups) {
        match kind {
            "element" => {
                let element = Element::of_symbol(pattern);
                self.elements
                    .extend(element.map(|element| (element, holders)));
            }
            "ligand" => self.ligands.push((pattern, holders)),
            _ => {}
        }
    }

    /// A strong acid is there as its ions too.
    fn take_in_acid(&mut self, key: &'static str, holders: Groups) {
        match self.acids.iter_mut().find(|acid| acid.key == key) {
            Some(acid) => acid.groups.extend(holders),
            None => self.acids.extend(Acid::of(key, holders)),
        }
    }

    fn breadths(&self, rows: &[Row]) -> Vec<usize> {
        // A pattern for an ion stands for many salts: a dozen is meant, the order alone matters.
        let each = |row: &Row| match row.cell("match_kind") {
            "formula" | "anhydrous" | "free_element" | "acid" => 1,
            _ => 12,
        };
        let own: Vec<usize> = rows
            .iter()
            .map(|row| patterns(row).count() * each(row))
            .collect();
        let within = |group| {
            let held = (0..own.len()).filter(|id| self.holders[*id].contains(group));
            held.map(|id| own[id]).sum()
        };
        (0..rows.len()).map(within).collect()
    }

    /// Whether some circumstance of a vessel brings a group.
    pub(super) fn can_hold(&self, group: GroupId) -> bool {
        let circumstances = [
            self.always,
            self.closed_vessel,
            self.gas_maker,
            self.boiling,
        ];
        circumstances.iter().any(|groups| groups.contains(group))
    }

    pub(super) fn id(&self, name: &str) -> Option<GroupId> {
        self.ids.get(name).copied()
    }

    pub(super) fn name(&self, group: GroupId) -> &'static str {
        self.names[group]
    }

    pub(super) fn short_name(&self, group: GroupId) -> &'static str {
        self.short_names[group]
    }

    pub(super) fn breadth(&self, group: GroupId) -> usize {
        self.breadth[group]
    }

    pub(super) fn bounds(&self, group: GroupId) -> (f64, f64) {
        self.bounds[group]
    }

    /// Every group that a species belongs to by itself.
    pub(super) fn of(&self, species: &Species) -> Groups {
        static KNOWN: LazyLock<RwLock<FxHashMap<Box<str>, Groups>>> =
            LazyLock::new(RwLock::default);
        /// Beyond this many species nothing more is remembered, so that memory stays bounded.
        const REMEMBERED: usize = 4096;
        let known = KNOWN.read().unwrap_or_else(PoisonError::into_inner);
        if let Some(groups) = known.get(species.plain()) {
            return *groups;
        }
        let full = known.len() >= REMEMBERED;
        drop(known);
        let groups = self.look_up(species);
        if !full {
            let mut known = KNOWN.write().unwrap_or_else(PoisonError::into_inner);
            known.insert(species.plain().into(), groups);
        }
        groups
    }

    fn look_up(&self, species: &Species) -> Groups {
        let mut found = Groups::default();
        let mut add = |groups: Option<&Groups>| found.extend(groups.copied().unwrap_or_default());
        let identity = identity(species);
        let (key, salt) = (identity.key(), without_water(identity.key()));
        add(self.formulas.get(key));
        add(self.anhydrous.get(key));
        if salt != key {
            add(self.formulas.get(salt));
        }
        for spelled in [species.plain(), species.key()] {
            if spelled != key {
                add(self.formulas.get(spelled));
            }
        }
        let held = self
            .elements
            .iter()
            .filter(|(element, _)| species.contains(*element));
        held.for_each(|(_, groups)| add(Some(groups)));
        match (species.charge(), dissociate(&species.with_phase(None))) {
            (0, Some(ions)) => ions
                .iter()
                .for_each(|(_, ion)| found.extend(self.of_ion(ion))),
            (0, None) if is_organic(species) => found.extend(self.organic),
            (0, None) => {}
            _ => found.extend(self.of_ion(species)),
        }
        if species.phase() == Some(Phase::Solid) && is_organic_salt(species) {
            found.extend(self.organic);
        }
        found
    }

    fn of_ion(&self, ion: &Species) -> Groups {
        let bare = ion.key().split('^').next().unwrap_or_default();
        if ion.charge() < 0 {
            let unwrapped = bare
                .strip_prefix('[')
                .and_then(|inner| inner.strip_suffix(']'));
            let found = self.anions.get(unwrapped.unwrap_or(bare));
            return found.copied().unwrap_or_default();
        }
        let mut found = Groups::default();
        for name in [bare, ion.key()] {
            found.extend(self.cations.get(name).copied().unwrap_or_default());
        }
        if bare.starts_with('[') {
            for (element, _) in &ion.composition().atoms {
                found.extend(
                    self.cations
                        .get(element.symbol())
                        .copied()
                        .unwrap_or_default(),
                );
            }
            let bound = self
                .ligands
                .iter()
                .filter(|(ligand, _)| bare.contains(ligand));
            bound.for_each(|(_, groups)| found.extend(*groups));
        }
        found
    }
}

impl Acid {
    /// `None` for an acid that stays whole in water.
    fn of(key: &'static str, groups: Groups) -> Option<Acid> {
        let whole = Species::parse(key).ok()?;
        let Form::Ions(ions) = in_water(&whole) else {
            return None;
        };
        let (n, anion) = ions.iter().find(|(_, ion)| ion.charge() < 0)?;
        let (h, _) = ions.iter().find(|(_, ion)| ion.key() == "H^+")?;
        Some(Acid {
            key,
            groups,
            anion: anion.with_phase(None),
            hydrogens: h.to_f64() / n.to_f64(),
            grams: whole.molar_mass().to_f64() / n.to_f64(),
        })
    }
}

fn patterns(row: &Row) -> impl Iterator<Item = &'static str> + use<> {
    row.cell("pattern")
        .split(';')
        .filter(|pattern| !pattern.is_empty())
}

fn bounds(row: &Row) -> (f64, f64) {
    let low = row.float("min_percent").unwrap_or(0.0);
    (low, row.float("max_percent").unwrap_or(f64::INFINITY))
}

/// For each group those that hold it, directly or through others.
fn holders(rows: &[Row], ids: &FxHashMap<&'static str, GroupId>) -> Vec<Groups> {
    let mut all: Vec<Groups> = (0..rows.len())
        .map(|id| {
            let mut own = Groups::default();
            own.insert(id);
            own
        })
        .collect();
    for (holder, row) in rows.iter().enumerate() {
        for member in row
            .cell("member_groups")
            .split(';')
            .filter_map(|name| ids.get(name))
        {
            all[*member].insert(holder);
        }
    }
    // A chain of memberships is shorter than the table.
    loop {
        let wider = |own: &Groups| {
            own.iter().fold(*own, |mut sum, id| {
                sum.extend(all[id]);
                sum
            })
        };
        let next: Vec<Groups> = all.iter().map(wider).collect();
        if next == all {
            return all;
        }
        all = next;
    }
}

fn holds_carbon_and_hydrogen(species: &Species) -> bool {
    let holds = |symbol| Element::of_symbol(symbol).is_some_and(|e| species.contains(e));
    holds("C") && holds("H")
}

/// Carbon with hydrogen in something that is no salt; hydrogen cyanide and carbonic acid do not burn as fuels do.
fn is_organic(species: &Species) -> bool {
    let inorganic = ["HCN", "HSCN", "HNCO", "HOCN", "H2CO3"].contains(&species.key());
    holds_carbon_and_hydrogen(species) && !inorganic && !species.key().starts_with('[')
}

/// A solid salt whose anion is organic: an acetate, a tartrate.
fn is_organic_salt(species: &Species) -> bool {
    let ions = dissociate(&species.with_phase(None)).unwrap_or_default();
    let inorganic = ["HCO3^-", "HCN^-"];
    ions.iter().any(|(_, ion)| {
        ion.charge() < 0 && holds_carbon_and_hydrogen(ion) && !inorganic.contains(&ion.key())
    })
}
