//! Units, dimensions and digits as somebody meets them in a route.

use aludel::data::Store;
use aludel::diagnostic;
use aludel::figure;
use aludel::report;
use aludel::route;
use aludel::text::Source;

fn follow(text: &str) -> route::Outcome {
    route::follow(&Source::new("units", text), &Store::default(), &[])
}

/// What the sheet answers to `show`.
fn shown(expressions: &str) -> Vec<String> {
    let text = format!("{SCENE}show {expressions}\n");
    let outcome = follow(&text);
    assert_eq!(outcome.faults, [], "{expressions}");
    let shows = outcome.ledger.shows.iter();
    shows.map(|shown| figure::answer(&shown.answer)).collect()
}

const SCENE: &str = "\
let cold = 20.0 °C
let warm = 35 °C
let rise = 5 K
let between = warm - cold
vessel pot: 250 mL
charge pot: 25.0 mL water
";

/// Digits are those that were written, units those that were chosen; what is reckoned has four digits.
#[test]
fn what_is_entered_is_printed_as_it_was_entered() {
    for (written, printed) in [
        ("25.0 mL", "25.0 mL"),
        ("30 mL", "30 mL"),
        ("0.030 L", "0.030 L"),
        ("2.50 cc", "2.50 cm³"),
        ("1.50e-3 mol", "0.00150 mol"),
        ("1.5e2 mL", "150 mL"),
        ("6.02e23", "6.020 × 10²³"),
        ("25 mL ± 0.1 mL", "(25.0 ± 0.1) mL"),
        ("1.00 g ± 0.01", "(1.00 ± 0.01) g"),
        ("2.00 mol/L ± 1 %", "(2.000 ± 0.020) mol/L"),
        ("10.00 mL ± 0.02 mL tolerance", "(10.000 ± 0.012) mL"),
        ("-10 °C", "-10 °C"),
        ("cold", "20.0 °C"),
        ("300 K", "300 K"),
        ("min(25.0 mL, 30 mL)", "25.0 mL"),
        ("25.0 mL + 5 mL", "30.00 mL"),
        ("2 * 25.0 mL", "50.00 mL"),
        ("1/3", "0.3333"),
        ("5 mL/min", "5 mL/min"),
        ("0", "0"),
    ] {
        assert_eq!(shown(written), [printed], "{written}");
    }
}

#[test]
fn a_sheet_measures_out_what_the_route_says() {
    let outcome = follow(
        "let c = 0.10 mol/L\nbottle acid: HCl c\nvessel pot: 12.5 mL\n\
         charge pot: 2.50 mL acid, 0.5 g water over 2.5 min\ncharge pot: 1 mmol NaCl\n",
    );
    assert_eq!(outcome.faults, []);
    let text = report::sheet(&outcome.ledger, report::Style::default());
    for part in [
        "2.50   mL",
        "acid: HCl 0.10 mol/L",
        "0.5 g",
        "1 mmol",
        "in 12.5 mL",
        "over 2.5 min",
    ] {
        let found = text.contains(part) || text.contains(&part.replace("   ", " "));
        assert!(found, "{part}\n{text}");
    }
}

#[test]
fn readings_and_differences_of_temperature_are_told_apart() {
    for (written, printed) in [
        ("cold + rise", "25 °C"),
        ("rise + cold", "25 °C"),
        ("warm - rise", "30 °C"),
        ("warm - cold", "15.00 K"),
        ("between + rise", "20.00 K"),
        ("2 * between", "30.00 K"),
        ("cold + between / 2", "27.5 °C"),
        ("peak(pot) - temperature(pot)", "0 K"),
        ("warm - -273.15 °C", "308.2 K"),
        ("uncertainty(20 °C ± 0.5 °C)", "0.5000 K"),
        ("max(cold, warm)", "35 °C"),
    ] {
        assert_eq!(shown(written), [printed], "{written}");
    }
}

/// The kind, and words that the message must hold.
#[test]
fn what_does_not_fit_is_told_with_both_kinds_and_a_way_out() {
    for (line, kind, words) in [
        ("show cold + warm", "added-readings", &["20 °C + 5 K"][..]),
        ("show 20 °C + 5 °C", "added-readings", &[]),
        ("show 300 K - cold", "added-readings", &["in K"]),
        ("show 2 * cold", "scaled-reading", &["-273.15 °C"]),
        ("show temperature(pot) / 2", "scaled-reading", &[]),
        ("show -cold", "scaled-reading", &[]),
        ("show abs(cold)", "scaled-reading", &[]),
        ("show cold ^ 2", "scaled-reading", &[]),
        ("show between - cold", "added-readings", &[]),
        (
            "warm pot to between",
            "difference-for-reading",
            &["a temperature is needed"],
        ),
        (
            "expect between < 20 °C",
            "difference-for-reading",
            &["in K"],
        ),
        ("show min(between, cold)", "difference-for-reading", &[]),
        (
            "charge pot: 5 s water",
            "wrong-dimension",
            &[
                "a time",
                "a mass, a volume or an amount of substance",
                "mmol",
            ],
        ),
        ("wait 5 g", "wrong-dimension", &["a mass", "a time", "min"]),
        (
            "warm pot to 5",
            "wrong-dimension",
            &["a plain number", "20 °C"],
        ),
        (
            "show 5 g + 5 mL",
            "mixed-dimensions",
            &["a mass and a volume", "density"],
        ),
        (
            "show 5 g + 1 mol",
            "mixed-dimensions",
            &["an amount of substance", "molar_mass"],
        ),
        ("show 5 g^2 + 1 g", "mixed-dimensions", &["mass squared"]),
        ("show 5 mLL", "unknown-unit", &["`mL`"]),
        ("show 5 ML", "unknown-unit", &["`mL`"]),
        ("show 5 kj", "unknown-unit", &["`kJ`"]),
        ("show 5 J/mol·K", "unknown-unit", &["J/(mol·K)"]),
        ("show 0.1 N", "unknown-unit", &["mol/L"]),
        ("show 5 psi", "unknown-unit", &["6.894757 kPa"]),
        ("show 5 Mg", "unknown-unit", &["magnesium"]),
    ] {
        let outcome = follow(&format!("{SCENE}{line}\n"));
        let [fault] = &outcome.faults[..] else {
            panic!("{line}: {:?}", outcome.faults);
        };
        let message = diagnostic::route_fault(fault);
        assert_eq!(message.kind, kind, "{line}: {}", message.title);
        assert!(!message.hints.is_empty(), "{line}: no way out");
        let said = format!("{} {}", message.title, message.hints.join(" "));
        for part in words {
            assert!(said.contains(part), "{line}: `{part}` in {said}");
        }
    }
}

/// Shares by mass in any spelling are one strength.
#[test]
fn labels_say_strengths_in_many_ways() {
    let amount = |strength: &str| {
        let text = format!(
            "bottle x: NaCl {strength}\nvessel pot\ncharge pot: 10.0 g x\nshow amount(NaCl, pot)\n"
        );
        let outcome = follow(&text);
        assert_eq!(outcome.faults, [], "{strength}");
        figure::answer(&outcome.ledger.shows[0].answer)
    };
    let first = amount("10 %w/w");
    for strength in [
        "10 % (w/w)",
        "10 wt%",
        "10 %",
        "100 g/kg",
        "100 ‰",
        "100000 ppm",
        "0.1 kg/kg",
    ] {
        assert_eq!(amount(strength), first, "{strength}");
    }
    assert_eq!(amount("0.50 M"), amount("0.50 mol.L-1"));
    assert_eq!(amount("0.50 M"), amount("500 mmol·L⁻¹"));
}

/// A product is printed as it was weighed, on the sheet and on its label.
#[test]
fn a_weighed_product_keeps_its_digits() {
    let outcome = follow(
        "vessel pot\nvessel jar\ncharge pot: 20 g KNO3, 20 mL water at 60 °C\n\
         crystallise pot at 5 °C: KNO3 -> crop\ndry crop\nweigh crop: 11.9 g\nyield crop: KNO3 on KNO3\n",
    );
    let text = report::sheet(&outcome.ledger, report::Style::default());
    assert!(text.contains("found 11.9 g"), "{text}");
    assert!(text.contains("taken as pure: 11.9 g"), "{text}");
    assert!(!text.contains("taken as pure: 11.90 g"), "{text}");
}

/// No element is spelled like a prefixed unit but for the few symbols that the SI and the periodic table share.
#[test]
fn elements_are_no_units() {
    let single = ('A'..='Z').map(|first| first.to_string());
    let double = ('A'..='Z').flat_map(|a| ('a'..='z').map(move |b| format!("{a}{b}")));
    let both = |symbol: &String| {
        let element = aludel::matter::Species::parse(symbol).is_ok();
        element && aludel::number::unit::find(symbol).is_some()
    };
    let shared: Vec<String> = single.chain(double).filter(both).collect();
    assert_eq!(shared, ["K", "W", "Pa"]);
}

/// What a table was asked for stands over it as it was asked.
#[test]
fn tables_repeat_what_they_were_asked() {
    let outcome = follow(
        "let c = 1 mol/L\nbottle acid: HCl c\nvessel pot\ncharge pot: 100 mL acid\n\
         scale Fe + HCl -> FeCl2 + H2 to 50 g Fe\nscale Fe + HCl -> FeCl2 + H2 to 0.10 mol H2\n\
         scale Fe + HCl -> FeCl2 + H2 to 10.0 mL HCl\n\
         vary c: 1 mol/L .. 2 mol/L by 0.25 mol/L show mass(pot)\n",
    );
    assert_eq!(outcome.faults, []);
    let text = report::sheet(&outcome.ledger, report::Style::default());
    for part in [
        "For 50 g of Fe\n",
        "For 0.10 mol of H₂\n",
        "For 10.0 mL of acid, 0.3646 g of HCl\n",
        "  1.25 mol/L  ",
        "  1.00 mol/L  ",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
}

/// Before a capital no name can stand, so blanks around the solidus do no harm; elsewhere the message says how to write it.
#[test]
fn blanks_around_a_solidus_are_read_or_told() {
    let messages = |text: &str| -> Vec<(String, Vec<String>)> {
        let outcome = follow(text);
        let told = outcome.faults.iter().map(diagnostic::route_fault);
        told.map(|message| (message.title, message.hints)).collect()
    };
    let spaced = "bottle acid: HCl 5 mol / L\nvessel pot\ncharge pot: 5 mL acid\nlet x = 3 g / L\nlet n = 4\nlet y = 3 g / n\n\
                  expect 5 mol / L = 5 mol/L and 3 g /L = x and y = 0.75 g\nexpect 6 J / K^2 = 6 J/K^2\n";
    assert_eq!(messages(spaced), []);
    for (text, hint) in [
        ("bottle acid: HCl 5 mol / kg\n", "write `mol/kg`"),
        ("bottle acid: HCl 5 %, density 1.05 g/ mL\n", "write `g/mL`"),
        (
            "let strength = 5 mol / kg\n",
            "if the unit is meant, write it without blanks, as in g/kg",
        ),
    ] {
        let all = messages(text);
        assert_eq!(all.len(), 1, "{text}: {all:?}");
        assert_eq!(all[0].1, [hint], "{text}: {all:?}");
    }
}
