//! Cautions as the reader of a sheet meets them: in full on top, in few words where they act. Quantities made up.

#![allow(clippy::disallowed_methods, reason = "tests may read files")]

mod common;

use aludel::report::{self, Style};
use aludel::route::ledger::{Fact, FillReason, Ledger, Outcome};
use common::follow;

/// The sheet on one line, so that no words are apart because a line ends.
fn sheet(ledger: &Ledger) -> String {
    let text = report::sheet(ledger, Style::default());
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What stands before the steps, and what stands in them.
fn parted(sheet: &str) -> (&str, &str) {
    sheet.split_once("What to measure out").unwrap()
}

const TITRATION: &str = "bottle acid: HCl 5 mol/L\nvessel flask: 250 mL\n\
    charge flask: 2.0 g Na2CO3, 50 mL water\n\
    titrate flask with acid: CO3^2- + H^+ -> CO2 + H2O\n";

/// EU CLP Annex VI Table 3, 017-002-01-X: hydrochloric acid burns skin from 25 % and irritates from 10 %; 5 mol/L is 17 %.
#[test]
fn a_titration_tells_of_its_titrant_and_its_gas() {
    let ledger = follow(TITRATION);
    let text = sheet(&ledger);
    let (top, steps) = parted(&text);
    assert!(top.contains("of CO₂ (carbon dioxide) comes off"), "{top}");
    assert!(
        top.contains("H315 Causes skin irritation: acid: HCl 5 mol/L"),
        "{top}"
    );
    let titrate = &steps[steps.find("titrate flask").unwrap()..];
    for told in [
        "CO₂ (carbon dioxide): it sinks",
        "acid: H315",
        "R213 in flask",
    ] {
        assert!(titrate.contains(told), "{told}: {titrate}");
    }
}

/// T29 to T31 of the rules of thumb (common practice, no source): half for gas, a third for foam, two thirds for boiling.
#[test]
fn how_full_a_vessel_may_be_depends_on_what_comes_off() {
    let zinc = |capacity: u32| {
        format!(
            "bottle acid: HCl 2 mol/L\nvessel flask: {capacity} mL\ncharge flask: 1.0 g Zn, 50 mL acid\n\
             react flask: Zn + HCl -> ZnCl2 + H2\n"
        )
    };
    let soda = |capacity: u32| {
        format!(
            "bottle acid: HCl 2 mol/L\nvessel flask: {capacity} mL\ncharge flask: 1.0 g Na2CO3, 50 mL acid\n\
             react flask: Na2CO3 + HCl -> NaCl + CO2 + H2O\n"
        )
    };
    let boiled = |capacity: u32| {
        format!(
            "vessel flask: {capacity} mL\ncharge flask: 50 mL water\nwarm flask to 99 °C\nevaporate flask to 30 mL\n"
        )
    };
    for (text, expected) in [
        (zinc(95), Some(FillReason::Gas)),
        (zinc(110), None),
        (soda(110), Some(FillReason::Foam)),
        (soda(160), None),
        (boiled(70), Some(FillReason::Boiling)),
        (boiled(90), None),
    ] {
        let ledger = follow(&text);
        let found = ledger.remarks.iter().find_map(|remark| match &remark.fact {
            Fact::FoamRoom { reason, .. } => Some(*reason),
            _ => None,
        });
        assert_eq!(found, expected, "{text}");
    }
}

/// 0.1 g of carbonate in 60 mL: 24 mL of gas (24.05 L/mol at 20 °C) lift no liquid.
#[test]
fn a_little_gas_needs_no_room() {
    let ledger = follow(
        "bottle acid: HCl 2 mol/L\nvessel flask: 100 mL\ncharge flask: 0.1 g Na2CO3, 60 mL acid\n\
         react flask: Na2CO3 + HCl -> NaCl + CO2 + H2O\n",
    );
    let told = ledger
        .remarks
        .iter()
        .any(|remark| matches!(remark.fact, Fact::FoamRoom { .. }));
    assert!(!told);
}

/// The table of meetings lets ammonium nitrate be heated to 150 °C only (R133, memory). Without such a row the class is only the best that it can be.
#[test]
fn a_class_is_certain_only_where_something_is_known_to_decompose() {
    let route = "vessel beaker: 250 mL\ncharge beaker: 60 g NH4NO3, 10 mL water\ncharge beaker: 1 g MgO\n\
        react beaker: MgO + H2O -> Mg(OH)2\n";
    let ledger = follow(route);
    let limits: Vec<Option<f64>> = ledger
        .steps
        .iter()
        .flat_map(|step| &step.operations)
        .filter_map(|operation| match &operation.outcome {
            Outcome::Reacted(record) => Some(record.heat_limit.as_ref().map(|limit| limit.celsius)),
            _ => None,
        })
        .collect();
    assert!(limits.contains(&Some(150.0)), "{limits:?}");
    let plain = follow(TITRATION);
    assert!(!sheet(&plain).contains("criticality class 1:"));
    let acid_and_lye = "bottle acid: HCl 37 %w/w\nbottle lye: NaOH 50 %w/w\nvessel beaker: 250 mL\n\
        charge beaker: 40 mL acid\ncharge beaker: 20 mL lye\nreact beaker: H^+ + OH^- -> H2O\n";
    assert!(sheet(&follow(acid_and_lye)).contains("at best"));
}

/// Own rule: each statement once, with its words, on top; at the step its code and plain words.
#[test]
fn a_statement_is_told_once_in_full() {
    let ledger = follow(
        "bottle lye: NaOH 6 mol/L\nbottle other: KOH 6 mol/L\nvessel flask: 250 mL\nvessel beaker: 250 mL\n\
         charge flask: 20 mL lye\ncharge beaker: 20 mL other\ncharge beaker: 20 mL other\n",
    );
    let text = sheet(&ledger);
    let (top, steps) = parted(&text);
    assert_eq!(top.matches("Causes severe skin burns").count(), 1, "{top}");
    assert!(
        top.contains("lye: NaOH 6 mol/L; other: KOH 6 mol/L; in flask (NaOH); in beaker (KOH)"),
        "{top}"
    );
    assert!(!steps.contains("Causes severe skin burns"), "{steps}");
    let first = steps.split("Now in the vessels").next().unwrap();
    assert_eq!(
        first
            .matches("other: H302 harmful by mouth; H314 burns skin")
            .count(),
        1,
        "{first}"
    );
}

/// Own rule: what is below 10 µmol and a hundred thousandth of the mass has its name and no figures; JSON keeps them.
#[test]
fn traces_have_names_and_no_figures() {
    let text = std::fs::read_to_string("scripts/copper.route").unwrap();
    let ledger = follow(&text);
    let sheet = sheet(&ledger);
    assert!(
        sheet.contains("traces of ZnSO₄, H₂SO₄, Na₂SO₄, HNO₃"),
        "{sheet}"
    );
    assert!(!sheet.contains("0.0000000"), "{sheet}");
    let json = serde_json::to_value(report::RouteJson::of(&ledger)).unwrap();
    let vessels = json["vessels"].as_array().unwrap();
    let copper = vessels
        .iter()
        .find(|vessel| vessel["name"] == "copper")
        .unwrap();
    assert_eq!(copper["contents"].as_array().unwrap().len(), 5);
}

/// Five hundred steps in every form; their time is held by the benchmarks.
#[test]
fn five_hundred_steps_are_told_in_every_form() {
    let step =
        |n: usize| format!("step \"Portion {n}\" {{\n charge jar: 0.10 g NaCl, 1 mL water\n}}\n");
    let steps: String = (1..=500).map(step).collect();
    let ledger = follow(&format!("vessel jar: 2 L\n{steps}"));
    let page = report::html(&ledger);
    assert_eq!(page.matches("<section class=\"step\"").count(), 500);
    assert_eq!(page.matches("<li><a href=\"#part").count(), 500);
    // The list of steps leads to each of them.
    for anchor in page
        .split("href=\"#")
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap())
    {
        assert!(page.contains(&format!("id=\"{anchor}\"")), "{anchor}");
    }
    let markdown = report::markdown(&ledger);
    assert_eq!(markdown.matches("\n## Step ").count(), 500);
    assert!(report::sheet(&ledger, Style::default()).contains("Step 500: Portion 500"));
    // No picture is taller than it is wide times the root of two, a page of A4 (ISO 216).
    for picture in report::picture::all(&ledger) {
        let drawn = picture.inline();
        let size = drawn
            .split("viewBox=\"0 0 ")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap();
        let (width, height) = size.split_once(' ').unwrap();
        let (width, height): (f64, f64) = (width.parse().unwrap(), height.parse().unwrap());
        assert!(height < width * 1.41, "{}: {size}", picture.title);
    }
}
