//! The prompt: entries in, answers out, until somebody leaves.
//!
//! Promises: an entry that fails changes nothing; a block may go over several lines; what comes through a pipe is read
//! without a line editor, so that none of it is lost; everything here can be tested without a terminal.
//!
//! Knows no chemistry: [`Session`] hands each entry to the room that answers it.

mod batch;
mod doors;
mod draft;
mod editor;
mod entry;
mod equation;
pub mod file;
mod help;
mod lines;
mod script;
mod session;

pub use batch::{LONGEST_LINE, Summary, answer_line, run as run_batch};
pub use doors::{Doors, Status};
pub use draft::Draft;
pub use entry::Entry;
pub use equation::{Balanced, balanced};
pub use lines::{Lines, Piped, Scripted, Unreadable};
pub use session::{Reply, Session, faults_status};

use std::io::{self, Write};

use crate::diagnostic::Message;
use crate::text::{Source, outline};

const PROMPT: &str = "aludel> ";
const MORE: &str = "      … ";

/// The most lines of one block.
const LONGEST_BLOCK: usize = 10_000;

/// Talks with whoever is at the doors: through the line editor at a terminal, line by line through a pipe, or at a
/// terminal that has no use for an editor.
pub fn talk(doors: &mut Doors<'_>) -> io::Result<Status> {
    let at_terminal = doors.at_terminal;
    if at_terminal {
        writeln!(
            doors.output,
            "aludel {}: an equation, a formula, a statement; `help`, Ctrl-D to leave.",
            env!("CARGO_PKG_VERSION")
        )?;
    }
    if let Some(mut editor) = at_terminal.then(editor::Editor::open).flatten() {
        converse(
            &mut editor,
            "prompt",
            &mut Talk::of(doors),
            &mut Status::default(),
        )?;
        // Whoever talks at a prompt has seen each answer: leaving is no failure.
        return Ok(Status::Well);
    }
    let Doors {
        input,
        output,
        messages,
        colour,
        known,
        ..
    } = doors;
    let mut piped = Piped::new(*input);
    let mut talk = Talk {
        output: *output,
        messages: *messages,
        colour: *colour,
        prompts: at_terminal,
    };
    let mut worst = Status::Well;
    let heard = converse(&mut piped, "standard input", &mut talk, &mut worst);
    *known = worst;
    heard?;
    match piped.fault() {
        None if at_terminal => Ok(Status::Well),
        None => Ok(worst),
        Some(fault) => {
            *known = Status::Wrong;
            let message = fault.message("standard input");
            talk.tell(&[message], &Source::new("standard input", ""))?;
            Ok(Status::Wrong)
        }
    }
}

/// The two ways out of a conversation.
pub struct Talk<'t> {
    /// Answers.
    pub output: &'t mut dyn Write,
    /// Messages.
    pub messages: &'t mut dyn Write,
    /// Whether messages may be coloured.
    pub colour: bool,
    /// Whether the prompt is written among the answers, as nobody else shows it.
    pub prompts: bool,
}

impl<'t> Talk<'t> {
    fn of<'d: 't>(doors: &'t mut Doors<'d>) -> Self {
        Talk {
            output: doors.output,
            messages: doors.messages,
            colour: doors.colour,
            prompts: false,
        }
    }

    fn prompt(&mut self, prompt: &str) -> io::Result<()> {
        if self.prompts {
            self.output.write_all(prompt.as_bytes())?;
            self.output.flush()?;
        }
        Ok(())
    }

    fn tell(&mut self, messages: &[Message], source: &Source) -> io::Result<()> {
        self.output.flush()?;
        let drawn = crate::diagnostic::draw_all(messages, source, self.colour);
        self.messages.write_all(drawn.as_bytes())
    }
}

/// Reads entries until the end and answers each; `worst` is the worst status seen, also where the answers have no reader.
pub fn converse(
    lines: &mut dyn Lines,
    name: &str,
    talk: &mut Talk<'_>,
    worst: &mut Status,
) -> io::Result<()> {
    let mut session = Session::new();
    let mut line_number = 1;
    lines.know(&|| session.words());
    while let Some(entry) = next_entry(lines, talk)? {
        let source = Source::new(name, entry).from_line(line_number);
        line_number += source.text().lines().count().max(1);
        let reply = session.enter(source.text());
        *worst = reply.status.max(*worst);
        talk.output.write_all(reply.answer.as_bytes())?;
        if !reply.messages.is_empty() {
            talk.tell(&reply.messages, &source)?;
        }
        talk.output.flush()?;
        if reply.leave {
            break;
        }
        lines.know(&|| session.words());
    }
    Ok(())
}

/// One entry: a line, or as many as it takes to close a block that was opened.
fn next_entry(lines: &mut dyn Lines, talk: &mut Talk<'_>) -> io::Result<Option<String>> {
    talk.prompt(PROMPT)?;
    let Some(mut entry) = lines.next(PROMPT) else {
        return Ok(None);
    };
    let mut open = unfinished(&entry);
    for _ in 0..LONGEST_BLOCK {
        if !open {
            break;
        }
        // The end of the input ends the block as well; the fault is told like any other.
        talk.prompt(MORE)?;
        let Some(more) = lines.next(MORE) else { break };
        entry.push('\n');
        entry += &more;
        // Only a brace can close it: the outline of a long block is not made again for every line.
        open = !more.contains('}') || unfinished(&entry);
    }
    Ok(Some(entry))
}

/// Whether more lines could still make a whole of it.
fn unfinished(entry: &str) -> bool {
    entry.contains('{') && outline(entry).1.iter().any(|fault| fault.is_unfinished())
}
