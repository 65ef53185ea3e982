//! What is left into the usual practice for small amounts of waste, ion by ion.
//!
//! Local rules go first: every answer carries that sentence.

use std::fmt;
use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use crate::data::Row;
use crate::equation::identity;
use crate::equation::ionic::dissociate;
use crate::matter::{Element, Species};

use super::mixture::harmless;
use super::tables::DISPOSAL;

/// A row of usual practice.
#[derive(Clone, Copy)]
pub struct Disposal {
    row: Row,
}

impl PartialEq for Disposal {
    fn eq(&self, other: &Self) -> bool {
        self.row.number() == other.row.number()
    }
}

impl fmt::Debug for Disposal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Disposal").field(&self.waste()).finish()
    }
}

impl Disposal {
    /// What kind of waste: `copper`, `hydrogen peroxide`.
    pub fn waste(self) -> &'static str {
        self.row.cell("waste")
    }

    /// What to do with it.
    pub fn treatment(self) -> &'static str {
        self.row.cell("treatment")
    }

    /// The pH to bring it to, as a range or in words.
    pub fn target_ph(self) -> Option<&'static str> {
        self.row.filled("target_ph")
    }

    /// Where it is collected.
    pub fn collect_as(self) -> &'static str {
        self.row.cell("collect_as")
    }

    /// What must not come to it.
    pub fn never_with(self) -> Option<&'static str> {
        self.row.filled("never_with")
    }

    /// What goes before this row: local rules.
    pub fn defer(self) -> &'static str {
        self.row.cell("defer")
    }

    /// Where the row comes from.
    pub fn source(self) -> &'static str {
        self.row.cell("source")
    }
}

/// The row for a strong acid or base that is dilute by now: below 1 mol/L (T59 of the rules of thumb). `None` for any other
/// species.
pub fn disposal_of_dilute(species: &Species) -> Option<Disposal> {
    let plain = ["H^+", "H3O^+", "OH^-"].contains(&species.key());
    // Acetic acid stands for what is weak from the beginning.
    let weak = || {
        DISPOSAL
            .rows()
            .find(|row| listed(*row, "species").any(|key| key == "CH3COOH"))
    };
    plain.then(weak).flatten().map(|row| Disposal { row })
}

/// The rows for a species: for itself, for the ions it is made of, else for an element in it. None found does not make
/// it harmless; water, and the ions of common salt and of Glauber's, Epsom's and other harmless salts, have none.
///
/// ```
/// use aludel::{hazard::disposal, matter::Species};
/// let copper = disposal(&Species::parse("CuSO4·5H2O").unwrap());
/// assert_eq!(copper[0].waste(), "copper");
/// ```
pub fn disposal(species: &Species) -> Vec<Disposal> {
    static BY_FORMULA: LazyLock<FxHashMap<&str, Row>> = LazyLock::new(|| {
        let rows = DISPOSAL.rows();
        rows.flat_map(|row| listed(row, "species").map(move |key| (key, row)))
            .collect()
    });
    let row = |key: &str| BY_FORMULA.get(key).map(|row| Disposal { row: *row });
    let own = row(species.key()).or_else(|| row(identity(species).key()));
    if let Some(own) = own {
        return vec![own];
    }
    let ions = dissociate(&species.with_phase(None)).unwrap_or_default();
    let mut found: Vec<Disposal> = Vec::new();
    for one in ions.iter().filter_map(|(_, ion)| row(ion.key())) {
        if !found.contains(&one) {
            found.push(one);
        }
    }
    if found.is_empty() {
        found.extend(by_element(species));
    }
    found
}

/// Whether nothing speaks against a species in waste: water, and what is made of harmless ions alone.
///
/// ```
/// use aludel::{hazard::is_harmless_waste, matter::Species};
/// let harmless = |text| is_harmless_waste(&Species::parse(text).unwrap());
/// assert!(harmless("NaCl") && harmless("SO4^2-(aq)") && !harmless("Br^-(aq)") && !harmless("C7H8"));
/// ```
pub fn is_harmless_waste(species: &Species) -> bool {
    let ions = dissociate(&species.with_phase(None)).unwrap_or_default();
    harmless(species) || !ions.is_empty() && ions.iter().all(|(_, ion)| harmless(ion))
}

fn by_element(species: &Species) -> Option<Disposal> {
    let holds =
        |symbol| Element::of_symbol(symbol).is_some_and(|element| species.contains(element));
    let mut rows = DISPOSAL.rows();
    let row = rows.find(|row| listed(*row, "elements").any(holds))?;
    Some(Disposal { row })
}

fn listed(row: Row, column: &str) -> impl Iterator<Item = &'static str> + use<> {
    row.cell(column)
        .split(';')
        .filter(|entry| !entry.is_empty())
}
