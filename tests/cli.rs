//! The command line as its user meets it: arguments and input in, output, messages and status out.

mod common;

use common::aludel;
use std::io::Write;
use std::process::{Command, Stdio};

/// What a command line answers, as one text for a snapshot.
fn session(arguments: &[&str], input: &[u8]) -> String {
    let (output, messages, status) = aludel(arguments, input);
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
            "balance_working_molecular",
            &[
                "balance",
                "--working",
                "2 KMnO4 + HCl -> KCl + MnCl2 + Cl2 + H2O",
            ],
            "",
        ),
        (
            "balance_working_electrons",
            &["balance", "--working", "NI3 -> N2 + I2"],
            "",
        ),
        (
            "balance_in_ions",
            &[
                "balance",
                "--ions",
                "--ascii",
                "AgNO3 + NaCl -> AgCl + NaNO3",
            ],
            "",
        ),
        (
            "balance_unstated_medium",
            &["balance", "MnO4^- + SO3^2- -> MnO2 + SO4^2-"],
            "",
        ),
        (
            "prompt_ions",
            &[],
            "ions HCl + NaOH -> NaCl + H2O\nworking Zn + HCl -> ZnCl2 + H2\n",
        ),
        (
            "balance_several",
            &["balance", "KClO3 -> KCl + KClO4 + O2"],
            "",
        ),
        (
            "balance_several_json",
            &["balance", "--json", "KClO3 -> KCl + KClO4 + O2"],
            "",
        ),
        (
            "balance_couples",
            &["balance", "KClO3 + HCl -> KCl + ClO2 + Cl2 + H2O"],
            "",
        ),
        (
            "balance_couples_json",
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

/// A route with every fault of the list, one statement each.
const FAULTY: &str = "\
vessel flask: 50 mL
bottle lye: KOH 1.5 mol/L
charge flask: 5 s lye
charge flsk: 5 g NaCl
charge flask: 5 g Xx
stir flask
let x = 5 g + 5 mL
react flask: K3[Fe(CN)6 -> KCN
";

#[test]
fn all_faults_of_a_route_are_told_at_once_and_in_order() {
    rows(&[("check_faulty", &["check", "-"], FAULTY)]);
    let answer = session(&["run", "-"], FAULTY.as_bytes());
    assert!(answer.ends_with("---- status 2\n"), "{answer}");
    assert_eq!(answer.matches("\nerror[").count(), 6, "{answer}");
}

#[test]
fn a_route_that_cannot_go_on_says_where() {
    for (script, kind, status) in [
        (
            "vessel cup: 5 mL\ncharge cup: 50 mL water\n",
            "error[overfull]",
            2,
        ),
        ("vessel cup\nfilter cup -> a, b\n", "error[empty-vessel]", 2),
        ("vessel cup\ncharge cup: -5 g NaCl\n", "error[", 2),
        (
            "vessel cup\ncharge cup: 1e12 g NaCl\n",
            "error[absurd-amount]",
            2,
        ),
        ("vessel cup\nreact cup: CO -> CO2\n", "error[conflict]", 1),
        ("expect 1 > 2\n", "error[unmet-expectation]", 1),
        ("expect 1 < 2\n", "", 0),
    ] {
        let answer = session(&["run", "-"], script.as_bytes());
        assert!(answer.contains(kind), "{script}{answer}");
        assert!(
            answer.ends_with(&format!("---- status {status}\n")),
            "{script}{answer}"
        );
    }
}

#[test]
fn a_setting_replaces_a_let_and_json_has_its_keys() {
    let script =
        "let w = 5.844 g\nvessel cup\ncharge cup: w NaCl, 100 mL water\nshow amount(NaCl, cup)\n";
    let run = |arguments: &[&str]| session(arguments, script.as_bytes());
    let answer = run(&["run", "-", "--format", "json", "--set", "w=11.688 g"]);
    let line = answer.lines().nth(1).unwrap();
    let object: serde_json::Value = serde_json::from_str(line).unwrap();
    for key in [
        "title",
        "steps",
        "vessels",
        "shows",
        "expectations",
        "remarks",
    ] {
        assert!(object.get(key).is_some(), "{key} is missing");
    }
    let shown = &object["shows"][0];
    // 11.688 g over 58.44 g/mol, CIAAW 2021.
    assert!(
        (shown["value"].as_f64().unwrap() - 0.2).abs() < 1e-5,
        "{shown}"
    );
    assert_eq!(shown["unit"], "mol");
    for (setting, kind) in [
        ("w", "malformed-setting"),
        ("v=1 g", "unknown-setting"),
        ("w=1 mL", "error["),
        ("w=", "error["),
        ("w=1 furlong", "unknown-unit"),
    ] {
        let answer = run(&["run", "-", "--set", setting]);
        assert!(
            answer.contains(kind) && answer.ends_with("status 2\n"),
            "{setting}: {answer}"
        );
    }
}

#[test]
fn samples_stand_beside_the_figures_to_first_order() {
    let route = "title \"Sampled\"\nlet salt = 5.0 g ± 0.1 g\nlet water_poured = 50 mL ± 1 mL tolerance\n\
         vessel cup: 52.4 mL\ncharge cup: salt NaCl, water_poured water\n\
         show amount(NaCl, cup), (50 mL) ^ 2 / water_poured\nexpect mass(cup) > 55 g\nexpect amount(NaCl, cup) > 90 mmol\n";
    rows(&[
        ("run_samples", &["run", "-", "--samples", "1000"], route),
        (
            "run_samples_explained",
            &["run", "-", "--samples", "1000", "--explain=Monte Carlo"],
            route,
        ),
        ("run_samples_none", &["run", "-", "--samples", "0"], route),
        (
            "run_samples_many",
            &["run", "-", "--samples", "1000000000"],
            route,
        ),
        (
            "run_samples_of_nothing",
            &["run", "-", "--samples", "1000"],
            "show 1 g + 2 g\n",
        ),
        (
            "run_samples_unasked",
            &["run", "-", "--samples", "1000"],
            "let a = 1 g ± 0.1 g\n",
        ),
        ("run_seed_alone", &["run", "-", "--seed", "5"], route),
    ]);
    let sheet = |format, seed| {
        let asked = [
            "run",
            "-",
            "--samples",
            "200",
            "--seed",
            seed,
            "--format",
            format,
        ];
        session(&asked, route.as_bytes())
    };
    for (format, mention) in [
        ("json", "\"symmetric_95\":["),
        ("markdown", "## Monte Carlo check"),
        ("html", "Monte Carlo check"),
        ("csv", "sampled,,,\"amount(NaCl, cup)\",97.5 %,"),
    ] {
        let answer = sheet(format, "5");
        assert!(answer.contains(mention), "{format}: {answer}");
        assert_eq!(answer, sheet(format, "5"), "{format}: the same bytes");
        let other = sheet(format, "6").replace("--seed 6", "--seed 5");
        assert_ne!(answer, other, "{format}: another seed");
    }
}

/// Common practice, no source: 50 g of iron needs about 150 mL of 37 % hydrochloric acid, which is about 12 mol/L.
#[test]
fn a_scale_pours_from_the_bottle_named() {
    let asked = [
        "scale",
        "Fe + HCl -> FeCl2 + H2",
        "--to",
        "50 g Fe",
        "--bottle",
        "HCl 37 %w/w",
    ];
    let answer = session(&asked, b"");
    assert!(answer.contains("149.0 mL of HCl 37 %w/w"), "{answer}");
    for (asked, status) in [
        (["scale", "Fe + HCl -> FeCl2 + H2", "--to", "50 s Fe"], 2),
        (["scale", "Fe + HCl -> FeCl2 + H2", "--to", "50 g Fe\n"], 2),
        (["scale", "CO -> CO2", "--to", "5 g CO"], 1),
    ] {
        let answer = session(&asked, b"");
        assert!(answer.ends_with(&format!("status {status}\n")), "{answer}");
    }
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
        "solution",
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

/// The status of the binary where nobody reads its answers, or its messages.
#[cfg(unix)]
fn unheard(arguments: &[&str], typed: &str, (answers, messages): (bool, bool)) -> Option<i32> {
    let mut child = Command::new(env!("CARGO_BIN_EXE_aludel"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    if !answers {
        drop(child.stdout.take());
    }
    if !messages {
        drop(child.stderr.take());
    }
    // It is read only now, when the pipes are closed; some command lines are refused without it.
    let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
    let ended = child.wait_with_output().unwrap();
    let told = String::from_utf8_lossy(&ended.stderr).into_owned();
    assert!(!told.contains("panicked"), "{told}");
    ended.status.code()
}

#[test]
#[cfg(unix)]
fn a_failure_stays_one_where_nobody_hears_of_it() {
    const BAD: &str = "vessel cup\ncharge cup: 1 g Xx\n";
    const UNMET: &str = "show 1\nexpect 1 = 2\n";
    let rows: [(&[&str], &str, i32); 12] = [
        (&["check", "-"], BAD, 2),
        (&["run", "-"], BAD, 2),
        (&["run", "-"], UNMET, 1),
        (&["run", "nofile"], "", 2),
        (&["run", "-", "--data", "nofile"], BAD, 2),
        (&["--nope"], "", 2),
        (&["balance", "H2 -> O2"], "", 1),
        (&["balance", "--json", "H2 -> Xx"], "", 2),
        (&["heat", "H2 -> O2"], "", 1),
        (&["mass", "Xx"], "", 2),
        (&["scale", "H2 + O2 -> H2O", "--to", "5 g Xx"], "", 2),
        (&["fmt", "nofile"], "", 2),
    ];
    for (arguments, typed, status) in rows {
        for heard in [(true, true), (true, false), (false, false)] {
            let ended = unheard(arguments, typed, heard);
            assert_eq!(ended, Some(status), "{arguments:?} {heard:?}");
        }
    }
    // With the answers closed nothing is known of the prompt but what it has answered.
    assert_eq!(unheard(&[], UNMET, (true, false)), Some(1));
    assert_eq!(unheard(&["run", "-"], UNMET, (false, true)), Some(1));
    assert_eq!(unheard(&["batch"], "H2 -> O2\n", (false, true)), Some(0));
}

#[test]
fn a_solution_that_cannot_be_is_refused_as_in_a_route() {
    for (question, kind) in [
        (
            "mix 50 mL KCl 1 mol/L and 1e6 mL NaNO3 1 mol/L",
            "absurd-amount",
        ),
        (
            "make 5001000 mL HCl 1 mol/L from HCl 37 %w/w",
            "absurd-amount",
        ),
        ("make 100 mL HCl 12 mol/L from HCl 10 %w/w", "not-between"),
    ] {
        let (output, messages, status) = aludel(&["solution", question], "");
        assert_eq!((output.as_str(), status), ("", 2), "{messages}");
        assert!(messages.contains(&format!("error[{kind}]")), "{messages}");
        assert!(!messages.contains("``"), "{messages}");
        let route = format!("solution {question}\n");
        let (_, _, in_a_route) = aludel(&["run", "-"], route.as_bytes());
        assert_eq!(in_a_route, status, "{question}");
    }
}
