//! Each slip has its own kind of message, and each kind has its line in docs/errors.md.

#![allow(clippy::disallowed_methods, reason = "tests may read files")]

use aludel::diagnostic::{Message, draw, formula_fault, outline_fault};
use aludel::matter::Species;
use aludel::shell::{Session, balanced};
use aludel::text::{Source, outline};
use proptest::prelude::*;

/// The message about an equation, with its text as the source.
fn about_equation(text: &str) -> Message {
    match balanced(text) {
        Err((message, _)) => message,
        Ok(found) => found
            .messages
            .into_iter()
            .next()
            .unwrap_or_else(|| panic!("{text}: nothing to say")),
    }
}

fn about_formula(text: &str) -> Message {
    formula_fault(&Species::parse(text).expect_err(text))
}

fn about_outline(text: &str) -> Message {
    outline_fault(&outline(text).1[0])
}

#[test]
fn every_slip_has_its_kind_and_its_place() {
    let deep = "(".repeat(70);
    let long = "C2".repeat(20_000);
    for (message, kind, piece) in [
        (about_formula("Xx2"), "unknown-element", "Xx"),
        (about_formula("nacl"), "letter-case", "nacl"),
        (about_formula("K3[Fe(CN)6"), "brackets", "["),
        (about_formula("Fe(SO4)3)"), "brackets", ")"),
        (about_formula("K4[Fe(CN]6)"), "brackets", "]"),
        (about_formula("Fe()3"), "brackets", "()"),
        (about_formula("H0"), "zero-count", "0"),
        (about_formula("H02"), "leading-zero", "02"),
        (
            about_formula("C99999999999999999999H4"),
            "count-too-large",
            "99999999999999999999",
        ),
        (
            about_formula("Fe^99999999999999999999+"),
            "charge-too-large",
            "^99999999999999999999+",
        ),
        (about_formula("Fe^3"), "malformed-charge", "^3"),
        (about_formula("Fe^0+"), "zero-charge", "^0+"),
        (about_formula("^2+"), "charge-without-species", "^2+"),
        (about_formula("I3-"), "ambiguous-charge", "-"),
        (about_formula("e^2-"), "electron-charge", "e^2-"),
        (about_formula("CuSO4··5H2O"), "malformed-hydrate", "·"),
        (about_formula("CuSO4·0H2O"), "zero-hydrate", "0"),
        (about_formula("NaCl(x)"), "unknown-phase", "(x)"),
        (about_formula("NaCl(aq)(s)"), "two-phases", "(s)"),
        (about_formula("СH4"), "foreign-letter", "С"),
        (about_formula("Na&Cl"), "malformed-formula", "&"),
        (about_formula(&deep), "too-deep", "("),
        (about_formula(&long), "too-long", &long),
        (about_equation("0 H2 + O2 -> H2O"), "zero-coefficient", "0"),
        (
            about_equation("1/0 H2 + O2 -> H2O"),
            "malformed-coefficient",
            "1/0",
        ),
        (about_equation("H2 + O2"), "no-arrow", ""),
        (about_equation("H2 + -> H2O"), "missing-species", "-"),
        (about_equation("H2 & O2 -> H2O"), "malformed-equation", "&"),
        (
            about_equation("H2 + O2 -> H2O, with O2 : H2 = 1 : 1 : 1"),
            "uneven-ratio",
            "O2 : H2 = 1 : 1 : 1",
        ),
        (about_equation("O2 -> H2O"), "one-sided", "H2O"),
        (about_equation("CO -> CO2"), "conflict", "CO -> CO2"),
        (
            about_equation("NaCl + H2O -> NaCl + H2O"),
            "nothing-happens",
            "NaCl + H2O -> NaCl + H2O",
        ),
        (
            about_equation("KClO3 -> KCl + KClO4 + O2"),
            "several-balances",
            "KClO3 -> KCl + KClO4 + O2",
        ),
        (
            about_equation("2 H2 + O2 -> H2O"),
            "wrong-coefficients",
            "2 H2 + O2 -> H2O",
        ),
        (about_outline("step {"), "unclosed-block", "{"),
        (about_outline("}"), "stray-brace", "}"),
        (about_outline("title \"x"), "unclosed-text", "\"x"),
        (about_outline(&"a {\n".repeat(40)), "unclosed-block", "{"),
    ] {
        assert_eq!(message.kind, kind, "{message:?}");
        assert!(!message.hints.is_empty(), "{kind} has no way out");
        let place = message.place().unwrap();
        assert_eq!(place.end - place.start, piece.len(), "{kind}: {message:?}");
    }
}

/// The words in quotes that begin a message in the sources of the rooms that make messages.
fn kinds_in_the_sources() -> Vec<String> {
    let mut kinds = Vec::new();
    for room in ["diagnostic", "shell", "cli"] {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("src")
            .join(room);
        for file in std::fs::read_dir(folder).unwrap() {
            let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
            let text = text.split("#[cfg(test)]").next().unwrap_or("");
            let code = text
                .lines()
                .filter(|line| !line.trim_start().starts_with("//"));
            let text = code.collect::<Vec<_>>().join("\n");
            for piece in text.split("Message::").skip(1) {
                let Some(inside) = ["error(", "warning(", "remark("]
                    .iter()
                    .find_map(|call| piece.strip_prefix(call))
                else {
                    continue;
                };
                if let Some(kind) = inside
                    .trim_start()
                    .strip_prefix('"')
                    .and_then(|rest| rest.split('"').next())
                {
                    kinds.push(kind.to_owned());
                }
            }
        }
    }
    kinds
}

#[test]
fn every_kind_is_listed_in_the_manual() {
    let manual = include_str!("../docs/errors.md");
    let kinds = kinds_in_the_sources();
    assert!(kinds.len() > 30, "the search finds too few: {kinds:?}");
    for kind in kinds {
        assert!(
            manual.contains(&format!("| `{kind}` |")),
            "docs/errors.md lacks `{kind}`"
        );
    }
}

#[test]
fn drawings_show_the_text_and_what_is_wrong_with_it() {
    for (name, text) in [
        ("draw_ion", "MnO₄⁻ + Fe^2 → Mn²⁺"),
        ("draw_one_sided", "H2O + CO2 -> H2O2"),
        ("draw_foreign", "\tNaСl + AgNO3 -> AgCl"),
    ] {
        let drawn = draw(&about_equation(text), &Source::new("notes", text), false);
        insta::assert_snapshot!(name, drawn);
    }
}

/// Pieces of which the language is made, and some that are in nobody's language.
fn piece() -> impl Strategy<Value = String> {
    let known = [
        "Fe",
        "H2O",
        "SO4",
        "^2-",
        "^",
        "+",
        " + ",
        "->",
        " -> ",
        "=",
        "(",
        ")",
        "[",
        "]",
        "{",
        "}",
        "·",
        "2",
        "0",
        "1/0",
        "½",
        "(aq)",
        "(s)",
        "e^-",
        "⁻",
        "₂",
        "→",
        "\"",
        "#",
        "\n",
        "\t",
        " ",
        ",",
        ":",
        "±",
        "with",
        "in base",
        "let x = ",
        "charge flask: ",
        "vessel flask: 5 mL",
        "step ",
        "show ",
        "help ",
        "mass(",
        "5 g ",
        "999999999999",
        "Xx",
        "na",
        "µ",
        "漢",
    ];
    prop_oneof![
        8 => proptest::sample::select(known.to_vec()).prop_map(str::to_owned),
        1 => "\\PC{0,3}",
        1 => any::<char>().prop_map(String::from),
    ]
}

proptest! {
    /// Whatever is typed is answered or refused, with places inside the text and a drawing of each message.
    #[test]
    fn nothing_that_is_typed_is_a_panic(pieces in proptest::collection::vec(piece(), 0..24)) {
        let text = pieces.concat();
        // Only `save` writes files.
        prop_assume!(!text.contains("save"));
        let reply = Session::new().enter(&text);
        let source = Source::new("typed", text.as_str());
        for message in &reply.messages {
            let drawn = draw(message, &source, false);
            prop_assert!(drawn.contains(message.kind));
            for (span, _) in &message.labels {
                prop_assert!(span.start <= span.end && span.end <= text.len(), "{text:?}: {message:?}");
                prop_assert!(text.is_char_boundary(span.start) && text.is_char_boundary(span.end), "{text:?}: {message:?}");
            }
        }
    }
}

/// The way out names what was meant, not only where it could be read.
#[test]
fn a_slip_of_the_bench_has_a_way_out() {
    for (text, hint) in [
        ("charge pot: 5 mL ethanol", "ethanol is C2H5OH"),
        ("bottle weak: HCl 37", "mol/L"),
        ("bottle odd: HCl 370 %w/w", "%w/w goes up to 100"),
        ("let Flask = 3", "begins with a small letter"),
        ("show pressure(pot)", "temperature, titre"),
        ("show amount(pot, NaCl)", "amount(NaCl, flask)"),
        ("take 500 mL from pot -> cup", "another amount"),
        ("heat pot to 60 °C", "warm VESSEL to T"),
        ("add pot: 10 mL water", "did you mean `charge`?"),
    ] {
        let mut session = Session::new();
        for line in ["vessel pot: 250 mL", "charge pot: 10 mL water"] {
            assert!(session.enter(line).messages.is_empty(), "{line}");
        }
        let reply = session.enter(text);
        let hints = reply.messages.iter().flat_map(|message| &message.hints);
        assert!(
            hints.clone().any(|one| one.contains(hint)),
            "{text}: {reply:?}"
        );
    }
}
