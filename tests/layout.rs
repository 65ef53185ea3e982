//! Laying a route out changes blanks and nothing else.

#![allow(clippy::disallowed_methods, reason = "the shipped routes are read")]

use aludel::data::Store;
use aludel::route;
use aludel::text::{Source, layout};
use proptest::prelude::*;

/// What a route comes to, without the places and the words of the statements.
fn meaning(text: &str) -> String {
    let outcome = route::follow(&Source::new("route", text), &Store::default(), &[]);
    let ledger = outcome.ledger;
    let steps: Vec<_> = ledger.steps.iter().map(|step| &step.after).collect();
    format!("{} {steps:?} {:?}", outcome.faults.len(), ledger.vessels)
}

#[test]
fn comments_quotes_and_order_are_kept() {
    let text = "\n\n# potash   alum\ntitle   \"two  blanks ,kept : so\"\nbottle lye : KOH 1.5 mol/L\n\
                bottle vitriol:H2SO4 9.0 mol/L#strong\n\n\n\nvessel   flask:250 mL\n\
                step \"Mix\" {  charge flask:1 g Al ,30 mL water } # end\n\
                react flask:  Al + H2O -> AlO2^- , with O2 : H2O = 1 : 1\n\n";
    let laid = "# potash   alum\ntitle \"two  blanks ,kept : so\"\nbottle lye:     KOH 1.5 mol/L\n\
                bottle vitriol: H2SO4 9.0 mol/L  #strong\n\nvessel flask: 250 mL\n\
                step \"Mix\" {\n  charge flask: 1 g Al, 30 mL water\n}\n# end\n\
                react flask: Al + H2O -> AlO2^-, with O2 : H2O = 1 : 1\n";
    assert_eq!(layout(text).unwrap(), laid);
}

#[test]
fn what_cannot_be_taken_apart_is_left_alone() {
    assert!(layout("step \"Mix\" {\n").is_err());
    assert!(layout("title \"Mix\n").is_err());
}

/// Shipped routes are laid out as `aludel fmt` does it, and mean the same before and after a careless hand.
#[test]
fn shipped_routes_are_laid_out() {
    for entry in std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/scripts")).unwrap() {
        let path = entry.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap();
        assert_eq!(layout(&text).unwrap(), text, "{}", path.display());
        let careless: String = text
            .lines()
            .filter(|line| !line.trim_start().starts_with("note"))
            .map(|line| format!("\t {}   \n\n", line.replace(", ", "  ,   ")))
            .collect();
        let laid = layout(&careless).unwrap();
        assert_eq!(layout(&laid).unwrap(), laid, "{}", path.display());
        assert_eq!(meaning(&careless), meaning(&laid), "{}", path.display());
    }
}

proptest! {
    /// Any text that has an outline keeps every mark that is not a blank, and is laid out once and for all.
    #[test]
    fn laying_out_is_idempotent_and_loses_nothing(
        text in "([a-z]{1,6}|[ \t]{1,3}|[:,{}#\"\n]|\n\n|bottle a: |vessel b : |step \"x\" \\{\n)*",
    ) {
        if let Ok(laid) = layout(&text) {
            let marks = |text: &str| text.split_whitespace().collect::<String>();
            prop_assert_eq!(marks(&laid), marks(&text));
            prop_assert_eq!(layout(&laid).unwrap(), laid);
        }
    }
}

/// What is refused when it is read stays so: laying out mends nothing without a word.
#[test]
fn blanks_that_the_language_has_not_are_left_alone() {
    for odd in [
        '\u{b}', '\u{c}', '\r', '\u{85}', '\u{2028}', '\u{2029}', '\u{3000}',
    ] {
        for text in [
            format!("vessel{odd}cup\n"),
            format!("vessel cup: 5{odd}mL\n"),
            format!("charge cup: 1 g NaCl{odd}, 3 mL water\n"),
            format!("charge cup{odd}: 1 g NaCl\n"),
        ] {
            let laid = layout(&text).unwrap();
            assert!(laid.contains(odd), "{text:?} became {laid:?}");
            assert_eq!(layout(&laid).unwrap(), laid);
            let faults = |text: &str| {
                route::prepare(&Source::new("t", text), &Store::default(), &[])
                    .1
                    .len()
            };
            assert_eq!(faults(&text), faults(&laid), "{text:?} became {laid:?}");
        }
    }
    let text = "vessel\tcup:\u{a0}5\u{2009}mL\r\n";
    assert_eq!(layout(text).unwrap(), "vessel cup: 5 mL\n");
}
