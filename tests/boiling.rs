//! `boil V for TIME`.

use aludel::data::Store;
use aludel::report::{self, Style};
use aludel::route::ledger::{Fact, Ledger, Level, Outcome};
use aludel::route::{self, Surroundings};
use aludel::text::Source;

fn run(text: &str) -> Ledger {
    let store = Store::default();
    let outcome = Surroundings::new(&store).follow(&Source::new("boil.route", text));
    assert!(outcome.faults.is_empty(), "{:?}", outcome.faults);
    outcome.ledger
}

fn last(ledger: &Ledger) -> &Outcome {
    let operations = ledger.steps.last().unwrap().operations.last();
    &operations.unwrap().outcome
}

/// 100 g of water from 20 °C to 99.97 °C (101.325 kPa) take 100 · (418.9 − 83.9) J by the IAPWS tables (enthalpies of the
/// liquid as printed in W. Wagner, H.-J. Kretzschmar, International Steam Tables, from memory).
#[test]
fn a_vessel_is_brought_to_its_boiling_point_and_kept_there() {
    let ledger = run("vessel pot\ncharge pot: 100 g water\nboil pot for 10 min\n");
    let Outcome::Thermal {
        to,
        bath,
        seconds,
        held,
        ..
    } = last(&ledger)
    else {
        panic!("{:?}", last(&ledger));
    };
    assert!((to.to_f64() - 273.15 - 99.97).abs() < 0.05, "{to:?}");
    assert_eq!(seconds.as_ref().unwrap().to_f64(), 600.0);
    assert!(
        (bath.known().unwrap().to_f64() + 33.5).abs() < 0.1,
        "{bath:?}"
    );
    assert!(!held);
    // The volume is kept.
    assert!((ledger.vessels[0].mass.to_f64() - 100.0).abs() < 1e-9);
}

#[test]
fn what_dissolves_only_hot_is_dissolved() {
    let cold = run("vessel pot\ncharge pot: 100 g KNO3, 100 g water\nshow amount(KNO3(s), pot)\n");
    let hot = run(
        "vessel pot\ncharge pot: 100 g KNO3, 100 g water\nboil pot for 1 min\nshow amount(KNO3(s), pot)\n",
    );
    let solid = |ledger: &Ledger| format!("{:?}", ledger.shows[0].answer).contains("above: 0");
    assert!(!solid(&cold) && solid(&hot));
}

#[test]
fn neither_a_closed_vessel_nor_a_dry_one_is_boiled() {
    for text in [
        "vessel pot\ncharge pot: 100 g water\nseal pot\nboil pot for 10 min\n",
        "vessel pot\ncharge pot: 10 g NaCl\nboil pot for 10 min\n",
        "vessel pot\nboil pot for 10 min\n",
    ] {
        let ledger = run(text);
        assert!(matches!(last(&ledger), Outcome::Refused), "{text}");
        let why = ledger.remarks.iter().find(|r| r.level == Level::Fault);
        assert!(
            matches!(
                why.unwrap().fact,
                Fact::UnderPressure { .. } | Fact::NoLiquid { .. } | Fact::Empty { .. }
            ),
            "{text}"
        );
    }
}

#[test]
fn the_line_on_the_sheet_has_its_time() {
    let text = "vessel pot\ncharge pot: 100 g water\nboil pot for 10 min\n";
    let outcome = route::follow(&Source::new("boil.route", text), &Store::default(), &[]);
    let sheet = report::sheet(&outcome.ledger, Style::default());
    assert!(sheet.contains("kept there for 10 min"), "{sheet}");
}
