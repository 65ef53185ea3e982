//! The grammar files as one parser.
//!
//! `grammar/*.pest` define the language; this makes them callable. Callers split text into statements and limit its
//! nesting first ([`super::outline()`], [`nesting`]), because the parser recurses on the stack.

pub use parser::{Grammar, Rule};

/// What the derive makes of the grammar files; their rules are documented there.
#[allow(missing_docs)]
mod parser {
    use pest_derive::Parser;

    /// The parser of formulas, equations and statements.
    #[derive(Parser)]
    #[grammar = "grammar/formula.pest"]
    #[grammar = "grammar/equation.pest"]
    #[grammar = "grammar/route.pest"]
    pub struct Grammar;
}

/// How deep brackets may be nested in one statement.
pub const MAX_NESTING: usize = 64;

/// The byte of the bracket at which the nesting of `text` first exceeds [`MAX_NESTING`].
pub fn nesting(text: &str) -> Option<usize> {
    let mut depth = 0usize;
    for (at, byte) in text.bytes().enumerate() {
        match byte {
            b'(' | b'[' | b'{' => depth += 1,
            b')' | b']' | b'}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth > MAX_NESTING {
            return Some(at);
        }
    }
    None
}

/// What a reader would call a rule; `None` for inner helpers, which no message names.
pub fn word(rule: Rule) -> Option<&'static str> {
    Some(match rule {
        Rule::species | Rule::formula | Rule::part | Rule::item | Rule::symbol => "a formula",
        Rule::electron => "an electron",
        Rule::count => "a count",
        Rule::charge | Rule::bare_sign | Rule::magnitude | Rule::super_magnitude => "a charge",
        Rule::sign | Rule::super_sign => "a sign",
        Rule::phase => "a phase",
        Rule::coefficient => "a coefficient",
        Rule::arrow => "an arrow",
        Rule::term | Rule::side => "a species",
        Rule::medium => "acid, base or neutral",
        Rule::ratio => "a ratio",
        Rule::share => "a number",
        Rule::name => "a name",
        Rule::text => "text in double quotes",
        Rule::number | Rule::quantity => "a number",
        Rule::unit => "a unit",
        Rule::expression | Rule::primary | Rule::measured | Rule::signed => "a quantity",
        Rule::operator => "an operator",
        Rule::comparison => "a comparison",
        Rule::portion | Rule::pouring => "a quantity of something",
        Rule::matter => "a bottle or a formula",
        Rule::readings | Rule::blank_reading | Rule::burette | Rule::giving | Rule::indicator => {
            "found, blank, burette, giving or indicator"
        }
        Rule::glass => "pipette or flask",
        Rule::instrument_kind => "balance, cylinder, pipette, flask or burette",
        Rule::slack => "`±` with a quantity",
        Rule::spread => "tolerance, triangular or (k = 2)",
        Rule::equation => "an equation",
        Rule::bounds => "a range `LOW .. HIGH`",
        Rule::EOI => "the end of the line",
        _ => return None,
    })
}
