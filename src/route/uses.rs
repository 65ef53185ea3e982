//! `use "FILE"`: what other files bring.
//!
//! Promises: a file brings its declarations and procedures and nothing else, once, however often it is used; files that
//! use each other in a circle are told, never followed.
//!
//! Knows nothing of files: whoever asks for a route says how they are read.

use rustc_hash::FxHashSet;

use crate::text::Source;

use super::parse::{SyntaxFault, parse_from};
use super::syntax::{Name, Spanned, Statement, Tree};

pub use super::parse::{Unread, UseFault};

/// Reads the file that a path means when it stands in the file called by the second name; the identity of the source is the
/// same for the same file.
pub type Loader<'l> = &'l dyn Fn(&str, &str) -> Result<Source, Unread>;

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

/// A route with the files that it uses, as one tree.
pub(super) struct Gathered {
    pub(super) tree: Tree,
    pub(super) faults: Vec<SyntaxFault>,
}

/// Reads the last text of a source, which begins at byte `base`, and what it uses, which is put behind it.
pub(super) fn gather(source: &mut Source, base: usize, load: Loader<'_>) -> Gathered {
    let (mut tree, faults) = parse_from(source, base);
    let mut gatherer = Gatherer {
        open: vec![Opened::route(source, base)],
        source,
        base,
        load,
        faults,
        read: FxHashSet::default(),
    };
    gatherer.fill(&mut tree.statements);
    gatherer.faults.sort_by_key(SyntaxFault::span);
    Gathered {
        tree,
        faults: gatherer.faults,
    }
}

struct Gatherer<'l> {
    source: &'l mut Source,
    /// Where the route begins.
    base: usize,
    load: Loader<'l>,
    faults: Vec<SyntaxFault>,
    /// Files that use each other down to the one that is read now.
    open: Vec<Opened>,
    /// Identities.
    read: FxHashSet<String>,
}

struct Opened {
    name: String,
    identity: String,
}

impl Opened {
    fn of(file: &Source) -> Opened {
        Opened {
            name: file.name().to_owned(),
            identity: file.identity().to_owned(),
        }
    }

    /// The route itself; at the prompt, which is no file, an entry.
    fn route(source: &Source, base: usize) -> Opened {
        match base {
            0 => Opened::of(source),
            _ => Opened {
                name: source.place(base).0.to_owned(),
                identity: source.place(base).0.to_owned(),
            },
        }
    }
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
        let using = self.open.last().map_or("", |open| &open.name);
        let file = (self.load)(&path.node, using).map_err(UseFault::Unread)?;
        let opened = Opened::of(&file);
        let same = |open: &Opened| open.identity == opened.identity;
        if let Some(at) = self.open.iter().position(same) {
            let way = self.open[at..].iter().chain([&opened]);
            let names = way.map(|open| open.name.clone());
            return Err(UseFault::Cycle(names.collect()));
        }
        if self.read.contains(&opened.identity) {
            return Ok(Vec::new());
        }
        if self.open.len() > DEEPEST || self.read.len() == MOST {
            return Err(UseFault::TooMany);
        }
        if self.source.text().len() - self.base + file.text().len() > LONGEST << 20 {
            return Err(UseFault::TooLongTogether(LONGEST));
        }
        self.read.insert(opened.identity.clone());
        let base = self.source.append(&file);
        let (mut tree, faults) = parse_from(self.source, base);
        self.faults.extend(faults);
        tree.statements
            .retain(|statement| is_brought(&statement.node));
        self.open.push(opened);
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
