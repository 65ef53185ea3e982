//! `--data FILE`: a user's own substances on top of the embedded tables.

use std::io;
use std::path::Path;

use super::route::tell_faults;
use super::{Doors, Status, input, refuse_unread};
use crate::data::Store;
use crate::diagnostic::Message;
use crate::route::syntax::Statement;
use crate::route::{self, parse};

/// The embedded tables, with what a file of `substance` statements adds or overrides.
pub(super) fn store(
    file: Option<&Path>,
    doors: &mut Doors<'_>,
) -> io::Result<Result<Store, Status>> {
    let Some(file) = file else {
        return Ok(Ok(Store::default()));
    };
    let source = match input::file(file, doors.input) {
        Ok(source) => source,
        Err(message) => return refuse_unread(&message, doors).map(Err),
    };
    let (tree, _) = parse::parse(&source);
    let stray = tree.statements.iter().filter(|one| {
        let data = matches!(one.node, Statement::Substance { .. });
        !data
    });
    let stray: Vec<Message> = stray
        .map(|one| {
            Message::error(
                "not-data",
                "a file of data holds `substance` statements alone",
            )
            .at(one.span, "")
            .hint("one a line: substance NaOH(s): dfH -425.9 kJ/mol, source \"label\"")
        })
        .collect();
    if !stray.is_empty() {
        let status = doors.know(Status::Wrong);
        doors.tell_all(&stray, &source)?;
        return Ok(Err(status));
    }
    let (program, faults) = route::prepare(&source, &Store::default(), &[]);
    if !faults.is_empty() {
        return tell_faults(&faults, &source, doors).map(Err);
    }
    let mut store = program.store;
    store.know_inputs(program.inputs);
    Ok(Ok(store))
}
