//! `boil V for TIME`.

use aludel::data::Store;
use aludel::report::{self, Style};
use aludel::route::ledger::{Answer, Fact, Ledger, Level, Outcome};
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

/// 100 g of water dissolve some 30 g of nitre at 20 °C, and more than 200 g at the boil (CRC Handbook, from memory).
#[test]
fn what_dissolves_only_hot_is_dissolved() {
    let cold = run("vessel pot\ncharge pot: 100 g KNO3, 100 g water\nshow amount(KNO3(s), pot)\n");
    let hot = run(
        "vessel pot\ncharge pot: 100 g KNO3, 100 g water\nboil pot for 1 min\nshow amount(KNO3(s), pot)\n",
    );
    let solid = |ledger: &Ledger| match &ledger.shows[0].answer {
        Answer::Quantity(quantity) => quantity.number().to_f64(),
        other => panic!("{other:?}"),
    };
    assert!(solid(&cold) > 0.5, "{}", solid(&cold));
    assert_eq!(solid(&hot), 0.0);
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

/// °C to which a bath far above it brings 100 g of a bottle.
fn boils(bottle: &str) -> f64 {
    let ledger = run(&format!(
        "bottle it: {bottle}\nvessel pot\ncharge pot: 100 g it\nwarm pot to 300 °C\n"
    ));
    ledger.vessels[0].temperature.to_f64() - 273.15
}

/// Sulfuric acid of 63.7 %: between 141 °C at 60 % and 160 °C at 67 % (CRC Handbook of Chemistry and Physics). Lye of 50 %: 142
/// to 145 °C (makers' handbooks). Ammonia of 25 %: 37.7 °C (safety data sheets). Hydrochloric acid of 37 %: 45 to 51 °C (the
/// same); of 20.22 %: 108.58 °C (C. W. Foulk, M. Hollingsworth, J. Am. Chem. Soc. 45 (1923) 1220). Nitric acid of 68 %: 120.5 to
/// 122 °C, the constant-boiling one. Alcohol of 96 %: 78.2 °C. All from memory.
#[test]
fn bottles_boil_where_published_ones_do() {
    for (bottle, low, high) in [
        ("H2SO4 63.7 %w/w", 145.0, 155.0),
        ("NaOH 50 %w/w", 140.0, 145.5),
        ("NH3 25 %w/w", 36.0, 40.0),
        ("HCl 37 %w/w", 45.0, 51.5),
        ("HCl 20.22 %w/w", 107.6, 109.6),
        ("HNO3 68 %w/w", 119.0, 123.0),
        ("C2H5OH 96 %w/w", 77.7, 78.9),
    ] {
        let found = boils(bottle);
        assert!((low..high).contains(&found), "{bottle}: {found}");
    }
}

/// −21.1 °C, the eutectic of common salt with ice (any handbook); −33 °C for NH4Cl would be past its own, −15.4 °C to −16 °C.
#[test]
fn ice_in_brine_goes_no_lower_than_the_eutectic() {
    for (salt, eutectic) in [
        ("33 g NaCl", -21.1),
        ("60 g NaCl", -21.1),
        ("50 g NH4Cl", -15.7),
    ] {
        let ledger = run(&format!(
            "vessel pot\ncharge pot: {salt}\ncharge pot: 100 g ice at -1 °C\ncharge pot: 1 g water at 0 °C\n"
        ));
        let cold = ledger.vessels[0].temperature.to_f64() - 273.15;
        assert!((cold - eutectic).abs() < 0.6, "{salt}: {cold}");
        let frozen = ledger.remarks.iter();
        let frozen = frozen.filter(|remark| matches!(remark.fact, Fact::Freezes { .. }));
        assert_eq!(frozen.count(), 0, "{salt}");
    }
}

/// What nothing better than Raoult's law is known for is called an estimate, and what was measured is not.
#[test]
fn an_estimate_is_called_one() {
    let estimate = |what: &str| {
        let ledger = run(&format!(
            "vessel pot\ncharge pot: 100 g water, {what}\nwarm pot to 150 °C\n"
        ));
        let told = ledger.remarks.iter().find_map(|remark| match &remark.fact {
            Fact::WouldBoil { boiling, .. } => Some(boiling.estimate),
            _ => None,
        });
        let sheet = report::sheet(&ledger, Style::default());
        assert_eq!(sheet.contains("(an"), told == Some(true), "{sheet}");
        told.unwrap()
    };
    assert!(estimate("20 g SnCl2"));
    assert!(!estimate("20 g NaCl") && !estimate("30 g KNO3"));
}

/// Tin with chlorine, −511 kJ/mol (from memory): no data for SnCl4 as a solid, so nothing is known of its temperature.
#[test]
fn unknown_is_not_twenty_degrees() {
    let text = "vessel flask: 250 mL\ncharge flask: 11.9 g Sn\ncharge flask: 14.2 g Cl2 over 60 min\n\
                react flask: Sn + Cl2 -> SnCl4\n";
    let ledger = |then: &str| run(&[text, then].concat());
    for wish in [
        "peak(flask) < 30 °C",
        "temperature(flask) < 30 °C",
        "warmest(flask) < 900 °C",
    ] {
        let ledger = ledger(&format!("expect {wish}\n"));
        assert!(!ledger.expectations[0].met, "{wish}");
        let sheet = report::sheet(&ledger, Style::default());
        assert!(sheet.contains("how hot flask becomes"), "{sheet}");
        assert!(sheet.contains("temperature not known"), "{sheet}");
    }
    // A thermometer or a bath says what it is; how hot it became stays unknown.
    for settled in ["measure temperature(flask): 30 °C", "cool flask to 30 °C"] {
        let ledger = ledger(&format!(
            "{settled}\nexpect temperature(flask) = 30 °C\nexpect peak(flask) < 900 °C\n"
        ));
        let met: Vec<bool> = ledger.expectations.iter().map(|one| one.met).collect();
        assert_eq!(met, [true, false], "{settled}");
    }
    // What is poured on takes the doubt along.
    let ledger = ledger(
        "vessel beaker\ncharge beaker: 50 g water\npour flask -> beaker\nexpect temperature(beaker) < 900 °C\n",
    );
    assert!(!ledger.expectations[0].met);
}

/// An open beaker never comes to 131 °C: lye and acid at once boil first.
#[test]
fn the_peak_of_an_open_vessel_is_where_it_boils() {
    let text = |seal: &str| {
        format!(
            "bottle lye: NaOH 50 %w/w\nbottle oil: H2SO4 98 %w/w\nvessel cup: 1 L\n{seal}charge cup: 100 g lye\ncharge cup: 60 g oil\n\
             react cup: NaOH + H2SO4 -> Na2SO4 + H2O\nexpect peak(cup) < 150 °C\n"
        )
    };
    assert!(run(&text("")).expectations[0].met);
}
