//! Files and standard input as texts, with a message for each way that can fail.

use std::io::{self, BufRead, Read};
use std::path::Path;

use crate::diagnostic::{Message, near};
use crate::text::Source;

/// The longest text that is read, in bytes.
const LONGEST: u64 = 16 << 20;

/// A text from the command line itself, or from standard input if it is `-`.
pub fn argument(name: &str, text: &str, input: &mut dyn BufRead) -> Result<Source, Message> {
    if text == "-" {
        return standard_input(input);
    }
    Ok(Source::new(name, text))
}

/// The text of a file, or of standard input if the path is `-`.
pub fn file(path: &Path, input: &mut dyn BufRead) -> Result<Source, Message> {
    if path == Path::new("-") {
        return standard_input(input);
    }
    text(&path.display().to_string(), &mut open(path)?)
}

/// A file, ready to be read.
pub fn open(path: &Path) -> Result<std::fs::File, Message> {
    let name = path.display().to_string();
    if path.is_dir() {
        return Err(
            Message::error("not-a-file", format!("`{name}` is a folder")).hint("name a file in it"),
        );
    }
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    let opened = std::fs::File::open(path);
    opened.map_err(|fault| unopened(path, &name, &fault))
}

fn standard_input(input: &mut dyn BufRead) -> Result<Source, Message> {
    text("standard input", input)
}

fn text(name: &str, from: &mut dyn Read) -> Result<Source, Message> {
    let mut bytes = Vec::new();
    if let Err(fault) = from.take(LONGEST + 1).read_to_end(&mut bytes) {
        return Err(unreadable(name, &fault));
    }
    if bytes.len() as u64 > LONGEST {
        let most = LONGEST >> 20;
        return Err(
            Message::error("too-large", format!("`{name}` is longer than {most} MiB")).hint(
                "split it, or give a list of equations to `aludel batch`, which reads any length",
            ),
        );
    }
    let text = String::from_utf8(bytes).map_err(|fault| {
        let at = fault.utf8_error().valid_up_to();
        not_text(name, fault.as_bytes(), at)
    })?;
    if let Some(at) = text.find('\0') {
        return Err(not_text(name, text.as_bytes(), at));
    }
    // Some editors mark UTF-8 with a sign that is no part of the text.
    Ok(match text.strip_prefix('\u{feff}') {
        Some(rest) => Source::new(name, rest),
        None => Source::new(name, text),
    })
}

fn unopened(path: &Path, name: &str, fault: &io::Error) -> Message {
    if fault.kind() != io::ErrorKind::NotFound {
        return unreadable(name, fault);
    }
    let message = Message::error("missing-file", format!("there is no file `{name}`"));
    match neighbour(path) {
        Some(near) => message.hint(format!("did you mean `{near}`?")),
        None => message.hint("check the spelling and the folder"),
    }
}

/// A file of nearly that name in the same folder.
fn neighbour(path: &Path) -> Option<String> {
    let wanted = path.file_name()?.to_str()?;
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    let entries = folder.unwrap_or(Path::new(".")).read_dir().ok()?;
    let mut names: Vec<String> = entries
        .take(1000)
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .collect();
    names.sort();
    let near = near(wanted, names.iter().map(String::as_str))?;
    Some(path.with_file_name(near).display().to_string())
}

fn unreadable(name: &str, fault: &io::Error) -> Message {
    Message::error(
        "unreadable-file",
        format!("`{name}` cannot be read: {fault}"),
    )
    .hint("check that it is a file and that you may read it")
}

fn not_text(name: &str, bytes: &[u8], at: usize) -> Message {
    let line = bytes[..at].iter().filter(|b| **b == b'\n').count() + 1;
    let title = format!(
        "`{name}` is not text: byte {} (on line {line}) belongs to no character",
        at + 1
    );
    Message::error("not-text", title).hint("save it as plain text in UTF-8")
}
