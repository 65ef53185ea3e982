//! The command line as its user meets it: arguments and input in, output, messages and status out.

use std::io::Write;
use std::process::{Command, Stdio};

use aludel::cli::{Doors, run};

/// What a command line answers, as one text for a snapshot.
fn session(arguments: &[&str], input: &[u8]) -> String {
    let (mut output, mut messages) = (Vec::new(), Vec::new());
    let mut doors = Doors {
        input: &mut &input[..],
        output: &mut output,
        messages: &mut messages,
        at_terminal: false,
        colour: false,
    };
    let status = run(["aludel"].iter().chain(arguments), &mut doors) as u8;
    let (output, messages) = (
        String::from_utf8(output).unwrap(),
        String::from_utf8(messages).unwrap(),
    );
    let typed: Vec<String> = arguments.iter().map(|argument| quoted(argument)).collect();
    format!(
        "$ aludel {}\n{output}---- messages\n{messages}---- status {status}\n",
        typed.join(" ")
    )
}

fn quoted(argument: &str) -> String {
    if argument.contains(|c: char| !c.is_alphanumeric() && !"-/._".contains(c)) {
        format!("'{argument}'")
    } else {
        argument.to_owned()
    }
}

/// Runs each row and compares it with the snapshot of its name.
fn rows(rows: &[(&str, &[&str], &str)]) {
    for (name, arguments, input) in rows {
        insta::assert_snapshot!(*name, session(arguments, input.as_bytes()));
    }
}

#[test]
fn equations_are_balanced_or_it_is_said_why_not() {
    rows(&[
        ("balance_plain", &["balance", "Fe + Cl2 -> FeCl3"], ""),
        (
            "balance_ascii",
            &[
                "balance",
                "--ascii",
                "Fe2(SO4)3 + NH3 + H2O -> Fe(OH)3 + (NH4)2SO4",
            ],
            "",
        ),
        (
            "balance_ions",
            &["balance", "MnO4^- + Fe^2+ + H^+ -> Mn^2+ + Fe^3+ + H2O"],
            "",
        ),
        (
            "balance_in_base",
            &["balance", "MnO4^- + SO3^2- -> MnO2 + SO4^2- in base"],
            "",
        ),
        (
            "balance_json",
            &["balance", "--json", "Fe + Cl2 -> FeCl3"],
            "",
        ),
        (
            "balance_json_hydrate",
            &["balance", "--json", "CuSO4.5H2O -> CuSO4 + H2O"],
            "",
        ),
        (
            "balance_from_input",
            &["balance", "-"],
            "\n  H2 + O2 -> H2O\n",
        ),
        (
            "balance_working",
            &[
                "balance",
                "--working",
                "Cu + NO3^- + H^+ -> Cu^2+ + NO + H2O",
            ],
            "",
        ),
        (
            "balance_several",
            &["balance", "KClO3 + HCl -> KCl + ClO2 + Cl2 + H2O"],
            "",
        ),
        (
            "balance_several_json",
            &["balance", "--json", "KClO3 + HCl -> KCl + ClO2 + Cl2 + H2O"],
            "",
        ),
        (
            "balance_ratio",
            &[
                "balance",
                "KMnO4 + H2O2 + H2SO4 -> K2SO4 + MnSO4 + O2 + H2O, with O2 : H2O2 = 1 : 1",
            ],
            "",
        ),
        (
            "balance_wrong_coefficients",
            &["balance", "2 H2 + O2 -> H2O"],
            "",
        ),
        ("balance_one_sided", &["balance", "O2 -> H2O"], ""),
        ("balance_charge_only", &["balance", "Na^+ -> Na"], ""),
        ("balance_conflict", &["balance", "CO -> CO2"], ""),
        (
            "balance_nothing_happens",
            &["balance", "NaCl + H2O -> NaCl + H2O"],
            "",
        ),
        ("balance_no_json", &["balance", "--json", "CO -> CO2"], ""),
    ]);
}

#[test]
fn bad_input_gets_its_own_message_with_the_place() {
    rows(&[
        ("bad_case", &["mass", "NACL"], ""),
        (
            "bad_small_letters",
            &["balance", "nacl + agno3 -> agcl + nano3"],
            "",
        ),
        ("bad_element", &["balance", "Fe + Xx -> FeXx"], ""),
        (
            "bad_bracket_unclosed",
            &["balance", "K3[Fe(CN)6 + H2 -> HCN"],
            "",
        ),
        (
            "bad_bracket_crossed",
            &["balance", "K4[Fe(CN]6) -> KCN + Fe(CN)2"],
            "",
        ),
        ("bad_bracket_stray", &["balance", "Fe(SO4)3) -> FeSO4"], ""),
        ("bad_charge", &["mass", "Fe^3"], ""),
        ("bad_ambiguous_charge", &["mass", "I3-"], ""),
        ("bad_foreign_letter", &["mass", "СH4"], ""),
        ("bad_phase", &["mass", "NaCl(x)"], ""),
        ("bad_no_arrow", &["balance", "H2 + O2"], ""),
        ("bad_no_species", &["balance", "H2 + + O2 -> H2O"], ""),
        (
            "bad_two_equations",
            &["balance", "-"],
            "H2 + O2 -> H2O\nN2 + H2 -> NH3\n",
        ),
        ("bad_empty", &["balance", ""], ""),
        ("bad_missing_file", &["check", "scripts/no-such.route"], ""),
        ("bad_folder", &["check", "src"], ""),
        ("bad_command", &["balanse", "H2 + O2 -> H2O"], ""),
        ("bad_option", &["balance", "--jsn", "H2 + O2 -> H2O"], ""),
    ]);
}

#[test]
fn masses_substances_and_heats_come_with_their_sources() {
    rows(&[
        ("mass_hydrate", &["mass", "KAl(SO4)2·12H2O"], ""),
        ("mass_without_weight", &["mass", "TcO4^-"], ""),
        ("mass_electron", &["mass", "e^-"], ""),
        ("substance_salt", &["substance", "CuSO4·5H2O"], ""),
        ("substance_acid", &["substance", "HCl"], ""),
        ("substance_unknown", &["substance", "Na2O3S5"], ""),
        (
            "heat_aluminate",
            &["heat", "Al + OH^- + H2O -> [Al(OH)4]^- + H2"],
            "",
        ),
        (
            "heat_json",
            &["heat", "--json", "CaO(s) + H2O(l) -> Ca(OH)2(s)"],
            "",
        ),
        (
            "heat_unknown",
            &["heat", "Na2O3S5 + H2O -> NaOH + H2S + SO2"],
            "",
        ),
    ]);
}

#[test]
fn a_batch_answers_every_line_and_a_pipe_every_statement() {
    rows(&[
        (
            "batch",
            &["batch"],
            "H2 + O2 -> H2O\nXx -> Y\n\nCO -> CO2\nFe + O2 -> Fe2O3\n",
        ),
        (
            "pipe",
            &[],
            "Fe + O2 -> Fe2O3\n# a comment\n\nNACL\nhelp charge\nhelp chrage\nhelp\n",
        ),
    ]);
}

#[test]
fn help_has_an_example_and_fits_the_page() {
    for command in [
        "",
        "balance",
        "heat",
        "mass",
        "substance",
        "check",
        "run",
        "scale",
        "batch",
    ] {
        let arguments: Vec<&str> = [command, "--help"]
            .into_iter()
            .filter(|a| !a.is_empty())
            .collect();
        let help = session(&arguments, b"");
        assert!(help.contains("Example: aludel "), "{help}");
        assert!(help.ends_with("---- status 0\n"), "{help}");
    }
}

#[test]
fn input_that_is_no_text_is_refused() {
    for bytes in [&b"\xff\xfeH\x002"[..], b"H2 + O2 -> \xe2\x82 H2O", b"H2\0O"] {
        let answer = session(&["balance", "-"], bytes);
        assert!(answer.contains("error[not-text]"), "{answer}");
        assert!(answer.ends_with("---- status 2\n"), "{answer}");
    }
}

/// The binary itself, with the first bytes of its output.
fn binary(arguments: &[&str], input: &str) -> std::process::Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_aludel"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(input.as_bytes())
        .unwrap();
    child.wait_with_output().unwrap()
}

#[test]
fn the_binary_hands_on_text_and_status_without_colour() {
    let good = binary(&["balance", "H2 + O2 -> H2O"], "");
    assert_eq!(
        String::from_utf8(good.stdout).unwrap(),
        "2 H₂ + O₂ → 2 H₂O\n"
    );
    assert_eq!(good.status.code(), Some(0));
    assert_eq!(binary(&["balance", "CO -> CO2"], "").status.code(), Some(1));
    let wrong = binary(&["balance", "NACL -> Na + Cl2"], "");
    assert_eq!(wrong.status.code(), Some(2));
    assert!(!wrong.stderr.contains(&0x1b), "escapes in a pipe");
}

#[test]
#[cfg(unix)]
fn a_reader_that_goes_away_is_no_panic() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_aludel"))
        .arg("batch")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let mut input = child.stdin.take().unwrap();
    // The program may stop reading as soon as nobody listens.
    for _ in 0..2_000 {
        if input.write_all(b"H2 + O2 -> H2O\n").is_err() {
            break;
        }
    }
    drop(input);
    let ended = child.wait_with_output().unwrap();
    let messages = String::from_utf8(ended.stderr).unwrap();
    assert_eq!(ended.status.code(), Some(0), "{messages}");
    assert!(!messages.contains("panicked"), "{messages}");
}
