//! `use "FILE"`: what other files bring.
//!
//! Promises: a file brings its declarations and procedures and nothing else, once, however often it is used; files that
//! use each other in a circle are told, never followed.
//!
//! Knows nothing of files: whoever asks for a route says how they are read.

use rustc_hash::FxHashSet;

use crate::text::Source;

use super::parse::{SyntaxFault, parse, parse_from};
use super::syntax::{Name, Spanned, Statement, Tree};

/// Reads the file that a path means when it stands in the file called by the second name; the source is called by a
/// name that is the same for the same file.
pub type Loader<'l> = &'l dyn Fn(&str, &str) -> Result<Source, Unread>;

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
    #[error("too many files use each other")]
    TooMany,
}

/// Files in each other.
const DEEPEST: usize = 16;
/// Files of one route.
const MOST: usize = 256;
/// The longest text of a route with all that it uses, in MiB.
const LONGEST: usize = 16;

/// For routes that stand alone.
pub fn no_files(_: &str, _: &str) -> Result<Source, Unread> {
    Err(Unread::OutOfReach)
}

/// A route with the files that it uses, as one text and one tree.
pub(super) struct Gathered {
    pub(super) source: Source,
    pub(super) tree: Tree,
    pub(super) faults: Vec<SyntaxFault>,
}

/// Reads a route and what it uses.
pub(super) fn gather(source: &Source, load: Loader<'_>) -> Gathered {
    let (mut tree, faults) = parse(source);
    let mut gatherer = Gatherer {
        source: source.clone(),
        load,
        faults,
        open: vec![source.name().to_owned()],
        read: FxHashSet::default(),
    };
    gatherer.fill(&mut tree.statements);
    gatherer.faults.sort_by_key(SyntaxFault::span);
    Gathered {
        source: gatherer.source,
        tree,
        faults: gatherer.faults,
    }
}

struct Gatherer<'l> {
    source: Source,
    load: Loader<'l>,
    faults: Vec<SyntaxFault>,
    /// Files that use each other down to the one that is read now.
    open: Vec<String>,
    read: FxHashSet<String>,
}

impl Gatherer<'_> {
    fn fill(&mut self, statements: &mut [Spanned<Statement>]) {
        for statement in statements {
            if let Statement::Use { path, brings } = &mut statement.node {
                match self.bring(path) {
                    Ok(brought) => *brings = brought,
                    Err(why) => self.faults.push(SyntaxFault::Unusable {
                        path: path.clone(),
                        why,
                    }),
                }
            }
        }
    }

    fn bring(&mut self, path: &Name) -> Result<Vec<Spanned<Statement>>, UseFault> {
        let using = self.open.last().map_or("", String::as_str);
        let file = (self.load)(&path.node, using).map_err(UseFault::Unread)?;
        let name = file.name().to_owned();
        if let Some(at) = self.open.iter().position(|open| *open == name) {
            let way = self.open[at..].iter().cloned().chain([name]);
            return Err(UseFault::Cycle(way.collect()));
        }
        if self.read.contains(&name) {
            return Ok(Vec::new());
        }
        if self.open.len() > DEEPEST || self.read.len() == MOST {
            return Err(UseFault::TooMany);
        }
        if self.source.text().len() + file.text().len() > LONGEST << 20 {
            return Err(UseFault::Unread(Unread::TooLong(LONGEST as u64)));
        }
        self.read.insert(name.clone());
        let base = self.source.append(&file);
        let (mut tree, faults) = parse_from(&self.source, base);
        self.faults.extend(faults);
        tree.statements
            .retain(|statement| is_brought(&statement.node));
        self.open.push(name);
        self.fill(&mut tree.statements);
        self.open.pop();
        Ok(tree.statements)
    }
}

/// Declarations and procedures; what a file does, asks and is called stays its own.
fn is_brought(statement: &Statement) -> bool {
    matches!(
        statement,
        Statement::Bottle { .. }
            | Statement::Let { .. }
            | Statement::Vessel { .. }
            | Statement::Substance { .. }
            | Statement::Instrument(_)
            | Statement::Procedure { .. }
            | Statement::Use { .. }
    )
}
