//! `aludel batch`: one equation a line in, one JSON object a line out, in the same order, in constant memory, on all
//! cores.

use std::io::{self, BufRead, BufReader, IsTerminal};
use std::thread;

use super::arguments::Batch;
use super::{Doors, Status, input, refuse_unread};
use crate::shell::{Summary, run_batch};

pub(super) fn batch(asked: &Batch, doors: &mut Doors<'_>) -> io::Result<Status> {
    let threads = thread::available_parallelism().map_or(1, usize::from);
    let summary = match &asked.file {
        None => answer(&mut *doors.input, threads, doors.output, doors.messages)?,
        Some(file) => match input::open(file) {
            Ok(opened) => {
                let mut from = BufReader::with_capacity(1 << 16, opened);
                answer(&mut from, threads, doors.output, doors.messages)?
            }
            Err(message) => return refuse_unread(&message, doors),
        },
    };
    writeln!(
        doors.messages,
        "{} lines: {} balanced, {} refused",
        summary.lines, summary.balanced, summary.refused
    )?;
    Ok(Status::Well)
}

/// Shows how far it is where somebody watches the messages.
fn answer(
    from: &mut dyn BufRead,
    threads: usize,
    to: &mut dyn io::Write,
    messages: &mut dyn io::Write,
) -> io::Result<Summary> {
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    let watched = io::stderr().is_terminal();
    let mut told = |summary: &Summary| {
        if watched {
            // Progress is a comfort: if it cannot be shown, the answers still count.
            let _ = write!(
                messages,
                "\r{} lines, {} refused ",
                summary.lines, summary.refused
            );
            let _ = messages.flush();
        }
    };
    let summary = run_batch(from, to, threads, &mut told)?;
    if watched {
        write!(messages, "\r\x1b[K")?;
    }
    Ok(summary)
}
