//! The shipped routes: each runs without a fault, balances its books and meets its expectations; and the figures that
//! the alum route must give.

#![allow(clippy::disallowed_methods)] // Tests read the routes from their files.

use aludel::data::Store;
use aludel::matter::Species;
use aludel::number::unit;
use aludel::route::ledger::{Answer, Fact, Ledger, Level, Outcome};
use aludel::route::{self};
use aludel::text::Source;

fn shipped(name: &str) -> Ledger {
    let path = format!("{}/scripts/{name}.route", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap();
    let outcome = route::follow(&Source::new(path, text), &Store::default(), &[]);
    assert_eq!(outcome.faults, [], "{name}");
    outcome.ledger
}

/// The names of all routes in `scripts/`.
fn names() -> Vec<String> {
    let folder = std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/scripts")).unwrap();
    let paths = folder.map(|entry| entry.unwrap().path());
    let routes = paths.filter(|path| path.extension().is_some_and(|kind| kind == "route"));
    let mut names: Vec<String> = routes
        .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn every_shipped_route_meets_its_expectations() {
    for name in names() {
        let ledger = shipped(&name);
        assert!(!ledger.expectations.is_empty(), "{name} expects nothing");
        for expectation in &ledger.expectations {
            assert!(expectation.met, "{name}: {expectation:?}");
        }
        let faults = ledger.remarks.iter().filter(|r| r.level == Level::Fault);
        assert_eq!(faults.count(), 0, "{name}");
        assert!(!ledger.sources.is_empty(), "{name}");
    }
}

/// 1.00 g Al is 0.03706 mol, makes at most 17.58 g of alum (atomic weights: CIAAW 2021) and 1.337 L of hydrogen at
/// 20 °C (1.36 L at 25 °C) and 101.325 kPa, ideal.
#[test]
fn the_alum_route_gives_the_figures_worked_by_hand() {
    let ledger = shipped("alum");
    let of = &ledger.yields[0];
    assert!((of.basis_moles.to_f64() - 0.03706).abs() < 5e-6);
    assert!((of.theoretical.1.to_f64() - 17.58).abs() < 5e-3);
    let Answer::Quantity(gas) = &ledger.shows[2].answer else {
        panic!("{:?}", ledger.shows[2]);
    };
    let litres = gas.in_unit(&unit::LITRE).unwrap().to_f64();
    assert!((litres * 298.15 / 293.15 - 1.36).abs() < 5e-3);
}

#[test]
fn a_reagent_that_is_gone_is_named_with_the_step_that_used_it() {
    let text = "bottle acid: HCl 1.0 mol/L\nvessel cup\nstep \"One\" {\n  charge cup: 1.0 g Zn, 30 mL acid\n  \
                react cup: Zn + HCl -> ZnCl2 + H2\n}\nstep \"Two\" {\n  charge cup: 1.0 g CaCO3\n  \
                react cup: CaCO3 + HCl -> CaCl2 + CO2 + H2O\n}\n";
    let outcome = route::follow(&Source::new("two", text), &Store::default(), &[]);
    assert_eq!(outcome.faults, []);
    // 30 mL of 1.0 mol/L acid is 30 mmol; 1.0 g of zinc, 15.29 mmol, wants 30.6 mmol.
    let first = outcome.ledger.steps[0].operations.last().unwrap();
    let Outcome::Reacted(record) = &first.outcome else {
        panic!("{first:?}");
    };
    assert_eq!(record.limiting.as_ref().map(Species::key), Some("H^+"));
    let absent = |fact: &Fact| {
        matches!(
            fact,
            Fact::Absent {
                used_up: Some(_),
                ..
            }
        )
    };
    assert!(outcome.ledger.remarks.iter().any(|r| absent(&r.fact)));
}
