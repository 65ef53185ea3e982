//! Files and standard input as texts, with a message for each way that can fail.

use std::io::BufRead;
use std::path::Path;

use crate::diagnostic::{Message, unread};
use crate::shell::file;
use crate::text::Source;

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
    file::read(path).map_err(|why| unread(&path.display().to_string(), &why))
}

/// A file, ready to be read.
pub fn open(path: &Path) -> Result<std::fs::File, Message> {
    file::open(path).map_err(|why| unread(&path.display().to_string(), &why))
}

/// What standard input is called.
pub const STANDARD: &str = "standard input";

fn standard_input(mut input: &mut dyn BufRead) -> Result<Source, Message> {
    file::text(STANDARD, &mut input).map_err(|why| unread(STANDARD, &why))
}
