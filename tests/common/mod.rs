//! What several test targets ask for: a route that has to be faultless, a figure of its sheet, the command line.

#![allow(
    dead_code,
    reason = "each test target is a program of its own and takes what it needs"
)]

pub mod faults;
pub mod samples;

use aludel::cli::{Doors, Status, run};
use aludel::data::Store;
use aludel::matter::Species;
use aludel::number::{Number, Unit};
use aludel::route::ledger::Answer;
use aludel::route::{self, Ledger};
use aludel::text::Source;

/// The ledger of a route in which nothing may be wrong.
#[track_caller]
pub fn follow(text: &str) -> Ledger {
    let outcome = route::follow(&Source::new("test", text), &Store::default(), &[]);
    assert_eq!(outcome.faults, [], "{text}");
    outcome.ledger
}

/// What the `index`th `show` answers, in that unit.
#[track_caller]
pub fn shown(ledger: &Ledger, index: usize, unit: &Unit) -> Number {
    match &ledger.shows[index].answer {
        Answer::Quantity(quantity) => quantity.in_unit(unit).unwrap(),
        other => panic!("{other:?}"),
    }
}

#[track_caller]
pub fn close(found: f64, expected: f64, within: f64, because: &str) {
    assert!(
        (found - expected).abs() <= within,
        "{found}, not {expected} within {within}: {because}"
    );
}

#[track_caller]
pub fn between((low, high): (f64, f64), expected: (f64, f64), within: f64, because: &str) {
    close(low, expected.0, within, because);
    close(high, expected.1, within, because);
}

#[track_caller]
pub fn species(text: &str) -> Species {
    Species::parse(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
}

/// A command line with that on its standard input: output, messages and status.
pub fn aludel(arguments: &[&str], input: impl AsRef<[u8]>) -> (String, String, u8) {
    let (mut output, mut messages) = (Vec::new(), Vec::new());
    let mut doors = Doors {
        input: &mut input.as_ref(),
        output: &mut output,
        messages: &mut messages,
        at_terminal: false,
        colour: false,
        known: Status::Well,
    };
    let status = run(["aludel"].iter().chain(arguments), &mut doors) as u8;
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (text(output), text(messages), status)
}
