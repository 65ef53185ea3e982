//! What a conversation remembers, and the answer to each entry.

use std::path::Path;

use super::doors::Status;
use super::entry::Entry;
use super::equation::balanced;
use super::help;
use crate::data::Store;
use crate::diagnostic::{Message, formula_fault};
use crate::matter::{Notation, Species};
use crate::report;
use crate::route::parse::verbs;

/// The answer to one entry.
#[derive(Debug, Default)]
pub struct Reply {
    /// To be printed as it is.
    pub answer: String,
    /// Places are those of the entry.
    pub messages: Vec<Message>,
    /// How it went.
    pub status: Status,
    /// Whether the conversation ends.
    pub leave: bool,
}

impl Reply {
    fn answer(answer: String) -> Self {
        Reply {
            answer,
            ..Reply::default()
        }
    }

    fn refusal(messages: Vec<Message>) -> Self {
        Reply {
            messages,
            status: Status::Wrong,
            ..Reply::default()
        }
    }
}

/// A conversation: what was declared and done so far.
#[derive(Debug, Default)]
pub struct Session {
    /// Entries that did not fail, as lines of a script.
    kept: Vec<String>,
    /// Formulas seen, for completion.
    formulas: Vec<String>,
}

impl Session {
    /// A conversation about nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Answers an entry. One that fails leaves the session as it was.
    ///
    /// ```
    /// let mut session = aludel::shell::Session::new();
    /// assert!(session.enter("H2O").answer.contains("18.015"));
    /// assert_eq!(session.enter("Xx").messages[0].kind, "unknown-element");
    /// ```
    pub fn enter(&mut self, text: &str) -> Reply {
        let entry = Entry::of(text, is_verb);
        let lone = match entry {
            Entry::Equation(lone) | Entry::Formula(lone) | Entry::Expression(lone) => lone,
            _ => text,
        };
        let offset = text.find(lone).unwrap_or(0);
        let mut reply = match entry {
            Entry::Nothing => Reply::default(),
            Entry::Help(topic) => {
                help::help(topic).map_or_else(|m| Reply::refusal(vec![m]), Reply::answer)
            }
            Entry::Save(file) => self.save(file),
            Entry::Leave => Reply {
                leave: true,
                ..Reply::default()
            },
            Entry::Formula(lone) => self.formula(lone),
            Entry::Equation(lone) => self.equation(lone),
            Entry::Statement | Entry::Expression(_) => Reply::refusal(vec![Message::error(
                "not-yet",
                "this cannot be answered yet",
            )]),
        };
        reply.messages = reply
            .messages
            .into_iter()
            .map(|message| message.shifted(offset))
            .collect();
        reply
    }

    /// Verbs, names and formulas that can be completed now.
    pub fn words(&self) -> Vec<String> {
        let mut words: Vec<String> = ["help", "save", "quit"].map(str::to_owned).into();
        words.extend(verbs().map(str::to_owned));
        words.extend(self.formulas.iter().cloned());
        words.sort();
        words.dedup();
        words
    }

    /// What did not fail so far, as the text of a script.
    pub fn script(&self) -> String {
        self.kept.iter().map(|line| format!("{line}\n")).collect()
    }

    fn formula(&mut self, text: &str) -> Reply {
        match Species::parse(text) {
            Ok(species) => {
                self.remember(&species);
                self.kept.push(format!("# {text}"));
                Reply::answer(report::substance(&species, &Store::default()))
            }
            Err(fault) => Reply::refusal(vec![formula_fault(&fault)]),
        }
    }

    fn equation(&mut self, text: &str) -> Reply {
        match balanced(text) {
            Ok(found) => {
                for (_, term) in found.skeleton.terms() {
                    self.remember(&term.species);
                }
                self.kept.push(format!("# {text}"));
                Reply {
                    messages: found.messages,
                    ..Reply::answer(report::balance(&found.balance, Notation::Printed))
                }
            }
            Err((message, status)) => Reply {
                status,
                ..Reply::refusal(vec![message])
            },
        }
    }

    fn remember(&mut self, species: &Species) {
        let text = species.plain().to_owned();
        if !self.formulas.contains(&text) {
            self.formulas.push(text);
        }
    }

    fn save(&self, file: &str) -> Reply {
        if file.is_empty() {
            let message = Message::error("missing-name", "a file needs a name")
                .hint("write it after the word: save alum.route");
            return Reply::refusal(vec![message]);
        }
        match write_new(Path::new(file), &self.script()) {
            Ok(()) => Reply::answer(format!(
                "saved {} lines as {file}\n",
                self.script().lines().count()
            )),
            Err(fault) => {
                let taken = fault.kind() == std::io::ErrorKind::AlreadyExists;
                let why = if taken {
                    "there is such a file already".to_owned()
                } else {
                    fault.to_string()
                };
                let message = Message::error(
                    "unwritable-file",
                    format!("`{file}` was not written: {why}"),
                )
                .hint("choose another name or folder");
                Reply::refusal(vec![message])
            }
        }
    }
}

fn is_verb(word: &str) -> bool {
    verbs().any(|verb| verb == word)
}

/// Writes a file that is not there yet: nothing of anybody's is ever overwritten.
fn write_new(file: &Path, text: &str) -> std::io::Result<()> {
    use std::io::Write;
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    let mut opened = std::fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(file)?;
    opened.write_all(text.as_bytes())
}
