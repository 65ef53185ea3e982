//! Answers as files, with a message for each way that can fail.

use std::io;
use std::path::Path;

use super::input;
use crate::diagnostic::Message;
use crate::shell::{Draft, file as text};
use crate::text::Source;

/// Writes a file, in the place of what was there.
pub fn file(path: &Path, sheet: &str) -> Result<(), Message> {
    if path.is_dir() {
        let title = format!("`{}` is a folder", path.display());
        return Err(Message::error("not-a-file", title).hint(format!(
            "name a file in it, such as `{}`",
            path.join("sheet.html").display()
        )));
    }
    let written = Draft::new(path, sheet).and_then(Draft::replace);
    written.map_err(|fault| unwritten(path, &fault))
}

/// Puts a text in the place of one that was read from the same file, unless somebody else changed that meanwhile.
pub fn in_place_of(path: &Path, read: &Source, laid: &str) -> Result<(), Message> {
    let draft = Draft::new(path, laid).map_err(|fault| unwritten(path, &fault))?;
    let now = text::read(path);
    if now.as_ref().map(Source::text) != Ok(read.text()) {
        let title = format!("`{}` has changed since it was read", path.display());
        return Err(Message::error("changed-meanwhile", title)
            .hint("it is left as it is: save what is open elsewhere, and ask again"));
    }
    draft.replace().map_err(|fault| unwritten(path, &fault))
}

/// Refuses to put a sheet in the place of what it is made from: the route with all that it uses, and data of one's own.
pub fn check(sheet: Option<&Path>, route: &Source, data: Option<&Path>) -> Result<(), Message> {
    let Some(sheet) = sheet else { return Ok(()) };
    let routes = route
        .names()
        .map(|name| (opened(Path::new(name)), "the route"));
    let data = data.map(|file| (opened(file), "the data"));
    for (place, (input, what)) in routes.chain(data).enumerate() {
        if text::same(sheet, input) {
            let what = match (place, what) {
                (1.., "the route") => "a file that the route uses",
                _ => what,
            };
            let title = format!(
                "`{}` is {what}: the sheet would take its place",
                sheet.display()
            );
            return Err(Message::error("output-is-input", title)
                .hint("name another file for the sheet, or leave `-o` out to have it printed"));
        }
    }
    Ok(())
}

/// The file behind what is read: `run - < alum.route` reads one, too.
fn opened(input: &Path) -> &Path {
    match input.to_str() {
        Some("-" | input::STANDARD) => Path::new("/dev/stdin"),
        _ => input,
    }
}

/// A sheet with blanks does not take the place of one without.
pub fn withheld(path: &Path) -> Message {
    let title = format!(
        "`{}` is not written, as the route could not be carried out",
        path.display()
    );
    Message::error("sheet-withheld", title)
        .hint("mend the route; to see how far the sheet goes, have it printed: leave `-o` out")
}

fn unwritten(path: &Path, fault: &io::Error) -> Message {
    let title = format!("`{}` cannot be written: {fault}", path.display());
    let message = Message::error("unwritable-file", title);
    match fault.kind() {
        io::ErrorKind::NotFound => message.hint("make the folder first, or check its spelling"),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded | io::ErrorKind::FileTooLarge => {
            message.hint(
                "make room there, or name a file elsewhere; what was in that file is still there",
            )
        }
        _ => message.hint(
            "check that you may write there and make files in its folder, or name another file",
        ),
    }
}
