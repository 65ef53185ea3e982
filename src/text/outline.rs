//! From a whole text to its statements and blocks, before any of them is parsed.
//!
//! A statement ends with its line; a `{` at the end of a statement opens a block that a `}` closes. Comments begin
//! with `#` and end with the line. Text in double quotes is kept whole. This comes first because a parser that sees
//! one statement at a time can go on after a fault, and because nesting is counted here, where it costs no stack.
//!
//! Knows nothing of verbs or formulas.

use super::Span;

/// How deep blocks may be nested.
pub const MAX_DEPTH: usize = 32;

/// How many statements a text may have: each takes a kilobyte or more when it is read.
pub const MOST_STATEMENTS: usize = 200_000;

/// How many faults of one text are looked for; somebody who meets that many reads the first.
pub const MOST_FAULTS: usize = 1_000;

/// A statement, with the block it opens if it opens one.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Statement {
    /// The text of the statement, without comment, braces and surrounding blanks.
    pub span: Span,
    /// What stands between its braces.
    pub block: Option<Vec<Node>>,
}

/// One piece of an outline.
#[derive(Clone, Debug, Eq, PartialEq)]
pub enum Node {
    /// Something to run.
    Statement(Statement),
    /// A comment, from its `#` to the end of the line, kept for tools that print the text again.
    Comment(Span),
    /// One or more blank lines, kept for the same tools.
    Blank,
}

/// What can be wrong before a statement is read.
#[derive(Clone, Copy, Debug, Eq, PartialEq, thiserror::Error)]
pub enum Fault {
    /// `step "Mix" {` and nothing after it.
    #[error("this block is never closed")]
    UnclosedBlock {
        /// The brace that opens it.
        brace: Span,
    },
    /// `}` alone.
    #[error("this `}}` closes nothing")]
    StrayBrace {
        /// The brace.
        brace: Span,
    },
    /// `title "Salt`.
    #[error("the text that begins here has no end")]
    UnclosedText {
        /// From the quote to the end of its line.
        text: Span,
    },
    /// More than [`MAX_DEPTH`] blocks in each other.
    #[error("more than {} blocks stand inside each other", MAX_DEPTH)]
    TooDeep {
        /// The brace that goes too far.
        brace: Span,
    },
    /// More than [`MOST_STATEMENTS`]: the rest is left out.
    #[error("these are more than {} statements", MOST_STATEMENTS)]
    TooMany {
        /// The first that is left out.
        statement: Span,
    },
}

impl Fault {
    /// Whether more lines could still mend it: the prompt asks, to go on reading.
    pub fn is_unfinished(&self) -> bool {
        matches!(self, Fault::UnclosedBlock { .. })
    }

    /// The same fault in a text in which this one's text begins at byte `offset`.
    pub fn shifted(self, offset: usize) -> Fault {
        match self {
            Fault::UnclosedBlock { brace } => Fault::UnclosedBlock {
                brace: brace.shifted(offset),
            },
            Fault::StrayBrace { brace } => Fault::StrayBrace {
                brace: brace.shifted(offset),
            },
            Fault::TooDeep { brace } => Fault::TooDeep {
                brace: brace.shifted(offset),
            },
            Fault::UnclosedText { text } => Fault::UnclosedText {
                text: text.shifted(offset),
            },
            Fault::TooMany { statement } => Fault::TooMany {
                statement: statement.shifted(offset),
            },
        }
    }

    /// Where it is.
    pub fn span(&self) -> Span {
        match *self {
            Fault::UnclosedBlock { brace }
            | Fault::StrayBrace { brace }
            | Fault::TooDeep { brace } => brace,
            Fault::UnclosedText { text } => text,
            Fault::TooMany { statement } => statement,
        }
    }
}

/// Splits `text` into its outline; faults are listed in the order of the text, and the outline goes on after each, as far
/// as [`MOST_FAULTS`] and [`MOST_STATEMENTS`].
///
/// ```
/// use aludel::text::{outline, Node};
/// let (nodes, faults) = outline("step \"Mix\" {\n  react flask: Fe + S -> FeS # slow\n}\n");
/// assert!(faults.is_empty());
/// assert!(matches!(&nodes[0], Node::Statement(step) if step.block.is_some()));
/// ```
pub fn outline(text: &str) -> (Vec<Node>, Vec<Fault>) {
    let mut outliner = Outliner {
        open: Vec::new(),
        nodes: Vec::new(),
        faults: Vec::new(),
        statements: 0,
    };
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        if outliner.is_full() {
            break;
        }
        outliner.line(line, start);
        start += line.len();
    }
    outliner.finish()
}

/// A block whose closing brace has not come yet.
struct Open {
    header: Span,
    brace: Span,
    /// The nodes around the block, to go on with when it closes.
    outside: Vec<Node>,
}

struct Outliner {
    open: Vec<Open>,
    nodes: Vec<Node>,
    faults: Vec<Fault>,
    statements: usize,
}

impl Outliner {
    fn is_full(&self) -> bool {
        self.faults.len() >= MOST_FAULTS || self.statements > MOST_STATEMENTS
    }

    fn line(&mut self, line: &str, offset: usize) {
        if line.trim().is_empty() {
            if !matches!(self.nodes.last(), Some(Node::Blank)) {
                self.nodes.push(Node::Blank);
            }
            return;
        }
        let mut quoted_from = None;
        let mut begin = 0;
        for (at, byte) in line.bytes().enumerate() {
            if self.is_full() {
                return;
            }
            let here = Span::new(offset + at, offset + at + 1);
            match (byte, quoted_from) {
                (b'"', None) => quoted_from = Some(at),
                (b'"', Some(_)) => quoted_from = None,
                (_, Some(_)) => {}
                (b'#', None) => {
                    self.statement(line, begin, at, offset);
                    let end = line.trim_end().len();
                    self.nodes
                        .push(Node::Comment(Span::new(offset + at, offset + end)));
                    return;
                }
                (b'{', None) => {
                    self.open_block(trimmed(line, begin, at, offset), here);
                    begin = at + 1;
                }
                (b'}', None) => {
                    self.statement(line, begin, at, offset);
                    self.close_block(here);
                    begin = at + 1;
                }
                _ => {}
            }
        }
        if let Some(at) = quoted_from {
            let end = line.trim_end().len();
            self.faults.push(Fault::UnclosedText {
                text: Span::new(offset + at, offset + end),
            });
            return;
        }
        self.statement(line, begin, line.len(), offset);
    }

    fn statement(&mut self, line: &str, begin: usize, end: usize, offset: usize) {
        let span = trimmed(line, begin, end, offset);
        if span.start < span.end && self.counted(span) {
            self.nodes
                .push(Node::Statement(Statement { span, block: None }));
        }
    }

    /// Whether one statement more may be.
    fn counted(&mut self, statement: Span) -> bool {
        self.statements += 1;
        let fits = self.statements <= MOST_STATEMENTS;
        if !fits {
            self.faults.push(Fault::TooMany { statement });
        }
        fits
    }

    fn open_block(&mut self, header: Span, brace: Span) {
        if self.open.len() == MAX_DEPTH {
            self.faults.push(Fault::TooDeep { brace });
        }
        self.counted(header);
        self.open.push(Open {
            header,
            brace,
            outside: std::mem::take(&mut self.nodes),
        });
    }

    fn close_block(&mut self, brace: Span) {
        let Some(open) = self.open.pop() else {
            self.faults.push(Fault::StrayBrace { brace });
            return;
        };
        let inside = std::mem::replace(&mut self.nodes, open.outside);
        // Past the limit the contents are dropped: the fault is told already, and a tree that deep could not be
        // walked (nor dropped) safely.
        let block = if self.open.len() < MAX_DEPTH {
            inside
        } else {
            Vec::new()
        };
        self.nodes.push(Node::Statement(Statement {
            span: open.header,
            block: Some(block),
        }));
    }

    fn finish(mut self) -> (Vec<Node>, Vec<Fault>) {
        // Where the rest was not looked at, nobody knows whether it closes.
        if let Some(open) = self.open.first().filter(|_| !self.is_full()) {
            self.faults.push(Fault::UnclosedBlock { brace: open.brace });
        }
        while let Some(open) = self.open.last() {
            self.close_block(open.brace);
        }
        self.faults.sort_by_key(Fault::span);
        (self.nodes, self.faults)
    }
}

/// The stretch of `line` between two of its bytes without the blanks around it, as a span of the whole text.
fn trimmed(line: &str, begin: usize, end: usize, offset: usize) -> Span {
    let piece = &line[begin..end];
    let start = begin + (piece.len() - piece.trim_start().len());
    let end = begin + piece.trim_end().len();
    Span::new(offset + start, offset + end.max(start))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(nodes: &[Node], text: &str, into: &mut Vec<String>) {
        for node in nodes {
            if let Node::Statement(statement) = node {
                into.push(text[statement.span.range()].to_owned());
                if let Some(block) = &statement.block {
                    into.push("{".into());
                    texts(block, text, into);
                    into.push("}".into());
                }
            }
        }
    }

    fn flat(text: &str) -> Vec<String> {
        let mut into = Vec::new();
        texts(&outline(text).0, text, &mut into);
        into
    }

    #[test]
    fn statements_end_with_their_line_and_blocks_with_their_brace() {
        assert_eq!(flat("a b\n\n  c # d\n"), ["a b", "c"]);
        assert_eq!(flat("step {\n a\n}\nb"), ["step", "{", "a", "}", "b"]);
        assert_eq!(flat("step { a }"), ["step", "{", "a", "}"]);
        assert_eq!(
            flat("note \"# { not a comment\""),
            ["note \"# { not a comment\""]
        );
    }

    #[test]
    fn faults_are_all_reported_and_the_rest_survives() {
        let (nodes, faults) = outline("}\ntitle \"x\nstep {\n a\n");
        assert_eq!(faults.len(), 3);
        assert!(matches!(faults[0], Fault::StrayBrace { .. }));
        assert!(matches!(faults[1], Fault::UnclosedText { .. }));
        assert!(faults[2].is_unfinished());
        assert!(
            matches!(&nodes[0], Node::Statement(s) if s.block.as_ref().is_some_and(|b| b.len() == 1))
        );
    }

    #[test]
    fn ten_thousand_blocks_in_each_other_need_no_stack() {
        let text = "a {\n".repeat(10_000) + &"}\n".repeat(10_000);
        let (_, faults) = outline(&text);
        assert!(faults.iter().all(|f| matches!(f, Fault::TooDeep { .. })));
    }
}
