//! Words in plain ASCII, in spellings that the language reads: `degC`, `+/-`, `umol`.
//!
//! Promises: nothing but ASCII comes out, whatever a title or a note says.

/// The text with every other character spelt out.
///
/// ```
/// use aludel::report::ascii::ascii;
/// assert_eq!(ascii("(20.0 ± 0.5) °C, 3 × 10⁻⁵ µmol"), "(20.0 +/- 0.5) degC, 3 x 10^-5 umol");
/// ```
pub fn ascii(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut was_raised = false;
    for c in text.chars() {
        let raised = raised(c);
        match raised {
            Some(c) if was_raised => out.push(c),
            Some(c) => out.extend(['^', c]),
            None if c.is_ascii() => out.push(c),
            None => out += spelt(c),
        }
        was_raised = raised.is_some();
    }
    out
}

fn raised(c: char) -> Option<char> {
    const RAISED: &str = "⁰¹²³⁴⁵⁶⁷⁸⁹";
    match c {
        '⁻' => Some('-'),
        '⁺' => Some('+'),
        _ => {
            let at = RAISED.chars().position(|known| known == c)?;
            char::from_digit(at as u32, 10)
        }
    }
}

fn spelt(c: char) -> &'static str {
    match c {
        '°' => "deg",
        '±' => "+/-",
        '×' | '✗' => "x",
        '·' => ".",
        '−' | '–' | '─' => "-",
        '→' => "->",
        '⇌' => "<=>",
        '≤' => "<=",
        '≥' => ">=",
        '█' => "#",
        '●' => "*",
        '○' => "o",
        '│' => "|",
        // Letters of other alphabets by their sound; what has none is told to be there.
        _ => deunicode::deunicode_char(c).unwrap_or("?"),
    }
}
