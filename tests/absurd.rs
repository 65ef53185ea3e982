//! Numbers that nobody could mean are refused where they enter, or their result is: no page, table or object has `NaN`, `inf` or
//! an empty figure in it, and no line of a sheet is wider than a terminal.

mod common;

use common::aludel;

/// A route with a `let` in it, in all forms, with samples and without.
fn every_form(arguments: &[&str], text: &str) -> Vec<(String, String, u8)> {
    let forms: [&[&str]; 6] = [
        &[],
        &["--explain"],
        &["--format", "csv"],
        &["--format", "json"],
        &["--samples", "100"],
        &["--samples", "100", "--format", "json"],
    ];
    let runs = forms.iter().map(|form| {
        let all = [&["run"], arguments, form, &["-"]].concat();
        aludel(&all, text)
    });
    runs.collect()
}

fn has_no_monster(text: &str, of: &str) {
    let words = text.split(|c: char| !c.is_alphanumeric() && c != '_');
    for word in words {
        let lower = word.to_lowercase();
        assert!(
            !["nan", "inf", "infinity"].contains(&lower.as_str()),
            "{of}: {text}"
        );
        // What was written is shown as it was written.
        let digits = word.len() > 26 && word.bytes().all(|b| b.is_ascii_digit());
        assert!(!digits || of.contains(word), "{of}: {text}");
    }
}

const POUR: &str =
    "vessel v\ncharge v: x NaCl, 20 mL water\nshow mass(v), temperature(v)\nshow budget(mass(v))\n";

#[test]
fn no_figure_is_no_number() {
    let let_x = |value: &str| format!("let x = {value}\n{POUR}");
    let mut cases: Vec<(Vec<&str>, String)> = vec![
        (vec!["--set", "x=2 g ± 1e308 g (k = 2)"], let_x("1 g")),
        (vec!["--set", "x=2 g ± 1e100 g (k = 0.1)"], let_x("1 g")),
    ];
    for value in [
        "1 g ± 1e308 g",
        "1 g ± 1e100 g",
        "1 g ± 1e-100 g",
        "37 mmol ± 1 % (k = 1e-300)",
        "37 mmol ± 1 % (k = 0.1)",
        "1e300 g ± 1 %",
        "1e100 g ± 1e100 %",
        "1e-100 g ± 1e100 %",
        "1 g ± 1e100 % tolerance",
        "1e-300 g",
    ] {
        cases.push((vec![], let_x(value)));
    }
    for text in [
        "bottle salt: KCl 1e308 mol/L\n",
        "bottle salt: KCl 1e100 mol/L\n",
        "bottle salt: KCl 1e90 %w/w\n",
        "vessel v\ncharge v: 20 mL water\nmeasure amount(H2O, v): 1e30 mol\nshow (mass(v) / (1 g)) ^ 16, mass(v)\n",
        "let a = 1e100 ± 1e100\nshow a * a, a ^ 16, 1 / a, a / a, (a - a) / a\n",
        "let a = 1e-100 ± 1e-100\nshow a * a, a ^ 16, 1 / a, a / a\n",
        "show 1e100 g, 1e-100 g, 1e100 mL, 1e100\n",
    ] {
        cases.push((vec![], text.to_owned()));
    }
    let long = format!("let x = 2 mL ± 2003{} mL\nshow x\n", "0".repeat(286));
    let less = format!("let x = 2 mL ± 2003{} mL\nshow x\n", "0".repeat(50));
    cases.extend([(vec![], long), (vec![], less)]);
    for (arguments, text) in &cases {
        for (at, (out, messages, status)) in every_form(arguments, text).iter().enumerate() {
            has_no_monster(out, text);
            has_no_monster(messages, text);
            assert!(*status == 0 || !messages.is_empty(), "{text}");
            assert!(
                !messages.contains("fault of the program"),
                "{text}: {messages}"
            );
            if at == 0 {
                let widest = out.lines().map(|line| line.chars().count()).max();
                assert!(widest.unwrap_or(0) <= 80, "{text}: {out}");
            }
        }
    }
}

/// `null` stands for what is not known; a figure that was calculated is a number.
#[test]
fn an_object_has_numbers_where_there_are_figures() {
    let text = format!("let x = 1 g ± 1e100 g\n{POUR}");
    let (out, messages, _) = aludel(&["run", "--format", "json", "-"], &text);
    assert!(
        !out.contains("\"mass_g\": null") && !out.contains("\"temperature_C\": null"),
        "{out}{messages}"
    );
}

/// Each limit says where it lies and what to write.
#[test]
fn a_number_beyond_reach_is_refused_with_the_range() {
    for (text, place) in [
        ("let x = 1e101 g\n", "1e101"),
        ("let x = 1e-101 g\n", "1e-101"),
        ("let x = 1 g ± 1e101 g\n", "1e101"),
        ("let x = 1 g ± 1 % (k = 0.01)\n", "0.01"),
        ("let x = 1 g ± 1 % (k = 0)\n", "0"),
        ("let x = 1 g ± 1 % (k = 200)\n", "200"),
    ] {
        let (_, messages, status) = aludel(&["run", "-"], text);
        assert_eq!(status, 2, "{text}");
        assert!(messages.contains("error[bad-number]"), "{text}: {messages}");
        assert!(messages.contains("between"), "{text}: {messages}");
        assert!(
            messages.contains(&"^".repeat(place.len())),
            "{text}: {messages}"
        );
    }
    for text in [
        "show 1e100 g\n",
        "show 1e-100 g\n",
        "show 0 g\n",
        "show 1 g ± 1 % (k = 12.7)\n",
    ] {
        assert_eq!(aludel(&["run", "-"], text).2, 0, "{text}");
    }
}
