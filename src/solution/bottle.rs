//! The usual bottles of a substance: what to offer where a strength is missing.

use crate::data::{BOTTLE, Source, Sourced};
use crate::matter::Species;
use crate::number::{Exact, Number, zero_celsius};

use super::model::rows_of;

/// A concentrated or household reagent as it is sold.
#[derive(Clone, Debug, PartialEq)]
pub struct UsualBottle {
    /// As the trade calls it.
    pub name: &'static str,
    /// The mass fraction it usually has: a trade figure, common practice.
    pub mass_fraction: Number,
    /// The usual range of the label.
    pub mass_fractions: (f64, f64),
    /// g/mL with its source; the temperature stands in K beside it.
    pub density: Sourced<Number>,
    /// K
    pub kelvin: Number,
    /// The molarity usually printed, in words; may be empty.
    pub label: &'static str,
}

/// The usual bottles of a substance, the strongest grade of each sort first as the table has them.
///
/// ```
/// use aludel::{matter::Species, solution};
/// let bottles = solution::usual_bottles(&Species::parse("H2O2").unwrap());
/// assert!(bottles.iter().any(|bottle| bottle.name == "hydrogen peroxide 30 %"));
/// ```
pub fn usual_bottles(species: &Species) -> Vec<UsualBottle> {
    let rows = rows_of(&BOTTLE, &species.with_phase(None));
    let exact = |text: &str| Some(Number::exact(Exact::decimal(text).ok()?));
    let read = |row: crate::data::Row| {
        let source = Source::published(row.cell("source"), row.cell("note"));
        let zero = Number::exact(zero_celsius());
        Some(UsualBottle {
            name: row.cell("name"),
            mass_fraction: exact(row.cell("mass_fraction"))?,
            mass_fractions: (
                row.float("mass_fraction_min")?,
                row.float("mass_fraction_max")?,
            ),
            density: Sourced::new(exact(row.cell("density_g_mL"))?, source),
            kelvin: &exact(row.cell("t_C"))? + &zero,
            label: row.cell("label"),
        })
    };
    rows.into_iter().filter_map(read).collect()
}
