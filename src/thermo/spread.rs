//! How far a published value may be off: one standard uncertainty for each figure, and the input it counts as.
//!
//! The tables print no uncertainty of their own. Two rules stand in for it:
//!
//! * A row with a newer evaluated value (CODATA, ATcT) beside it: the difference of the two and half the published
//!   uncertainty (k = 2) of the newer one, added in quadrature.
//! * Any other row: by how many decimals are printed, from how far the rows of the first kind lie from their
//!   evaluated values (68 % of 149 enthalpies and entropies; `tests/thermo_spread.rs` recounts that).
//!
//! Values of one network are correlated, and small differences (heats of solution, of hydration) are better known than
//! these figures say: they err on the wide side.

use crate::data::{Figure, Formation, Property};
use crate::number::InputId;

/// Input numbers from here up belong to rows of the tables; those below are the program's.
pub const FIRST_DATUM: u32 = 1 << 31;

/// The input that a value of the tables counts as: the same value in two reactions is one input.
pub fn input(row: Formation, property: Property) -> InputId {
    InputId(FIRST_DATUM + 4 * row.id() + property as u32)
}

/// The row and property behind an input of [`input`]; `None` for an input of the program.
///
/// ```
/// use aludel::{data::{Formation, Property}, thermo};
/// let row = Formation::of("NaCl").next().unwrap();
/// let (found, property) = thermo::datum(thermo::input(row, Property::Entropy)).unwrap();
/// assert_eq!((found.formula(), property), ("NaCl", Property::Entropy));
/// ```
pub fn datum(input: InputId) -> Option<(Formation, Property)> {
    let rest = input.0.checked_sub(FIRST_DATUM)?;
    let property = Property::ALL[(rest % 4) as usize];
    Some((Formation::of_id(rest / 4)?, property))
}

/// One standard uncertainty in the unit of the column, 0 for the elements in their reference states.
pub fn standard_uncertainty(row: Formation, property: Property, figure: Figure) -> f64 {
    let is_energy = matches!(
        property,
        Property::FormationEnthalpy | Property::FormationGibbs
    );
    if is_energy && figure.digits.parse() == Ok(0.0) {
        return 0.0;
    }
    if let Some(known) = against_reference(row, property, figure) {
        return known;
    }
    match (figure.source, is_energy) {
        // 68 % of the 73 organic rows with an ATcT value lie within 0.93 kJ/mol of it.
        ("CRC-thermo", true) => 1.0,
        // Rarely the source of a row; its gas values differ by about 2 kJ/mol from edition to edition.
        ("JANAF1998", true) => 2.0,
        (_, true) => by_decimals(figure.digits, [20.0, 3.1, 0.75, 0.063]),
        (_, false) => by_decimals(figure.digits, [9.0, 0.9, 0.09, 0.009]),
    }
}

fn against_reference(row: Formation, property: Property, figure: Figure) -> Option<f64> {
    let reference = row.reference(property)?;
    let published: f64 = reference.uncertainty.parse().ok()?;
    let newer: f64 = reference.value.digits.parse().ok()?;
    let ours: f64 = figure.digits.parse().ok()?;
    Some(libm::hypot(published / 2.0, ours - newer))
}

fn by_decimals(digits: &str, sizes: [f64; 4]) -> f64 {
    let decimals = digits.split_once('.').map_or(0, |(_, part)| part.len());
    sizes[decimals.min(3)]
}
