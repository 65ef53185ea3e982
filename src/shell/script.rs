//! What was typed, as the script that it is kept as: saved, or taken back.

use std::path::Path;

use super::Draft;
use super::session::{Reply, SHOW, Session};
use crate::diagnostic::{Message, route_fault};
use crate::route;
use crate::text::Source;

/// An entry that did not fail.
#[derive(Clone, Debug)]
pub(super) struct Kept {
    /// As a line of a script; what changes nothing is a comment.
    pub(super) line: String,
    /// Earlier statements whose place it took.
    pub(super) displaced: Vec<String>,
}

impl Kept {
    pub(super) fn line(line: String) -> Self {
        Kept {
            line,
            displaced: Vec::new(),
        }
    }
}

impl Session {
    /// A script with both a statement and the one that took its place would not run.
    pub(super) fn drop_from_script(&mut self, statement: &str) {
        self.rewrite(statement, &format!("# {statement}"));
    }

    fn rewrite(&mut self, from: &str, to: &str) {
        let lines = self.kept.iter_mut().rev().map(|kept| &mut kept.line);
        if let Some(line) = lines.into_iter().find(|line| line.contains(from)) {
            *line = line.replacen(from, to, 1);
        }
    }

    /// Takes the last statement that did something back, with what was asked since: all that stands before it is
    /// carried out anew.
    pub(super) fn undo(&mut self) -> Reply {
        let statement = |kept: &Kept| !kept.line.starts_with('#') && !kept.line.starts_with(SHOW);
        let Some(last) = self.kept.iter().rposition(statement) else {
            let message = Message::error("nothing-to-undo", "there is no statement to take back")
                .hint("balancing and describing change nothing");
            return Reply::refusal(vec![message]);
        };
        let before = self.kept.clone();
        let mut since = self.kept.split_off(last);
        let gone = since.remove(0);
        since.retain(|kept| kept.line.starts_with('#'));
        self.kept.extend(since);
        for old in &gone.displaced {
            self.rewrite(&format!("# {old}"), old);
        }
        let mut route = route::Session::new(&self.store);
        for kept in &self.kept {
            let source = Source::new("prompt", kept.line.as_str());
            let fed = route.feed_reading(&source, &super::file::beside);
            // A file that a `use` names may be gone by now.
            if !fed.faults.is_empty() {
                let messages = fed.faults.iter().map(|fault| {
                    let mut message = route_fault(fault);
                    message.labels.clear();
                    message
                });
                let messages = messages.collect();
                self.kept = before;
                return Reply::refusal(messages);
            }
        }
        self.route = route;
        Reply::answer(format!("taken back: {}\n", gone.line))
    }

    pub(super) fn save(&self, file: &str) -> Reply {
        if file.is_empty() {
            let message = Message::error("missing-name", "a file needs a name")
                .hint("write it after the word: save alum.route");
            return Reply::refusal(vec![message]);
        }
        let script = self.script();
        match write_new(Path::new(file), &script) {
            Ok(()) => Reply::answer(format!(
                "saved {} lines as {file}\n",
                script.lines().count()
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

/// Writes a file that is not there yet: nothing of anybody's is ever overwritten.
fn write_new(file: &Path, text: &str) -> std::io::Result<()> {
    // A link that leads nowhere is somebody's, too.
    if file.symlink_metadata().is_ok() {
        return Err(std::io::ErrorKind::AlreadyExists.into());
    }
    Draft::new(file, text)?.create()
}
