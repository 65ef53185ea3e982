//! A text laid out again: blocks indented, blanks made even, declarations aligned; every word and comment kept.
//!
//! Promises: only blanks change, and never those inside quotes, so the text means what it meant; laying out twice gives
//! what laying out once gave.
//!
//! Knows the outline and which words declare things; nothing of grammar or meaning.

use super::{Node, OutlineFault as Fault, Span, Statement, outline};

const INDENT: &str = "  ";

/// Between words, as the grammar has them. What else looks blank, such as a vertical tab, is a slip that is refused
/// when the text is read: it must not be mended without a word.
const BLANKS: [char; 5] = [' ', '\t', '\u{a0}', '\u{202f}', '\u{2009}'];

/// Declarations whose values stand under each other when the lines follow one another.
const ALIGNED: [&str; 3] = ["bottle", "vessel", "substance"];

/// Statements whose first colon belongs to a ratio, which is written with blanks around it.
const WITHOUT_COLON: [&str; 3] = ["scale", "show", "expect"];

/// Lays out a text.
///
/// # Errors
/// The braces and quotes that do not match: then nothing can be said about what stands where.
///
/// ```
/// use aludel::text::layout;
/// let text = "step \"Mix\" {react  flask : Fe+S -> FeS # slow\n}";
/// let laid = "step \"Mix\" {\n  react flask: Fe+S -> FeS  # slow\n}\n";
/// assert_eq!(layout(text).unwrap(), laid);
/// assert_eq!(layout(laid).unwrap(), laid);
/// ```
pub fn layout(text: &str) -> Result<String, Vec<Fault>> {
    let (nodes, faults) = outline(text);
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut lines = Vec::new();
    set_block(text, &nodes, 0, &mut lines);
    align(&mut lines);
    Ok(lines.iter().map(Line::text).collect())
}

/// One line of the new text.
struct Line {
    depth: usize,
    /// The verb and what it acts on, with its colon, of a declaration that is aligned.
    head: Option<String>,
    /// Blanks between head and rest.
    gap: usize,
    rest: String,
    comment: Option<String>,
}

impl Line {
    fn text(&self) -> String {
        let head = self.head.as_deref().unwrap_or("");
        let mut line = INDENT.repeat(self.depth) + head + &" ".repeat(self.gap) + &self.rest;
        if let Some(comment) = &self.comment {
            let before = if line.trim().is_empty() { "" } else { "  " };
            line = line + before + comment;
        }
        line.trim_end().to_owned() + "\n"
    }

    fn verb(&self) -> Option<&str> {
        self.head.as_deref()?.split(' ').next()
    }
}

fn set_block(text: &str, nodes: &[Node], depth: usize, lines: &mut Vec<Line>) {
    let mut last: Option<Span> = None;
    let inner = nodes.iter().enumerate();
    for (place, node) in inner {
        match node {
            Node::Statement(statement) => {
                set_statement(text, statement, depth, lines);
                last = statement.block.is_none().then_some(statement.span);
            }
            Node::Comment(span) => {
                let comment = text[span.range()].to_owned();
                let beside = last.is_some_and(|s| !text[s.end..span.start].contains('\n'));
                match lines.last_mut() {
                    Some(line) if beside => line.comment = Some(comment),
                    _ => lines.push(plain(depth, comment)),
                }
                last = None;
            }
            // No blank line at either end of a block or of the text.
            Node::Blank if place == 0 || place + 1 == nodes.len() => {}
            Node::Blank => lines.push(plain(0, String::new())),
        }
    }
}

fn set_statement(text: &str, statement: &Statement, depth: usize, lines: &mut Vec<Line>) {
    let words = evenly(&text[statement.span.range()]);
    let Some(block) = &statement.block else {
        lines.push(declaration(depth, words));
        return;
    };
    let brace = if words.is_empty() { "{" } else { " {" };
    lines.push(plain(depth, words + brace));
    set_block(text, block, depth + 1, lines);
    lines.push(plain(depth, "}".to_owned()));
}

fn plain(depth: usize, rest: String) -> Line {
    Line {
        depth,
        head: None,
        gap: 0,
        rest,
        comment: None,
    }
}

fn declaration(depth: usize, words: String) -> Line {
    let verb = words.split(' ').next().unwrap_or("");
    match words.split_once(": ") {
        Some((head, rest)) if ALIGNED.contains(&verb) => Line {
            head: Some(format!("{head}:")),
            gap: 1,
            rest: rest.to_owned(),
            ..plain(depth, String::new())
        },
        _ => plain(depth, words),
    }
}

/// The statement with single blanks, one after each comma and none before it, the colon close to what it follows.
/// Whatever stands in quotes is left alone.
fn evenly(statement: &str) -> String {
    let mut made = String::with_capacity(statement.len());
    let verb = statement.split_whitespace().next().unwrap_or("");
    let mut colon_due = !WITHOUT_COLON.contains(&verb);
    for (place, piece) in statement.split('"').enumerate() {
        if place % 2 == 1 {
            made = made + "\"" + piece + "\"";
            continue;
        }
        for letter in piece.chars() {
            match letter {
                blank if BLANKS.contains(&blank) => {
                    if !made.ends_with(' ') {
                        made.push(' ');
                    }
                }
                ',' => close_up(&mut made, ", "),
                ':' if colon_due => {
                    close_up(&mut made, ": ");
                    colon_due = false;
                }
                other => made.push(other),
            }
        }
    }
    made.trim().to_owned()
}

fn close_up(made: &mut String, with: &str) {
    let kept = made.trim_end_matches(' ').len();
    made.truncate(kept);
    made.push_str(with);
}

/// Puts the values of neighbouring declarations of one kind under each other.
fn align(lines: &mut [Line]) {
    let mut first = 0;
    while first < lines.len() {
        let alike = |line: &&Line| {
            line.verb().is_some()
                && line.verb() == lines[first].verb()
                && line.depth == lines[first].depth
        };
        let run = lines[first..].iter().take_while(alike).count().max(1);
        let width = |line: &Line| line.head.as_ref().map_or(0, |head| head.chars().count());
        let widest = lines[first..first + run]
            .iter()
            .map(width)
            .max()
            .unwrap_or(0);
        for line in &mut lines[first..first + run] {
            if line.head.is_some() {
                line.gap = widest - width(line) + 1;
            }
        }
        first += run;
    }
}
