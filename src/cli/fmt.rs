//! `aludel fmt`

use std::io;
use std::path::Path;

use super::arguments::Fmt;
use super::route::tell_faults;
use super::{Doors, Status, input, output, refuse_unread};
use crate::diagnostic::Message;
use crate::route::{Fault, SyntaxFault};
use crate::text::layout;

pub(super) fn fmt(asked: &Fmt, doors: &mut Doors<'_>) -> io::Result<Status> {
    if asked.write && asked.file == Path::new("-") {
        let message = Message::error("nothing-to-change", "standard input cannot be written to")
            .hint("leave `--write` out: the new text is printed");
        return refuse_unread(&message, doors);
    }
    let source = match input::file(&asked.file, doors.input) {
        Ok(source) => source,
        Err(message) => return refuse_unread(&message, doors),
    };
    let laid = match layout(source.text()) {
        Ok(laid) => laid,
        Err(faults) => {
            let faults = faults.into_iter().map(SyntaxFault::Outline);
            let faults: Vec<Fault> = faults.map(Fault::Syntax).collect();
            return tell_faults(&faults, &source, doors);
        }
    };
    let changed = laid != source.text();
    match (asked.check, asked.write) {
        (true, _) if changed => {
            let status = doors.know(Status::No);
            writeln!(doors.messages, "{}: not laid out", source.name())?;
            return Ok(status);
        }
        (true, _) => {}
        (_, true) if changed => {
            if let Err(message) = output::in_place_of(&asked.file, &source, &laid) {
                return refuse_unread(&message, doors);
            }
        }
        (_, true) => {}
        (false, false) => write!(doors.output, "{laid}")?,
    }
    Ok(Status::Well)
}
