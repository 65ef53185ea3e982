//! The safety tables read whole, and the look-ups against values printed elsewhere.

use aludel::equation::parse_equation;
use aludel::hazard::tables::{DISPOSAL, GASES, GHS, GROUPS, PAIRS, STATEMENTS, TABLES};
use aludel::hazard::{Cautions, Form, Rule, cautions_for, gas, room_air};
use aludel::matter::Species;
use aludel::number::Exact;

fn species(text: &str) -> Species {
    Species::parse(text).unwrap()
}

fn codes(formula: &str, form: Form, percent: Option<f64>) -> Vec<&'static str> {
    match cautions_for(&species(formula), form, percent) {
        Cautions::Found { hazards, .. } => hazards.iter().map(|hazard| hazard.code).collect(),
        other => panic!("{formula}: {other:?}"),
    }
}

/// Our own tables: every row has every cell, and a source.
#[test]
fn every_row_parses_and_names_its_source() {
    for row in TABLES.iter().flat_map(|table| table.rows()) {
        assert_eq!(
            row.cells().count(),
            row.table().columns().len(),
            "{}",
            row.line()
        );
        assert!(!row.line().contains("\"\""), "{}", row.line());
        assert!(row.filled("source").is_some(), "{}", row.line());
    }
}

/// Our own tables: every group that a rule names exists, and every code has a text.
#[test]
fn every_group_and_code_named_exists() {
    for row in PAIRS.rows() {
        let sides = [row.cell("group_a"), row.cell("group_b")];
        for group in sides.iter().flat_map(|side| side.split('+')) {
            assert!(GROUPS.find(group.trim()).next().is_some(), "{}", row.line());
        }
        let severities = ["caution", "danger", "stop", "forbidden"];
        assert!(severities.contains(&row.cell("severity")), "{}", row.line());
        let otherwise = row.cell("otherwise");
        assert!(
            otherwise.is_empty() || severities.contains(&otherwise),
            "{}",
            row.line()
        );
    }
    for row in GHS.rows() {
        let named = row
            .cell("h_codes")
            .split_whitespace()
            .chain(row.cell("euh_codes").split_whitespace());
        for code in named {
            assert!(
                STATEMENTS.find(code).next().is_some(),
                "{code}: {}",
                row.line()
            );
        }
    }
}

/// Our own tables: every row of what must not meet is understood, and every number of it is a number.
#[test]
fn every_rule_is_read() {
    assert_eq!(Rule::all().count(), PAIRS.rows().count());
    let numbers = [
        "min_percent_a",
        "min_percent_b",
        "min_celsius",
        "min_grams_a",
        "min_hours",
    ];
    for row in PAIRS.rows() {
        for column in numbers {
            assert!(
                row.cell(column).is_empty() || row.float(column).is_some(),
                "{}",
                row.line()
            );
        }
        assert!(["", "dry"].contains(&row.cell("state")), "{}", row.line());
        assert!(
            ["", "b onto a"].contains(&row.cell("order")),
            "{}",
            row.line()
        );
        assert_eq!(
            Rule::named(row.cell("rule_id")).map(Rule::key),
            Some(row.cell("rule_id"))
        );
    }
}

/// Conservation of atoms and charge: every equation in the tables as it is written.
#[test]
fn every_equation_balances_as_written() {
    let mut seen = 0;
    for row in PAIRS.rows().chain(DISPOSAL.rows()) {
        for text in row
            .cell("equation")
            .split(';')
            .filter(|text| !text.trim().is_empty())
        {
            let mut skeleton =
                parse_equation(text.trim()).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
            // A bare formula stands for one of it.
            let sides = skeleton.left.iter_mut().chain(&mut skeleton.right);
            sides.for_each(|term| {
                term.coefficient.get_or_insert_with(Exact::one);
            });
            let off = aludel::equation::imbalances(&skeleton).unwrap();
            assert!(off.is_empty(), "{text}: {off:?}");
            seen += 1;
        }
    }
    assert!(seen >= 275, "{seen}");
}

/// EU CLP Annex VI Table 3: hydrogen peroxide 008-003-00-9, hydrochloric acid 017-002-01-X, specific limits.
#[test]
fn strength_decides_the_statement() {
    assert!(codes("HCl", Form::Solution, Some(25.0)).contains(&"H314"));
    let weaker = codes("HCl", Form::Solution, Some(15.0));
    assert!(
        weaker.contains(&"H315") && !weaker.contains(&"H314"),
        "{weaker:?}"
    );
    let peroxide = codes("H2O2", Form::Solution, Some(30.0));
    assert!(
        peroxide.contains(&"H318") && peroxide.contains(&"H302"),
        "{peroxide:?}"
    );
}

/// Own rule: a formula without a row is never called safe.
#[test]
fn nothing_found_is_an_answer_of_its_own() {
    assert_eq!(
        cautions_for(&species("XeF6"), Form::Pure, None),
        Cautions::NothingFound
    );
}

/// NFPA 497 (2008) and IEC 60079-20-1 (2010): hydrogen burns from 4 to 77 vol% in air; a quarter of 4 % is 1 %.
#[test]
fn a_litre_of_hydrogen_needs_ninety_nine_of_air() {
    let hydrogen = gas(&species("H2(g)")).unwrap();
    assert_eq!(hydrogen.lower_explosive_limit(), Some(4.0));
    assert_eq!(hydrogen.upper_explosive_limit(), Some(77.0));
    let air = room_air(hydrogen, 1.0).below_quarter_of_explosive.unwrap();
    assert!((air - 99.0).abs() < 1e-9, "{air}");
}

/// NIOSH Pocket Guide: hydrogen sulfide C 10 ppm (10 min), carbon dioxide TWA 5000 ppm.
#[test]
fn limits_are_read_from_their_cells() {
    assert_eq!(gas(&species("H2S")).unwrap().exposure_limit(), Some(10.0));
    assert_eq!(gas(&species("CO2")).unwrap().exposure_limit(), Some(5000.0));
    assert!(
        GASES
            .rows()
            .all(|row| Species::parse(row.cell("formula")).is_ok())
    );
}
