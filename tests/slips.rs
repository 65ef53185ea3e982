//! Slips in formulas and equations, each with its place and the way out that is shown.

use aludel::equation::oxidation::{Rule, numbers};
use aludel::equation::{EquationFaultKind, balance, parse_equation, quick};
use aludel::matter::{Bracket, FormulaFaultKind, Notation, Species, explain};
use aludel::number::Exact;
use aludel::text::Span;

/// Letters of other scripts that look like those of a formula (Unicode 16, confusables), and what sits on them.
#[test]
fn a_letter_of_another_script_is_shown_with_its_latin_twin() {
    for (text, found, looks_like) in [
        ("L\u{456}", '\u{456}', Some('i')),
        ("\u{421}H4", '\u{421}', Some('C')),
        ("N\u{430}Cl", '\u{430}', Some('a')),
        ("H\u{301}Cl", '\u{301}', None),
        ("H\u{200b}Cl", '\u{200b}', None),
    ] {
        let fault = Species::parse(text).unwrap_err();
        let kind = FormulaFaultKind::ForeignLetter { found, looks_like };
        assert_eq!(fault.kind, kind, "{text}");
        assert_eq!(&text[fault.span.start..fault.span.end], found.to_string());
    }
}

#[test]
fn the_place_of_a_bracket_is_the_bracket() {
    for (text, kind, place) in [
        ("K3[Fe(CN)6", Bracket::Unclosed, (2, 3)),
        ("Fe(SO4)3)", Bracket::Unopened, (8, 9)),
        ("K4[Fe(CN]6)", Bracket::Crossed, (8, 9)),
        ("Fe()3", Bracket::Empty, (2, 4)),
        ("K3[Fe((CN)6", Bracket::Unclosed, (2, 3)),
    ] {
        let fault = Species::parse(text).unwrap_err();
        assert_eq!(fault.kind, FormulaFaultKind::Bracket(kind), "{text}");
        assert_eq!(fault.span, Span::new(place.0, place.1), "{text}");
    }
    // What stands in quotes is text.
    let text = "note \"a ( b\" K3[Fe";
    let fault = explain(text, text.len()).unwrap();
    assert_eq!(fault.span, Span::new(15, 16));
    assert_eq!(explain("note \"a ( b\"", 13), None);
}

/// The bracket that goes too far is underlined, not the whole text.
#[test]
fn the_place_of_a_nest_too_deep_is_one_bracket() {
    let deep = format!("{}H{}", "(".repeat(500), ")2".repeat(500));
    let fault = Species::parse(&deep).unwrap_err();
    assert_eq!(fault.kind, FormulaFaultKind::TooDeep);
    assert_eq!(fault.span.end - fault.span.start, 1);
    let equation = parse_equation(&format!("O2 + {deep} -> H2O")).unwrap_err();
    assert_eq!(equation.kind, EquationFaultKind::TooDeep);
    assert_eq!(equation.span, fault.span.shifted(5));
}

/// Only digits that can be a count and a charge leave a doubt.
#[test]
fn a_digit_before_a_sign_is_asked_about_only_where_it_can_be_two_things() {
    let charge = |text: &str| Species::parse(text).map(|one| (one.key().to_owned(), one.charge()));
    assert_eq!(charge("S10-"), Ok(("S10^-".to_owned(), -1)));
    assert_eq!(charge("C6H12+"), Ok(("C6H12^+".to_owned(), 1)));
    assert_eq!(charge("Fe3+"), Ok(("Fe^3+".to_owned(), 3)));
    for text in ["I3-", "S9-", "S21-"] {
        let kind = Species::parse(text).unwrap_err().kind;
        assert!(
            matches!(kind, FormulaFaultKind::AmbiguousCharge { .. }),
            "{text}: {kind:?}"
        );
    }
}

#[test]
fn charges_are_printed_as_they_are_written() {
    for (text, printed) in [
        ("Na^+", "Na⁺"),
        ("Cl^-", "Cl⁻"),
        ("SO4^2-", "SO₄²⁻"),
        ("Hg2^2+", "Hg₂²⁺"),
        ("P3O10^5-", "P₃O₁₀⁵⁻"),
    ] {
        let species = Species::parse(text).unwrap();
        assert_eq!(species.to_text(Notation::Printed), printed);
        assert_eq!(species.to_text(Notation::Plain), text);
    }
}

/// IUPAC Red Book 2005, IR-4.6.1: oxygen is −2 by the rule; in peroxides and hyperoxides it is what is left.
#[test]
fn the_rule_of_an_oxidation_number_is_that_which_gave_it() {
    let oxygen = |text: &str| {
        let found = numbers(&Species::parse(text).unwrap());
        let last = found.atoms.last().unwrap();
        (last.number.clone(), last.rule)
    };
    assert_eq!(oxygen("Na2O"), (Exact::from(-2), Rule::Oxygen));
    assert_eq!(oxygen("Na2O2"), (Exact::from(-1), Rule::OddOxygen));
    assert_eq!(oxygen("KO2"), (Exact::ratio(-1, 2), Rule::OddOxygen));
}

/// The quick path reads brackets eight deep and leaves deeper ones to the grammar.
#[test]
fn the_quick_path_reads_nested_brackets() {
    let text = "Fe4[Fe(CN)6]3 + KOH -> Fe(OH)3 + K4[Fe(CN)6]";
    let slow = balance(&parse_equation(text).unwrap()).unwrap();
    let slow = slow.reaction().unwrap().to_text(Notation::Plain);
    assert_eq!(slow, "Fe4[Fe(CN)6]3 + 12 KOH -> 4 Fe(OH)3 + 3 K4[Fe(CN)6]");
    assert!(quick(text).is_some());
    let nested = |depth| format!("{}H{} + O2 -> H2O", "(".repeat(depth), ")2".repeat(depth));
    assert!(quick(&nested(8)).is_some());
    assert!(quick(&nested(9)).is_none());
}
