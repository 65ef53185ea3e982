//! Formulas and equations as HTML and MathML (MathML Core, W3C), and plain words made safe to stand among them.
//!
//! Promises: whatever goes in, nothing that comes out is markup but what this file writes.

use num_bigint::BigInt;

use crate::equation::Reaction;
use crate::matter::{Notation, Species};

/// A run of characters of one height.
#[derive(Clone, Copy, Eq, PartialEq)]
enum Height {
    Level,
    Lowered,
    Raised,
}

/// Words with printed formulas in them: raised and lowered characters become `<sup>` and `<sub>`, what stands in
/// backticks becomes `<code>`.
///
/// ```
/// use aludel::report::typeset::words;
/// assert_eq!(words("<b> & SO₄²⁻"), "&lt;b&gt; &amp; SO<sub>4</sub><sup>2−</sup>");
/// ```
pub fn words(text: &str) -> String {
    let pieces: Vec<&str> = text.split('`').collect();
    if pieces.len().is_multiple_of(2) {
        return levelled(text);
    }
    let mut out = String::new();
    for (index, piece) in pieces.into_iter().enumerate() {
        if index % 2 == 0 {
            out += &levelled(piece);
        } else {
            out += &format!("<code>{}</code>", escaped(piece));
        }
    }
    out
}

/// Text as text: `&`, `<`, `>` and quotes cannot become markup, in an element or an attribute.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // Control characters are allowed in neither HTML nor XML.
            c if c.is_control() && !"\n\t".contains(c) => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

/// An equation with its plain text for who cannot see it. Each term is a formula of its own, so that the line can break
/// between them: MathML itself never breaks one.
pub fn equation(reaction: &Reaction) -> String {
    let spoken = escaped(&reaction.to_text(Notation::Plain));
    let side = |terms: &[(BigInt, Species)]| {
        let all: Vec<String> = terms.iter().map(|(n, species)| term(n, species)).collect();
        all.join("<mo>+</mo></math> <math>")
    };
    format!(
        "<span class=\"equation\" role=\"math\" aria-label=\"{spoken}\"><span aria-hidden=\"true\"><math>{}\
         <mo stretchy=\"false\">→</mo></math> <math>{}</math></span></span>",
        side(&reaction.left),
        side(&reaction.right)
    )
}

fn term(coefficient: &BigInt, species: &Species) -> String {
    let formula = formula(&species.to_text(Notation::Printed));
    if coefficient == &BigInt::from(1) {
        formula
    } else {
        format!("<mn>{coefficient}</mn><mspace width=\"0.2em\"/>{formula}")
    }
}

/// A printed formula token by token: a symbol or bracket with what is lowered and raised behind it.
fn formula(printed: &str) -> String {
    let mut out = String::new();
    let mut base = String::new();
    let mut scripts = [String::new(), String::new()];
    for (height, text) in runs(printed) {
        match height {
            Height::Lowered => scripts[0] = format!("<mn>{text}</mn>"),
            Height::Raised => scripts[1] = raised(&text),
            Height::Level => {
                out += &scripted(&base, &scripts);
                scripts = [String::new(), String::new()];
                let mut tokens = tokens(&text);
                base = tokens.pop().unwrap_or_default();
                out.extend(tokens);
            }
        }
    }
    out + &scripted(&base, &scripts)
}

fn scripted(base: &str, [lowered, raised]: &[String; 2]) -> String {
    match (lowered.is_empty(), raised.is_empty()) {
        (true, true) => base.to_owned(),
        (false, true) => format!("<msub>{base}{lowered}</msub>"),
        (true, false) => format!("<msup>{base}{raised}</msup>"),
        (false, false) => format!("<msubsup>{base}{lowered}{raised}</msubsup>"),
    }
}

/// `2−`
fn raised(text: &str) -> String {
    let digits = text.trim_end_matches(['+', '−']);
    let sign = &text[digits.len()..];
    let number = if digits.is_empty() {
        String::new()
    } else {
        format!("<mn>{digits}</mn>")
    };
    format!("<mrow>{number}<mo form=\"postfix\" lspace=\"0\" rspace=\"0\">{sign}</mo></mrow>")
}

/// Element symbols, numbers, and brackets and dots.
fn tokens(text: &str) -> Vec<String> {
    let mut all: Vec<(u8, String)> = Vec::new();
    for c in text.chars() {
        let kind = match c {
            c if c.is_ascii_digit() => 0,
            c if c.is_alphabetic() => 1,
            _ => 2,
        };
        match all.last_mut() {
            Some((0, number)) if kind == 0 => number.push(c),
            Some((1, symbol)) if kind == 1 && c.is_lowercase() => symbol.push(c),
            _ => all.push((kind, c.to_string())),
        }
    }
    let written = all.into_iter().map(|(kind, token)| match kind {
        0 => format!("<mn>{token}</mn>"),
        1 => format!("<mi mathvariant=\"normal\">{token}</mi>"),
        _ => format!(
            "<mo stretchy=\"false\" lspace=\"0\" rspace=\"0\">{}</mo>",
            escaped(&token)
        ),
    });
    written.collect()
}

fn levelled(text: &str) -> String {
    let all = runs(text).into_iter();
    all.map(|(height, run)| match height {
        Height::Level => escaped(&run),
        Height::Lowered => format!("<sub>{run}</sub>"),
        Height::Raised => format!("<sup>{run}</sup>"),
    })
    .collect()
}

/// Runs of one height, each in ordinary characters.
fn runs(text: &str) -> Vec<(Height, String)> {
    let mut all: Vec<(Height, String)> = Vec::new();
    for c in text.chars() {
        let (height, c) = ordinary(c);
        match all.last_mut() {
            Some((last, run)) if *last == height => run.push(c),
            _ => all.push((height, c.to_string())),
        }
    }
    all
}

fn ordinary(c: char) -> (Height, char) {
    const LOWERED: &str = "₀₁₂₃₄₅₆₇₈₉";
    const RAISED: &str = "⁰¹²³⁴⁵⁶⁷⁸⁹";
    let digit = |digits: &str| {
        let at = digits.chars().position(|known| known == c)?;
        char::from_digit(at as u32, 10)
    };
    match c {
        '⁺' => (Height::Raised, '+'),
        '⁻' => (Height::Raised, '−'),
        _ => match (digit(LOWERED), digit(RAISED)) {
            (Some(digit), _) => (Height::Lowered, digit),
            (_, Some(digit)) => (Height::Raised, digit),
            _ => (Height::Level, c),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scripts_stand_on_the_bracket_they_follow() {
        let aluminate = formula("[Al(OH)₄]⁻");
        assert!(
            aluminate.contains(">)</mo><mn>4</mn></msub>"),
            "{aluminate}"
        );
        assert!(
            aluminate.contains(
                ">]</mo><mrow><mo form=\"postfix\" lspace=\"0\" rspace=\"0\">−</mo></mrow></msup>"
            ),
            "{aluminate}"
        );
        let sulfate = formula("SO₄²⁻");
        assert!(
            sulfate
                .contains("<msubsup><mi mathvariant=\"normal\">O</mi><mn>4</mn><mrow><mn>2</mn>"),
            "{sulfate}"
        );
    }

    #[test]
    fn an_odd_backtick_is_only_a_backtick() {
        assert_eq!(words("use `hold` here"), "use <code>hold</code> here");
        assert_eq!(words("a ` b"), "a ` b");
    }
}
