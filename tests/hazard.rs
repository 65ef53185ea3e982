//! The safety tables read whole, and the look-ups against values printed elsewhere.

#![allow(clippy::disallowed_methods, reason = "tests may read files")]

mod common;

use aludel::equation::parse_equation;
use aludel::hazard::tables::{
    ADVICE, DISPOSAL, GASES, GHS, GROUPS, PAIRS, RULES, STATEMENTS, TABLES,
};
use aludel::hazard::{
    Cautions, Course, Form, Mix, Rule, Severity, cautions_for, classify, disposal,
    disposal_of_dilute, gas, room_air, runaway,
};
use aludel::matter::Species;
use aludel::number::Exact;
use common::faults::Faults;
use common::species;

fn codes(formula: &str, form: Form, percent: Option<f64>) -> Vec<&'static str> {
    match cautions_for(&species(formula), form, percent) {
        Cautions::Found { hazards, .. } => hazards.iter().map(|hazard| hazard.code).collect(),
        other => panic!("{formula}: {other:?}"),
    }
}

/// Our own tables: every row has every cell, and a source.
#[test]
fn every_row_parses_and_names_its_source() {
    let mut faults = Faults::default();
    for row in TABLES.iter().flat_map(|table| table.rows()) {
        faults.unless(row.filled("source").is_some(), row);
    }
}

/// Our own tables: every statement and group that advice is for exists, and each statement has at most one advice.
#[test]
fn every_advice_is_for_something() {
    let mut seen: Vec<&str> = Vec::new();
    let mut faults = Faults::default();
    for row in ADVICE.rows() {
        for trigger in row.cell("trigger_codes").split_whitespace() {
            let known = match trigger.split_once(':') {
                Some(("group", group)) => GROUPS.find(group).next().is_some(),
                Some(("formula", formula)) => Species::parse(formula).is_ok(),
                _ => STATEMENTS.find(trigger).next().is_some(),
            };
            let first = trigger.contains(':') || !seen.contains(&trigger);
            faults.unless(known && first, format!("{trigger}: {row}"));
            seen.push(trigger);
        }
    }
}

/// Our own tables: every group that a rule names exists, and every code has a text.
#[test]
fn every_group_and_code_named_exists() {
    let mut faults = Faults::default();
    for row in PAIRS.rows() {
        let sides = [row.cell("group_a"), row.cell("group_b")];
        for group in sides.iter().flat_map(|side| side.split('+')) {
            let known = GROUPS.find(group.trim()).next().is_some();
            faults.unless(known, format!("{group}: {row}"));
        }
        let severities = ["caution", "danger", "stop", "forbidden"];
        faults.unless(severities.contains(&row.cell("severity")), row);
        let otherwise = row.filled("otherwise");
        faults.unless(otherwise.is_none_or(|word| severities.contains(&word)), row);
    }
    for row in GHS.rows() {
        let codes = row.cell("h_codes").split_whitespace();
        for code in codes.chain(row.cell("euh_codes").split_whitespace()) {
            let known = STATEMENTS.find(code).next().is_some();
            faults.unless(known, format!("{code}: {row}"));
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
    let mut faults = Faults::default();
    for row in PAIRS.rows() {
        for column in numbers {
            let number = row.cell(column).is_empty() || row.float(column).is_some();
            faults.unless(number, format!("{column}: {row}"));
        }
        faults.unless(["", "dry"].contains(&row.cell("state")), row);
        faults.unless(["", "b onto a"].contains(&row.cell("order")), row);
        let key = row.cell("rule_id");
        faults.unless(Rule::named(key).map(Rule::key) == Some(key), row);
    }
}

/// Conservation of atoms and charge: every equation in the tables as it is written.
#[test]
fn every_equation_balances_as_written() {
    let mut seen = 0;
    let mut faults = Faults::default();
    for row in PAIRS.rows().chain(DISPOSAL.rows()) {
        let equations = row.cell("equation").split(';');
        for text in equations.filter(|text| !text.trim().is_empty()) {
            seen += 1;
            let Ok(mut skeleton) = parse_equation(text.trim()) else {
                faults.unless(false, row);
                continue;
            };
            // A bare formula stands for one of it.
            let sides = skeleton.left.iter_mut().chain(&mut skeleton.right);
            sides.for_each(|term| {
                term.coefficient.get_or_insert_with(Exact::one);
            });
            let balanced = aludel::equation::imbalances(&skeleton);
            faults.unless(balanced.is_some_and(|off| off.is_empty()), row);
        }
    }
    assert!(seen >= 274, "{seen}");
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

/// Our own tables: zinc sulfate stands there as its heptahydrate; the dry salt is no less harmful.
#[test]
fn a_salt_is_known_by_its_hydrates() {
    let (dry, hydrate) = (
        codes("ZnSO4", Form::Pure, None),
        codes("ZnSO4·7H2O", Form::Pure, None),
    );
    assert_eq!(dry, hydrate);
    assert!(dry.contains(&"H318"), "{dry:?}");
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

/// The codes of a mix of ions and molecules, amounts in mol.
fn classified(parts: &[(&str, &str)]) -> Vec<&'static str> {
    let amounts: Vec<(Species, Exact)> = parts
        .iter()
        .map(|(text, moles)| (species(text), Exact::decimal(moles).unwrap()))
        .collect();
    let mix = Mix::of(amounts.iter().map(|(species, moles)| (species, moles)));
    let found = classify(&mix);
    found
        .hazards
        .iter()
        .map(|(hazard, _)| hazard.code)
        .collect()
}

/// EU CLP Annex VI Table 3: sodium hydroxide 011-002-00-6, H314 from 2 %, H315 and H319 from 0.5 %; by hand 100 g of
/// solution hold 0.1 mol (4.0 %), 0.025 mol (1.0 %) or 0.005 mol (0.2 %) of it. Water is 5.3 mol in 96 g.
#[test]
fn ions_are_classified_as_the_base_they_make() {
    let lye = |moles| classified(&[("H2O(l)", "5.4"), ("Na^+(aq)", moles), ("OH^-(aq)", moles)]);
    assert_eq!(lye("0.1"), ["H314"]);
    assert_eq!(lye("0.025"), ["H315", "H319"]);
    assert!(lye("0.005").is_empty());
}

/// UN GHS 3.2.3.3.4: components of one class are added: 1.2 % of sodium hydroxide and 1.2 % of potassium hydroxide, each
/// below its limit of 2 %, are corrosive together (1.2/2 + 1.2/2 = 1.2).
#[test]
fn corrosive_components_are_added() {
    let one = classified(&[
        ("H2O(l)", "5.4"),
        ("Na^+(aq)", "0.03"),
        ("OH^-(aq)", "0.03"),
    ]);
    assert!(!one.contains(&"H314"), "{one:?}");
    let both = classified(&[
        ("H2O(l)", "5.4"),
        ("Na^+(aq)", "0.03"),
        ("K^+(aq)", "0.022"),
        ("OH^-(aq)", "0.052"),
    ]);
    assert!(both.contains(&"H314"), "{both:?}");
}

/// Own rule: what no row covers is named, and plain salt water is not.
#[test]
fn what_is_not_known_in_a_mixture_is_named() {
    let one = Exact::one();
    let (odd, sodium, chloride) = (
        species("XeO6^4-(aq)"),
        species("Na^+(aq)"),
        species("Cl^-(aq)"),
    );
    let found = classify(&Mix::of([(&odd, &one), (&sodium, &one), (&chloride, &one)]));
    assert_eq!(found.unknown, [species("XeO6^4-")]);
}

/// F. Stoessel, Thermal Safety of Chemical Processes, Wiley-VCH 2008 (from memory): 50, 200 and 400 K part the scale of the
/// adiabatic rise; the five classes are the five orders of start, end of the rise, boiling and decomposing.
#[test]
fn the_rise_decides_severity_and_class() {
    for (highest, boiling, decomposes, severity, class) in [
        (60.0, 100.0, None, None, 1),
        (90.0, 100.0, None, Some(Severity::Caution), 1),
        (130.0, 100.0, None, Some(Severity::Danger), 3),
        (500.0, 100.0, None, Some(Severity::Stop), 3),
        (60.0, 100.0, Some(150.0), None, 1),
        (60.0, 100.0, Some(80.0), Some(Severity::Caution), 2),
        (60.0, 50.0, Some(80.0), Some(Severity::Danger), 3),
        (90.0, 50.0, Some(80.0), Some(Severity::Danger), 4),
        (90.0, 100.0, Some(80.0), Some(Severity::Stop), 5),
        (300.0, 100.0, Some(80.0), Some(Severity::Stop), 5),
    ] {
        let course = Course {
            start: 20.0,
            highest,
            boiling,
            decomposes,
        };
        let found = runaway(course);
        assert_eq!(
            (found.severity, found.class),
            (severity, class),
            "{course:?}"
        );
    }
}

/// EU CLP Annex VI Table 3, 029-021-00-3: copper(II) hydroxide has an estimate of 0.47 mg/L by inhalation; by hand a slurry
/// of 2.25 % comes to 100 × 0.47 / 2.25 = 20.9 mg/L, far above the 5 mg/L of the mildest class, and a moist cake of 80 % to
/// 0.59 mg/L, below the 1.0 mg/L of the third.
#[test]
fn a_harmonised_estimate_of_toxicity_goes_before_its_class() {
    let slurry = |percent: f64| {
        let moles = |grams: f64, molar: f64| format!("{:.6}", grams / molar);
        classified(&[
            ("H2O(l)", &moles(100.0 - percent, 18.015)),
            ("Cu(OH)2(s)", &moles(percent, 97.561)),
        ])
    };
    let (thin, cake) = (slurry(2.25), slurry(80.0));
    assert!(!thin.iter().any(|code| code.starts_with("H33")), "{thin:?}");
    assert!(cake.contains(&"H331"), "{cake:?}");
}

/// Own rule: the strength of an acid decides how its waste is treated.
#[test]
fn dilute_acid_is_treated_as_such() {
    let dilute = |text| disposal_of_dilute(&species(text)).map(|one| one.waste());
    assert_eq!(
        dilute("H^+(aq)"),
        Some("weak acid or base, dilute, harmless ions")
    );
    assert_eq!(dilute("OH^-(aq)"), dilute("H^+(aq)"));
    assert_eq!(dilute("Cu^2+(aq)"), None);
}

/// Common practice, no source: the kind of waste by ion, complex or metal, and none for water and common salt.
#[test]
fn waste_goes_by_its_ions() {
    for (text, waste) in [
        ("Cu^2+(aq)", &["copper"][..]),
        ("[Cu(NH3)4]^2+(aq)", &["copper ammine"]),
        ("Cu2(OH)2CO3(s)", &["copper"]),
        ("MnO4^-(aq)", &["permanganate"]),
        ("MnO2(s)", &["manganese(II)"]),
        ("Cr2O7^2-(aq)", &["chromium(VI)"]),
        ("[Fe(CN)6]^4-(aq)", &["cyanide complexes"]),
        ("Ag^+(aq)", &["silver"]),
        ("AgCl(s)", &["silver"]),
        ("H2O2(aq)", &["hydrogen peroxide"]),
        ("H2O(l)", &[]),
        ("Cl^-(aq)", &[]),
    ] {
        let found: Vec<_> = disposal(&species(text))
            .into_iter()
            .map(|one| one.waste())
            .collect();
        assert_eq!(found, waste, "{text}");
    }
}

/// Own rule: a circumstance that no vessel of a route can be in would make its rows dead letters.
#[test]
fn every_circumstance_can_hold() {
    let circumstances = GROUPS
        .rows()
        .filter(|row| row.cell("match_kind") == "condition");
    let dead: Vec<&str> = circumstances
        .map(|row| row.cell("group_id"))
        .filter(|group| !aludel::hazard::can_hold(group))
        .collect();
    assert_eq!(dead, Vec::<&str>::new());
}

/// Own rule: each row of the rules of thumb that the program acts on has its status told in docs/sources.md.
#[test]
fn every_threshold_in_use_has_its_status() {
    let text = std::fs::read_to_string("docs/sources.md").unwrap();
    let thresholds = text.split("### Thresholds").nth(1).unwrap();
    for rule in [
        "T01", "T04", "T07", "T11", "T29", "T30", "T31", "T41", "T59",
    ] {
        assert!(thresholds.contains(rule), "{rule}");
        assert!(RULES.find(rule).next().is_some(), "{rule}");
    }
    let mut faults = Faults::default();
    for row in PAIRS.rows().filter(|row| row.cell("group_b") == "heat") {
        faults.unless(thresholds.contains(row.cell("rule_id")), row);
    }
}
