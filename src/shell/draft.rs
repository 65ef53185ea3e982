//! Files written whole or not at all.
//!
//! Promises: a text is complete on the disk, beside its target and under another name, before it takes the target's
//! place in one step. Whatever happens before leaves the target as it was, and nothing beside it. What a symbolic link
//! leads to is replaced, not the link; mode and, where that is allowed, owner stay.

use std::fs::{self, Metadata, Permissions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::{Builder, NamedTempFile};

/// Symbolic links that lead to each other before a loop is suspected, as Linux counts them.
const MOST_LINKS: usize = 40;

/// A text that waits to take its place.
#[derive(Debug)]
pub struct Draft {
    target: PathBuf,
    text: Text,
}

#[derive(Debug)]
enum Text {
    /// Complete and on the disk, in the folder of the target.
    Beside(NamedTempFile),
    /// For a pipe or a device: there is nothing to replace, and the text passes through.
    Through(String),
}

impl Draft {
    /// Writes `text` to a file of its own beside `path`, or beside what that leads to.
    ///
    /// # Errors
    /// What is there may not be written to, its folder may not, or there is no room.
    pub fn new(path: &Path, text: &str) -> io::Result<Draft> {
        let there = match fs::metadata(path) {
            Ok(there) => Some(there),
            Err(fault) if fault.kind() == io::ErrorKind::NotFound => None,
            Err(fault) => return Err(fault),
        };
        if there.as_ref().is_some_and(|there| !there.is_file()) {
            return Ok(Draft {
                target: path.to_owned(),
                text: Text::Through(text.to_owned()),
            });
        }
        let target = followed(path)?;
        let text = Text::Beside(beside(&target, there.as_ref(), text)?);
        Ok(Draft { target, text })
    }

    /// Takes the place of what is there.
    pub fn replace(self) -> io::Result<()> {
        match self.text {
            Text::Beside(file) => {
                file.persist(&self.target).map_err(|fault| fault.error)?;
                remember(&self.target);
                Ok(())
            }
            Text::Through(text) => open(&self.target)?.write_all(text.as_bytes()),
        }
    }

    /// Takes its place only where nothing is there.
    pub fn create(self) -> io::Result<()> {
        match self.text {
            Text::Beside(file) => {
                let placed = file.persist_noclobber(&self.target);
                placed.map_err(|fault| fault.error)?;
                remember(&self.target);
                Ok(())
            }
            Text::Through(_) => Err(io::ErrorKind::AlreadyExists.into()),
        }
    }
}

/// The file at the end of the symbolic links, which need not be there yet.
fn followed(path: &Path) -> io::Result<PathBuf> {
    let mut target = path.to_owned();
    for _ in 0..MOST_LINKS {
        match fs::read_link(&target) {
            Ok(next) => target = folder(&target).join(next),
            // It is no link.
            Err(_) => return Ok(target),
        }
    }
    Err(io::Error::other("its symbolic links lead in a circle"))
}

fn folder(file: &Path) -> &Path {
    match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Opens what is there to write to it, without a change to it.
fn open(target: &Path) -> io::Result<fs::File> {
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    fs::OpenOptions::new().write(true).open(target)
}

fn beside(target: &Path, there: Option<&Metadata>, text: &str) -> io::Result<NamedTempFile> {
    if there.is_some() {
        // A file that may not be written to is not replaced either.
        open(target)?;
    }
    let mut builder = Builder::new();
    builder.prefix(".aludel-");
    if let Some(mode) = new_mode() {
        builder.permissions(mode);
    }
    let mut file = builder.tempfile_in(folder(target))?;
    if let Some(there) = there {
        keep_owner(there, file.as_file());
        file.as_file().set_permissions(there.permissions())?;
    }
    file.write_all(text.as_bytes())?;
    file.as_file().sync_all()?;
    Ok(file)
}

/// The mode of a new file, from which the system takes what the user's mask forbids.
#[cfg(unix)]
fn new_mode() -> Option<Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Some(Permissions::from_mode(0o666))
}

#[cfg(not(unix))]
fn new_mode() -> Option<Permissions> {
    None
}

/// Gives a file the owner and the group of another, as far as the user may.
#[cfg(unix)]
fn keep_owner(there: &Metadata, file: &fs::File) {
    use std::os::unix::fs::{MetadataExt, fchown};
    let Ok(own) = file.metadata() else { return };
    if own.gid() != there.gid() {
        // Not allowed: then it is a file of whoever writes it, like any new one.
        let _ = fchown(file, None, Some(there.gid()));
    }
    if own.uid() != there.uid() {
        let _ = fchown(file, Some(there.uid()), None);
    }
}

#[cfg(not(unix))]
fn keep_owner(_: &Metadata, _: &fs::File) {}

/// Has the new name of a file on the disk, too; a file system that cannot do that has its own ways.
fn remember(target: &Path) {
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    let opened = fs::File::open(folder(target));
    let _ = opened.and_then(|folder| folder.sync_all());
}
