//! Elements, formulas and species: read from text, counted, weighed, printed.
//!
//! Promises: composition is exact (checked 64-bit counts over one common divisor); printing then reading gives the
//! same species in every [`Notation`].
//!
//! Knows nothing of amounts, reactions or data beyond the standard atomic weights.

mod element;
mod explain;
mod fault;
mod formula;
mod print;
mod read;
mod species;

pub use element::Element;
pub use explain::{explain, small_letter};
pub use fault::{Bracket, FormulaFault, FormulaFaultKind};
pub use formula::{Composition, Count, Formula, FormulaUnit, Item, Part};
pub use print::Notation;
pub(crate) use read::overlong;
pub use read::{expected_words, parse_species, read_species};
pub use species::{Phase, Species};
