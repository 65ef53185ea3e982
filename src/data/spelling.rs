//! Formulas of the tables by other spellings and by the elements they name.

use super::letters::elements_named;
use super::{Encoded, Table};

/// Every formula that a table lists: made by `build.rs`.
static FORMULAS: Table = Table::new(
    "formulas.csv",
    include!(concat!(env!("OUT_DIR"), "/formulas.csv.rs")),
);

/// Every formula that a table lists, by its elements: made by `build.rs`.
static LISTED: Table = Table::new(
    "listed.csv",
    include!(concat!(env!("OUT_DIR"), "/listed.csv.rs")),
);

/// Every other spelling of one: made by `build.rs`.
static SPELLED: Table = Table::new(
    "spelled.csv",
    include!(concat!(env!("OUT_DIR"), "/spelled.csv.rs")),
);

/// The formula that the tables list for another spelling of it, charge included, without phase.
///
/// ```
/// assert_eq!(aludel::data::formula_spelled("HC2H3O2"), Some("CH3COOH"));
/// assert_eq!(aludel::data::formula_spelled("CH3COOH"), None);
/// ```
pub fn formula_spelled(spelling: &str) -> Option<&'static str> {
    let row = SPELLED.find(spelling).next()?;
    Some(row.cell("formula"))
}

/// A formula as the tables list it; its own spelling where they have no other.
///
/// ```
/// assert_eq!(aludel::data::as_listed("(CH3)2CO"), "CH3COCH3");
/// assert_eq!(aludel::data::as_listed("NaCl"), "NaCl");
/// ```
pub fn as_listed(formula: &str) -> &str {
    formula_spelled(formula).unwrap_or(formula)
}

/// Whether a table has a row for a formula as it is spelled.
///
/// ```
/// assert!(aludel::data::is_listed("CH3COOH") && !aludel::data::is_listed("HC2H3O2"));
/// ```
pub fn is_listed(formula: &str) -> bool {
    FORMULAS.find(formula).next().is_some()
}

/// The formulas of the tables that name just the elements of this one.
///
/// ```
/// assert!(aludel::data::formulas_of_same_elements("AlO3H3").any(|listed| listed == "Al(OH)3"));
/// ```
pub fn formulas_of_same_elements(formula: &str) -> impl Iterator<Item = &'static str> {
    let rows: Vec<_> = LISTED.find(&elements_named(formula)).collect();
    rows.into_iter().map(|row| row.cell("formula"))
}
