//! Why a file that a route names cannot be used.

/// Why a file cannot be read.
#[derive(Clone, Debug, Eq, PartialEq, thiserror::Error)]
pub enum Unread {
    /// There is none.
    #[error("there is no such file")]
    Missing {
        /// One of nearly that name.
        near: Option<String>,
    },
    /// It is a folder.
    #[error("this is a folder")]
    Folder,
    /// It is a pipe or a device, which might never end.
    #[error("this is a pipe or a device")]
    NotPlain,
    /// The system says why.
    #[error("the file cannot be read: {0}")]
    Refused(String),
    /// A byte that belongs to no character, and its line, both counted from one.
    #[error("the file is not text: byte {byte} (on line {line}) belongs to no character")]
    NotText {
        /// The byte.
        byte: usize,
        /// Its line.
        line: usize,
    },
    /// Longer than so many MiB.
    #[error("the file is longer than {0} MiB")]
    TooLong(u64),
    /// Files are out of reach here.
    #[error("the file cannot be read from here")]
    OutOfReach,
}

/// Why a file cannot be used.
#[derive(Clone, Debug, Eq, PartialEq, thiserror::Error)]
pub enum UseFault {
    /// It cannot be read.
    #[error(transparent)]
    Unread(Unread),
    /// It uses, by these files, itself.
    #[error("these files use each other in a circle: {}", .0.join(" → "))]
    Cycle(Vec<String>),
    /// Too many files, or files too deep in each other.
    #[error("this is one file too many")]
    TooMany,
    /// With it the route and all that it uses are longer than so many MiB.
    #[error("with this file the route and what it uses are longer than {0} MiB")]
    TooLongTogether(usize),
}
