//! Working backwards and comparing: `find` and `vary`.

use aludel::data::Store;
use aludel::matter::Notation;
use aludel::number::unit;
use aludel::route::ledger::{Answer, Fact, Ledger, Level, NoValue};
use aludel::route::{self, Fault, Session};
use aludel::text::Source;

fn follow(text: &str) -> route::Outcome {
    route::follow(&Source::new("plan", text), &Store::default(), &[])
}

fn ledger(text: &str) -> Ledger {
    let outcome = follow(text);
    assert_eq!(outcome.faults, [], "{text}");
    outcome.ledger
}

/// The kinds of messages about the text, or else about the run.
fn kinds(text: &str) -> Vec<&'static str> {
    let outcome = follow(text);
    let faults: Vec<_> = outcome
        .faults
        .iter()
        .map(|f| aludel::diagnostic::route_fault(f).kind)
        .collect();
    if !faults.is_empty() {
        return faults;
    }
    let remarks = outcome
        .ledger
        .remarks
        .iter()
        .filter(|r| r.level == Level::Fault);
    let words = |r: &route::ledger::Remark| {
        aludel::diagnostic::route_fact(&r.fact, r.level, Notation::Plain).kind
    };
    remarks.map(words).collect()
}

fn grams(answer: &Answer) -> f64 {
    let Answer::Quantity(quantity) = answer else {
        panic!("{answer:?}");
    };
    quantity.in_unit(&unit::GRAM).unwrap().to_f64()
}

const CHALK: &str = "\
let stone = 1 g
let strength = 1 mol/L
bottle acid: HCl strength
vessel pot: 500 mL
step \"Dissolve\" {
  charge pot: stone CaCO3, 50 mL water
  charge pot: enough acid for CaCO3 + HCl -> CaCl2 + CO2 + H2O
  react pot: CaCO3 + HCl -> CaCl2 + CO2 + H2O
}
";

/// 0.5 L at 20 °C and 101.325 kPa is 20.786 mmol of an ideal gas (R = 8.314 462 618 J/(mol·K), CODATA 2018), and comes
/// from as much calcium carbonate, 100.086 g/mol (CIAAW 2021): 2.0804 g.
#[test]
fn a_target_is_traced_back_to_the_input() {
    let found = ledger(&format!(
        "{CHALK}find stone in 0.1 g .. 20 g: gas(CO2, pot) = 0.5 L\nshow stone, gas(CO2, pot)\n"
    ));
    assert!((grams(&found.shows[0].answer) - 2.0804).abs() < 2e-4);
    assert!(
        found.findings[0].met && found.findings[0].runs < 12,
        "{:?}",
        found.findings
    );
    assert!(
        (found.draws[0].grams.to_f64() - 2.0804).abs() < 2e-4,
        "the sheet is that of the value found"
    );
}

/// Two stones for two gases: each condition has its own unknown, so the answer is that of two single searches.
#[test]
fn several_unknowns_meet_several_conditions() {
    let text = "let a = 1 g\nlet b = 1 g\nvessel pot\nvessel cup\ncharge pot: a NaCl, b KCl\ncharge cup: a NaCl, 2 * b KCl\n";
    let text = text.replace("2 * b", "(2 * b)");
    let found = ledger(&format!(
        "{text}find a in 0.1 g .. 50 g, b in 0.1 g .. 50 g: mass(pot) = 10 g and mass(cup) = 14 g\nshow a, b\n"
    ));
    assert!((grams(&found.shows[0].answer) - 6.0).abs() < 1e-9);
    assert!((grams(&found.shows[1].answer) - 4.0).abs() < 1e-9);
}

#[test]
fn what_cannot_be_reached_is_said_with_what_holds_it() {
    let held = CHALK.replace(
        "enough acid for CaCO3 + HCl -> CaCl2 + CO2 + H2O",
        "40 mL acid",
    );
    let outcome = ledger(&format!(
        "{held}find stone in 0.1 g .. 20 g: gas(CO2, pot) = 5 L\n"
    ));
    let fault = outcome
        .remarks
        .iter()
        .find(|r| r.level == Level::Fault)
        .unwrap();
    let Fact::NotFound(found) = &fault.fact else {
        panic!("{fault:?}")
    };
    let NoValue::OutOfReach { constraints, .. } = &found.why else {
        panic!("{found:?}")
    };
    assert!(!constraints.is_empty());
    let message = aludel::diagnostic::route_fact(&fault.fact, fault.level, Notation::Plain);
    assert!(
        message
            .hints
            .iter()
            .any(|hint| hint.contains("H^+ runs out")),
        "{message:?}"
    );
}

#[test]
fn every_search_that_ends_in_nothing_says_how() {
    for (text, kind) in [
        ("find stone in 20 g .. 1 g: mass(pot) = 5 g", "bad-range"),
        (
            "find stone in 1 g .. mass(pot): mass(pot) = 5 g",
            "not-stated",
        ),
        (
            "find stone in 1 mL .. 2 mL: mass(pot) = 5 g",
            "wrong-dimension",
        ),
        (
            "find stone in 1 g .. 2 g: mass(pot) = 5 mL",
            "mixed-dimensions",
        ),
        (
            "find stone in 1 g .. 2 g: mass(pot) = 5 g and mass(pot) = 6 g",
            "unmatched-conditions",
        ),
        ("find pot in 1 g .. 2 g: mass(pot) = 5 g", "wrong-kind"),
        ("find stne in 1 g .. 2 g: mass(pot) = 5 g", "unknown-name"),
        ("find stone in 1 g .. 2 g: mass(pot) = 5 kg", "not-found"),
        (
            "find stone in 1 g .. 2 g: 1 g / 0 = 5 g",
            "division-by-zero",
        ),
        ("vary stone: 0 g .. 1 g by 0 g show mass(pot)", "bad-range"),
        (
            "vary stone: 0 g .. 1 g by 1 g - 2 g show mass(pot)",
            "bad-range",
        ),
        (
            "vary stone: 1 µg .. 1 g by 1 µg show mass(pot)",
            "too-many-runs",
        ),
        (
            "vary stone: 0.001 g .. 1 g by 1 mg and strength: 0.01 mol/L .. 1 mol/L by 0.01 mol/L show mass(pot)",
            "too-many-runs",
        ),
        ("vary stone: 1 mL show mass(pot)", "wrong-dimension"),
        ("vary pot: 1 g show mass(pot)", "wrong-kind"),
    ] {
        let all = kinds(&format!("{CHALK}{text}\n"));
        assert!(all.contains(&kind), "{text}: {all:?}");
    }
    let twice = "find stone in 1 g .. 9 g: gas(CO2, pot) = 1 L\n";
    assert_eq!(kinds(&format!("{CHALK}{twice}{twice}")), ["sought-twice"]);
}

#[test]
fn a_jump_over_the_target_is_no_answer() {
    let text = "let x = 1 g\nvessel pot\ncharge pot: 1 g NaCl\nfind x in 0.1 g .. 2 g: (x - 1.05 g) / abs(x - 1.05 g) = 0.5\n";
    assert_eq!(kinds(text), ["not-found"]);
}

#[test]
fn rows_are_the_runs_with_those_values_in_order() {
    let table = &ledger(&format!("{CHALK}vary stone: 1 g, 2 g and strength: 1 mol/L .. 2 mol/L by 0.5 mol/L show gas(CO2, pot), volume(pot)\n")).comparisons[0];
    assert_eq!(table.varied, ["stone", "strength"]);
    assert_eq!(table.shown, ["gas(CO2, pot)", "volume(pot)"]);
    assert_eq!(table.rows.len(), 6);
    for row in &table.rows {
        let settings: Vec<_> = table
            .varied
            .iter()
            .cloned()
            .zip(row.values.iter().cloned())
            .collect();
        let text = format!("{CHALK}show gas(CO2, pot), volume(pot)\n");
        let alone = route::follow(&Source::new("one", text), &Store::default(), &settings).ledger;
        let answers: Vec<_> = alone.shows.into_iter().map(|shown| shown.answer).collect();
        assert_eq!(row.answers, answers, "{:?}", row.values);
    }
}

/// A step of 5 °C is a difference, and a bound of 20 °C a reading.
#[test]
fn temperatures_are_varied_by_differences() {
    let text = "let t = 20 °C\nambient t\nvessel pot\ncharge pot: 10 g water\nvary t: 10 °C .. 25 °C by 5 °C show temperature(pot)\n";
    let table = &ledger(text).comparisons[0];
    let read: Vec<_> = table
        .rows
        .iter()
        .map(|row| match &row.answers[0] {
            Answer::Quantity(q) => q.in_unit(&unit::CELSIUS).unwrap().to_f64(),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(read, [10.0, 15.0, 20.0, 25.0]);
}

#[test]
fn a_value_that_cannot_stand_spoils_its_row_alone() {
    let text = "let c = 10 %\nbottle acid: HCl c\nvessel pot\ncharge pot: 10 g acid\nvary c: 10 %, 900 %, 20 % show amount(HCl, pot)\n";
    let table = &ledger(text).comparisons[0];
    let broken: Vec<_> = table.rows.iter().map(|row| row.faults.len()).collect();
    assert_eq!(broken, [0, 1, 0]);
    assert_eq!(table.rows[1].answers, []);
}

#[test]
fn every_row_is_worked_back_again() {
    let text = format!(
        "{CHALK}find stone in 0.1 g .. 20 g: gas(CO2, pot) = 0.5 L\nvary strength: 1 mol/L, 2 mol/L show stone, volume(pot)\n"
    );
    let found = ledger(&text);
    let stones: Vec<f64> = found.comparisons[0]
        .rows
        .iter()
        .map(|row| grams(&row.answers[0]))
        .collect();
    assert!(
        (stones[0] - stones[1]).abs() < 1e-9 && (stones[0] - 2.0804).abs() < 2e-4,
        "{stones:?}"
    );
}

#[test]
fn a_setting_holds_for_the_search_and_not_for_what_is_sought() {
    let text = format!("{CHALK}find stone in 0.1 g .. 20 g: gas(CO2, pot) = 0.5 L\n");
    let set = |name: &str, value: &str| {
        let value = route::quantity(&route::parse::parse_quantity(value).unwrap()).unwrap();
        let source = Source::new("set", text.as_str());
        route::follow(&source, &Store::default(), &[(name.to_owned(), value)])
    };
    assert!(set("strength", "2 mol/L").ledger.findings[0].met);
    let refused = set("stone", "2 g").faults;
    assert!(
        matches!(
            &refused[..],
            [Fault::Check(route::CheckFault::SetSought { .. })]
        ),
        "{refused:?}"
    );
}

#[test]
fn the_prompt_goes_on_with_what_was_found() {
    let mut session = Session::new(&Store::default());
    let feed = |session: &mut Session, line: &str| {
        let fed = session.feed(&Source::new("prompt", line));
        assert!(
            fed.faults.is_empty() && !fed.refused,
            "{line}: {:?} {:?}",
            fed.faults,
            fed.news.remarks
        );
        fed.news
    };
    feed(&mut session, "let salt = 1 g");
    feed(&mut session, "vessel pot");
    feed(&mut session, "charge pot: salt NaCl, 10 g water");
    feed(
        &mut session,
        "find salt in 0.5 g .. 5 g: mass(pot) = 12.5 g",
    );
    feed(&mut session, "charge pot: salt NaCl");
    let shown = feed(&mut session, "show mass(pot)").shows;
    assert!((grams(&shown[0].answer) - 15.0).abs() < 1e-9);
    // What was found can be varied: each row has the value given, and the sheet keeps what was found.
    let varied = feed(&mut session, "vary salt: 1 g, 2 g show mass(pot)");
    let rows = varied.comparisons[0].rows.iter();
    let rows: Vec<f64> = rows.map(|row| grams(&row.answers[0])).collect();
    assert_eq!(rows, [12.0, 14.0]);
    let shown = feed(&mut session, "show mass(pot)").shows;
    assert!((grams(&shown.last().unwrap().answer) - 15.0).abs() < 1e-9);
}

/// Whichever stands first: the rows are those of the values given.
#[test]
fn what_a_search_looks_for_can_be_varied() {
    let text = "let salt = 1 g\nvessel pot\ncharge pot: salt NaCl\n";
    let find = "find salt in 0.5 g .. 5 g: mass(pot) = 4 g\n";
    let vary = "vary salt: 1 g, 3 g show mass(pot), salt\n";
    for text in [format!("{text}{find}{vary}"), format!("{text}{vary}{find}")] {
        let ledger = ledger(&text);
        let rows = ledger.comparisons[0].rows.iter();
        let rows: Vec<f64> = rows.map(|row| grams(&row.answers[0])).collect();
        assert_eq!(rows, [1.0, 3.0], "{text}");
        assert!(
            ledger.comparisons[0]
                .rows
                .iter()
                .all(|row| row.faults.is_empty())
        );
        assert!((ledger.draws[0].grams.to_f64() - 4.0).abs() < 1e-9);
    }
}

#[test]
fn a_later_search_that_undoes_an_earlier_one_is_told() {
    let text = "let a = 1 g\nlet b = 1 g\nvessel pot\ncharge pot: a NaCl, b KCl\nfind a in 0.1 g .. 50 g: mass(pot) = 10 g\nfind b in 0.1 g .. 50 g: mass(pot) = 20 g\n";
    assert_eq!(kinds(text), ["not-found"]);
}

/// Ten searches that are not plain, each with what comes of it: no faults and these words, or these words of the fault.
#[test]
fn awkward_searches_end_in_an_answer_or_a_reason() {
    let stone = "let v = 10 mL\nlet stone = 1.00 g\nbottle acid: HCl 1 mol/L\nvessel pot\ncharge pot: stone CaCO3, v acid\n\
                 react pot: CaCO3 + HCl -> CaCl2 + CO2 + H2O\n";
    let salt = "let m = 1 g\nlet k = 2 g\nlet b = 1 g\nvessel pot\ncharge pot: m NaCl, b NaCl, 10 g water\n";
    let crop = "let t = 20 °C\nvessel pot\ncharge pot: 40 g KNO3, 50 mL water at 80 °C\ncrystallise pot at t: KNO3 -> crop\n";
    let label = "let c = 1 %w/w\nbottle acid: HCl c\nvessel pot\ncharge pot: 20 mL acid\n";
    for (scene, find, words) in [
        (
            stone,
            "find v in 1 mL .. 100 mL: gas(CO2, pot) = 0.239 L",
            "",
        ),
        (
            stone,
            "find v in 30 mL .. 100 mL: gas(CO2, pot) = 0.5 L",
            "has no influence",
        ),
        (
            stone,
            "find v in 1 mL .. 100 mL: gas(CO2, pot) = 0.5 L",
            "CaCO3 runs out",
        ),
        (salt, "find m in 1 g .. 5 g: mass(pot) = 16 g", ""),
        (salt, "find m in 1 g .. 5 g: mass(pot) = 12 g", ""),
        (
            salt,
            "find m in 1 g .. 9 g: (m - 3 g) * (m - 6.5 g) = 0 g^2",
            "another between 6.000 g and 7.000 g",
        ),
        (
            salt,
            "find k in 1 g .. 9 g: mass(pot) = 14 g",
            "`k` has no influence",
        ),
        (
            salt,
            "find k in 1 g .. 9 g: mass(pot) = 12 g",
            "every value of `k`",
        ),
        (crop, "find t in 0 °C .. 60 °C: mass(crop) = 25 g", ""),
        (
            label,
            "find c in 1 %w/w .. 90 %w/w: amount(HCl, pot) = 0.05 mol",
            "",
        ),
        (
            salt,
            "find m in 0.5 g .. 5 g, b in 0.5 g .. 5 g: mass(pot) = 14 g and 2 * mass(pot) = 28 g",
            "",
        ),
        (
            salt,
            "find m in 0.5 g .. 5 g, b in 0.5 g .. 5 g: mass(pot) = 14 g and amount(NaCl, pot) = 70 mmol",
            "off: 14.08 g",
        ),
        (
            stone,
            "find stone in 0.5 g .. 20 g, v in 1 mL .. 50 mL: gas(CO2, pot) = 1 L and amount(HCl, pot) = 10 mmol",
            "v stands at the end of the range; there `react pot: CaCO3 + HCl -> CaCl2 + CO2 + H2O` ends when H^+",
        ),
    ] {
        let found = ledger(&format!("{scene}{find}\n"));
        let about = found
            .remarks
            .iter()
            .filter(|remark| matches!(remark.fact, Fact::NotFound(_) | Fact::AlsoMet(_)));
        let told: Vec<String> = about
            .map(|remark| {
                let message =
                    aludel::diagnostic::route_fact(&remark.fact, remark.level, Notation::Plain);
                format!("{}; {}", message.title, message.hints.join("; "))
            })
            .collect();
        match words {
            "" => assert!(told.is_empty() && found.findings[0].met, "{find}: {told:?}"),
            _ => assert!(
                told.len() == 1 && told[0].contains(words),
                "{find}: {told:?}"
            ),
        }
    }
}

/// The crop of a fixed amount of acid grows with the metal and vanishes with too much of it: neither bound says how far the
/// route can go.
#[test]
fn the_nearest_a_search_comes_between_its_bounds_is_told() {
    let alum = include_str!("../scripts/alum.route").replace("  weigh crop: 11.9 g\n", "");
    let text = format!("{alum}find scrap in 0.1 g .. 50 g: mass(crop) = 25 g\n");
    let outcome = route::follow(&Source::new("alum", text), &Store::default(), &[]);
    let remarks = outcome.ledger.remarks.iter();
    let told = remarks.map(|remark| aludel::diagnostic::route_remark(remark, Notation::Plain));
    let missed = told.into_iter().find(|message| message.kind == "not-found");
    let hints = missed.expect("25 g are out of reach").hints.join("\n");
    assert!(
        hints.contains("nearest to 25 g between them with (15."),
        "{hints}"
    );
}
