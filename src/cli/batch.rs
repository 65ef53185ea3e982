//! `aludel batch`: one equation a line in, one JSON object a line out, in the same order and in constant memory.

use std::io::{self, BufRead, BufReader};

use serde::Serialize;

use super::arguments::Batch;
use super::balance::{Fault, print_json};
use super::{Doors, Status, input, refuse_unread};
use crate::diagnostic::Message;
use crate::report::BalanceJson;
use crate::shell::{Lines, Piped, balanced};

pub(super) fn batch(asked: &Batch, doors: &mut Doors<'_>) -> io::Result<Status> {
    let mut tally = Tally::default();
    match &asked.file {
        None => {
            let Doors {
                input,
                output,
                messages,
                at_terminal,
                colour,
            } = doors;
            let mut nothing: &[u8] = &[];
            let mut out = Doors {
                input: &mut nothing,
                output: *output,
                messages: *messages,
                at_terminal: *at_terminal,
                colour: *colour,
            };
            tally.answer(*input, "standard input", &mut out)
        }
        Some(file) => match input::open(file) {
            Ok(opened) => tally.answer(
                &mut BufReader::new(opened),
                &file.display().to_string(),
                doors,
            ),
            Err(message) => refuse_unread(&message, doors),
        },
    }
}

/// How many lines came to what.
#[derive(Default)]
struct Tally {
    line: u64,
    balanced: u64,
    refused: u64,
}

#[derive(Serialize)]
struct Answered {
    line: u64,
    #[serde(flatten)]
    answer: BalanceJson,
}

#[derive(Serialize)]
struct Refused<'m> {
    line: u64,
    error: Fault<'m>,
}

impl Tally {
    fn answer(
        &mut self,
        from: &mut dyn BufRead,
        name: &str,
        doors: &mut Doors<'_>,
    ) -> io::Result<Status> {
        let mut lines = Piped::new(from);
        while let Some(text) = lines.next("") {
            self.line += 1;
            self.one(&text, doors)?;
        }
        doors.output.flush()?;
        writeln!(
            doors.messages,
            "{} lines: {} balanced, {} refused",
            self.line, self.balanced, self.refused
        )?;
        match lines.fault() {
            None => Ok(Status::Well),
            Some(fault) => refuse_unread(&fault.message(name), doors),
        }
    }

    fn one(&mut self, text: &str, doors: &mut Doors<'_>) -> io::Result<()> {
        let line = self.line;
        let refused: Message = match balanced(text) {
            Ok(found) => {
                self.balanced += 1;
                let answer = BalanceJson::of(&found.balance, &found.skeleton);
                return print_json(&Answered { line, answer }, doors);
            }
            Err((message, _)) => message,
        };
        self.refused += 1;
        print_json(
            &Refused {
                line,
                error: Fault::of(&refused),
            },
            doors,
        )
    }
}
