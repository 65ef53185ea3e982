//! The line editor of a terminal: history, completion, blocks of several lines.

use std::path::{Path, PathBuf};

use rustyline::completion::{Completer, Pair};
use rustyline::config::Configurer;
use rustyline::error::ReadlineError;
use rustyline::highlight::Highlighter;
use rustyline::hint::Hinter;
use rustyline::history::DefaultHistory;
use rustyline::validate::{ValidationContext, ValidationResult, Validator};
use rustyline::{CompletionType, Config, Context, Editor as LineEditor, Helper};

use super::lines::Lines;
use super::unfinished;

/// Lines typed at a terminal.
pub struct Editor {
    editor: LineEditor<Vocabulary, DefaultHistory>,
    history: Option<PathBuf>,
}

impl Editor {
    /// How many entries are remembered.
    const REMEMBERED: usize = 2000;

    /// An editor on the terminal; `None` where there is none that can be used.
    pub fn open() -> Option<Self> {
        if !moves_a_cursor() {
            return None;
        }
        let config = Config::builder()
            .completion_type(CompletionType::List)
            .max_history_size(Self::REMEMBERED)
            .ok()?
            .history_ignore_space(true)
            .auto_add_history(true)
            .build();
        let mut editor = LineEditor::with_default(config).ok()?;
        editor.set_helper(Some(Vocabulary::default()));
        editor.set_history_ignore_dups(true).ok()?;
        let history = history_file();
        if let Some(file) = &history {
            // The first time there is none; one that cannot be read costs the old lines, not the prompt.
            let _ = editor.load_history(file);
        }
        Some(Editor { editor, history })
    }
}

impl Editor {
    /// Puts what was typed behind what the file holds, at once: a terminal may go away, and another prompt writes there, too.
    fn remember(&mut self) {
        if let Some(file) = &self.history
            && file.parent().is_some_and(make_folder)
        {
            // What cannot be written to, or is no text, is no reason for a complaint: only the history is lost.
            let _ = self.editor.append_history(file);
        }
    }
}

impl Lines for Editor {
    fn next(&mut self, prompt: &str) -> Option<String> {
        loop {
            match self.editor.readline(prompt) {
                Ok(entry) => {
                    self.remember();
                    return Some(entry);
                }
                // Ctrl-C drops what is being typed.
                Err(ReadlineError::Interrupted) => {}
                // Ctrl-D, or a terminal that went away.
                Err(_) => return None,
            }
        }
    }

    fn know(&mut self, words: &dyn Fn() -> Vec<String>) {
        if let Some(vocabulary) = self.editor.helper_mut() {
            vocabulary.words = words();
        }
    }
}

/// Whether the terminal can do what an editor of lines needs. On one that cannot, the library reads standard input itself,
/// which whoever called us holds already.
fn moves_a_cursor() -> bool {
    const CANNOT: [&str; 3] = ["dumb", "cons25", "emacs"];
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    let name = std::env::var_os("TERM");
    !name.is_some_and(|name| {
        CANNOT
            .iter()
            .any(|cannot| name.eq_ignore_ascii_case(cannot))
    })
}

fn make_folder(folder: &Path) -> bool {
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    std::fs::create_dir_all(folder).is_ok()
}

/// Where the history is kept: the state folder of the user, as each system has it.
fn history_file() -> Option<PathBuf> {
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    let folder = |name: &str| {
        let value = std::env::var_os(name)?;
        (!value.is_empty()).then(|| PathBuf::from(value))
    };
    let state = folder("XDG_STATE_HOME").or_else(|| {
        if cfg!(windows) {
            folder("LOCALAPPDATA")
        } else if cfg!(target_os = "macos") {
            Some(folder("HOME")?.join("Library/Application Support"))
        } else {
            Some(folder("HOME")?.join(".local/state"))
        }
    })?;
    Some(state.join("aludel").join("history"))
}

/// What the editor asks while somebody types.
#[derive(Default)]
struct Vocabulary {
    words: Vec<String>,
}

impl Completer for Vocabulary {
    type Candidate = Pair;

    fn complete(
        &self,
        line: &str,
        at: usize,
        _: &Context<'_>,
    ) -> rustyline::Result<(usize, Vec<Pair>)> {
        let start = word_start(line, at);
        let begun = &line[start..at];
        let fitting = completions(begun, &self.words).map(|word| Pair {
            display: word.to_owned(),
            replacement: word.to_owned(),
        });
        Ok((start, fitting.collect()))
    }
}

impl Hinter for Vocabulary {
    type Hint = String;
}

impl Highlighter for Vocabulary {}

impl Validator for Vocabulary {
    fn validate(&self, typed: &mut ValidationContext<'_>) -> rustyline::Result<ValidationResult> {
        Ok(if unfinished(typed.input()) {
            ValidationResult::Incomplete
        } else {
            ValidationResult::Valid(None)
        })
    }
}

impl Helper for Vocabulary {}

/// Where the word before `at` begins: names and formulas hold no blanks, commas, colons and arithmetic.
fn word_start(line: &str, at: usize) -> usize {
    let ends = |c: char| c.is_whitespace() || ",:;+=<>{\"".contains(c);
    let mut start = line[..at].rfind(ends).map_or(0, |found| {
        found + line[found..].chars().next().map_or(1, char::len_utf8)
    });
    // `mass(cr`: the word is the argument; `Fe(O`: the bracket belongs to the formula.
    if line[start..at].starts_with(|c: char| c.is_ascii_lowercase())
        && let Some(bracket) = line[start..at].rfind('(')
    {
        start += bracket + 1;
    }
    start
}

/// The words that go on where `begun` stops, each once, in the order of the list.
fn completions<'w>(begun: &str, words: &'w [String]) -> impl Iterator<Item = &'w str> {
    const MOST: usize = 60;
    words
        .iter()
        .map(String::as_str)
        .filter(move |word| !begun.is_empty() && word.starts_with(begun))
        .take(MOST)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_word_at_the_cursor_is_completed() {
        for (line, word) in [
            ("cha", "cha"),
            ("charge fla", "fla"),
            ("show mass(cr", "cr"),
            ("react flask: Fe(O", "Fe(O"),
            ("5 g NaC", "NaC"),
            ("Fe+Cu", "Cu"),
            ("H₂O → N", "N"),
            ("", ""),
        ] {
            assert_eq!(&line[word_start(line, line.len())..], word, "{line}");
        }
        let words = ["charge", "crop", "cool"].map(str::to_owned);
        assert_eq!(completions("c", &words).count(), 3);
        assert_eq!(completions("cr", &words).collect::<Vec<_>>(), ["crop"]);
        assert_eq!(completions("", &words).count(), 0);
    }
}
