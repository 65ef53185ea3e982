//! Where a command reads and writes, and with what it ends.

use std::io::{self, BufRead, Write};
use std::process::ExitCode;

use crate::diagnostic::{Message, draw, draw_all};
use crate::text::Source;

/// How a command ended.
#[derive(Clone, Copy, Debug, Default, Eq, Ord, PartialEq, PartialOrd)]
pub enum Status {
    /// All well.
    #[default]
    Well = 0,
    /// The chemistry says no: an equation has no balance, an expectation is not met.
    No = 1,
    /// The input is wrong: syntax, units, unknown names, missing files.
    Wrong = 2,
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> ExitCode {
        ExitCode::from(status as u8)
    }
}

/// Standard input, output and error, or what stands in for them in a test.
pub struct Doors<'d> {
    /// Standard input.
    pub input: &'d mut dyn BufRead,
    /// Results.
    pub output: &'d mut dyn Write,
    /// Messages.
    pub messages: &'d mut dyn Write,
    /// Whether somebody types at a terminal and reads the answers there.
    pub at_terminal: bool,
    /// Whether messages may be coloured.
    pub colour: bool,
    /// The worst that is certain so far: the status of a command whose reader goes away before its end.
    pub known: Status,
}

impl Doors<'_> {
    /// Notes what is certain before it is written: then it holds also where nobody reads it any more.
    pub fn know(&mut self, status: Status) -> Status {
        self.known = self.known.max(status);
        status
    }

    /// Writes a message about `source`.
    pub fn tell(&mut self, message: &Message, source: &Source) -> io::Result<()> {
        // What was written so far comes first, also where both end in one terminal.
        self.output.flush()?;
        write!(self.messages, "{}", draw(message, source, self.colour))
    }

    /// Writes messages about `source` in the order of their places.
    pub fn tell_all(&mut self, messages: &[Message], source: &Source) -> io::Result<()> {
        self.output.flush()?;
        write!(self.messages, "{}", draw_all(messages, source, self.colour))
    }
}
