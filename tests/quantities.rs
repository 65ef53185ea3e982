//! Each quantity of each statement × {−1, 0, 1e30}: a message with a way out where it cannot be, before the route runs where it
//! is written down and when it runs where it is worked out; never a fault of the program.

mod common;

use std::collections::{BTreeMap, BTreeSet};

use aludel::data::Store;
use aludel::diagnostic::{Message, Severity, route_fault, route_remark};
use aludel::matter::Notation;
use aludel::number::unit;
use aludel::route::parse::verbs;
use aludel::route::{self, Outcome};
use aludel::text::Source;
use common::aludel;

/// What stands before each line.
const SCENE: &str = "\
bottle acid: HCl 2 mol/L
bottle lye: NaOH 1 mol/L
vessel pot
charge pot: 30 g KNO3, 40 mL water
vessel cup
charge cup: 2 g CaCO3, 20 mL water, 1 g NaCl
vessel cone
charge cone: 20 mL acid, 20 mL water
";

/// What of −1, 0 and 1e30 a place takes.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
enum Takes {
    /// None of them.
    Nothing,
    /// Zero.
    Zero,
    /// Zero and less.
    Signed,
    /// Whatever comes.
    All,
}
use Takes::{All, Nothing, Signed, Zero};

/// Lines with `@` where the quantity stands, its unit, and what it may be.
const LINES: &[(&str, &str, Takes)] = &[
    ("ambient @", "K", Nothing),
    ("ambient 20 °C, @", "kPa", Nothing),
    ("bottle b: KCl @", "mol/L", Zero),
    ("bottle b: KCl @", "mol/kg", Zero),
    ("bottle b: KCl @", "g/L", Zero),
    ("bottle b: KCl @", "%w/w", Zero),
    ("bottle b: CaCO3(s) @", "%", Nothing),
    ("bottle b: KCl 1 mol/L, density @", "g/mL", Nothing),
    ("let y = @", "g", All),
    ("vessel b: @", "mL", Nothing),
    ("instrument pipette @: ± 0.01 mL", "mL", Nothing),
    ("instrument balance: ± @", "g", Nothing),
    ("substance XeF2(s): dfH @", "kJ/mol", Signed),
    ("substance XeF2(s): dfG @", "kJ/mol", Signed),
    ("substance XeF2(s): S @", "J/(mol·K)", Nothing),
    ("substance XeF2(s): Cp @", "J/(mol·K)", Nothing),
    ("charge pot: @ NaCl", "g", Nothing),
    ("charge pot: @ NaCl", "mol", Nothing),
    ("charge pot: @ water", "mL", Nothing),
    ("charge pot: 1 g NaCl at @", "K", Nothing),
    ("charge pot: 1 g NaCl over @", "min", Nothing),
    (
        "charge cone: enough lye for OH^- + H^+ -> H2O, @ excess",
        "%",
        Zero,
    ),
    ("react cup: CaCO3 -> CaO + CO2, to @", "%", Nothing),
    ("warm pot to @", "K", Nothing),
    ("cool pot to @", "K", Nothing),
    ("hold pot at @", "K", Nothing),
    ("hold pot at 20 °C with @", "W", Nothing),
    ("hold pot at 20 °C with @", "W/K", Nothing),
    ("filter cup -> a, b, retaining @", "mL", Zero),
    ("filter cup -> a, b, retaining @", "g", Zero),
    ("filter cup -> a, b, retaining @", "%", Zero),
    ("take @ from pot -> a", "mL", Nothing),
    ("take @ from pot -> a", "g", Nothing),
    ("take @ from pot -> a", "%", Nothing),
    ("wash cup with @ water", "mL", Nothing),
    ("wash cup with 5 mL water, retaining @", "mL", Zero),
    ("dry cup at @", "K", Nothing),
    ("evaporate pot to @", "mL", Nothing),
    ("evaporate pot to @", "g", Nothing),
    ("dilute pot to @", "mL", Nothing),
    ("dilute pot to @", "g", Nothing),
    ("crystallise pot at @: KNO3 -> a", "K", Nothing),
    (
        "titrate cone with lye: OH^- + H^+ -> H2O, found @",
        "mL",
        Nothing,
    ),
    (
        "titrate cone with lye: OH^- + H^+ -> H2O, found 40 mL, blank @",
        "mL",
        Zero,
    ),
    (
        "titrate cone with lye: OH^- + H^+ -> H2O, found 40 mL, burette @",
        "mL",
        Nothing,
    ),
    ("weigh pot: @", "g", Nothing),
    ("measure mass(pot): @", "g", Nothing),
    ("measure volume(pot): @", "mL", Zero),
    ("measure temperature(pot): @", "K", Nothing),
    ("measure peak(pot): @", "K", Nothing),
    ("measure density(pot): @", "g/mL", Nothing),
    ("measure amount(KNO3, pot): @", "mol", Zero),
    ("measure concentration(KNO3, pot): @", "mol/L", Zero),
    ("measure fraction(KNO3, pot): @", "%", Zero),
    ("measure gas(CO2, pot): @", "L", Zero),
    ("measure heat(pot): @", "kJ", Signed),
    ("measure strength(lye): @", "mol/L", Nothing),
    ("boil pot for @", "min", Nothing),
    ("wait @", "h", Nothing),
    ("scale H2 + O2 -> H2O to @ H2O", "g", Nothing),
    ("heat H2 + O2 -> H2O at @", "K", Nothing),
    (
        "heat Zn + Cu^2+ -> Zn^2+ + Cu, activity Zn^2+ = @",
        "",
        Nothing,
    ),
    ("solution HCl @", "mol/L", Zero),
    ("solution HCl 1 mol/L at @", "K", Nothing),
    ("solution HCl 1 mol/L, density @", "g/mL", Nothing),
    (
        "solution make @ HCl 1 mol/L from HCl 37 %w/w",
        "mL",
        Nothing,
    ),
    ("solution dilute @ HCl 2 mol/L to 1 mol/L", "mL", Nothing),
    ("solution dilute 10 mL HCl 2 mol/L to @", "mL", Nothing),
    ("solution mix @ KCl 1 mol/L and 5 mL water", "mL", Nothing),
    (
        "solution compare acid and lye for NaOH + HCl -> NaCl + H2O to @ NaCl",
        "g",
        Nothing,
    ),
    ("show @", "mL", All),
    ("show ice(pot, @)", "K", Nothing),
    ("expect mass(pot) < @", "g", All),
    (
        "let y = 1 g\nvessel a\ncharge a: y NaCl\nfind y in @ .. 5 g: mass(a) = 3 g",
        "g",
        All,
    ),
    (
        "let y = 1 g\nvessel a\ncharge a: y NaCl\nvary y: 2 g, @ show mass(a)",
        "g",
        All,
    ),
    (
        "procedure p(v, q) {\n  charge v: q water\n}\ndo p(pot, @)",
        "mL",
        Nothing,
    ),
];

/// Whether the place takes a number as written and no expression.
fn is_literal(line: &str) -> bool {
    let verbs = ["instrument ", "substance ", "heat "];
    let places = ["found @", "burette @", "solution HCl 1 mol/L at @"];
    verbs.iter().any(|verb| line.starts_with(verb))
        || places.iter().any(|place| line.contains(place))
}

const SIZES: [&str; 3] = ["-1", "0", "1e30"];

/// Whether a place takes that size.
fn takes(allowed: Takes, size: &str) -> bool {
    match size {
        "-1" => matches!(allowed, Signed | All),
        "0" => matches!(allowed, Zero | Signed | All),
        _ => allowed == All,
    }
}

fn follow(text: &str) -> Outcome {
    route::follow(&Source::new("table", text), &Store::default(), &[])
}

fn is_error(message: &Message) -> bool {
    message.severity == Severity::Error
}

/// The errors of a route: those before it ran, and those of its run. Fails for a message that blames the program or has no
/// way out, and for a figure that is none.
fn errors(text: &str) -> (Vec<Message>, Vec<Message>) {
    let outcome = follow(text);
    let before: Vec<Message> = outcome.faults.iter().map(route_fault).collect();
    let remarks = outcome.ledger.remarks.iter();
    let running: Vec<Message> = remarks
        .map(|remark| route_remark(remark, Notation::Plain))
        .collect();
    for message in before.iter().chain(&running) {
        assert_ne!(message.kind, "books", "{text}\n{message:?}");
        let way_out = !message.hints.is_empty() || message.labels.len() > 1;
        assert!(way_out || !is_error(message), "{text}\n{message:?}");
    }
    let (sheet, messages, status) = aludel(&["run", "-"], text);
    for word in ["NaN", " inf", "fault of the program"] {
        assert!(
            !sheet.contains(word) && !messages.contains(word),
            "{text}\n{sheet}{messages}"
        );
    }
    let errors = |all: Vec<Message>| all.into_iter().filter(is_error).collect::<Vec<_>>();
    let (before, running) = (errors(before), errors(running));
    let wrong = !before.is_empty() || !running.is_empty();
    // A question may also be answered with "no", which is 1.
    assert!(
        if wrong { status == 2 } else { status <= 1 },
        "{text}\n{status}\n{messages}"
    );
    (before, running)
}

#[test]
fn a_quantity_as_written_that_cannot_be_is_refused_before_the_route_runs() {
    for (line, unit, allowed) in LINES {
        for size in SIZES {
            let text = format!(
                "{SCENE}{}\n",
                line.replace('@', format!("{size} {unit}").trim())
            );
            let (before, running) = errors(&text);
            let is_call = line.starts_with("procedure");
            match takes(*allowed, size) {
                true if *allowed != All => {
                    assert!(
                        before.is_empty() && running.is_empty(),
                        "{text}\n{before:?}\n{running:?}"
                    );
                }
                true => {}
                false if is_call => assert_eq!((before.len(), running.len()), (0, 1), "{text}"),
                false => assert_eq!(before.len(), 1, "{text}\n{before:?}\n{running:?}"),
            }
        }
    }
}

#[test]
fn a_quantity_that_is_worked_out_is_refused_with_the_same_words() {
    for (line, unit, allowed) in LINES {
        if is_literal(line) {
            continue;
        }
        for (size, written) in SIZES.iter().zip(["0 U - 1 U", "1 U - 1 U", "1e30 U * 1"]) {
            let written = written.replace('U', unit);
            let folded = format!("{SCENE}{}\n", line.replace('@', &format!("({written})")));
            let named = format!("{SCENE}let x = {written}\n{}\n", line.replace('@', "x"));
            let mut kinds = Vec::new();
            for text in [folded, named] {
                let (before, running) = errors(&text);
                let found = before.len() + running.len();
                kinds.push(before.iter().chain(&running).map(|one| one.kind).next());
                match takes(*allowed, size) {
                    true if *allowed != All => {
                        assert_eq!(found, 0, "{text}\n{before:?}\n{running:?}")
                    }
                    true => {}
                    false => assert_eq!(found, 1, "{text}\n{before:?}\n{running:?}"),
                }
            }
            assert!(
                kinds[0] == kinds[1] || *allowed == All,
                "{line} with {written}: {kinds:?}"
            );
        }
    }
}

/// The rules that a rule of the grammar leads to.
fn leads_to<'g>(grammar: &BTreeMap<&'g str, &'g str>, rule: &'g str) -> BTreeSet<&'g str> {
    let mut found = BTreeSet::new();
    let mut open = vec![rule];
    while let Some(rule) = open.pop() {
        let body = grammar.get(rule).copied().unwrap_or("");
        let words = body.split(|c: char| !(c.is_ascii_alphanumeric() || c == '_'));
        for word in words.filter(|word| grammar.contains_key(word)) {
            if found.insert(word) {
                open.push(word);
            }
        }
    }
    found
}

/// The name of each rule of the grammar with its body; what stands in quotes is no rule.
fn rules(grammar: &str) -> BTreeMap<&str, &str> {
    let mut all = BTreeMap::new();
    let mut rest = grammar;
    while let Some(at) = rest.find(" = ") {
        let name = rest[..at].rsplit('\n').next().unwrap_or("").trim();
        let body = &rest[at + 3..];
        // A rule ends where the next begins, or a blank line stands.
        let ends = [body.find("\n\n"), body.find("}\n")];
        let end = ends.into_iter().flatten().min().unwrap_or(body.len());
        if name.chars().all(|c| c.is_ascii_alphanumeric() || c == '_') {
            all.insert(name, &body[..end]);
        }
        rest = &body[end..];
    }
    all
}

#[test]
fn every_statement_with_a_quantity_is_in_the_table() {
    let grammar = include_str!("../grammar/route.pest");
    let rules = rules(grammar);
    let mut with_quantity = 0;
    for verb in verbs() {
        let rule = format!("{verb}_statement");
        let (rule, _) = rules.get_key_value(rule.as_str()).expect(verb);
        let quantities = leads_to(&rules, rule);
        let takes_quantity = ["quantity", "slack"]
            .iter()
            .any(|rule| quantities.contains(rule));
        let listed = LINES.iter().any(|(line, ..)| {
            let mut lines = line.lines();
            lines.any(|line| line.contains('@') && line.split(' ').next() == Some(verb))
        });
        assert_eq!(listed, takes_quantity, "`{verb}` and the table");
        with_quantity += usize::from(takes_quantity);
    }
    assert!(with_quantity > 20, "{with_quantity}");
}

/// The kinds that a route is told, in their order.
fn kinds(text: &str) -> Vec<&'static str> {
    let outcome = follow(text);
    let remarks = outcome.ledger.remarks.iter();
    let running = remarks.map(|remark| route_remark(remark, Notation::Plain));
    let all = outcome.faults.iter().map(route_fault).chain(running);
    all.map(|message| message.kind).collect()
}

/// Slips that once ended in "a fault of the program", or in figures of less than nothing.
#[test]
fn slips_are_called_by_their_name() {
    let acid = "bottle acid: H2SO4 10 %w/w\nvessel pot\n";
    for (lines, kind) in [
        (
            "charge pot: 4 g CuO, 90 mL acid\nreact pot: CuO + H2SO4 -> CuSO4 + H2O, to 100.5 %",
            "more-than-all",
        ),
        (
            "charge pot: 4 g CuO\ncharge pot: enough acid for CuO + H2SO4 -> CuSO4 + H2O, (0 % - 150 %) excess",
            "negative",
        ),
        ("measure strength(acid): 19 mol/L", "strength"),
        (
            "bottle lye: NaOH 1 mol/L\nmeasure strength(lye): 40 mol/L",
            "strength",
        ),
        (
            "bottle lye: NaOH 1 mol/L\ncharge pot: 25 mL acid\n\
             titrate pot with lye: OH^- + H^+ -> H2O, found 0.02455 mL, giving lye",
            "strength",
        ),
        (
            "charge pot: 2 g CaCO3, 20 mL water\nfilter pot -> l, c, retaining (0 mL - 5 mL)",
            "negative",
        ),
        (
            "charge pot: 2 g CaCO3, 20 mL water\nwash pot with 5 mL water, retaining (0 mL - 5 mL)",
            "negative",
        ),
        (
            "bottle blue: Cu(NO3)2 5.00 mol/L, density (0 g/mL - 1 g/mL)",
            "out-of-range",
        ),
        ("vessel v: (0 mL - 5 mL)", "not-positive"),
        ("wait (0 min - 5 min)", "not-positive"),
        (
            "charge pot: 2 g CaCO3, 1e-90 g NaCl, 20 mL water\nfilter pot -> a, b",
            "absurd-amount",
        ),
        ("ambient -300 °C", "out-of-range"),
        ("ambient 5000 °C", "out-of-range"),
        ("ambient 20 °C, 101.325 Pa", "out-of-range"),
        ("ambient 20 °C, 1e-30 kPa", "out-of-range"),
        (
            "charge pot: 20 mL water\nmeasure temperature(pot): -300 °C",
            "absurd-temperature",
        ),
        ("solution HCl 37 %w/w at 5000 °C", "absurd-temperature"),
        ("solution HCl 37 %w/w at -300 °C", "absurd-temperature"),
        ("heat H2 + O2 -> H2O at -300 °C", "absurd-temperature"),
        ("let x = 2 g ± 1e90 g (k = 2)", "absurd-uncertainty"),
        ("let x = 37 mmol ± 1 % (k = 1e-300)", "bad-number"),
        ("let x = 1e90 g ± 1 %", "absurd-uncertainty"),
        ("let x = 1 g ± 1 g (k = 1e-399)", "bad-number"),
        ("bottle b: KCl 1e90 mol/L", "absurd-amount"),
        (
            "charge pot: 20 mL water\nmeasure amount(H2O, pot): 1e30 mol",
            "absurd-amount",
        ),
        (
            "charge pot: 20 mL water\ntake 101 % from pot -> a",
            "more-than-all",
        ),
        (
            "charge pot: 20 mL water\nmeasure volume(pot): (0 mL - 5 mL)",
            "negative",
        ),
        (
            "charge pot: 5 g KNO3\ncrystallise pot at 5 °C: KNO3 -> crop",
            "no-solution",
        ),
        (
            "charge pot: 2 g CaCO3\nfilter pot -> a, b, retaining 1 g",
            "no-liquid",
        ),
        ("charge pot: 2 g CaCO3\nboil pot for 5 min", "no-liquid"),
        (
            "charge pot: 2 g CaCO3\nfilter pot -> a, b, retaining 5 %",
            "no-liquid",
        ),
        (
            "charge pot: 2 g CaCO3, 20 mL water\nfilter pot -> b, b",
            "changes-nothing",
        ),
        (
            "bottle lye: NaOH 1 mol/L\ncharge pot: 25 mL acid\n\
          titrate pot with lye: OH^- + H^+ -> H2O, found 5 mL, blank 6 mL",
            "not-positive",
        ),
    ] {
        let text = format!("{acid}{lines}\n");
        let told = kinds(&text);
        let errors = told.iter().filter(|one| **one == kind).count();
        assert_eq!(errors, 1, "{text}{told:?}");
        assert!(!told.contains(&"books"), "{text}{told:?}");
    }
    // As strong as it is sold: its density follows.
    let strong = format!("{acid}measure strength(acid): 18 mol/L\ncharge pot: 10 mL acid\n");
    assert_eq!(
        kinds(&strong)
            .iter()
            .filter(|kind| **kind == "books")
            .count(),
        0
    );
    // Frost is no slip, and the liquid that stays where it is makes no remark.
    let told = kinds("heat H2 + O2 -> H2O at -10 °C\nsolution HCl 10 %w/w at -5 °C\n");
    assert!(
        !told.contains(&"unexpected") && !told.contains(&"absurd-temperature"),
        "{told:?}"
    );
    let told = kinds(&format!(
        "{acid}charge pot: 2 g CaCO3, 20 mL water\nfilter pot -> pot, b\n"
    ));
    assert!(!told.contains(&"changes-nothing"), "{told:?}");
}

/// A flask that is at its mark needs no water, and gives none away.
#[test]
fn a_flask_that_is_full_to_the_mark_is_left_alone() {
    let text = "vessel v\ncharge v: 100 mL water, 25 g MgSO4·7H2O\ndilute v to 250 mL\ndilute v to 250 mL\n";
    let outcome = follow(text);
    let least = outcome.ledger.draws.iter().map(|draw| draw.grams.to_f64());
    assert!(
        least.clone().all(|grams| grams >= 0.0),
        "{:?}",
        least.collect::<Vec<_>>()
    );
    assert!(
        kinds(text).contains(&"changes-nothing"),
        "{:?}",
        kinds(text)
    );
}

/// A bottle of another strength has another density: 10 mol/L NaOH has 1.329 g/mL at 20 °C, as a bottle with that label does.
#[test]
fn what_is_found_of_a_bottle_changes_its_density() {
    let of = |lines: &str| {
        let ledger = common::follow(&format!(
            "vessel v\n{lines}\ncharge v: 100 mL b\nshow volume(v), density(v), mass(v)\n"
        ));
        let unit = [&unit::MILLILITRE, &unit::GRAM_PER_MILLILITRE, &unit::GRAM];
        [0, 1, 2].map(|at| common::shown(&ledger, at, unit[at]).to_f64())
    };
    let [volume, density, mass] = of("bottle b: NaOH 1 mol/L\nmeasure strength(b): 10 mol/L");
    let declared = of("bottle b: NaOH 10 mol/L");
    assert!(
        (volume - 100.0).abs() < 0.05 && (density - 1.329).abs() < 0.0015,
        "{volume} {density}"
    );
    assert!((mass - declared[2]).abs() < 1e-6, "{mass} {declared:?}");
    for lines in [
        "bottle b: NaOH 2 mol/L\nmeasure strength(b): 1.8 mol/L",
        "bottle b: NaOH 50 %w/w\nmeasure strength(b): 17 mol/L",
        "bottle b: H2SO4 98 %w/w\nmeasure strength(b): 17 mol/L",
        "bottle b: HCl 37 %w/w, density 1.190 g/mL\nmeasure strength(b): 11.5 mol/L",
    ] {
        let [volume, ..] = of(lines);
        assert!((volume - 100.0).abs() < 0.6, "{lines}: {volume}");
    }
}

/// Where no table has the density of a solution, the sheet says that the label's is kept.
#[test]
fn a_density_that_nobody_knows_stays_and_is_told() {
    let text = "bottle b: H2SeO4 2 mol/L, density 1.20 g/mL\nmeasure strength(b): 1.9 mol/L\n";
    let outcome = follow(text);
    let remarks = outcome.ledger.remarks.iter();
    let told: Vec<String> = remarks
        .map(|remark| route_remark(remark, Notation::Plain).title)
        .collect();
    assert!(
        told.iter().any(|one| one.contains("label of b is kept")),
        "{told:?}"
    );
}
