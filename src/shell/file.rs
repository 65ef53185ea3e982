//! Files as texts, with the reason where that fails.

use std::fs::{File, Metadata};
use std::io::{self, Read};
use std::path::{Component, Path, PathBuf};

use crate::diagnostic::near;
use crate::route::uses::Unread;
use crate::text::Source;

/// The longest text that is read, in MiB.
const LONGEST: u64 = 16;

/// The text of a file.
pub fn read(path: &Path) -> Result<Source, Unread> {
    let mut file = open(path)?;
    let known = file.metadata().ok().filter(Metadata::is_file);
    let source = text(&path.display().to_string(), &mut file)?;
    Ok(match known {
        Some(known) => source.identified(identity(path, &known)),
        None => source,
    })
}

/// The text of a file that a route uses: its path is reckoned from the folder of the file that names it.
pub fn beside(path: &str, using: &str) -> Result<Source, Unread> {
    let folder = Path::new(using).parent().unwrap_or(Path::new(""));
    let file = plain(&folder.join(path));
    // It is named by a text that may be a stranger's: to open a pipe would be to wait for whoever writes to it.
    let odd = |known: &Metadata| !known.is_file() && !known.is_dir();
    match file.metadata().is_ok_and(|known| odd(&known)) {
        true => Err(Unread::NotPlain),
        false => read(&file),
    }
}

/// Whether two paths lead to one plain file, be it by links.
pub fn same(one: &Path, other: &Path) -> bool {
    let plain = |path: &Path| path.metadata().ok().filter(Metadata::is_file);
    match (plain(one), plain(other)) {
        (Some(first), Some(second)) => identity(one, &first) == identity(other, &second),
        _ => false,
    }
}

/// What only one file has: its device and its number there.
#[cfg(unix)]
fn identity(_: &Path, file: &Metadata) -> String {
    use std::os::unix::fs::MetadataExt;
    format!("{}:{}", file.dev(), file.ino())
}

/// What only one file has, but for hard links, which cannot be told here.
#[cfg(not(unix))]
fn identity(path: &Path, _: &Metadata) -> String {
    let whole = path.canonicalize();
    whole.as_deref().unwrap_or(path).display().to_string()
}

/// A path without `.` and without a name that `..` takes back, so that one file goes by one name.
fn plain(path: &Path) -> PathBuf {
    let mut plain = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if plain.file_name().is_some() => {
                plain.pop();
            }
            part => plain.push(part),
        }
    }
    plain
}

/// A file, ready to be read.
pub fn open(path: &Path) -> Result<File, Unread> {
    if path.is_dir() {
        return Err(Unread::Folder);
    }
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    let opened = File::open(path);
    opened.map_err(|fault| match fault.kind() {
        io::ErrorKind::NotFound => Unread::Missing {
            near: neighbour(path),
        },
        _ => Unread::Refused(fault.to_string()),
    })
}

/// All that can be read, as text.
pub fn text(name: &str, from: &mut dyn Read) -> Result<Source, Unread> {
    let mut bytes = Vec::new();
    let read = from.take((LONGEST << 20) + 1).read_to_end(&mut bytes);
    read.map_err(|fault| Unread::Refused(fault.to_string()))?;
    if bytes.len() as u64 > LONGEST << 20 {
        return Err(Unread::TooLong(LONGEST));
    }
    let text = String::from_utf8(bytes)
        .map_err(|fault| not_text(fault.as_bytes(), fault.utf8_error().valid_up_to()))?;
    if let Some(at) = text.find('\0') {
        return Err(not_text(text.as_bytes(), at));
    }
    // Some editors mark UTF-8 with a sign that is no part of the text.
    Ok(match text.strip_prefix('\u{feff}') {
        Some(rest) => Source::new(name, rest),
        None => Source::new(name, text),
    })
}

fn not_text(bytes: &[u8], at: usize) -> Unread {
    Unread::NotText {
        byte: at + 1,
        line: bytes[..at].iter().filter(|b| **b == b'\n').count() + 1,
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
