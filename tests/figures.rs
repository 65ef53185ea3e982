//! `aludel heat`, `aludel substance` and `aludel solution` as their user meets them, against published values.

#![allow(clippy::disallowed_methods)] // The test writes a file of data for the command to read.

mod common;

use common::aludel;
use serde_json::Value;

/// Output, messages and status of a command line.
fn told(arguments: &[&str]) -> (String, String, u8) {
    aludel(arguments, "")
}

fn json(arguments: &[&str]) -> Value {
    let all = [&["heat", "--json"], arguments].concat();
    let (output, messages, status) = told(&all);
    assert_eq!((status, messages.as_str()), (0, ""), "{arguments:?}");
    serde_json::from_str(&output).unwrap()
}

fn value(object: &Value, key: &str) -> f64 {
    let found = object[key]["value"].as_f64();
    found.unwrap_or_else(|| panic!("{key} of {object}"))
}

#[track_caller]
fn near(found: f64, published: f64, allowed: f64) {
    assert!(
        (found - published).abs() <= allowed,
        "{found}, published {published}"
    );
}

/// Twice the enthalpy of formation of water, -285.830 kJ/mol: CODATA Key Values (Cox, Wagman, Medvedev 1989).
#[test]
fn the_coefficients_are_those_written_where_they_balance_else_the_smallest() {
    let twice = json(&["2 H2(g) + O2(g) -> 2 H2O(l)"]);
    assert_eq!(twice["equation"], "2 H2(g) + O2(g) -> 2 H2O(l)");
    assert_eq!(twice["dH"]["unit"], "kJ/mol");
    assert_eq!(twice["T"]["value"], 298.15);
    near(value(&twice, "dH"), -571.66, 1e-9);
    let half = json(&["H2(g) + 0.5 O2(g) -> H2O(l)"]);
    near(value(&half, "dH"), -285.83, 1e-9);
    let fraction = json(&["1/3 N2(g) + H2(g) -> 2/3 NH3(g)"]);
    // NIST-JANAF (Chase 1998): formation of NH3(g) at 298.15 K is -45.898 kJ/mol.
    near(value(&fraction, "dH"), -45.898 * 2.0 / 3.0, 0.2);
    let wrong = told(&["heat", "--json", "2 H2(g) + 2 O2(g) -> 2 H2O(l)"]);
    assert_eq!(wrong.2, 0);
    let object: Value = serde_json::from_str(&wrong.0).unwrap();
    assert_eq!(object["equation"], "2 H2(g) + O2(g) -> 2 H2O(l)");
    assert!(wrong.1.contains("wrong-coefficients"), "{}", wrong.1);
}

/// P. Flowers et al., Chemistry 2e, OpenStax (2019): neutralisation -55.8 kJ/mol (chapter 5); V. B. Parker, NSRDS-NBS 2
/// (1965): -55.84.
#[test]
fn a_dissolved_electrolyte_is_its_ions() {
    let neutral = json(&["HCl(aq) + NaOH(aq) -> NaCl(aq) + H2O(l)"]);
    near(value(&neutral, "dH"), -55.84, 0.02);
    let ionic = json(&["H^+ + OH^- -> H2O(l)"]);
    near(value(&ionic, "dH"), value(&neutral, "dH"), 1e-9);
    // Silver chloride falls out with -65.5 kJ/mol: P. Flowers et al., chapter 5, problem (65.5 from the ions).
    let silver = json(&["AgNO3(aq) + NaCl(aq) -> AgCl(s) + NaNO3(aq)"]);
    near(value(&silver, "dH"), -65.5, 0.3);
}

/// 44.0 kJ/mol of evaporation at 25 °C: IAPWS-95 (Wagner, Pruß 2002), 2441.7 J/g.
#[test]
fn phases_that_change_the_answer_are_told() {
    let open = json(&["2 H2 + O2 -> 2 H2O"]);
    near(value(&open, "dH"), -571.66, 1e-9);
    assert_eq!(open["species"][2]["phase_assumed"], true);
    let other = &open["other_phases"][0];
    assert_eq!(other["phases"][0], "H2O(g)");
    near(value(other, "dH") - value(&open, "dH"), 2.0 * 44.0, 0.1);
    let page = told(&["heat", "2 H2 + O2 -> 2 H2O"]).0;
    assert!(page.contains("phase not stated"), "{page}");
    assert!(
        page.contains("with H₂O(g) ΔH at 25 °C would be −483.64 kJ/mol"),
        "{page}"
    );
}

/// NIST-JANAF (Chase 1998), from memory: formation of H2O(g) at 1000 K -247.857 and -192.590 kJ/mol.
#[test]
fn other_temperatures_are_reached_or_refused_with_the_range() {
    let steam = json(&["2 H2(g) + O2(g) -> 2 H2O(g)", "--at", "1000 K"]);
    near(value(&steam, "dH"), 2.0 * -247.857, 0.2);
    near(value(&steam, "dG"), 2.0 * -192.590, 0.2);
    assert_eq!(steam["basis"], "heat capacity functions");
    for (asked, kind, words) in [
        ("900 K", "beyond-data", "200 to 600 K"),
        ("-274 °C", "absurd-temperature", "0 K"),
        ("0 K", "absurd-temperature", "0 K"),
        ("5 g", "wrong-dimension", "no temperature"),
        ("warm", "unexpected", ""),
    ] {
        let (output, messages, status) = told(&["heat", "2 H2 + O2 -> 2 H2O", "--at", asked]);
        assert_eq!((output.as_str(), status), ("", 2), "{asked}");
        assert!(
            messages.contains(kind) && messages.contains(words),
            "{asked}: {messages}"
        );
    }
}

/// P. Flowers et al., Chemistry 2e, OpenStax (2019), chapter 17: a Daniell cell has 1.10 V; a tenth of the concentration
/// of copper takes 0.0296 V off (Nernst).
#[test]
fn potentials_from_gibbs_energy_and_table_stand_side_by_side() {
    let cell = json(&["Zn + Cu^2+ -> Zn^2+ + Cu", "--activity", "Cu^2+ = 0.1"]);
    near(value(&cell, "E"), 1.10, 0.005);
    near(value(&cell, "E_table"), 1.10, 0.005);
    assert_eq!(cell["electrons"], "2");
    near(value(&cell["away"], "E"), value(&cell, "E") - 0.02958, 1e-5);
    near(value(&cell["away"], "dG"), value(&cell, "dG") + 5.708, 1e-3);
    // The same couple written as an oxidation keeps the sign of its reduction.
    let zinc = json(&["Zn -> Zn^2+ + 2 e^-"]);
    near(value(&zinc, "E"), -0.7618, 0.002);
    near(value(&zinc, "E_table"), -0.7618, 1e-9);
    // Twice the equation passes twice the electrons at the same potential.
    let twice = json(&["2 Zn + 2 Cu^2+ -> 2 Zn^2+ + 2 Cu"]);
    assert_eq!(twice["electrons"], "4");
    near(value(&twice, "E"), value(&cell, "E"), 1e-9);
    assert!(json(&["HCl(aq) + NaOH(aq) -> NaCl(aq) + H2O(l)"])["E"].is_null());
    for (activity, kind) in [
        ("Fe = 2", "no-such-species"),
        ("Cu^2+ = 0", "not-positive"),
        ("Cu^2+", "malformed-setting"),
        ("Cu^2+ = 2 g", "malformed-setting"),
    ] {
        let (_, messages, status) =
            told(&["heat", "Zn + Cu^2+ -> Zn^2+ + Cu", "--activity", activity]);
        assert!(
            messages.contains(kind) && status == 2,
            "{activity}: {messages}"
        );
    }
}

#[test]
fn own_data_override_and_are_named_and_a_stray_line_is_refused() {
    let folder = std::env::temp_dir().join(format!("aludel-heat-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let file = |name: &str, text: &str| {
        let path = folder.join(name);
        std::fs::write(&path, text).unwrap();
        path.display().to_string()
    };
    let own = file(
        "own.route",
        "# shop data\nsubstance CaO(s): dfH -640 kJ/mol ± 2 kJ/mol, source \"shop notebook\"\n",
    );
    let equation = "CaO(s) + H2O(l) -> Ca(OH)2(s)";
    let slaked = json(&[equation, "--data", &own]);
    near(
        value(&slaked, "dH"),
        value(&json(&[equation]), "dH") + 4.91,
        1e-9,
    );
    assert_eq!(slaked["species"][0]["own_data"], true);
    assert!(slaked["sources"].to_string().contains("shop notebook"));
    let stray = file("stray.route", "vessel cup\n");
    let (_, messages, status) = told(&["heat", equation, "--data", &stray]);
    assert!(messages.contains("not-data") && status == 2, "{messages}");
    let (_, messages, status) = told(&["heat", equation, "--data", "no-such-file"]);
    assert!(
        messages.contains("missing-file") && status == 2,
        "{messages}"
    );
    std::fs::remove_dir_all(&folder).unwrap();
}

/// JCGM 100:2008, 7.2.2: the digits in brackets belong to the last places of the value.
#[test]
fn uncertainty_is_concise_when_asked() {
    let page = told(&["heat", "CaO(s) + H2O(l) -> Ca(OH)2(s)", "--concise"]).0;
    assert!(page.contains("−65.17(89)"), "{page}");
}

/// CODATA Key Values (Cox, Wagman, Medvedev 1989) beside the NBS tables (Wagman et al. 1982).
#[test]
fn the_card_says_value_uncertainty_source_range_and_what_disagrees() {
    let (card, messages, status) = told(&["substance", "CO2"]);
    assert_eq!((messages.as_str(), status), ("", 0));
    for words in [
        "−393.509",
        "±0.065",
        "CO₂(aq): ΔfH is −413.26 ± 0.10 by CODATA1989; NBS1982 is preferred",
        "Cp of CO₂(g) along the temperature by NASA-TM4513, 200 to 6000 K",
        "Henry's law",
        "D. D. Wagman",
    ] {
        assert!(card.contains(words), "{words}: {card}");
    }
    let salt = told(&["substance", "CuSO4·5H2O"]).0;
    for words in [
        "hydrates    CuSO₄·H₂O, CuSO₄·3H₂O",
        "solubility",
        "1.1398",
        "heat of solution",
    ] {
        assert!(salt.contains(words), "{words}: {salt}");
    }
    let peroxide = told(&["substance", "H2O2"]).0;
    assert!(
        peroxide.contains("1.776") && peroxide.contains("30 %w/w, 1.113 g/mL"),
        "{peroxide}"
    );
}

#[test]
fn a_substance_is_found_by_name_phase_and_cas_number_and_near_misses_are_named() {
    for (asked, formula) in [
        ("sodium chloride", "NaCl "),
        ("Sodium Chloride", "NaCl "),
        ("7647-14-5", "NaCl "),
        ("water(g)", "H₂O(g) "),
        ("hydrochloric acid", "HCl "),
        ("copper(II) sulfate pentahydrate", "CuSO₄·5H₂O "),
        ("H2O(l)", "H₂O(l) "),
    ] {
        let (card, messages, status) = told(&["substance", asked]);
        assert!(
            card.starts_with(formula) && status == 0,
            "{asked}: {card}{messages}"
        );
    }
    for (asked, kind, words) in [
        (
            "calcium carbonat",
            "unknown-substance",
            "`calcium carbonate`",
        ),
        ("xyzzy", "unknown-substance", "CAS number"),
        ("7647-14-6", "unknown-substance", "CAS number"),
        ("nacl", "letter-case", "NaCl"),
        ("Fe^3", "malformed-charge", ""),
    ] {
        let (card, messages, status) = told(&["substance", asked]);
        assert_eq!((card.as_str(), status), ("", 2), "{asked}");
        assert!(
            messages.contains(kind) && messages.contains(words),
            "{asked}: {messages}"
        );
    }
    let unlisted = told(&["substance", "NaClO5"]).0;
    assert!(
        unlisted.contains("there are data for NaClO2, NaClO3, NaClO4"),
        "{unlisted}"
    );
}

fn solution(question: &str) -> (String, String, u8) {
    let words: Vec<&str> = question.split(' ').collect();
    told(&[&["solution"], words.as_slice()].concat())
}

/// The number that stands before a unit, or behind a name, in the answer.
#[track_caller]
fn figure(answer: &str, name: &str, unit: &str) -> f64 {
    let line = answer
        .lines()
        .find(|line| line.contains(name) && line.contains(unit));
    let line = line.unwrap_or_else(|| panic!("no {name} in {unit}: {answer}"));
    let before = line.split(unit).next().unwrap();
    before.split_whitespace().last().unwrap().parse().unwrap()
}

/// CRC Handbook, 102nd ed. (2021), concentrative properties: hydrochloric acid 37 % has 1.1837 g/mL at 20 °C; common
/// practice, no source: it is 12 mol/L.
#[test]
fn a_strength_is_told_by_every_other_measure() {
    let (acid, messages, status) = solution("HCl 37 %w/w");
    assert_eq!((messages.as_str(), status), ("", 0));
    near(figure(&acid, "density", "g/mL"), 1.1837, 5e-4);
    near(figure(&acid, "concentration", "mol/L"), 12.0, 0.05);
    // 0.37 / 36.458 g/mol for 0.63 kg of water.
    near(figure(&acid, "molality", "mol/kg"), 16.11, 0.01);
    near(figure(&acid, "", "g/L"), 438.0, 0.3);
    near(figure(&acid, "", "%w/v"), 43.80, 0.03);
    let back = solution("HCl 438 g/L").0;
    near(figure(&back, "mass fraction", "%w/w"), 37.0, 0.02);
    let peroxide = solution("H2O2 10 vol").0;
    // Common practice, no source: "10 volumes" is 3 %.
    near(figure(&peroxide, "mass fraction", "%w/w"), 3.0, 0.05);
    let thin = solution("NaCl 250 ppm").0;
    near(figure(&thin, "", "ppm"), 250.0, 1e-6);
    // Warmer is thinner: the density, and with it the concentration, is that of the temperature.
    let warm = solution("HCl 37 %w/w at 40 °C").0;
    assert!(figure(&warm, "density", "g/mL") < 1.175, "{warm}");
}

/// Masses by the lever rule: 0.5 mol of 36.458 g/mol in 37 % acid are 49.27 g. The volumes after mixing and the sums of
/// volumes: OpenStax and handbooks agree that 50 mL each of ethanol and water make about 96 mL.
#[test]
fn what_to_take_is_told_and_the_volumes_need_not_add_up() {
    let acid = solution("make 500 mL HCl 1 mol/L from HCl 37 %w/w").0;
    assert!(acid.contains("HCl 37 %w/w   49.27 g"), "{acid}");
    near(figure(&acid, "volume  ", "mL"), 500.0, 0.1);
    let two = solution("make 100 g H2O2 6 %w/w from H2O2 30 %w/w and H2O2 3 %w/w").0;
    // (6 - 3) / (30 - 3) of 100 g.
    assert!(two.contains("11.11 g"), "{two}");
    let hydrate = solution("make 250 mL CuSO4 0.5 mol/L from CuSO4·5H2O(s) 98 %").0;
    // 0.125 mol · 249.677 g/mol / 0.98.
    assert!(hydrate.contains("31.85 g"), "{hydrate}");
    let mark = solution("dilute 50 mL HCl 37 %w/w to 500 mL").0;
    near(figure(&mark, "amount concentration", "mol/L"), 1.201, 0.002);
    let weaker = solution("dilute 100 g HCl 37 %w/w to 10 %w/w").0;
    assert!(weaker.contains("270.0 g"), "{weaker}");
    let spirit = solution("mix 50 mL C2H5OH 96 %v/v and 50 mL water").0;
    let line = spirit.replace('\n', " ");
    assert!(line.contains("add up to 100.0 mL"), "{spirit}");
    near(figure(&spirit, "volume  ", "mL"), 96.5, 1.0);
    let salts = solution("mix 100 mL KCl 1 mol/L and 100 mL NaNO3 1 mol/L").0;
    assert!(
        salts.contains("K⁺(aq)") && salts.contains("mol/L"),
        "{salts}"
    );
}

/// The stronger bottle needs less volume, makes a stronger solution and a hotter vessel: the heat is the same, the water
/// that takes it up is not.
#[test]
fn bottles_stand_side_by_side_for_the_same_step() {
    let (answer, messages, status) = solution(
        "compare H2O2 3 %w/w and H2O2 30 %w/w and H2O2 50 %w/w for SO3^2- + H2O2 -> SO4^2- + H2O to 0.05 mol SO3^2- in 6.3 g Na2SO3, 100 mL water",
    );
    assert_eq!((messages.as_str(), status), ("", 0), "{answer}");
    let row = |name: &str| -> Vec<f64> {
        let line = answer
            .lines()
            .find(|line| line.trim_start().starts_with(name));
        let words = line
            .unwrap_or_else(|| panic!("{name}: {answer}"))
            .split_whitespace();
        words.filter_map(|word| word.parse().ok()).collect()
    };
    // 0.05 mol · 34.014 g/mol / 0.03.
    near(row("weighs")[0], 56.69, 0.05);
    for name in ["take", "volume at the end"] {
        let row = row(name);
        assert!(
            row.len() == 3 && row[0] > row[1] && row[1] > row[2],
            "{name}: {answer}"
        );
    }
    for name in ["SO₄²⁻", "uncooled"] {
        let row = row(name);
        assert!(
            row.len() == 3 && row[0] < row[1] && row[1] < row[2],
            "{name}: {answer}"
        );
    }
}

#[test]
fn strengths_that_cannot_be_are_named_with_what_is_known_instead() {
    for (question, kind, words) in [
        ("NaCl 8 mol/L", "strength", "26.4 % is saturated"),
        ("NaCl 40 %w/w", "strength", "26.4 % is saturated"),
        ("HCl 120 %w/w", "strength", "more than the pure substance"),
        ("HCl -3 mol/L", "strength", "not below zero"),
        ("H2SeO4 2 mol/L", "no-density", "density"),
        ("XyCl 3 mol/L", "unknown-element", "Xy"),
        ("HCl 1 mol/L at 0 K", "absurd-temperature", ""),
        ("NaCl 10 vol", "strength", "hydrogen peroxide only"),
        ("water", "other-solute", "no strength"),
        (
            "make 100 mL HCl 12 mol/L from HCl 10 %w/w",
            "not-between",
            "10.000 %",
        ),
        (
            "make 100 mL NaCl 1 mol/L from KCl 1 mol/L",
            "other-solute",
            "holds no NaCl",
        ),
        ("dilute 10 mL HCl 1 mol/L to 5 mL", "not-between", ""),
        ("make 5", "unexpected", "solution make"),
    ] {
        let (answer, messages, status) = solution(question);
        assert_eq!((answer.as_str(), status), ("", 2), "{question}");
        assert!(
            messages.contains(kind) && messages.contains(words),
            "{question}: {messages}"
        );
    }
    let (answer, messages, status) = solution("HCl 37 %w/w, density 1.10 g/mL");
    assert!(status == 0 && answer.contains("1.100 g/mL"), "{answer}");
    assert!(
        messages.contains("two-densities") && messages.contains("1.1839"),
        "{messages}"
    );
}

/// One language: a script line, an entry at the prompt and the command give the same figures.
#[test]
fn the_same_line_works_at_the_prompt_and_in_a_script() {
    let mut prompt = aludel::shell::Session::new();
    let answer = prompt.enter("heat 2 H2(g) + O2(g) -> 2 H2O(l)").answer;
    assert_eq!(answer, told(&["heat", "2 H2(g) + O2(g) -> 2 H2O(l)"]).0);
    let cell = prompt
        .enter("heat Zn + Cu^2+ -> Zn^2+ + Cu at 35 °C, activity Cu^2+ = 0.1")
        .answer;
    assert!(
        cell.contains("308.15 K") && cell.contains("Cu²⁺ 0.1000"),
        "{cell}"
    );
    let acid = prompt.enter("solution HCl 37 %w/w").answer;
    assert_eq!(acid, told(&["solution", "HCl", "37", "%w/w"]).0);
    prompt.enter("bottle lye: NaOH 50 %w/w");
    let made = prompt
        .enter("solution make 250 mL NaOH 0.5 mol/L from lye")
        .answer;
    // 0.125 mol · 39.997 g/mol / 0.50.
    assert!(made.contains("9.999 g"), "{made}");
    for (line, kind) in [
        ("heat H2 + O2 -> H2O at 900 K", "beyond-data"),
        ("heat H2 + O2 -> H2O at 5 g", "wrong-dimension"),
        ("heat H2 + O2", "unexpected"),
        ("heat CO -> CO2", "conflict"),
        ("solution make 250 mL NaOH 30 mol/L from lye", "no-density"),
    ] {
        let kinds: Vec<&str> = prompt.enter(line).messages.iter().map(|m| m.kind).collect();
        assert_eq!(kinds, [kind], "{line}");
    }
    // What a vessel gave off keeps its name.
    prompt.enter("vessel cup");
    prompt.enter("charge cup: 1 g NaCl, 10 mL water");
    assert!(prompt.enter("heat(cup)").answer.contains("heat(cup)"));
}
