//! Titrations and the uncertainty of what they give, against published and hand-reckoned figures.

mod common;

use aludel::data::Store;
use aludel::number::unit;
use aludel::route::ledger::{Fact, Outcome, OutletAccount, TitrationRecord};
use aludel::route::{self, Ledger};
use aludel::text::Source;
use common::{close, follow, shown};

fn titrations(ledger: &Ledger) -> Vec<&TitrationRecord> {
    let operations = ledger.steps.iter().flat_map(|step| &step.operations);
    let titrated = operations.filter_map(|one| match &one.outcome {
        Outcome::Titrated(record) => Some(record.as_ref()),
        _ => None,
    });
    titrated.collect()
}

/// EURACHEM/CITAC Guide CG 4, 3rd ed. (2012), example A1, figures from memory: 100.28 mg of cadmium of purity
/// 0.9999 ± 0.0001 in 100.0 mL is 1002.7 mg/L with a standard uncertainty of 0.9 mg/L, most of it from the volume. The
/// guide rounds on the way (0.07 mL, 0.0009 relative); unrounded, by hand, 1002.7 · √(0.0000577² + 0.000499² + 0.000664²)
/// is 0.835 mg/L.
#[test]
fn a_calibration_standard_has_the_uncertainty_of_the_guide() {
    let ledger = follow(
        "let metal = 100.28 mg ± 0.05 mg\n\
         let purity = 0.9999 ± 0.0001 tolerance\n\
         let mark = 0 mL ± 0.1 mL triangular\n\
         let filling = 0 mL ± 0.02 mL\n\
         let warmth = 0 mL ± 0.084 mL tolerance\n\
         let whole = 100.0 mL + mark + filling + warmth\n\
         show metal * purity / whole, uncertainty(whole)\n",
    );
    let strength = shown(&ledger, 0, &unit::find("mg/L").unwrap());
    close(strength.to_f64(), 1002.7, 0.05, "concentration");
    close(
        strength.standard_uncertainty(),
        0.835,
        0.002,
        "its uncertainty",
    );
    close(
        shown(&ledger, 1, &unit::MILLILITRE).to_f64(),
        0.07,
        0.005,
        "of the volume",
    );
}

/// EURACHEM/CITAC Guide CG 4, 3rd ed. (2012), example A2, figures from memory: 0.3888 g of potassium hydrogen phthalate
/// takes 18.64 mL of lye, which is (0.10214 ± 0.00010) mol/L.
#[test]
fn lye_is_standardised_as_in_the_guide() {
    let ledger = follow(
        "bottle lye: NaOH 0.10 mol/L, density 1.004 g/mL\n\
         bottle phthalate: KHC8H4O4(s) 100 % ± 0.05 % tolerance\n\
         let weighed = 0.3888 g ± 0.00013 g\n\
         let repeatability = 1 ± 0.0005\n\
         vessel cone\n\
         charge cone: weighed phthalate, 50 mL water\n\
         titrate cone with lye: KHC8H4O4 + NaOH -> KNaC8H4O4 + H2O, found 18.64 mL ± 0.013 mL, giving lye\n\
         show strength(lye) * repeatability\n",
    );
    let strength = shown(&ledger, 0, &unit::MOLAR);
    close(strength.to_f64(), 0.10214, 0.000_01, "concentration");
    close(
        strength.standard_uncertainty(),
        0.000_10,
        0.000_005,
        "its uncertainty",
    );
}

/// By hand: 0.1325 g of Na2CO3 (105.98754 g/mol) is 1.2501 mmol and takes 2.5003 mmol of acid; in 24.52 mL (24.55 less the
/// blank of 0.03) that is 0.10197 mol/L. The later titration uses that strength.
#[test]
fn a_standardised_bottle_keeps_its_strength() {
    let ledger = follow(
        "bottle acid: HCl 0.10 mol/L\n\
         vessel cone\nvessel second\n\
         charge cone: 0.1325 g Na2CO3, 50 mL water\n\
         titrate cone with acid: Na2CO3 + HCl -> NaCl + CO2 + H2O, found 24.52, 24.58, 24.55 mL, blank 0.03 mL, giving acid\n\
         charge second: 0.1000 g NaOH, 50 mL water\n\
         titrate second with acid: NaOH + HCl -> NaCl + H2O, found 0.10 to 20.10 mL\n\
         show strength(acid), titre(cone), analyte(second), concentration(HCl, second)\n",
    );
    let strength = shown(&ledger, 0, &unit::MOLAR);
    close(strength.to_f64(), 0.101_97, 0.000_005, "strength");
    close(
        shown(&ledger, 1, &unit::MILLILITRE).to_f64(),
        24.52,
        1e-9,
        "titre",
    );
    close(
        strength.standard_uncertainty() / strength.to_f64(),
        0.03 / 3_f64.sqrt() / 24.52,
        1e-8,
        "s/√n of the readings is all there is (JCGM 100:2008, 4.2.3)",
    );
    close(
        shown(&ledger, 2, &unit::MILLIMOLE).to_f64(),
        2.0394,
        0.0001,
        "20.00 mL of it",
    );
    close(
        shown(&ledger, 3, &unit::MOLAR).to_f64(),
        0.0,
        1e-12,
        "at the end point nothing is left",
    );
    assert!(
        ledger
            .remarks
            .iter()
            .all(|r| !format!("{r:?}").contains("Unbalanced"))
    );
}

/// Permanganate against oxalate is 2 : 5; 0.1675 g of Na2C2O4 (133.998 g/mol) is 1.2500 mmol and takes 25.00 mL of
/// 0.02 mol/L (by hand). Without readings the plan stands, and the reaction runs.
#[test]
fn a_plan_says_where_the_end_point_lies() {
    let ledger = follow(
        "bottle permanganate: KMnO4 0.02 mol/L, density 1.00 g/mL\n\
         bottle vitriol: H2SO4 2 mol/L\n\
         vessel cone\n\
         charge cone: 0.1675 g Na2C2O4, 50 mL water, 15 mL vitriol\n\
         titrate cone with permanganate: MnO4^- + C2O4^2- + H^+ -> Mn^2+ + CO2 + H2O\n\
         show amount(C2O4^2-, cone), gas(CO2, cone)\n",
    );
    let record = titrations(&ledger)[0];
    close(
        record.planned.to_f64(),
        25.00,
        0.005,
        "volume at the end point",
    );
    assert!(record.mean.is_none() && record.readings.is_empty());
    close(
        shown(&ledger, 0, &unit::MOLE).to_f64(),
        0.0,
        1e-12,
        "all of it is used up",
    );
}

/// 0.2000 g of Na2C2O4 is 1.493 mmol and takes 16/5 of that in acid, 4.78 mmol (by hand); 1 mL of 1 mol/L acid brings
/// 2 mmol. The acid is not the analyte, so there is no answer.
#[test]
fn acid_that_runs_out_first_is_no_analyte() {
    let ledger = follow(
        "bottle permanganate: KMnO4 0.02 mol/L, density 1.00 g/mL\n\
         bottle vitriol: H2SO4 1 mol/L\n\
         vessel cone\n\
         charge cone: 0.2000 g Na2C2O4, 50 mL water, 1 mL vitriol\n\
         titrate cone with permanganate: MnO4^- + C2O4^2- + H^+ -> Mn^2+ + CO2 + H2O, found 30.00 mL\n",
    );
    assert!(titrations(&ledger).is_empty());
    let short =
        |fact: &Fact| matches!(fact, Fact::MediumShort { sought, .. } if sought.key() == "C2O4^2-");
    assert!(ledger.remarks.iter().any(|remark| short(&remark.fact)));
}

/// Less analyte than planned: the difference leaves by the losses account with its counter-ion, the rest is neutral.
#[test]
fn what_was_not_there_goes_to_the_losses_account() {
    let ledger = follow(
        "bottle acid: HCl 0.10 mol/L\n\
         vessel cone\n\
         charge cone: 0.1000 g NaOH, 50 mL water\n\
         titrate cone with acid: NaOH + HCl -> NaCl + H2O, found 24.00 mL\n",
    );
    let lost = ledger
        .outlets
        .iter()
        .find(|one| one.account == OutletAccount::Losses)
        .unwrap();
    let of = |key: &str| {
        let found = lost.contents.iter().find(|one| one.species.key() == key);
        found.unwrap().moles.to_f64()
    };
    close(of("Na^+"), of("OH^-"), 1e-15, "neutral");
    close(
        of("OH^-"),
        0.1 / 39.997 - 0.0024,
        1e-6,
        "planned less found",
    );
}

#[test]
fn glassware_of_no_size_and_scaled_readings_are_refused() {
    for (text, kind) in [
        ("vessel a\ntake 17 mL by pipette from a -> b", "NoSuchGlass"),
        ("show 2 * 20 °C", "Scaled"),
    ] {
        let outcome = route::follow(&Source::new("test", text), &Store::default(), &[]);
        assert!(
            format!("{:?}", outcome.faults).contains(kind),
            "{text}: {:?}",
            outcome.faults
        );
    }
}

/// EURACHEM/CITAC Guide CG 4, 3rd ed. (2012), example A3, figures from memory: 15 mL of acid take 14.89 mL of a lye of which
/// 18.64 mL took 0.3888 g of phthalate: 0.10139 mol/L, relative standard uncertainty 0.0018. The guide's repeatability of
/// 0.001 is taken into the second reading here: √(0.014² + 0.0149²) mL.
#[test]
fn acid_by_a_lye_standardised_just_before_as_in_the_guide() {
    let ledger = follow(
        "bottle phthalate: KHC8H4O4(s) 100 % ± 0.029 %
        bottle lye: NaOH 0.1 mol/L
        bottle acid: HCl 0.1 mol/L
        let portion = 15 mL ± 0.011 mL
        vessel cup
        vessel jar
        charge cup: 0.3888 g ± 0.00012 g phthalate, 50 mL water
        titrate cup with lye: KHC8H4O4 + NaOH -> KNaC8H4O4 + H2O, found 18.64 mL ± 0.0155 mL, giving lye
        charge jar: portion acid, 50 mL water
        titrate jar with lye: HCl + NaOH -> NaCl + H2O, found 14.89 mL ± 0.0204 mL
        show analyte(jar) / portion",
    );
    let found = shown(&ledger, 0, &unit::MOLAR);
    close(found.to_f64(), 0.10139, 0.00001, "strength");
    let relative = found.standard_uncertainty() / found.to_f64();
    close(relative, 0.0018, 0.00005, "relative standard uncertainty");
}

/// By hand: 0.1500 g of KIO3 (214.00 g/mol) is 0.70093 mmol, sets free three times as much iodine, which takes twice as
/// much thiosulfate: 4.2056 mmol in 42.00 mL are 0.10013 mol/L.
#[test]
fn thiosulfate_is_standardised_against_iodate() {
    let ledger = follow(
        "bottle thio: Na2S2O3 0.1 mol/L
        bottle acid: H2SO4 1.0 mol/L
        vessel pot
        charge pot: 0.1500 g KIO3, 2 g KI, 50 mL water, 20 mL acid
        react pot: IO3^- + I^- + H^+ -> I2 + H2O
        titrate pot with thio: I2 + S2O3^2- -> I^- + S4O6^2-, found 42.00 mL, giving thio, indicator \"starch\"
        show strength(thio), amount(I2, pot)",
    );
    close(
        shown(&ledger, 0, &unit::MOLAR).to_f64(),
        0.10013,
        0.00001,
        "strength",
    );
    assert!(shown(&ledger, 1, &unit::MOLE).is_zero());
}

/// 0.1325 g of soda took 20.00 mL: the acid is 0.12502 mol/L, and everything after it reckons with that.
#[test]
fn questions_use_the_strength_that_was_found() {
    let text = "bottle acid: HCl 0.10 mol/L\nvessel cone\ncharge cone: 0.1325 g Na2CO3, 50 mL water\n\
        solution make 100 mL HCl 0.05 mol/L from acid\n\
        titrate cone with acid: Na2CO3 + HCl -> NaCl + CO2 + H2O, found 20.00 mL, giving acid\n\
        scale NaOH + HCl -> NaCl + H2O to 10 mmol NaOH\n\
        scale NaOH + HCl -> NaCl + H2O to 10 mL HCl\n\
        solution make 100 mL HCl 0.05 mol/L from acid\nsolution mix 10 mL acid and 10 mL water\n\
        solution compare acid and HCl 1 mol/L for NaOH + HCl -> NaCl + H2O to 1 mmol NaOH\n";
    let outcome = route::follow(&Source::new("test", text), &Store::default(), &[]);
    assert_eq!(outcome.faults, []);
    let ledger = outcome.ledger;
    let found = 2.0 * 0.1325 / 105.98754 / 0.02000;
    let poured = |row: usize| {
        ledger.scales[row].rows[1]
            .bottle
            .clone()
            .unwrap()
            .1
            .unwrap()
    };
    close(poured(0).to_f64(), 10.0 / found, 1e-4, "mL for 10 mmol");
    let moles = ledger.scales[1].rows[1].moles.to_f64();
    close(moles, 0.01 * found, 1e-7, "mol in 10 mL");
    let take = |answer: usize| {
        ledger.solutions[answer].take[0]
            .millilitres
            .clone()
            .unwrap()
    };
    close(take(0).to_f64(), 50.0, 0.01, "by the label");
    close(take(1).to_f64(), 5.0 / found, 0.02, "by the titration");
    let chloride = ledger.solutions[2].mixed.as_ref().unwrap().contents.iter();
    let chloride: f64 = chloride
        .filter(|content| content.species.key() == "Cl^-")
        .map(|content| content.moles.to_f64())
        .sum();
    close(chloride, 0.01 * found, 1e-6, "mol in the mixture");
    let side = &ledger.solutions[3].compared.as_ref().unwrap().rows[0];
    let side = side.millilitres.clone().unwrap().to_f64();
    close(side, 1.0 / found, 1e-4, "mL side by side");
}

/// EURACHEM/CITAC Guide CG 4, 3rd ed. (2012), example A3, figures from memory: lye standardised with 0.3888 g of phthalate
/// (18.64 mL) takes 14.89 mL for 15 mL of hydrochloric acid, which is (0.10139 ± 0.00018) mol/L; repeatability 0.1 %.
#[test]
fn a_standardised_bottle_is_used_later_in_the_route_with_its_uncertainty() {
    let text = "bottle lye: NaOH 0.1 mol/L\nbottle acid: HCl 0.1 mol/L\nlet m = 0.3888 g ± 0.00013 g\n\
        let v = 15 mL ± 0.011 mL\nlet repeated = 1 ± 0.001\nvessel a\nvessel b\n\
        charge a: (m * repeated) KHC8H4O4, 50 mL water\n\
        titrate a with lye: KHC8H4O4 + NaOH -> KNaC8H4O4 + H2O, found 18.64 mL ± 0.016 mL, giving lye\n\
        charge b: v acid, 50 mL water\n\
        titrate b with lye: HCl + NaOH -> NaCl + H2O, found 14.89 mL ± 0.015 mL\nshow analyte(b) / v\n";
    let source = aludel::text::Source::new("a3", text);
    let outcome = aludel::route::follow(&source, &aludel::data::Store::default(), &[]);
    assert!(outcome.faults.is_empty(), "{:?}", outcome.faults);
    let aludel::route::ledger::Answer::Quantity(found) = &outcome.ledger.shows[0].answer else {
        panic!("no answer");
    };
    let found = found.in_unit(&aludel::number::unit::MOLAR).unwrap();
    assert!(
        (found.to_f64() - 0.101_39).abs() < 1e-5,
        "{}",
        found.to_f64()
    );
    let uncertainty = found.standard_uncertainty();
    assert!((uncertainty - 0.000_18).abs() < 1e-5, "{uncertainty}");
}
