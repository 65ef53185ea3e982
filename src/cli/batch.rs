//! `aludel batch`: one equation a line in, one JSON object a line out, in the same order, in constant memory, on all
//! cores.

use std::io::{self, BufRead, BufReader, IsTerminal};
use std::thread;

use indicatif::{ProgressBar, ProgressStyle};

use super::arguments::Batch;
use super::{Doors, Status, input, refuse_unread};
use crate::shell::{Summary, run_batch};

pub(super) fn batch(asked: &Batch, doors: &mut Doors<'_>) -> io::Result<Status> {
    let summary = match &asked.file {
        None => answer(&mut *doors.input, &bar(None), doors.output)?,
        Some(file) => match input::open(file) {
            Ok(opened) => {
                let length = opened.metadata().ok().map(|known| known.len());
                let bar = bar(length);
                let mut from = BufReader::with_capacity(1 << 16, bar.wrap_read(opened));
                answer(&mut from, &bar, doors.output)?
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

/// How far it is, on the messages, where somebody watches them and the answers go elsewhere; of a file also how much is
/// left.
fn bar(length: Option<u64>) -> ProgressBar {
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    let watched = io::stderr().is_terminal() && !io::stdout().is_terminal();
    if !watched {
        return ProgressBar::hidden();
    }
    let (bar, looks) = match length.filter(|bytes| *bytes > 0) {
        Some(bytes) => (
            ProgressBar::new(bytes),
            "{wide_bar} {percent:>3} % {msg}, {eta} left",
        ),
        None => (ProgressBar::new_spinner(), "{spinner} {msg} in {elapsed}"),
    };
    match ProgressStyle::with_template(looks) {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}

fn answer(
    from: &mut dyn BufRead,
    bar: &ProgressBar,
    to: &mut dyn io::Write,
) -> io::Result<Summary> {
    let threads = thread::available_parallelism().map_or(1, usize::from);
    let mut told = |summary: &Summary| {
        bar.set_message(format!(
            "{} lines, {} refused",
            summary.lines, summary.refused
        ));
        bar.tick();
    };
    let summary = run_batch(from, to, threads, &mut told);
    bar.finish_and_clear();
    summary
}
