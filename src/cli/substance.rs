//! `aludel substance`

use std::io;

use super::arguments::OneFormula;
use super::mass::formula;
use super::{Doors, Status, input, refuse, refuse_unread};
use crate::data::Store;
use crate::report;

pub(super) fn substance(asked: &OneFormula, doors: &mut Doors<'_>) -> io::Result<Status> {
    let source = match input::argument("formula", &asked.formula, doors.input) {
        Ok(source) => source,
        Err(message) => return refuse_unread(&message, doors),
    };
    match formula(&source) {
        Ok(species) => {
            write!(
                doors.output,
                "{}",
                report::substance(&species, &Store::default())
            )?;
            Ok(Status::Well)
        }
        Err(message) => refuse(&message, &source, doors),
    }
}
