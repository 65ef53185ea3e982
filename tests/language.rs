//! Every example of the language manual reads, checks and runs.

#![allow(clippy::disallowed_methods)] // The manual is read from its file.

use aludel::data::Store;
use aludel::route::{self, ledger::Level};
use aludel::text::Source;

#[test]
fn every_example_of_the_manual_runs() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/language.md");
    let manual = std::fs::read_to_string(path).unwrap();
    let examples: Vec<&str> = manual
        .split("```route\n")
        .skip(1)
        .filter_map(|rest| rest.split("```").next())
        .collect();
    assert!(examples.len() >= 4);
    for example in examples {
        let outcome = route::follow(&Source::new("manual", example), &Store::default(), &[]);
        assert_eq!(outcome.faults, [], "{example}");
        let ledger = outcome.ledger;
        let faults: Vec<_> = ledger
            .remarks
            .iter()
            .filter(|r| r.level == Level::Fault)
            .collect();
        assert!(faults.is_empty(), "{faults:?}\n{example}");
        assert!(
            ledger.expectations.iter().all(|e| e.met),
            "{:?}",
            ledger.expectations
        );
    }
}
