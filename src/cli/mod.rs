//! The command line: arguments in, exit status out.
//!
//! Promises: results go to the output, messages to the messages; a pipe that closes early ends the program quietly, with
//! the status that is certain by then; the status is 0 if all is well, 1 if the chemistry says no, 2 if the input is wrong.
//!
//! Does no chemistry: each command reads its arguments, calls the library and prints what comes back.

mod arguments;
mod balance;
mod batch;
mod data;
mod fmt;
mod heat;
mod input;
mod mass;
mod output;
mod route;
mod scale;
mod solution;
mod substance;
mod waiting;

pub use crate::shell::{Doors, Status};
pub use arguments::{Arguments, Command};

use std::ffi::OsString;
use std::io;

use clap::Parser;

use crate::diagnostic::Message;
use crate::shell;
use crate::text::Source;

/// Runs one command line; the first of `arguments` is the name of the program.
pub fn run<I, A>(arguments: I, doors: &mut Doors<'_>) -> Status
where
    I: IntoIterator<Item = A>,
    A: Into<OsString> + Clone,
{
    let ended = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => carry_out(&arguments, doors),
        Err(usage) => explain(&usage, doors),
    };
    let flushed = ended.and_then(|status| doors.output.flush().map(|()| status));
    match flushed {
        Ok(status) => status,
        Err(fault) if fault.kind() == io::ErrorKind::BrokenPipe => doors.known,
        Err(fault) => {
            // If messages cannot be written either, the status is all that is left to say.
            let _ = writeln!(
                doors.messages,
                "error: the answer cannot be written: {fault}"
            );
            Status::Wrong
        }
    }
}

fn carry_out(arguments: &Arguments, doors: &mut Doors<'_>) -> io::Result<Status> {
    match &arguments.command {
        Some(Command::Balance(asked)) => balance::balance(asked, doors),
        Some(Command::Batch(asked)) => batch::batch(asked, doors),
        Some(Command::Heat(asked)) => heat::heat(asked, doors),
        Some(Command::Substance(asked)) => substance::substance(asked, doors),
        Some(Command::Mass(asked)) => mass::mass(asked, doors),
        Some(Command::Fmt(asked)) => fmt::fmt(asked, doors),
        None => shell::talk(doors),
        Some(Command::Check(asked)) => route::check(asked, doors),
        Some(Command::Run(asked)) => route::run(asked, doors),
        Some(Command::Scale(asked)) => scale::scale(asked, doors),
        Some(Command::Solution(asked)) => solution::solution(asked, doors),
    }
}

/// Help, version and mistakes in the arguments.
fn explain(usage: &clap::Error, doors: &mut Doors<'_>) -> io::Result<Status> {
    let text = usage.render();
    if usage.use_stderr() {
        doors.know(Status::Wrong);
        if doors.colour {
            write!(doors.messages, "{}", text.ansi())?;
        } else {
            write!(doors.messages, "{text}")?;
        }
        return Ok(Status::Wrong);
    }
    write!(doors.output, "{text}")?;
    Ok(Status::Well)
}

/// Ends a command whose input is wrong.
fn refuse(message: &Message, source: &Source, doors: &mut Doors<'_>) -> io::Result<Status> {
    let status = doors.know(Status::Wrong);
    doors.tell(message, source)?;
    Ok(status)
}

/// Ends a command whose input could not even be read.
fn refuse_unread(message: &Message, doors: &mut Doors<'_>) -> io::Result<Status> {
    refuse(message, &Source::new("", ""), doors)
}
