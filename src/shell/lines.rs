//! Where lines come from: an editor, a pipe, or a list in a test.

use std::io::BufRead;

use crate::diagnostic::Message;

/// A source of entries, usually one line each.
pub trait Lines {
    /// The next entry without its line break, or `None` at the end. `prompt` is shown where somebody can see it.
    fn next(&mut self, prompt: &str) -> Option<String>;

    /// What may be completed from now on, asked for only where somebody types.
    fn know(&mut self, _words: &dyn Fn() -> Vec<String>) {}
}

/// Lines of a pipe or a file; no prompt is shown and nothing is edited.
pub struct Piped<'p> {
    from: &'p mut dyn BufRead,
    fault: Option<Unreadable>,
    longest: usize,
}

/// Why a pipe gave no more lines before its end.
#[derive(Clone, Copy, Debug, Eq, PartialEq, thiserror::Error)]
pub enum Unreadable {
    /// A line holds bytes that are no UTF-8 text.
    #[error("the text holds bytes that belong to no character")]
    NotText,
    /// A line is longer than anybody would write.
    #[error("a line is longer than 1 MiB")]
    TooLong,
    /// Reading failed.
    #[error("it cannot be read any further")]
    Failed,
}

impl Unreadable {
    /// In words, about the file or pipe called `name`.
    pub fn message(self, name: &str) -> Message {
        match self {
            Unreadable::NotText => Message::error(
                "not-text",
                format!("`{name}` is not text; it was read up to there"),
            )
            .hint("save it as plain text in UTF-8"),
            Unreadable::TooLong => Message::error(
                "too-large",
                format!("`{name}` has a line longer than 1 MiB; it was read up to there"),
            )
            .hint("begin a new line after each statement"),
            Unreadable::Failed => Message::error(
                "unreadable-file",
                format!("`{name}` cannot be read any further"),
            )
            .hint("check what it comes from"),
        }
    }
}

impl<'p> Piped<'p> {
    /// The longest line that is read, in bytes.
    pub const LONGEST: usize = 1 << 20;

    /// Lines of `from`.
    pub fn new(from: &'p mut dyn BufRead) -> Self {
        Piped {
            from,
            fault: None,
            longest: Self::LONGEST,
        }
    }

    /// Why it ended, unless it came to its end.
    pub fn fault(&self) -> Option<Unreadable> {
        self.fault
    }

    fn read(&mut self) -> Result<Option<String>, Unreadable> {
        let mut line = Vec::new();
        loop {
            let ready = self.from.fill_buf().map_err(|_| Unreadable::Failed)?;
            if ready.is_empty() {
                break;
            }
            let end = ready.iter().position(|byte| *byte == b'\n');
            let taken = end.map_or(ready.len(), |at| at + 1);
            line.extend_from_slice(&ready[..taken]);
            self.from.consume(taken);
            if line.len() > self.longest {
                return Err(Unreadable::TooLong);
            }
            if end.is_some() {
                break;
            }
        }
        if line.is_empty() {
            return Ok(None);
        }
        if line.contains(&0) {
            return Err(Unreadable::NotText);
        }
        let mut text = String::from_utf8(line).map_err(|_| Unreadable::NotText)?;
        text.truncate(text.trim_end_matches(['\n', '\r']).len());
        Ok(Some(text))
    }
}

impl Lines for Piped<'_> {
    fn next(&mut self, _prompt: &str) -> Option<String> {
        if self.fault.is_some() {
            return None;
        }
        self.read().unwrap_or_else(|fault| {
            self.fault = Some(fault);
            None
        })
    }
}

/// Lines of a list, for tests.
pub struct Scripted<I>(pub I);

impl<I: Iterator<Item = &'static str>> Lines for Scripted<I> {
    fn next(&mut self, _prompt: &str) -> Option<String> {
        self.0.next().map(str::to_owned)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pipe_gives_its_lines_and_says_why_it_stopped() {
        let mut bytes: &[u8] = b"H2O\r\n\nCO2";
        let mut lines = Piped::new(&mut bytes);
        let all: Vec<String> = std::iter::from_fn(|| lines.next("")).collect();
        assert_eq!(all, ["H2O", "", "CO2"]);
        assert_eq!(lines.fault(), None);

        let mut bytes: &[u8] = b"H2O\n\xff\xfe\nCO2";
        let mut lines = Piped::new(&mut bytes);
        let all: Vec<String> = std::iter::from_fn(|| lines.next("")).collect();
        assert_eq!(all, ["H2O"]);
        assert_eq!(lines.fault(), Some(Unreadable::NotText));

        let mut endless = std::io::BufReader::new(std::io::repeat(b'H'));
        let mut lines = Piped::new(&mut endless);
        assert_eq!(lines.next(""), None);
        assert_eq!(lines.fault(), Some(Unreadable::TooLong));
    }
}
