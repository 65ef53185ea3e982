//! The books balance in a room of any temperature and pressure. 25 °C is the zero of the enthalpies: little heat moves there,
//! and what is lost by rounding a temperature is the larger part of it.

use aludel::number::Exact;
use aludel::route::ledger::Fact;
use proptest::prelude::*;

use super::shelf::{SHELF, VESSELS, any_step, text_of, vessel};
use super::{CASES, audited, follow};

/// Rooms at 25 °C and beside it, as they are written.
const STANDARD: [&str; 6] = [
    "25 °C",
    "298.15 K",
    "24.9999 °C",
    "25.0001 °C",
    "24.999999 °C",
    "25 °C ± 0.5 °C",
];

/// The vessels and elements whose books did not balance.
fn unbalanced(text: &str) -> Vec<String> {
    let remarks = follow(text).ledger.remarks.into_iter();
    remarks
        .filter_map(|remark| match remark.fact {
            Fact::Unbalanced { what } => Some(what),
            _ => None,
        })
        .collect()
}

fn room() -> impl Strategy<Value = String> {
    let celsius = prop_oneof![
        4 => prop::sample::select(&STANDARD[..]).prop_map(str::to_owned),
        // Colder, and some bottles of the shelf are refused: their contents would crystallise.
        2 => (15_000u32..35_000).prop_map(|n| format!("{} °C", Exact::ratio(n.into(), 1000).to_plain())),
        1 => Just("20 °C".to_owned()),
    ];
    let pressure = prop_oneof![
        Just(String::new()),
        (50u32..110).prop_map(|kilopascals| format!(", {kilopascals} kPa")),
        Just(", 101.325 kPa".to_owned()),
    ];
    (celsius, pressure).prop_map(|(celsius, pressure)| format!("ambient {celsius}{pressure}\n"))
}

/// Operations with `V` for a vessel and `@` for a quantity, with its unit.
const SLIPS: [(&str, &str); 16] = [
    ("charge V: @ NaCl", "g"),
    ("charge V: @ lye", "mL"),
    ("charge V: enough lye for OH^- + H^+ -> H2O, @ excess", "%"),
    ("react V: OH^- + H^+ -> H2O, to @", "%"),
    ("warm V to @", "K"),
    ("hold V at 20 °C with @", "W"),
    ("filter V -> jar, dish, retaining @", "mL"),
    ("wash V with 5 mL water, retaining @", "g"),
    ("take @ from V -> jar", "%"),
    ("dilute V to @", "mL"),
    ("evaporate V to @", "g"),
    ("measure temperature(V): @", "K"),
    ("measure amount(NaCl, V): @", "mol"),
    ("measure fraction(CuSO4, V): @", "%"),
    ("measure strength(lye): @", "mol/L"),
    (
        "titrate V with lye: OH^- + H^+ -> H2O, found 20 mL, blank @",
        "mL",
    ),
];

/// A slip: a quantity of no or of an absurd size, worked out so that only the run can see it.
fn slip() -> impl Strategy<Value = (usize, (&'static str, &'static str), &'static str)> {
    let size = prop::sample::select(&["-1", "0", "1e-30", "101", "1e30"][..]);
    (vessel(), prop::sample::select(&SLIPS[..]), size)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: CASES, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_books_balance_in_every_room(room in room(), steps in prop::collection::vec(any_step(), 1..25)) {
        let text = format!("{room}{}", text_of(&steps, &Exact::one()));
        audited(&follow(&text).ledger)?;
    }

    /// What cannot be is refused, and the books balance on.
    #[test]
    fn the_books_balance_among_bad_quantities(
        steps in prop::collection::vec((any_step(), prop::option::of(slip())), 1..20),
    ) {
        let mut text = SHELF.to_owned();
        for (at, (step, slip)) in steps.iter().enumerate() {
            text += &format!("{}\n", step.text(&Exact::one()));
            let Some((vessel, (line, unit), size)) = slip else { continue };
            let line = line.replace('V', VESSELS[*vessel]).replace('@', &format!("q{at}"));
            text += &format!("let q{at} = {size} {unit}\n{line}\n");
        }
        audited(&follow(&text).ledger)?;
    }
}

/// One pour each: what has moved before would hide what is off.
#[test]
fn the_books_of_ordinary_dilutions_balance_at_25_degrees() {
    let bottles = ["HCl", "NaOH", "H2SO4", "NaCl", "KNO3", "NH3"];
    for substance in bottles {
        for strength in ["0.01", "0.1", "1"] {
            for water in [20, 100] {
                for room in ["25 °C", "25.0001 °C", "298.15 K"] {
                    let text = format!(
                        "ambient {room}\nbottle b: {substance} {strength} mol/L\nvessel cone\ncharge cone: 25 mL b, {water} mL water\n"
                    );
                    assert_eq!(unbalanced(&text), [""; 0], "{text}");
                }
            }
        }
    }
}

#[test]
fn the_books_of_dilute_standards_balance_at_25_degrees() {
    for (water, salt) in [
        ("1 L", "10 mg"),
        ("1 L", "1 mg"),
        ("100 mL", "1 mg"),
        ("1 L", "1 µg"),
    ] {
        let text = format!(
            "ambient 25 °C\nvessel cup\ncharge cup: {water} water\ncharge cup: {salt} KNO3\n"
        );
        assert_eq!(unbalanced(&text), [""; 0], "{text}");
    }
    // A portion at 25 °C in another room.
    let text =
        "bottle acid: HCl 0.1 mol/L\nvessel cone\ncharge cone: 25 mL acid, 20 mL water at 25 °C\n";
    assert_eq!(unbalanced(text), [""; 0]);
}

/// Every shipped route that says nothing of its room or what it says, at 25 °C.
#[test]
#[allow(clippy::disallowed_methods)] // Reads the routes from their files.
fn the_books_of_the_shipped_routes_balance_at_25_degrees() {
    let mut tried = 0;
    for entry in std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/scripts")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|kind| kind != "route") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let others = text.lines().filter(|line| !line.starts_with("ambient"));
        let others: Vec<&str> = others.collect();
        if others.iter().any(|line| line.starts_with("use ")) {
            continue;
        }
        let text = format!("ambient 25 °C, 101.325 kPa\n{}\n", others.join("\n"));
        assert_eq!(unbalanced(&text), [""; 0], "{}", path.display());
        tried += 1;
    }
    assert!(tried >= 8, "{tried}");
}
