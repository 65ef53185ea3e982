//! What is found in a ledger before anybody words it. Quantities made up.

mod common;

use aludel::advice::{self, About, Buoyancy, Kind, Strength, UnknownHazard};
use aludel::hazard::{Cautions, Severity};
use common::follow;

/// Two vessels with the same soda and acid, a salt that no table classifies, and a gas.
const SODA: &str = "bottle acid: HCl 37 %w/w\nvessel one: 250 mL\nvessel two: 250 mL\n\
    charge one: 2.0 g Na2CO3, 50 mL acid\nreact one: Na2CO3 + HCl -> NaCl + CO2 + H2O\n\
    charge two: 2.0 g Na2CO3, 50 mL acid\nreact two: Na2CO3 + HCl -> NaCl + CO2 + H2O\n\
    vessel jar\ncharge jar: 1.0 g Cs2WO4\n";

#[test]
fn cautions_stand_in_order_of_severity_each_with_its_kind_and_its_source() {
    let ledger = follow(SODA);
    let all = advice::cautions(&ledger);
    let severities: Vec<Severity> = all.iter().map(|caution| caution.severity).collect();
    assert!(
        severities.is_sorted_by(|one, next| one >= next),
        "{severities:?}"
    );
    for kind in [Kind::Meeting, Kind::Gas, Kind::Substance, Kind::Contents] {
        let found = all.iter().find(|caution| caution.kind() == kind);
        let found = found.unwrap_or_else(|| panic!("no {kind:?}"));
        assert!(!found.sources().is_empty(), "{found:?}");
    }
}

#[test]
fn a_meeting_in_two_vessels_is_one_with_two_places() {
    let ledger = follow(SODA);
    let all = advice::cautions(&ledger);
    let meetings = all.iter().filter(|one| one.keys() == ["R213"]);
    let places: Vec<Vec<&str>> = meetings.map(|one| one.places()).collect();
    assert_eq!(places, [["one", "two"]]);
}

/// 1.293 g of dry air and 1.977 g of CO2 in a litre at 0 °C and 101.325 kPa (CRC Handbook, from memory): it is 1.53 times as
/// dense, and sinks. 2.0 g of Na2CO3 (105.99 g/mol, IUPAC CIAAW 2021) set 18.87 mmol free, twice, 24.06 L/mol at 20 °C.
#[test]
fn a_gas_is_one_with_its_whole_volume_unrounded() {
    let ledger = follow(SODA);
    let all = advice::cautions(&ledger);
    let gases = all.iter().filter_map(|caution| match &caution.about {
        About::Gas(gas) => Some(gas),
        _ => None,
    });
    let gases: Vec<_> = gases.collect();
    let [gas] = &gases[..] else {
        panic!("{gases:?}");
    };
    assert_eq!(gas.buoyancy(), Some(Buoyancy::Sinks));
    let litres = gas.litres.to_f64();
    assert!(
        (litres - 2.0 * 2.0 / 105.99 * 24.055).abs() < 1e-3,
        "{litres}"
    );
}

#[test]
fn what_no_table_knows_is_found_as_such() {
    let ledger = follow(SODA);
    let found = advice::without_statement(&ledger);
    let unknown = found.unknown.iter();
    let named = unknown.filter(|one| match one {
        UnknownHazard::Portion(draw) => draw.substance.key() == "Cs2WO4",
        UnknownHazard::In { .. } => false,
    });
    assert_eq!(named.count(), 1, "{found:?}");
}

/// EU CLP Annex VI Table 3: copper(II) sulfate pentahydrate, 029-023-00-4.
#[test]
fn a_label_has_the_share_of_the_product_and_its_signal_word() {
    let ledger = follow(
        "vessel jar\ncharge jar: 3.0 g CuSO4·5H2O, 1.0 g NaCl(s)\nyield jar: CuSO4·5H2O on CuSO4·5H2O\n",
    );
    let label = advice::label(&ledger.yields[0], &ledger);
    let Strength::MassFraction(share) = &label.strength else {
        panic!("{label:?}");
    };
    assert!((share.to_f64() - 0.75).abs() < 1e-9, "{share:?}");
    assert!(matches!(label.found, Cautions::Found { .. }), "{label:?}");
    assert_eq!(label.signal(), Some("Danger"));
}

#[test]
fn product_in_the_waste_jar_is_found_with_its_share() {
    let ledger = follow(
        "vessel jar\ncharge jar: 5.0 g KNO3, 50 mL water\ntake 50 % from jar -> rest\ndiscard rest\n\
         yield jar: KNO3(aq) on KNO3\n",
    );
    let [(product, share)] = &advice::waste(&ledger).product[..] else {
        panic!("{:?}", advice::waste(&ledger));
    };
    assert_eq!(product.plain(), "KNO3");
    assert!((share - 0.5).abs() < 1e-9, "{share}");
}
