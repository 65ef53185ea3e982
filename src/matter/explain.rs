//! Where the grammar only says that it stopped: which of the usual slips stopped it.

use crate::text::Span;

use super::fault::{Bracket, FormulaFault, FormulaFaultKind as Kind};
use super::read::recased;

/// The slip that made the parser of a formula, an equation or a statement stop at byte `at` of `text`; `None` if it is
/// none of the usual ones.
///
/// ```
/// use aludel::matter::{Bracket, FormulaFaultKind, explain};
/// let fault = explain("K3[Fe(CN)6 + H2 -> HCN", 11).unwrap();
/// assert_eq!(fault.kind, FormulaFaultKind::Bracket(Bracket::Unclosed));
/// assert_eq!(fault.span.start, 2);
/// ```
pub fn explain(text: &str, at: usize) -> Option<FormulaFault> {
    let at = at.min(text.len());
    foreign_letter(text, at)
        .or_else(|| in_word(text, at))
        .or_else(|| doubled_sign(text, at))
        .or_else(|| bracket(text))
}

/// A letter or digit that is no Latin one, though it may look like it, or a character that cannot be seen.
fn foreign_letter(text: &str, at: usize) -> Option<FormulaFault> {
    let found = text[at..].chars().next()?;
    // `µ` and `Ω` are letters as well, but of units; nobody takes them for a formula's.
    let strange = found.is_alphanumeric() || is_hidden(found) || is_combining(found);
    let of_formulas = "µμΩ".contains(found) || is_script_digit(found);
    if found.is_ascii() || !strange || of_formulas {
        return None;
    }
    let looks_like = match found {
        'А' | 'Α' => Some('A'),
        'В' | 'Β' => Some('B'),
        'С' | 'Ϲ' => Some('C'),
        'Е' | 'Ε' => Some('E'),
        'Н' | 'Η' => Some('H'),
        'І' | 'Ι' => Some('I'),
        'К' | 'Κ' | 'K' => Some('K'),
        'М' | 'Μ' => Some('M'),
        'Ν' => Some('N'),
        'О' | 'Ο' => Some('O'),
        'Р' | 'Ρ' => Some('P'),
        'Ѕ' => Some('S'),
        'Т' | 'Τ' => Some('T'),
        'Υ' | 'У' => Some('Y'),
        'Ζ' => Some('Z'),
        'а' => Some('a'),
        'е' => Some('e'),
        'і' => Some('i'),
        'о' | 'ο' => Some('o'),
        'р' => Some('p'),
        'с' => Some('c'),
        'Ａ'..='Ｚ' => char::from_u32('A' as u32 + found as u32 - 'Ａ' as u32),
        'ａ'..='ｚ' => char::from_u32('a' as u32 + found as u32 - 'ａ' as u32),
        _ => None,
    };
    Some(FormulaFault {
        span: Span::new(at, at + found.len_utf8()),
        kind: Kind::ForeignLetter { found, looks_like },
    })
}

/// Characters that nobody sees: joiners, marks of direction, separators of lines.
fn is_hidden(found: char) -> bool {
    matches!(found, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
}

/// Accents that sit on the letter before them.
fn is_combining(found: char) -> bool {
    matches!(found, '\u{300}'..='\u{36f}' | '\u{20d0}'..='\u{20ff}')
}

/// Sub- and superscript digits have their place in formulas.
fn is_script_digit(found: char) -> bool {
    matches!(found, '²' | '³' | '¹' | '⁰' | '⁴'..='⁹' | '₀'..='₉' | '½' | '⅓' | '⅔' | '¼' | '¾')
}

/// A slip in the word the parser stopped in (or right behind).
fn in_word(text: &str, at: usize) -> Option<FormulaFault> {
    let start = text[..at].rfind(char::is_whitespace).map_or(0, |space| {
        space + text[space..].chars().next().map_or(1, char::len_utf8)
    });
    let end = text[at..]
        .find(char::is_whitespace)
        .map_or(text.len(), |space| at + space);
    let word = &text[start..end];
    let fault = |from: usize, to: usize, kind| FormulaFault {
        span: Span::new(start + from, start + to),
        kind,
    };
    charge(word)
        .or_else(|| hydrate(word))
        .or_else(|| phase(word, at - start))
        .map(|(from, to, kind)| fault(from, to, kind))
}

/// `Fe^3++ -> Fe`: the parser takes the second sign for a plus and stops where a species should follow.
fn doubled_sign(text: &str, at: usize) -> Option<FormulaFault> {
    let before = text[..at].trim_end();
    let start = before.rfind(char::is_whitespace).map_or(0, |space| {
        space + before[space..].chars().next().map_or(1, char::len_utf8)
    });
    let (from, to, kind) = charge(&before[start..])?;
    Some(FormulaFault {
        span: Span::new(start + from, start + to),
        kind,
    })
}

type Slip = (usize, usize, Kind);

fn charge(word: &str) -> Option<Slip> {
    let caret = word.find('^')?;
    let end = word.len();
    // `Fe^3+->`: the arrow belongs to the equation.
    let end = word[caret..].find("->").map_or(end, |arrow| caret + arrow);
    let after: String = word[caret + 1..end]
        .chars()
        .map(|c| if "−–".contains(c) { '-' } else { c })
        .collect();
    if caret == 0 {
        return Some((0, end, Kind::ChargeWithoutSpecies));
    }
    let before = &word[..caret];
    if before != "e" && !before.contains(|c: char| c.is_ascii_uppercase()) {
        // A power in an expression.
        return None;
    }
    if before == "e" && after != "-" {
        return Some((0, end, Kind::ElectronCharge));
    }
    let sign_at = after.find(['+', '-']);
    let magnitude = &after[..sign_at.unwrap_or(after.len())];
    let behind = sign_at.map_or("", |sign| &after[sign + 1..]);
    let well_formed = sign_at.is_some()
        && magnitude.bytes().all(|b| b.is_ascii_digit())
        && (behind.is_empty()
            || behind.starts_with('(')
            || behind.starts_with('+') && behind.len() > 1);
    (!well_formed).then_some((caret, end, Kind::MalformedCharge))
}

fn hydrate(word: &str) -> Option<Slip> {
    let is_dot = |c: char| "·⋅•∙*".contains(c);
    let dots = || word.char_indices().filter(|(_, c)| is_dot(*c));
    for (at, dot) in dots() {
        let next = at + dot.len_utf8();
        let behind =
            word[next..].trim_start_matches(|c: char| c.is_ascii_digit() || ".,/".contains(c));
        let nothing_before = at == 0;
        if nothing_before
            || !behind.starts_with(|c: char| c.is_ascii_uppercase() || "([{".contains(c))
        {
            return Some((at, next, Kind::MalformedHydrate));
        }
    }
    None
}

/// A pair of brackets at the end of a word that holds small letters only.
fn phase(word: &str, at: usize) -> Option<Slip> {
    // The parser stops at the bracket of a second phase, and inside the bracket of an unknown one.
    let at = at.min(word.len());
    let seen = at + usize::from(word[at..].starts_with('('));
    let open = word[..seen].rfind('(')?;
    let close = open + word[open..].find(')')?;
    let inside = &word[open + 1..close];
    let before = &word[..open];
    // A name before the bracket is a function, not a formula.
    if before.is_empty() || before.starts_with(|c: char| c.is_ascii_lowercase()) {
        return None;
    }
    let known = ["s", "l", "g", "aq"];
    if known
        .iter()
        .any(|phase| before.ends_with(&format!("({phase})")))
    {
        return Some((open, close + 1, Kind::TwoPhases));
    }
    let letters = !inside.is_empty() && inside.chars().all(|c| c.is_ascii_lowercase());
    let phase = inside.to_owned();
    (letters && !known.contains(&inside)).then_some((open, close + 1, Kind::UnknownPhase { phase }))
}

/// The first bracket without its partner, or around nothing.
fn bracket(text: &str) -> Option<FormulaFault> {
    let mut open: Vec<(usize, char)> = Vec::new();
    let fault = |from, to, kind| {
        Some(FormulaFault {
            span: Span::new(from, to),
            kind: Kind::Bracket(kind),
        })
    };
    let mut quoted = false;
    for (at, found) in text.char_indices() {
        quoted ^= found == '"';
        if quoted {
            continue;
        }
        let opener = match found {
            '(' | '[' | '{' => {
                open.push((at, found));
                continue;
            }
            ')' => '(',
            ']' => '[',
            '}' => '{',
            _ => continue,
        };
        match open.pop() {
            None => return fault(at, at + 1, Bracket::Unopened),
            Some((_, other)) if other != opener => return fault(at, at + 1, Bracket::Crossed),
            Some((from, _)) if from + 1 == at => return fault(from, at + 1, Bracket::Empty),
            Some(_) => {}
        }
    }
    let (at, _) = *open.first()?;
    fault(at, at + 1, Bracket::Unclosed)
}

/// The formula in small letters at byte `at`, for texts in which nothing but a formula could stand there.
///
/// ```
/// let fault = aludel::matter::small_letter("nacl + agno3 -> agcl", 0).unwrap();
/// assert_eq!(fault.span.end, 4);
/// ```
pub fn small_letter(text: &str, at: usize) -> Option<FormulaFault> {
    let rest = &text[at.min(text.len())..];
    if !rest.starts_with(|c: char| c.is_ascii_lowercase()) {
        return None;
    }
    let end = rest
        .find(|c: char| !c.is_alphanumeric() && !"()[]·^".contains(c))
        .unwrap_or(rest.len());
    Some(FormulaFault {
        span: Span::new(at, at + end),
        kind: Kind::SmallLetter {
            meant: recased(&rest[..end]),
        },
    })
}
