//! Problems that a textbook works out, asked of this program through its doors.
//!
//! Source unless a test says otherwise: P. Flowers, K. Theopold, R. Langley, W. R. Robinson, Chemistry 2e, OpenStax
//! (2019), worked examples, the short exercises beside them, and tables; the section stands in each row. Problems are
//! retold, figures are quoted from memory.
//!
//! An answer must lie within one unit of the last digit printed: the book rounds on its way and uses rounded atomic
//! weights. Where it reports a measurement, or reckons with a simpler model, the row states how far we may be off.

use aludel::equation::{self, Reaction, parse_equation};
use aludel::matter::Notation;
use aludel::number::{Exact, Number, Unit};
use aludel::route::ledger::Answer;
use common::{follow, species};

#[path = "../common/mod.rs"]
mod common;

mod amounts;
mod heats;
mod solutions;

fn number(text: &str) -> Number {
    Number::exact(Exact::decimal(text).unwrap())
}

/// One unit of the last digit printed: 0.01 for `2.36`, 10 for `2.46e3`.
fn last_place(printed: &str) -> f64 {
    let (mantissa, power) = printed.split_once('e').unwrap_or((printed, "0"));
    let decimals = mantissa.split_once('.').map_or(0, |(_, part)| part.len());
    10f64.powi(power.parse::<i32>().unwrap() - decimals as i32)
}

/// Compares answers with the book and tells all that differ at once, when it goes.
#[derive(Default)]
struct Book {
    compared: usize,
    differ: Vec<String>,
}

impl Book {
    fn agrees(&mut self, ours: f64, printed: &str, what: &str) {
        self.within(ours, printed, last_place(printed), what);
    }

    fn within(&mut self, ours: f64, printed: &str, allowed: f64, what: &str) {
        let published: f64 = printed.parse().unwrap();
        self.compared += 1;
        // The last digit of a decimal is not exact in binary.
        if (ours - published).abs() > allowed * (1.0 + 1e-9) {
            let line = format!("{what}: {ours}, published {printed}, may differ by {allowed}");
            self.differ.push(line);
        }
    }

    fn close(self) {
        assert!(self.compared > 0);
        assert!(self.differ.is_empty(), "{:#?}", self.differ);
    }
}

/// The answer to the last `show` of a route.
fn shown(text: &str, unit: &'static Unit) -> f64 {
    let ledger = follow(text);
    match &ledger
        .shows
        .last()
        .expect("the route shows something")
        .answer
    {
        Answer::Quantity(found) => found.in_unit(unit).expect(text).to_f64(),
        other => panic!("{text}: {other:?}"),
    }
}

fn balanced(text: &str) -> Reaction {
    let skeleton = parse_equation(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
    let balance = equation::balance(&skeleton).unwrap_or_else(|why| panic!("{text}: {why:?}"));
    let reaction = balance.reaction();
    reaction
        .unwrap_or_else(|| panic!("{text}: several"))
        .clone()
}

#[test]
fn equations_of_the_book_balance_as_printed() {
    for (skeleton, printed, place) in [
        ("N2 + O2 -> N2O5", "2 N2 + 5 O2 -> 2 N2O5", "4.1"),
        (
            "NH4NO3 -> N2 + O2 + H2O",
            "2 NH4NO3 -> 2 N2 + O2 + 4 H2O",
            "4.1",
        ),
        (
            "C2H6 + O2 -> H2O + CO2",
            "2 C2H6 + 7 O2 -> 6 H2O + 4 CO2",
            "4.1",
        ),
        (
            "PCl5 + H2O -> POCl3 + HCl",
            "PCl5 + H2O -> POCl3 + 2 HCl",
            "4.1, exercises",
        ),
        (
            "Cu + HNO3 -> Cu(NO3)2 + H2O + NO",
            "3 Cu + 8 HNO3 -> 3 Cu(NO3)2 + 4 H2O + 2 NO",
            "4.1, exercises",
        ),
        (
            "(NH4)2Cr2O7 -> Cr2O3 + N2 + H2O",
            "(NH4)2Cr2O7 -> Cr2O3 + N2 + 4 H2O",
            "4.1, exercises",
        ),
        ("P4 + Cl2 -> PCl3", "P4 + 6 Cl2 -> 4 PCl3", "4.1, exercises"),
        (
            "Cl2 + NaOH -> NaCl + NaClO + H2O",
            "Cl2 + 2 NaOH -> NaCl + NaClO + H2O",
            "4.1",
        ),
        (
            "Cr2O7^2- + Fe^2+ -> Cr^3+ + Fe^3+ in acid",
            "Cr2O7^2- + 6 Fe^2+ + 14 H^+ -> 2 Cr^3+ + 6 Fe^3+ + 7 H2O",
            "4.2",
        ),
        (
            "H2O2 + Fe^2+ + H^+ -> H2O + Fe^3+",
            "H2O2 + 2 Fe^2+ + 2 H^+ -> 2 H2O + 2 Fe^3+",
            "4.2",
        ),
        (
            "MnO4^- + Cr(OH)3 -> MnO2 + CrO4^2- in base",
            "MnO4^- + Cr(OH)3 + OH^- -> MnO2 + CrO4^2- + 2 H2O",
            "17.1",
        ),
        (
            "MnO4^- + H2C2O4 + H^+ -> CO2 + Mn^2+ + H2O",
            "2 MnO4^- + 5 H2C2O4 + 6 H^+ -> 10 CO2 + 2 Mn^2+ + 8 H2O",
            "4.5",
        ),
    ] {
        let ours = balanced(skeleton).to_text(Notation::Plain);
        assert_eq!(ours, printed, "section {place}");
    }
}
