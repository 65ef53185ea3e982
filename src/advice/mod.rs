//! What can hurt somebody, what protects against it, what is usual with the waste and what belongs on a label: found in a
//! ledger by the safety tables.
//!
//! Promises: a substance that the tables do not know is found as such, never left out; every finding knows its source;
//! cautions stand in order of severity.
//!
//! Facts in the ledger's terms and units: no wording, no rounding.

mod apart;
mod caution;
mod course;
mod gas;
mod label;
mod protection;
mod statement;
mod trace;
mod waste;

use std::collections::BTreeSet;

use crate::route::ledger::Ledger;

pub use apart::Neighbours;
pub use caution::{About, Caution, Kind, Met, at_operation, cautions};
pub use course::RunawayCourse;
pub use gas::{Buoyancy, ReleasedGas};
pub use label::{Label, Strength, label};
pub use protection::{
    Protection, SpecialMeasure, Statement, UnknownHazard, WithoutStatement, protections,
    without_statement,
};
pub use statement::{ClassifiedContents, Portion, ReadAs, component, of_vessel};
pub use trace::parted;
pub use waste::{Waste, waste};

/// Where the cautions and the waste practice of a ledger come from.
pub fn sources(ledger: &Ledger) -> BTreeSet<&'static str> {
    let cautions = cautions(ledger);
    let cautions = cautions.iter().flat_map(Caution::sources);
    let waste = waste(ledger).practices;
    let practices = waste.iter().map(|(one, _)| one.source());
    cautions.chain(practices).collect()
}
