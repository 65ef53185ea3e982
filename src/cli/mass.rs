//! `aludel mass`

use std::io;

use super::arguments::OneFormula;
use super::{Doors, Status, input, refuse, refuse_unread};
use crate::diagnostic::formula_fault;
use crate::matter::Species;
use crate::report;
use crate::text::Source;

pub(super) fn mass(asked: &OneFormula, doors: &mut Doors<'_>) -> io::Result<Status> {
    let source = match input::argument("formula", &asked.formula, doors.input) {
        Ok(source) => source,
        Err(message) => return refuse_unread(&message, doors),
    };
    match formula(&source) {
        Ok(species) => {
            write!(doors.output, "{}", report::mass(&species))?;
            Ok(Status::Well)
        }
        Err(message) => refuse(&message, &source, doors),
    }
}

/// The one species a text holds; blank lines around it do not matter.
pub(super) fn formula(source: &Source) -> Result<Species, crate::diagnostic::Message> {
    let text = source.text();
    let start = text.len() - text.trim_start().len();
    Species::parse(text.trim()).map_err(|fault| formula_fault(&fault).shifted(start))
}
