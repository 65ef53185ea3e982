//! Text into species, by the grammar; what the grammar cannot say (is that an element, is that count too large) is
//! checked here.

use pest::Parser;
use pest::error::{Error, ErrorVariant, InputLocation};
use pest::iterators::Pair;

use crate::text::Span;
use crate::text::grammar::{Grammar, Rule, nesting};

use super::explain::{explain, small_letter};
use super::fault::{FormulaFault, FormulaFaultKind as Kind};
use super::formula::{Count, Formula, FormulaUnit, Item, Part};
use super::{Element, Phase, Species};

/// The longest formula that is read, in bytes.
const MAX_LENGTH: usize = 20_000;

/// A stretch of letters, digits and brackets that is longer than any formula that is read: it is found before the text is
/// parsed, which takes a hundred times its memory.
pub(crate) fn overlong(text: &str) -> Option<FormulaFault> {
    let in_formula = |c: char| c.is_alphanumeric() || "()[]{}.·".contains(c);
    let mut from = 0;
    for (at, _) in text
        .match_indices(|c: char| !in_formula(c))
        .chain([(text.len(), "")])
    {
        let stretch = text.get(from..at).unwrap_or_default();
        if stretch.len() > MAX_LENGTH && stretch.contains(char::is_alphabetic) {
            return Some(FormulaFault {
                span: Span::new(from, at),
                kind: Kind::TooLong,
            });
        }
        let mark = text[at..].chars().next().map_or(0, char::len_utf8);
        from = at + mark;
    }
    None
}

/// Reads a text that holds one species and nothing else.
pub fn parse_species(text: &str) -> Result<Species, FormulaFault> {
    let whole = Span::new(0, text.len());
    if text.len() > MAX_LENGTH {
        return Err(FormulaFault {
            span: whole,
            kind: Kind::TooLong,
        });
    }
    if let Some(at) = nesting(text) {
        return Err(FormulaFault {
            span: Span::new(at, at + 1),
            kind: Kind::TooDeep,
        });
    }
    let mut pairs = Grammar::parse(Rule::lone_species, text).map_err(|e| unexpected(text, &e))?;
    let lone = pairs
        .next()
        .expect("a successful parse gives the rule asked for");
    let species = lone
        .into_inner()
        .next()
        .expect("lone_species holds a species");
    read_species(species)
}

/// Reads a `species` pair of the grammar; spans are those of the text that was parsed.
pub fn read_species(pair: Pair<'_, Rule>) -> Result<Species, FormulaFault> {
    let span = span_of(&pair);
    let text = pair.as_str();
    if text.len() > MAX_LENGTH {
        return Err(FormulaFault {
            span,
            kind: Kind::TooLong,
        });
    }
    let mut formula = None;
    let mut charge = None;
    let mut phase = None;
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::electron => {
                charge = Some(-1);
                formula = Some(Formula { parts: Vec::new() });
            }
            Rule::formula => formula = Some(read_formula(inner, text)?),
            Rule::charge => {
                let (read, checked) = read_charge(inner, formula.take(), text)?;
                charge = Some(read);
                formula = checked;
            }
            Rule::phase => phase = Phase::of_symbol(inner.as_str().trim_matches(['(', ')'])),
            _ => {}
        }
    }
    let formula = formula.expect("a species holds a formula or an electron");
    Species::new(formula, charge.unwrap_or(0), phase).ok_or(FormulaFault {
        span,
        kind: Kind::CountTooLarge,
    })
}

/// What the parser would have understood, in the words of the grammar, without its inner helpers.
pub fn expected_words(error: &Error<Rule>) -> Vec<String> {
    let ErrorVariant::ParsingError { positives, .. } = &error.variant else {
        return Vec::new();
    };
    let mut words: Vec<String> = positives
        .iter()
        .filter_map(|rule| crate::text::grammar::word(*rule))
        .map(str::to_owned)
        .collect();
    words.sort();
    words.dedup();
    words
}

fn unexpected(text: &str, error: &Error<Rule>) -> FormulaFault {
    let at = match error.location {
        InputLocation::Pos(at) | InputLocation::Span((at, _)) => at,
    };
    explain(text, at)
        .or_else(|| small_letter(text, at))
        .unwrap_or_else(|| {
            let length = text[at..].chars().next().map_or(0, char::len_utf8);
            FormulaFault {
                span: Span::new(at, at + length),
                kind: Kind::Unexpected {
                    expected: expected_words(error),
                },
            }
        })
}

fn span_of(pair: &Pair<'_, Rule>) -> Span {
    let span = pair.as_span();
    Span::new(span.start(), span.end())
}

fn read_formula(pair: Pair<'_, Rule>, whole: &str) -> Result<Formula, FormulaFault> {
    let parts = pair.into_inner().map(|part| read_part(part, whole));
    Ok(Formula {
        parts: parts.collect::<Result<_, _>>()?,
    })
}

fn read_part(pair: Pair<'_, Rule>, whole: &str) -> Result<Part, FormulaFault> {
    let mut multiplier = Count::ONE;
    let mut items = Vec::new();
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::multiplier => multiplier = read_count(&inner, Kind::ZeroHydrate)?,
            _ => items.push(read_item(inner, whole)?),
        }
    }
    Ok(Part { multiplier, items })
}

// Recursion is bounded by the nesting limit, which is checked before parsing.
fn read_item(pair: Pair<'_, Rule>, whole: &str) -> Result<Item, FormulaFault> {
    let mut inner = pair.into_inner();
    let unit = inner
        .next()
        .expect("an item begins with a symbol or a group");
    let unit = match unit.as_rule() {
        Rule::symbol => FormulaUnit::Atom(read_symbol(&unit, whole)?),
        rule => {
            let open = match rule {
                Rule::square => '[',
                Rule::curly => '{',
                _ => '(',
            };
            let items = unit.into_inner().map(|item| read_item(item, whole));
            FormulaUnit::Group(open, items.collect::<Result<_, _>>()?)
        }
    };
    let count = match inner.next() {
        Some(count) => read_count(&count, Kind::ZeroCount)?,
        None => Count::ONE,
    };
    Ok(Item { unit, count })
}

fn read_symbol(pair: &Pair<'_, Rule>, whole: &str) -> Result<Element, FormulaFault> {
    let symbol = pair.as_str();
    Element::of_symbol(symbol).ok_or_else(|| FormulaFault {
        span: span_of(pair),
        kind: Kind::UnknownElement {
            symbol: symbol.to_owned(),
            meant: recased(whole),
        },
    })
}

fn read_count(pair: &Pair<'_, Rule>, zero: Kind) -> Result<Count, FormulaFault> {
    let fault = |kind| FormulaFault {
        span: span_of(pair),
        kind,
    };
    let text: String = pair.as_str().chars().map(plain_digit).collect();
    if text.bytes().all(|b| matches!(b, b'0' | b'.')) {
        return Err(fault(zero));
    }
    if text.len() > 1 && text.starts_with('0') && !text.starts_with("0.") {
        return Err(fault(Kind::LeadingZero));
    }
    let count = if let Some((above, below)) = text.split_once('/') {
        match (above.parse(), below.parse()) {
            (Ok(above), Ok(below)) => Count::new(above, below),
            _ => None,
        }
    } else if let Some((whole, decimals)) = text.split_once('.') {
        let digits = [whole, decimals].concat();
        match (digits.parse(), 10u64.checked_pow(decimals.len() as u32)) {
            (Ok(above), Some(below)) => Count::new(above, below),
            _ => None,
        }
    } else {
        text.parse().ok().and_then(|n| Count::new(n, 1))
    };
    count.ok_or_else(|| fault(Kind::CountTooLarge))
}

fn plain_digit(c: char) -> char {
    let digit = |base: char| (c as u32).checked_sub(base as u32).filter(|d| *d < 10);
    match c {
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        _ => match digit('₀').or_else(|| digit('⁰')) {
            Some(d) => char::from_digit(d, 10).unwrap_or(c),
            None => c,
        },
    }
}

/// The charge, and the formula it leaves (a bare sign may claim the last digit of a lone metal).
fn read_charge(
    pair: Pair<'_, Rule>,
    formula: Option<Formula>,
    whole: &str,
) -> Result<(i64, Option<Formula>), FormulaFault> {
    let span = span_of(&pair);
    let fault = |kind| FormulaFault { span, kind };
    let mut magnitude = String::new();
    let mut positive = true;
    let mut bare = false;
    for inner in pair.into_inner() {
        let text = inner.as_str();
        match inner.as_rule() {
            Rule::magnitude | Rule::super_magnitude => {
                magnitude = text.chars().map(plain_digit).collect()
            }
            Rule::sign | Rule::super_sign => positive = matches!(text, "+" | "⁺"),
            Rule::bare_sign => {
                positive = text == "+";
                bare = true;
            }
            _ => {}
        }
    }
    let signed = |size: i64| if positive { size } else { -size };
    if bare {
        let (size, formula) = bare_charge(formula, positive, whole).map_err(fault)?;
        return Ok((signed(size), formula));
    }
    if magnitude.is_empty() {
        return Ok((signed(1), formula));
    }
    match magnitude.parse::<i64>() {
        Ok(0) => Err(fault(Kind::ZeroCharge)),
        Ok(size) if size <= 1_000_000 => Ok((signed(size), formula)),
        _ => Err(fault(Kind::ChargeTooLarge)),
    }
}

/// A digit before a bare sign is the charge of a lone metal (`Fe3+`) or of one complex in square brackets
/// (`[Fe(CN)6]4-`), a count in a formula of several elements (`NH4+`), and ambiguous otherwise (`I3-`, `Hg22+`, `SO42-`).
fn bare_charge(
    formula: Option<Formula>,
    positive: bool,
    whole: &str,
) -> Result<(i64, Option<Formula>), Kind> {
    let Some(mut formula) = formula else {
        return Ok((1, None));
    };
    let parts = formula.parts.len();
    let Some(last_part) = formula.parts.last_mut() else {
        return Ok((1, Some(formula)));
    };
    let lone = parts == 1 && last_part.items.len() == 1 && last_part.multiplier == Count::ONE;
    let Some(last) = last_part
        .items
        .last_mut()
        .filter(|item| item.count != Count::ONE)
    else {
        return Ok((1, Some(formula)));
    };
    let count = last.count.numerator();
    let takes_digit = lone
        && match &last.unit {
            FormulaUnit::Atom(element) => element.is_metal(),
            FormulaUnit::Group(open, _) => *open == '[',
        };
    if takes_digit && count < 10 && last.count.denominator() == 1 {
        last.count = Count::ONE;
        return Ok((count as i64, Some(formula)));
    }
    // Only digits that could be split into a count and a charge leave a doubt: `C6H12+` has none, since no one
    // writes a subscript 1.
    let splits = count >= 20 && !count.is_multiple_of(10);
    let sign = if positive { '+' } else { '-' };
    if (lone && count < 10) || splits {
        return Err(Kind::AmbiguousCharge {
            readings: readings(whole, sign),
        });
    }
    Ok((1, Some(formula)))
}

/// `I3-` as `I3^-` and `I^3-`.
fn readings(whole: &str, sign: char) -> [String; 2] {
    let body = whole.split('(').next().unwrap_or(whole);
    let phase_free = if body.ends_with(['+', '-', '−', '–']) {
        body
    } else {
        whole
    };
    let text: String = phase_free
        .trim_end_matches(['+', '-', '−', '–'])
        .chars()
        .map(plain_digit)
        .collect();
    let (head, digit) = text.split_at(text.len().saturating_sub(1));
    [format!("{text}^{sign}"), format!("{head}^{digit}{sign}")]
}

/// The formula in the nearest letter case that can be read, fewest changes first, then common elements: `NACL` → `NaCl`.
pub(super) fn recased(text: &str) -> Option<String> {
    let letters: Vec<char> = text.chars().collect();
    if letters.len() > 40 {
        return None;
    }
    // best[i]: the cheapest reading of the first i characters.
    let mut best: Vec<Option<(usize, String)>> = vec![None; letters.len() + 1];
    best[0] = Some((0, String::new()));
    for at in 0..letters.len() {
        let Some((spent, prefix)) = best[at].clone() else {
            continue;
        };
        let mut offer = |end: usize, cost: usize, text: String| {
            if best[end]
                .as_ref()
                .is_none_or(|(old, _)| spent + cost < *old)
            {
                best[end] = Some((spent + cost, prefix.clone() + &text));
            }
        };
        let cost = |symbol: &str, written: &[char]| {
            let element = Element::of_symbol(symbol)?;
            let changes = symbol.chars().zip(written).filter(|(a, b)| a != *b).count();
            let rare = if element.atomic_number() > 92 { 8 } else { 0 };
            Some(4 * changes + 1 + rare)
        };
        let first = letters[at];
        if !first.is_ascii_alphabetic() {
            offer(at + 1, 0, first.to_string());
            continue;
        }
        let one = first.to_ascii_uppercase().to_string();
        if let Some(cost) = cost(&one, &letters[at..=at]) {
            offer(at + 1, cost, one.clone());
        }
        if let Some(second) = letters.get(at + 1).filter(|c| c.is_ascii_alphabetic()) {
            let two = format!("{one}{}", second.to_ascii_lowercase());
            if let Some(cost) = cost(&two, &letters[at..at + 2]) {
                offer(at + 2, cost, two);
            }
        }
    }
    let (_, meant) = best.pop().flatten()?;
    (meant != text).then_some(meant)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::matter::Notation;

    fn plain(text: &str) -> String {
        match Species::parse(text) {
            Ok(species) => species.plain().to_owned(),
            Err(fault) => panic!("{text}: {fault:?}"),
        }
    }

    #[test]
    fn the_spellings_of_a_charge_agree() {
        for (text, expected) in [
            ("Fe^3+", "Fe^3+"),
            ("Fe³⁺", "Fe^3+"),
            ("Fe3+", "Fe^3+"),
            ("NH4+", "NH4^+"),
            ("NH₄⁺", "NH4^+"),
            ("MnO4-", "MnO4^-"),
            ("MnO₄⁻", "MnO4^-"),
            ("SO4^2−", "SO4^2-"),
            ("S2O3²−", "S2O3^2-"),
            ("[Fe(CN)6]4-", "[Fe(CN)6]^4-"),
            ("Na+", "Na^+"),
            ("Cl-", "Cl^-"),
            ("HF2-", "HF2^-"),
            ("e-", "e^-"),
            ("e⁻", "e^-"),
            ("OH-(aq)", "OH^-(aq)"),
        ] {
            assert_eq!(plain(text), expected);
        }
    }

    #[test]
    fn a_digit_before_a_bare_sign_is_refused_where_it_could_be_either() {
        for (text, first, second) in [
            ("I3-", "I3^-", "I^3-"),
            ("N3-", "N3^-", "N^3-"),
            ("O2-", "O2^-", "O^2-"),
            ("Hg22+", "Hg22^+", "Hg2^2+"),
            ("SO42-", "SO42^-", "SO4^2-"),
        ] {
            let fault = Species::parse(text).unwrap_err();
            let readings = [first.to_owned(), second.to_owned()];
            assert_eq!(fault.kind, Kind::AmbiguousCharge { readings }, "{text}");
        }
    }

    #[test]
    fn hydrates_and_groups_count_right() {
        for (text, grams_per_mole) in [
            ("CuSO4·5H2O", "249.677"),
            ("CuSO4.5H2O", "249.677"),
            ("CuSO4*5H2O", "249.677"),
            ("CaSO4·0.5H2O", "145.1415"),
            ("Fe0.947O", "68.884215"),
            ("K4[Fe(CN)6]", "368.3462"),
            ("(NH4)2Fe(SO4)2·6H2O", "392.125"),
        ] {
            let species = Species::parse(text).unwrap();
            let expected = crate::number::Exact::decimal(grams_per_mole).unwrap();
            assert_eq!(species.molar_mass(), &expected, "{text}");
        }
    }

    #[test]
    fn printing_round_trips_in_each_notation() {
        for text in [
            "CuSO4·5H2O",
            "[Al(OH)4]^-",
            "Fe0.947O(s)",
            "CdSO4·8/3H2O",
            "SO4^2-(aq)",
            "K3[Fe(C2O4)3]·3H2O",
            "e^-",
        ] {
            let species = Species::parse(text).unwrap();
            for notation in [Notation::Plain, Notation::Ascii, Notation::Printed] {
                let printed = species.to_text(notation);
                assert_eq!(Species::parse(&printed).as_ref(), Ok(&species), "{printed}");
            }
        }
    }

    #[test]
    fn a_wrong_letter_case_is_recognised() {
        for (text, meant) in [
            ("NACL", "NaCl"),
            ("FES", "FeS"),
            ("MGO", "MgO"),
            ("COCL2", "COCl2"),
        ] {
            let fault = Species::parse(text);
            let found = match fault {
                Err(FormulaFault {
                    kind: Kind::UnknownElement { meant, .. },
                    ..
                }) => meant,
                _ => recased(text),
            };
            assert_eq!(found.as_deref(), Some(meant));
        }
    }
}
