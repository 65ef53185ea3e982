//! Text into the syntax tree, one statement at a time, going on after each fault.
//!
//! The first word of a statement picks the grammar rule; the functions below take a pair of that rule apart. They
//! `expect` only what the rule itself guarantees.

use pest::Parser;
use pest::error::InputLocation;
use pest::iterators::{Pair, Pairs};

use crate::equation::{EquationFault, Skeleton, read_equation};
use crate::matter::{FormulaFault, Species, expected_words, explain, read_species};
use crate::number::Exact;
use crate::text::grammar::{Grammar, Rule, nesting};
use crate::text::{Node, OutlineFault, Source, Span, outline};

use super::syntax::*;

/// What can be wrong with a statement before its names are looked up.
#[derive(Clone, Debug, PartialEq)]
pub enum SyntaxFault {
    /// Braces and quotes.
    Outline(OutlineFault),
    /// `charge flask: 5 g Xx`
    Formula(FormulaFault),
    /// `react flask: 0 Fe -> Fe`
    Equation(EquationFault),
    /// `stir flask`
    UnknownVerb {
        /// The word.
        word: Name,
    },
    /// `titrate flask with acid: …`: a word of the language that is not there yet.
    NotYet {
        /// The word.
        word: Name,
    },
    /// `charge flask { }`: only a step has a block.
    StrayBlock {
        /// The statement before the block.
        header: Span,
    },
    /// `step "Mix"` without a block.
    MissingBlock {
        /// The statement.
        header: Span,
    },
    /// Too many brackets in each other.
    TooDeep {
        /// The bracket.
        span: Span,
    },
    /// A number with more digits than can be read.
    BadNumber {
        /// The number.
        span: Span,
    },
    /// Anything else: what would have been understood there.
    Unexpected {
        /// Where.
        span: Span,
        /// The verb of the statement.
        verb: String,
        /// Names of what could stand there.
        expected: Vec<String>,
    },
}

impl SyntaxFault {
    /// Where it is.
    pub fn span(&self) -> Span {
        match self {
            SyntaxFault::Outline(fault) => fault.span(),
            SyntaxFault::Formula(fault) => fault.span,
            SyntaxFault::Equation(fault) => fault.span,
            SyntaxFault::UnknownVerb { word } | SyntaxFault::NotYet { word } => word.span,
            SyntaxFault::StrayBlock { header } | SyntaxFault::MissingBlock { header } => *header,
            SyntaxFault::TooDeep { span }
            | SyntaxFault::BadNumber { span }
            | SyntaxFault::Unexpected { span, .. } => *span,
        }
    }
}

impl From<FormulaFault> for SyntaxFault {
    fn from(fault: FormulaFault) -> Self {
        SyntaxFault::Formula(fault)
    }
}

impl From<EquationFault> for SyntaxFault {
    fn from(fault: EquationFault) -> Self {
        SyntaxFault::Equation(fault)
    }
}

/// The verbs of the language with the grammar rule of each.
const VERBS: [(&str, Rule); 33] = [
    ("ambient", Rule::ambient_statement),
    ("bottle", Rule::bottle_statement),
    ("charge", Rule::charge_statement),
    ("cool", Rule::cool_statement),
    ("crystallise", Rule::crystallise_statement),
    ("decant", Rule::decant_statement),
    ("dilute", Rule::dilute_statement),
    ("discard", Rule::discard_statement),
    ("dry", Rule::dry_statement),
    ("evaporate", Rule::evaporate_statement),
    ("expect", Rule::expect_statement),
    ("filter", Rule::filter_statement),
    ("hold", Rule::hold_statement),
    ("let", Rule::let_statement),
    ("measure", Rule::measure_statement),
    ("note", Rule::note_statement),
    ("open", Rule::open_statement),
    ("pour", Rule::pour_statement),
    ("react", Rule::react_statement),
    ("scale", Rule::scale_statement),
    ("seal", Rule::seal_statement),
    ("show", Rule::show_statement),
    ("step", Rule::step_statement),
    ("substance", Rule::substance_statement),
    ("take", Rule::take_statement),
    ("title", Rule::title_statement),
    ("vent", Rule::vent_statement),
    ("vessel", Rule::vessel_statement),
    ("wait", Rule::wait_statement),
    ("warm", Rule::warm_statement),
    ("wash", Rule::wash_statement),
    ("weigh", Rule::weigh_statement),
    ("yield", Rule::yield_statement),
];

/// Words that are kept for statements to come.
pub const RESERVED: [&str; 7] = [
    "titrate",
    "settle",
    "find",
    "vary",
    "procedure",
    "use",
    "do",
];

/// Every verb, for completion and suggestions.
pub fn verbs() -> impl Iterator<Item = &'static str> {
    VERBS.iter().map(|(verb, _)| *verb)
}

/// Reads a whole text.
pub fn parse(source: &Source) -> (Tree, Vec<SyntaxFault>) {
    let (nodes, faults) = outline(source.text());
    let mut parser = StatementParser {
        text: source.text(),
        faults: faults.into_iter().map(SyntaxFault::Outline).collect(),
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

/// Reads an expression alone, as at the prompt.
pub fn parse_expression(text: &str) -> Result<Spanned<Expr>, SyntaxFault> {
    let mut pair = lone(Rule::lone_expression, text)?;
    Reader { base: 0 }.expr(pair.next().expect("lone_expression holds an expression"))
}

/// Reads a quantity of something, as in `--to "50 g Fe"`.
pub fn parse_portion(text: &str) -> Result<(Spanned<Literal>, Species), SyntaxFault> {
    let mut pair = lone(Rule::lone_portion, text)?;
    let reader = Reader { base: 0 };
    let quantity = reader.literal(pair.next().expect("lone_portion begins with a quantity"))?;
    let species = read_species(pair.next().expect("lone_portion ends with a species"))?;
    Ok((quantity, species))
}

/// Reads what stands on a label, as in `--bottle "HCl 37 %w/w"`; the bottle is named by the label.
pub fn parse_bottle(text: &str) -> Result<Statement, SyntaxFault> {
    let pairs = lone(Rule::lone_bottle, text)?;
    let name = Spanned {
        node: text.trim().to_owned(),
        span: Span::new(0, text.len()),
    };
    Reader { base: 0 }.bottle(name, pairs)
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

fn unexpected(
    error: &pest::error::Error<Rule>,
    text: &str,
    verb: &str,
    base: usize,
) -> SyntaxFault {
    let at = match error.location {
        InputLocation::Pos(at) | InputLocation::Span((at, _)) => at,
    };
    if let Some(slip) = explain(text, at) {
        let span = slip.span.shifted(base);
        return SyntaxFault::Formula(FormulaFault { span, ..slip });
    }
    // A whole word is a better thing to point at than its first letter.
    let rest = &text[at..];
    let word = rest
        .find(|c: char| !c.is_alphanumeric())
        .unwrap_or(rest.len());
    let length = word.max(rest.chars().next().map_or(0, char::len_utf8));
    SyntaxFault::Unexpected {
        span: Span::new(at, at + length).shifted(base),
        verb: verb.to_owned(),
        expected: expected_words(error),
    }
}

struct StatementParser<'t> {
    text: &'t str,
    faults: Vec<SyntaxFault>,
}

impl StatementParser<'_> {
    // Recursion is bounded by the outline's own limit on blocks.
    fn block(&mut self, nodes: &[Node]) -> Vec<Spanned<Statement>> {
        let mut read = Vec::new();
        for node in nodes {
            let Node::Statement(statement) = node else {
                continue;
            };
            let body = statement.block.as_deref().map(|inside| self.block(inside));
            match self.statement(statement.span, body) {
                Ok(node) => read.push(Spanned {
                    node,
                    span: statement.span,
                }),
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
        let Some((verb, rule)) = VERBS.iter().find(|(verb, _)| *verb == word.node) else {
            return Err(SyntaxFault::UnknownVerb { word });
        };
        if let Some(at) = nesting(text) {
            let at = span.start + at;
            return Err(SyntaxFault::TooDeep {
                span: Span::new(at, at + 1),
            });
        }
        let parsed = Grammar::parse(*rule, text);
        let mut pairs = parsed.map_err(|error| unexpected(&error, text, verb, span.start))?;
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
            (Statement::Step { .. }, None) => Err(SyntaxFault::MissingBlock { header: span }),
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

    fn statement(&self, pair: Pair<'_, Rule>) -> Read<Statement> {
        let rule = pair.as_rule();
        let mut parts = pair
            .into_inner()
            .filter(|p| p.as_rule() != Rule::EOI)
            .peekable();
        let mut next = || {
            parts
                .next()
                .expect("the grammar gives every fixed part of a statement")
        };
        Ok(match rule {
            Rule::title_statement => Statement::Title(text(&next())),
            Rule::note_statement => Statement::Note(text(&next())),
            Rule::ambient_statement => Statement::Ambient {
                temperature: self.literal(next())?,
                pressure: parts.next().map(|p| self.literal(p)).transpose()?,
            },
            Rule::bottle_statement => {
                let name = self.name(next());
                let rest: Vec<_> = parts.collect();
                return self.bottle(name, rest.into_iter());
            }
            Rule::let_statement => Statement::Let {
                name: self.name(next()),
                value: self.expr(next())?,
            },
            Rule::vessel_statement => Statement::Vessel {
                name: self.name(next()),
                capacity: parts.next().map(|p| self.literal(p)).transpose()?,
            },
            Rule::substance_statement => Statement::Substance {
                species: self.species(next())?,
                data: parts.map(|p| self.datum(p)).collect::<Read<_>>()?,
            },
            Rule::step_statement => Statement::Step {
                title: parts.next().map(|p| text(&p)),
                body: Vec::new(),
            },
            Rule::charge_statement => {
                let vessel = self.name(next());
                return self.charge(vessel, next());
            }
            Rule::react_statement => {
                let (vessel, equation) = (self.name(next()), self.equation(next())?);
                let (mut degree, mut limit) = (None, None);
                for part in parts {
                    let is_degree = part.as_rule() == Rule::degree;
                    let inner = only(part);
                    if is_degree {
                        degree = Some(self.expr(inner)?);
                    } else {
                        limit = Some(self.matter(inner)?);
                    }
                }
                Statement::React {
                    vessel,
                    equation,
                    degree,
                    limit,
                }
            }
            Rule::warm_statement => Statement::Warm {
                vessel: self.name(next()),
                to: self.expr(next())?,
            },
            Rule::cool_statement => Statement::Cool {
                vessel: self.name(next()),
                to: self.expr(next())?,
            },
            Rule::hold_statement => Statement::Hold {
                vessel: self.name(next()),
                at: self.expr(next())?,
            },
            Rule::vent_statement => Statement::Vent {
                vessel: self.name(next()),
            },
            Rule::seal_statement => Statement::Seal {
                vessel: self.name(next()),
            },
            Rule::open_statement => Statement::Open {
                vessel: self.name(next()),
            },
            Rule::discard_statement => Statement::Discard {
                vessel: self.name(next()),
            },
            Rule::filter_statement => Statement::Filter {
                vessel: self.name(next()),
                filtrate: self.name(next()),
                cake: self.name(next()),
                retaining: parts.next().map(|p| self.expr(p)).transpose()?,
            },
            Rule::decant_statement => Statement::Decant {
                vessel: self.name(next()),
                into: self.name(next()),
            },
            Rule::pour_statement => Statement::Pour {
                vessel: self.name(next()),
                into: self.name(next()),
            },
            Rule::take_statement => Statement::Take {
                amount: self.expr(next())?,
                vessel: self.name(next()),
                into: self.name(next()),
            },
            Rule::wash_statement => Statement::Wash {
                vessel: self.name(next()),
                with: self.portion(next())?,
                into: parts.next().map(|p| self.name(p)),
            },
            Rule::dry_statement => Statement::Dry {
                vessel: self.name(next()),
                at: parts.next().map(|p| self.expr(p)).transpose()?,
            },
            Rule::evaporate_statement => Statement::Evaporate {
                vessel: self.name(next()),
                to: self.expr(next())?,
            },
            Rule::dilute_statement => Statement::Dilute {
                vessel: self.name(next()),
                to: self.expr(next())?,
            },
            Rule::crystallise_statement => Statement::Crystallise {
                vessel: self.name(next()),
                at: self.expr(next())?,
                species: self.species(next())?,
                into: self.name(next()),
            },
            Rule::weigh_statement => Statement::Weigh {
                vessel: self.name(next()),
                found: self.expr(next())?,
            },
            Rule::measure_statement => Statement::Measure {
                what: self.expr(next())?,
                found: self.expr(next())?,
            },
            Rule::wait_statement => Statement::Wait(self.expr(next())?),
            Rule::scale_statement => Statement::Scale {
                equation: self.equation(next())?,
                to: self.expr(next())?,
                species: self.species(next())?,
            },
            Rule::show_statement => {
                Statement::Show(parts.map(|p| self.expr(p)).collect::<Read<_>>()?)
            }
            Rule::expect_statement => Statement::Expect(self.conditions(next())?),
            Rule::yield_statement => Statement::Yield {
                vessel: self.name(next()),
                species: self.species(next())?,
                basis: self.species(next())?,
            },
            other => unreachable!("{other:?} is not in the table of verbs"),
        })
    }

    fn bottle<'i>(
        &self,
        name: Name,
        parts: impl Iterator<Item = Pair<'i, Rule>>,
    ) -> Read<Statement> {
        let mut parts = parts.filter(|p| p.as_rule() != Rule::EOI);
        let species = self.species(parts.next().expect("a bottle has a formula"))?;
        let (mut strength, mut density) = (None, None);
        for part in parts {
            if part.as_rule() == Rule::strength {
                strength = Some(self.literal(only(part))?);
            } else {
                density = Some(self.literal(part)?);
            }
        }
        Ok(Statement::Bottle {
            name,
            species,
            strength,
            density,
        })
    }

    fn charge(&self, vessel: Name, pair: Pair<'_, Rule>) -> Read<Statement> {
        let (mut at, mut over) = (None, None);
        let (mut portions, mut matter, mut equation, mut excess) = (Vec::new(), None, None, None);
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::portion => portions.push(self.portion(part)?),
                Rule::matter => matter = Some(self.matter(part)?),
                Rule::equation => equation = Some(self.equation(part)?),
                Rule::excess => excess = Some(self.expr(only(part))?),
                Rule::at_temperature => at = Some(self.expr(only(part))?),
                _ => over = Some(self.expr(only(part))?),
            }
        }
        let what = match (matter, equation) {
            (Some(matter), Some(equation)) => Charge::Enough {
                matter,
                equation,
                excess,
            },
            _ => Charge::Portions(portions),
        };
        Ok(Statement::Charge {
            vessel,
            what,
            at,
            over,
        })
    }

    fn conditions(&self, pair: Pair<'_, Rule>) -> Read<Vec<Condition>> {
        let mut parts = pair.into_inner();
        let mut all = Vec::new();
        while let (Some(left), Some(sign), Some(right)) = (parts.next(), parts.next(), parts.next())
        {
            let comparison = match sign.as_str() {
                "<" => Comparison::Less,
                "<=" | "≤" => Comparison::AtMost,
                ">" => Comparison::Greater,
                ">=" | "≥" => Comparison::AtLeast,
                "=" => Comparison::Equal,
                _ => Comparison::Unequal,
            };
            all.push(Condition {
                left: self.expr(left)?,
                comparison,
                right: self.expr(right)?,
            });
        }
        Ok(all)
    }

    fn datum(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Datum>> {
        let span = self.span(&pair);
        let mut parts = pair.into_inner();
        let key = parts.next().expect("a datum has a key");
        let key = Spanned {
            span: self.span(&key),
            node: key.as_str().to_owned(),
        };
        let mut negative = false;
        let mut node = None;
        for part in parts {
            match part.as_rule() {
                Rule::negation => negative = true,
                Rule::text => node = Some(Datum::Source(text(&part))),
                _ => {
                    let mut value = self.literal(part)?.node;
                    if negative {
                        value.number = -value.number;
                    }
                    node = Some(Datum::Value(key.clone(), value));
                }
            }
        }
        Ok(Spanned {
            node: node.expect("a datum has a value or a text"),
            span,
        })
    }

    fn portion(&self, pair: Pair<'_, Rule>) -> Read<Portion> {
        let mut parts = pair.into_inner();
        let amount = self.expr(parts.next().expect("a portion has a quantity"))?;
        let matter = self.matter(parts.next().expect("a portion is of something"))?;
        Ok(Portion { amount, matter })
    }

    fn matter(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Matter>> {
        let span = self.span(&pair);
        let inner = only(pair);
        let node = match inner.as_rule() {
            Rule::name => Matter::Name(inner.as_str().to_owned()),
            _ => Matter::Species(read_species(inner)?),
        };
        Ok(Spanned { node, span })
    }

    fn species(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Species>> {
        let span = self.span(&pair);
        Ok(Spanned {
            node: read_species(pair)?,
            span,
        })
    }

    fn equation(&self, pair: Pair<'_, Rule>) -> Read<Skeleton> {
        Ok(read_equation(pair)?.shifted(self.base))
    }

    fn name(&self, pair: Pair<'_, Rule>) -> Name {
        Spanned {
            span: self.span(&pair),
            node: pair.as_str().to_owned(),
        }
    }

    /// Any pair that stands for an expression. Recursion is bounded by the nesting limit.
    fn expr(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Expr>> {
        let span = self.span(&pair);
        match pair.as_rule() {
            Rule::measured | Rule::primary | Rule::bracketed => self.expr(only(pair)),
            Rule::quantity => {
                let literal = self.literal(pair)?;
                Ok(Spanned {
                    node: Expr::Literal(literal.node),
                    span,
                })
            }
            Rule::name => Ok(Spanned {
                node: Expr::Name(pair.as_str().to_owned()),
                span,
            }),
            Rule::call => self.call(pair),
            _ => self.climb(pair),
        }
    }

    fn call(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Expr>> {
        let span = self.span(&pair);
        let mut parts = pair.into_inner();
        let function = self.name(parts.next().expect("a call has a function"));
        let arguments = parts.map(|argument| {
            let span = self.span(&argument);
            let inner = only(argument);
            let node = match inner.as_rule() {
                Rule::species => Argument::Species(read_species(inner)?),
                _ => Argument::Expr(self.expr(inner)?.node),
            };
            Ok(Spanned { node, span })
        });
        let arguments = arguments.collect::<Read<_>>()?;
        Ok(Spanned {
            node: Expr::Call(function, arguments),
            span,
        })
    }

    /// Operators by precedence climbing; `^` binds to the right, the rest to the left; a sign belongs to its operand.
    fn climb(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Expr>> {
        let mut operands: Vec<Spanned<Expr>> = Vec::new();
        let mut operators: Vec<Operator> = Vec::new();
        let mut negative: Option<Span> = None;
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::negation => negative = Some(self.span(&part)),
                Rule::operator => {
                    let operator = match part.as_str() {
                        "+" => Operator::Add,
                        "*" | "×" => Operator::Multiply,
                        "/" => Operator::Divide,
                        "^" => Operator::Power,
                        _ => Operator::Subtract,
                    };
                    while let Some(last) = operators.last().copied() {
                        let tighter = strength(last) > strength(operator)
                            || (strength(last) == strength(operator)
                                && operator != Operator::Power);
                        if !tighter {
                            break;
                        }
                        fold(&mut operands, &mut operators);
                    }
                    operators.push(operator);
                }
                _ => {
                    let operand = self.expr(part)?;
                    operands.push(match negative.take() {
                        Some(sign) => Spanned {
                            span: sign.to(operand.span),
                            node: Expr::Negative(Box::new(operand)),
                        },
                        None => operand,
                    });
                }
            }
        }
        while !operators.is_empty() {
            fold(&mut operands, &mut operators);
        }
        Ok(operands.pop().expect("an expression has an operand"))
    }

    fn literal(&self, pair: Pair<'_, Rule>) -> Read<Spanned<Literal>> {
        let span = self.span(&pair);
        let mut numbers = Vec::new();
        let mut units = Vec::new();
        let mut plus_minus_before_unit = false;
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::number => {
                    plus_minus_before_unit |= numbers.len() == 1 && units.is_empty();
                    numbers.push(self.number(&part)?);
                }
                _ => units.push(self.name(part)),
            }
        }
        let mut units = units.into_iter();
        let unit = units.next();
        let mut numbers = numbers.into_iter();
        let (number, decimals) = numbers.next().expect("a quantity begins with a number");
        let uncertainty = numbers.next().map(|(size, _)| {
            // `1.00 ± 0.01 g` shares its unit; `1.00 g ± 0.01` means it too.
            let own = if plus_minus_before_unit {
                None
            } else {
                units.next()
            };
            (size, own.or_else(|| unit.clone()))
        });
        Ok(Spanned {
            node: Literal {
                number,
                decimals,
                uncertainty,
                unit,
            },
            span,
        })
    }

    fn number(&self, pair: &Pair<'_, Rule>) -> Read<(Exact, usize)> {
        let text = pair.as_str();
        let number = Exact::decimal(text).map_err(|_| SyntaxFault::BadNumber {
            span: self.span(pair),
        })?;
        let mantissa = text.split(['e', 'E']).next().unwrap_or(text);
        let decimals = mantissa.split_once('.').map_or(0, |(_, part)| part.len());
        Ok((number, decimals))
    }
}

fn strength(operator: Operator) -> u8 {
    match operator {
        Operator::Add | Operator::Subtract => 1,
        Operator::Multiply | Operator::Divide => 2,
        Operator::Power => 3,
    }
}

fn fold(operands: &mut Vec<Spanned<Expr>>, operators: &mut Vec<Operator>) {
    let (Some(operator), Some(right), Some(left)) =
        (operators.pop(), operands.pop(), operands.pop())
    else {
        return;
    };
    operands.push(Spanned {
        span: left.span.to(right.span),
        node: Expr::Binary(operator, Box::new(left), Box::new(right)),
    });
}

fn only(pair: Pair<'_, Rule>) -> Pair<'_, Rule> {
    pair.into_inner()
        .next()
        .expect("the rule wraps exactly one other")
}

fn text(pair: &Pair<'_, Rule>) -> String {
    pair.as_str().trim_matches('"').to_owned()
}
