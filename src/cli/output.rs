//! Answers as files, with a message for each way that can fail.

use std::io;
use std::path::Path;

use crate::diagnostic::Message;

/// Writes a file, over what was there.
pub fn file(path: &Path, text: &str) -> Result<(), Message> {
    let name = path.display().to_string();
    if path.is_dir() {
        return Err(
            Message::error("not-a-file", format!("`{name}` is a folder")).hint(format!(
                "name a file in it, such as `{}`",
                path.join("sheet.html").display()
            )),
        );
    }
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    let written = std::fs::write(path, text);
    written.map_err(|fault| {
        let message = Message::error(
            "unwritable-file",
            format!("`{name}` cannot be written: {fault}"),
        );
        match fault.kind() {
            io::ErrorKind::NotFound => message.hint("make the folder first, or check its spelling"),
            _ => message.hint("check that you may write there, or name another file"),
        }
    })
}
