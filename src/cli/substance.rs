//! `aludel substance`

use std::io;

use super::arguments::Substance;
use super::mass::formula;
use super::{Doors, Status, data, input, refuse, refuse_unread};
use crate::report;

pub(super) fn substance(asked: &Substance, doors: &mut Doors<'_>) -> io::Result<Status> {
    let store = match data::store(asked.own.data.as_deref(), doors)? {
        Ok(store) => store,
        Err(status) => return Ok(status),
    };
    let source = match input::argument("formula", &asked.what, doors.input) {
        Ok(source) => source,
        Err(message) => return refuse_unread(&message, doors),
    };
    match formula(&source) {
        Ok(species) => {
            write!(doors.output, "{}", report::substance(&species, &store))?;
            Ok(Status::Well)
        }
        Err(message) => refuse(&message, &source, doors),
    }
}
