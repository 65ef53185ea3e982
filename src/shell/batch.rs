//! Many equations, one a line, into one JSON object a line in the same order.
//!
//! Promises: memory does not grow with the number of lines; a line that cannot be answered is an object with an error,
//! and the rest goes on; the answers do not depend on how many threads share the work.
//!
//! Knows neither files nor terminals: whoever calls it says where lines come from and where answers go.

use std::io::{self, BufRead, Write};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread;

use super::equation::answered;
use crate::diagnostic::Message;
use crate::equation::quick;
use crate::report::{BalanceJson, FaultJson, LineAnswerJson, LineJson, quick_json};

/// The longest line that is read, in bytes.
pub const LONGEST_LINE: usize = 1 << 20;

/// A thread takes lines in blocks of about this many bytes.
const BLOCK: usize = 1 << 18;

/// How many lines came to what.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub struct Summary {
    /// Lines read.
    pub lines: u64,
    /// Lines with a balance, or with several.
    pub balanced: u64,
    /// Lines with an error.
    pub refused: u64,
}

/// Appends the object of one line with its line break; whether it has a balance.
///
/// ```
/// let mut out = Vec::new();
/// assert!(aludel::shell::answer_line(b"H2 + O2 -> H2O", 7, &mut out));
/// assert!(out.starts_with(br#"{"line":7,"equation":"2 H2 + O2 -> 2 H2O","unique":true,"#));
/// ```
pub fn answer_line(text: &[u8], line: u64, out: &mut Vec<u8>) -> bool {
    let quickly = str::from_utf8(text).ok().and_then(quick);
    if let Some(found) = quickly {
        quick_json(&found, line, out);
        out.push(b'\n');
        return true;
    }
    answer_slowly(text, line, out)
}

/// The same by way of the grammar, for every line there can be.
fn answer_slowly(text: &[u8], line: u64, out: &mut Vec<u8>) -> bool {
    let refused = match readable(text) {
        Err(message) => message,
        Ok(text) => match answered(text, false) {
            Ok(found) => {
                let answer = BalanceJson::of(&found.balance, &found.skeleton);
                let answer = LineAnswerJson::Balanced(answer);
                print(&LineJson { line, answer }, out);
                return true;
            }
            Err((message, _)) => message,
        },
    };
    let error = FaultJson::of(&refused);
    let answer = LineAnswerJson::Refused { error };
    print(&LineJson { line, answer }, out);
    false
}

fn readable(text: &[u8]) -> Result<&str, Message> {
    if text.len() > LONGEST_LINE {
        return Err(Message::error("too-large", "the line is longer than 1 MiB")
            .hint("write each equation on a line of its own"));
    }
    match str::from_utf8(text) {
        Ok(text) if !text.contains('\0') => Ok(text),
        _ => Err(Message::error("not-text", "the line is not text")
            .hint("save it as plain text in UTF-8")),
    }
}

fn print(object: &LineJson<'_>, out: &mut Vec<u8>) {
    serde_json::to_writer(&mut *out, object).expect("strings and numbers can be written to memory");
    out.push(b'\n');
}

/// Answers all lines on `threads` threads; `told` is called now and then with how far it is.
pub fn run(
    from: &mut dyn BufRead,
    to: &mut dyn Write,
    threads: usize,
    told: &mut dyn FnMut(&Summary),
) -> io::Result<Summary> {
    let threads = threads.max(1);
    thread::scope(|scope| {
        let hands: Vec<Hand> = (0..threads)
            .map(|_| {
                let (give, work) = sync_channel::<Block>(2);
                let (done, take) = sync_channel::<Answers>(2);
                scope.spawn(move || {
                    work.into_iter()
                        .try_for_each(|block| done.send(block.answered()))
                });
                Hand { give, take }
            })
            .collect();
        hand_out(from, to, &hands, told)
    })
}

/// A thread and the ways to and from it.
struct Hand {
    give: SyncSender<Block>,
    take: Receiver<Answers>,
}

/// Blocks go round the threads and come back in the same order, two on the way to each.
fn hand_out(
    from: &mut dyn BufRead,
    to: &mut dyn Write,
    hands: &[Hand],
    told: &mut dyn FnMut(&Summary),
) -> io::Result<Summary> {
    let mut summary = Summary::default();
    let mut lines = 0;
    let (mut given, mut taken) = (0usize, 0usize);
    let mut at_end = false;
    loop {
        while !at_end && given < taken + 2 * hands.len() {
            let block = Block::read(from, lines + 1)?;
            at_end = block.lines == 0;
            if !at_end {
                lines += block.lines;
                hands[given % hands.len()].give.send(block).map_err(lost)?;
                given += 1;
            }
        }
        if taken == given {
            to.flush()?;
            return Ok(summary);
        }
        let answers = hands[taken % hands.len()].take.recv().map_err(lost)?;
        taken += 1;
        to.write_all(&answers.text)?;
        summary.lines += answers.summary.lines;
        summary.balanced += answers.summary.balanced;
        summary.refused += answers.summary.refused;
        told(&summary);
    }
}

/// A thread only ends early if it panicked.
fn lost<E>(_: E) -> io::Error {
    io::Error::other("a part of the work was lost")
}

/// Whole lines and the number of the first.
struct Block {
    text: Vec<u8>,
    first: u64,
    lines: u64,
}

struct Answers {
    text: Vec<u8>,
    summary: Summary,
}

impl Block {
    /// Lines without their breaks, each ended by one `\n`; of one that is too long only the beginning is kept.
    fn read(from: &mut dyn BufRead, first: u64) -> io::Result<Block> {
        let mut block = Block {
            text: Vec::with_capacity(BLOCK + 1024),
            first,
            lines: 0,
        };
        let mut start = 0;
        while block.text.len() < BLOCK {
            let ready = from.fill_buf()?;
            if ready.is_empty() {
                if block.text.len() > start {
                    block.end_line();
                }
                break;
            }
            let end = ready.iter().position(|byte| *byte == b'\n');
            let piece = &ready[..end.unwrap_or(ready.len())];
            let room = (LONGEST_LINE + 1).saturating_sub(block.text.len() - start);
            block
                .text
                .extend_from_slice(&piece[..piece.len().min(room)]);
            let read = piece.len() + usize::from(end.is_some());
            from.consume(read);
            if end.is_some() {
                block.end_line();
                start = block.text.len();
            } else if block.text.len() >= BLOCK {
                // A line is never cut in two: read on to its end.
                block.finish_line(from, start)?;
                break;
            }
        }
        Ok(block)
    }

    fn finish_line(&mut self, from: &mut dyn BufRead, start: usize) -> io::Result<()> {
        loop {
            let ready = from.fill_buf()?;
            let end = ready.iter().position(|byte| *byte == b'\n');
            let piece = &ready[..end.unwrap_or(ready.len())];
            let room = (LONGEST_LINE + 1).saturating_sub(self.text.len() - start);
            self.text.extend_from_slice(&piece[..piece.len().min(room)]);
            let at_end = ready.is_empty() || end.is_some();
            let read = piece.len() + usize::from(end.is_some());
            from.consume(read);
            if at_end {
                self.end_line();
                return Ok(());
            }
        }
    }

    fn end_line(&mut self) {
        self.text.push(b'\n');
        self.lines += 1;
    }

    fn answered(self) -> Answers {
        let mut answers = Answers {
            text: Vec::with_capacity(self.text.len() * 6),
            summary: Summary::default(),
        };
        let lines = self
            .text
            .split(|byte| *byte == b'\n')
            .take(self.lines as usize);
        for (number, line) in (self.first..).zip(lines) {
            let line = line.strip_suffix(b"\r").unwrap_or(line);
            if answer_line(line, number, &mut answers.text) {
                answers.summary.balanced += 1;
            } else {
                answers.summary.refused += 1;
            }
        }
        answers.summary.lines = self.lines;
        answers
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(text: &[u8], threads: usize) -> (String, Summary) {
        let mut out = Vec::new();
        let mut from = io::BufReader::with_capacity(7, text);
        let summary = run(&mut from, &mut out, threads, &mut |_| {}).unwrap();
        (String::from_utf8(out).unwrap(), summary)
    }

    #[test]
    fn the_order_is_that_of_the_lines_on_any_number_of_threads() {
        let mut text = String::new();
        for n in 1..20_000 {
            text += &format!("C{}H{} + O2 -> CO2 + H2O\n", n % 90 + 1, n % 7 * 2 + 2);
        }
        let (one, summary) = all(text.as_bytes(), 1);
        assert_eq!((summary.lines, summary.refused), (19_999, 0));
        assert_eq!(all(text.as_bytes(), 3).0, one);
        for (line, number) in one.lines().zip(1..) {
            assert!(line.starts_with(&format!("{{\"line\":{number},")), "{line}");
        }
    }

    #[test]
    fn a_bad_line_is_an_error_and_the_rest_goes_on() {
        let mut text = b"H2 + O2 -> H2O\n\xff\xfe\nCO -> CO2\n\r\n".to_vec();
        text.extend(std::iter::repeat_n(b'H', 3 << 20));
        text.extend_from_slice(b"\nN2 + H2 -> NH3");
        let (out, summary) = all(&text, 2);
        let kinds: Vec<&str> = [
            "equation",
            "not-text",
            "conflict",
            "line",
            "too-large",
            "equation",
        ]
        .into();
        assert_eq!(
            summary,
            Summary {
                lines: 6,
                balanced: 2,
                refused: 4
            }
        );
        for (line, kind) in out.lines().zip(kinds) {
            assert!(line.contains(kind), "{kind}: {line}");
        }
    }
}
