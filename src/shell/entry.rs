//! What somebody typed, by its look alone.

use crate::matter::Species;
use crate::number::unit;

/// What an entry asks for.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Entry<'t> {
    /// A blank line or a comment.
    Nothing,
    /// `help`, or `help charge`.
    Help(&'t str),
    /// `save alum.route`
    Save(&'t str),
    /// `undo`
    Undo,
    /// `picture`
    Picture,
    /// `quit`
    Leave,
    /// Anything that begins with a verb of the language.
    Statement,
    /// `Fe + O2 -> Fe2O3`
    Equation(&'t str),
    /// `working Fe + Cl2 -> FeCl3`: how its balance is found.
    Working(&'t str),
    /// `ions HCl + NaOH -> NaCl + H2O`: the ionic view.
    Ions(&'t str),
    /// `CuSO4·5H2O`, or whatever else does not look like the others.
    Formula(&'t str),
    /// `2 * mass(crop)`
    Expression(&'t str),
}

impl<'t> Entry<'t> {
    /// Sorts an entry; `is_verb` knows the verbs of the language, the reserved ones among them.
    pub fn of(text: &'t str, is_verb: impl Fn(&str) -> bool) -> Self {
        let lone = without_comment(text);
        let word = first_word(lone);
        let rest = lone[word.len()..].trim();
        match word {
            "" if lone.is_empty() => Entry::Nothing,
            "help" => Entry::Help(rest),
            "save" => Entry::Save(rest.trim_matches('"')),
            "working" if has_arrow(rest) => Entry::Working(rest),
            "ions" if has_arrow(rest) => Entry::Ions(rest),
            "undo" if rest.is_empty() => Entry::Undo,
            "picture" if rest.is_empty() => Entry::Picture,
            "quit" | "exit" if rest.is_empty() => Entry::Leave,
            // `heat(flask)` asks what a vessel gave off; `heat EQUATION` is a statement.
            _ if is_verb(word) && !lone[word.len()..].starts_with('(')
                || text.contains(['\n', '{']) && !word.is_empty() =>
            {
                Entry::Statement
            }
            // Two words in a row are a statement with a verb that nobody knows.
            word if !word.is_empty() && two_words(&lone[word.len()..]) && !has_arrow(lone) => {
                Entry::Statement
            }
            _ if has_arrow(lone) => Entry::Equation(lone),
            _ if looks_like_expression(lone) => Entry::Expression(lone),
            _ => Entry::Formula(lone),
        }
    }
}

/// One line without its comment and the blanks around it; an entry of several lines stays as it is.
fn without_comment(text: &str) -> &str {
    let text = text.trim();
    if text.contains(['\n', '"']) {
        return text;
    }
    text.split('#').next().unwrap_or("").trim_end()
}

/// The letters it begins with, if they are a name: formulas begin with a capital letter.
fn first_word(text: &str) -> &str {
    let end = text.find(|c: char| !(c.is_ascii_alphanumeric() || c == '_'));
    let word = &text[..end.unwrap_or(text.len())];
    if word.starts_with(|c: char| c.is_ascii_lowercase()) {
        word
    } else {
        ""
    }
}

fn two_words(behind: &str) -> bool {
    behind.starts_with([' ', '\t'])
        && behind
            .trim_start()
            .starts_with(|c: char| c.is_alphabetic() || c == '"')
}

fn has_arrow(text: &str) -> bool {
    ["->", "=", "→", "⟶", "⇌", "⇄", "⇋", "<->", "−>"]
        .iter()
        .any(|arrow| text.contains(arrow))
}

/// Names begin in lower case, numbers with a digit; a bracket opens either, and what follows it decides.
fn looks_like_expression(text: &str) -> bool {
    // `e^-` is the electron and not a power.
    if text.starts_with("e^-") || text.starts_with("e⁻") || text == "e-" {
        return false;
    }
    let inner = text.trim_start_matches(['(', '-', '−', ' ']);
    let begins = |c: char| c.is_ascii_digit() || c.is_ascii_lowercase();
    // `2 H2O` is nobody's expression, but `2 mol / …` is.
    let past_number = inner
        .trim_start_matches(|c: char| c.is_ascii_digit() || c == '.')
        .trim_start();
    inner.starts_with(begins)
        && !past_number.starts_with(|c: char| c == '[' || is_formula_start(past_number, c))
}

/// A capital letter that begins a formula rather than a unit such as `L`, `J` or `MPa`.
fn is_formula_start(text: &str, first: char) -> bool {
    let end = text
        .find(|c: char| c.is_whitespace() || "+*/)·".contains(c))
        .unwrap_or(text.len());
    let word = &text[..end];
    // `2 ML` is a slip for 2 mL: no formula, and near a unit.
    let slip = || unit::nearby(word).is_some() && Species::parse(word).is_err();
    first.is_ascii_uppercase() && unit::find(word).is_none() && !slip()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn entries_are_told_apart_by_their_look() {
        let is_verb = |word: &str| ["charge", "let", "step", "expect"].contains(&word);
        for (text, entry) in [
            ("", Entry::Nothing),
            ("  # a thought", Entry::Nothing),
            ("help", Entry::Help("")),
            ("help charge", Entry::Help("charge")),
            ("save \"alum.route\"", Entry::Save("alum.route")),
            ("picture", Entry::Picture),
            ("picture flask", Entry::Statement),
            ("quit", Entry::Leave),
            ("charge flask: 5 g Fe", Entry::Statement),
            ("let x = 5 g", Entry::Statement),
            ("charge(5)", Entry::Expression("charge(5)")),
            ("step \"Mix\" {\n}", Entry::Statement),
            ("stir {\n}", Entry::Statement),
            ("stir flask", Entry::Statement),
            ("Fe + O2 = Fe2O3 # rust", Entry::Equation("Fe + O2 = Fe2O3")),
            ("2 H2 + O2 -> H2O", Entry::Equation("2 H2 + O2 -> H2O")),
            ("na + cl2 -> nacl", Entry::Equation("na + cl2 -> nacl")),
            (
                "working Fe + Cl2 -> FeCl3 # rust",
                Entry::Working("Fe + Cl2 -> FeCl3"),
            ),
            (
                "ions Na + H2O -> NaOH + H2",
                Entry::Ions("Na + H2O -> NaOH + H2"),
            ),
            ("CuSO4·5H2O", Entry::Formula("CuSO4·5H2O")),
            ("(NH4)2SO4", Entry::Formula("(NH4)2SO4")),
            ("[Al(OH)4]^-", Entry::Formula("[Al(OH)4]^-")),
            ("e^-", Entry::Formula("e^-")),
            ("2 H2O", Entry::Formula("2 H2O")),
            ("2 * 3", Entry::Expression("2 * 3")),
            ("5 L + 3 mL", Entry::Expression("5 L + 3 mL")),
            ("2 ML", Entry::Expression("2 ML")),
            ("5 KJ", Entry::Expression("5 KJ")),
            ("2 KCl", Entry::Formula("2 KCl")),
            ("(1 + 2) * x", Entry::Expression("(1 + 2) * x")),
            ("mass(crop) / 2", Entry::Expression("mass(crop) / 2")),
            ("-x", Entry::Expression("-x")),
        ] {
            assert_eq!(Entry::of(text, is_verb), entry, "{text}");
        }
    }
}
