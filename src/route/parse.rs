//! Text into the syntax tree, one statement at a time, going on after each fault.
//!
//! The first word of a statement picks the grammar rule; the functions below take a pair of that rule apart. They
//! `expect` only what the rule itself guarantees.

use pest::Parser;
use pest::iterators::{Pair, Pairs};

use crate::text::grammar::{Grammar, Rule, nesting};
use crate::text::outline::MOST_FAULTS;
use crate::text::{Node, Source, Span, outline};

use super::syntax::*;

mod expression;
mod fault;
mod heat;
mod instrument;
mod planning;
mod solution;
mod statement;
mod titration;
mod used;
mod verb;

pub use fault::SyntaxFault;
use fault::unexpected;
pub use used::{Unread, UseFault};
pub use verb::{RESERVED, VERBS, Verb, verbs};

/// The longest statement, in bytes: the grammar takes many times that in memory.
const LONGEST: usize = 64 << 10;

/// Reads a whole text.
pub fn parse(source: &Source) -> (Tree, Vec<SyntaxFault>) {
    parse_from(source, 0)
}

/// Reads a text from a byte on, where another file begins.
pub fn parse_from(source: &Source, base: usize) -> (Tree, Vec<SyntaxFault>) {
    let (nodes, faults) = outline(&source.text()[base..]);
    let faults = faults.into_iter().map(|fault| fault.shifted(base));
    let mut parser = StatementParser {
        text: source.text(),
        base,
        faults: faults.map(SyntaxFault::Outline).collect(),
    };
    let statements = parser.block(&nodes);
    parser.faults.sort_by_key(SyntaxFault::span);
    (Tree { statements }, parser.faults)
}

/// Reads a quantity alone, as in `--set scrap="2 g"`.
pub fn parse_quantity(text: &str) -> Result<Spanned<Literal>, SyntaxFault> {
    let mut pair = lone(Rule::lone_quantity, text)?;
    let quantity = pair.next().expect("lone_quantity holds a quantity");
    Reader { base: 0 }.literal(quantity)
}

fn lone(rule: Rule, text: &str) -> Result<Pairs<'_, Rule>, SyntaxFault> {
    if let Some(at) = nesting(text) {
        return Err(SyntaxFault::TooDeep {
            span: Span::new(at, at + 1),
        });
    }
    let mut pairs = Grammar::parse(rule, text).map_err(|error| unexpected(&error, text, "", 0))?;
    let pair = pairs
        .next()
        .expect("a successful parse gives the rule asked for");
    Ok(pair.into_inner())
}

struct StatementParser<'t> {
    text: &'t str,
    /// Where the outline begins.
    base: usize,
    faults: Vec<SyntaxFault>,
}

impl StatementParser<'_> {
    // Recursion is bounded by the outline's own limit on blocks.
    fn block(&mut self, nodes: &[Node]) -> Vec<Spanned<Statement>> {
        let mut read = Vec::new();
        for node in nodes {
            if self.faults.len() >= MOST_FAULTS {
                break;
            }
            let Node::Statement(statement) = node else {
                continue;
            };
            let body = statement.block.as_deref().map(|inside| self.block(inside));
            let span = statement.span.shifted(self.base);
            match self.statement(span, body) {
                Ok(node) => read.push(Spanned { node, span }),
                Err(fault) => self.faults.push(fault),
            }
        }
        read
    }

    fn statement(
        &self,
        span: Span,
        body: Option<Vec<Spanned<Statement>>>,
    ) -> Result<Statement, SyntaxFault> {
        let text = &self.text[span.range()];
        let length = text
            .find(|c: char| !(c.is_alphanumeric() || c == '_'))
            .unwrap_or(text.len());
        let word = Spanned {
            node: text[..length].to_owned(),
            // Where no word stands, the first character does: it may be several bytes long.
            span: Span::new(
                span.start,
                span.start + length.max(text.chars().next().map_or(0, char::len_utf8)),
            ),
        };
        if RESERVED.contains(&word.node.as_str()) {
            return Err(SyntaxFault::NotYet { word });
        }
        let Some(verb) = Verb::of(&word.node) else {
            return Err(SyntaxFault::UnknownVerb { word });
        };
        if text.len() > LONGEST {
            return Err(SyntaxFault::TooLong { span: word.span });
        }
        if let Some(at) = nesting(text) {
            let at = span.start + at;
            return Err(SyntaxFault::TooDeep {
                span: Span::new(at, at + 1),
            });
        }
        let parsed = Grammar::parse(verb.rule, text);
        let mut pairs = parsed.map_err(|error| unexpected(&error, text, verb.word, span.start))?;
        let pair = pairs
            .next()
            .expect("a successful parse gives the rule asked for");
        let reader = Reader { base: span.start };
        let statement = reader.statement(pair).map_err(|fault| match fault {
            // Formulas and equations are read with the spans of the statement's own text.
            SyntaxFault::Formula(mut fault) => {
                fault.span = fault.span.shifted(span.start);
                SyntaxFault::Formula(fault)
            }
            SyntaxFault::Equation(mut fault) => {
                fault.span = fault.span.shifted(span.start);
                SyntaxFault::Equation(fault)
            }
            other => other,
        })?;
        match (statement, body) {
            (Statement::Step { title, .. }, Some(body)) => Ok(Statement::Step { title, body }),
            (
                Statement::Procedure {
                    name, parameters, ..
                },
                Some(body),
            ) => Ok(Statement::Procedure {
                name,
                parameters,
                body: body.into(),
            }),
            (Statement::Step { .. } | Statement::Procedure { .. }, None) => {
                Err(SyntaxFault::MissingBlock { header: span })
            }
            (_, Some(_)) => Err(SyntaxFault::StrayBlock { header: span }),
            (statement, None) => Ok(statement),
        }
    }
}

/// Takes pairs apart; `base` is where the parsed text begins in the source.
struct Reader {
    base: usize,
}

type Read<T> = Result<T, SyntaxFault>;

impl Reader {
    fn span(&self, pair: &Pair<'_, Rule>) -> Span {
        let span = pair.as_span();
        Span::new(span.start(), span.end()).shifted(self.base)
    }
}

fn only(pair: Pair<'_, Rule>) -> Pair<'_, Rule> {
    pair.into_inner()
        .next()
        .expect("the rule wraps exactly one other")
}

fn text(pair: &Pair<'_, Rule>) -> String {
    pair.as_str().trim_matches('"').to_owned()
}
