//! The prompt on a real terminal: typed, completed, interrupted, left.

#![allow(clippy::disallowed_methods, reason = "tests may read files")]
#![cfg(unix)]

use std::process::Command;
use std::time::Duration;

use expectrl::process::unix::{PtyStream, UnixProcess};
use expectrl::{ControlCode, Eof, Expect, Session};

/// A prompt on a terminal of its own, with its history in a folder of its own.
fn prompt(state: &std::path::Path) -> Session<UnixProcess, PtyStream> {
    let mut command = Command::new(env!("CARGO_BIN_EXE_aludel"));
    command
        .env("XDG_STATE_HOME", state)
        .env("TERM", "xterm")
        .env("NO_COLOR", "1");
    let mut session = Session::spawn(command).unwrap();
    session.set_expect_timeout(Some(Duration::from_secs(20)));
    session.expect("aludel> ").unwrap();
    session
}

fn folder(name: &str) -> std::path::PathBuf {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

#[test]
fn a_formula_is_described_a_fault_told_and_ctrl_d_leaves() {
    let state = folder("prompt-basics");
    let mut session = prompt(&state);
    session.send_line("H2O").unwrap();
    session.expect("18.015").unwrap();
    session.expect("aludel> ").unwrap();
    session.send_line("NACL").unwrap();
    session.expect("prompt:2:2").unwrap();
    session.expect("did you mean `NaCl`?").unwrap();
    session.expect("aludel> ").unwrap();
    session.send(ControlCode::EndOfTransmission).unwrap();
    session.expect(Eof).unwrap();
    let history = std::fs::read_to_string(state.join("aludel/history")).unwrap();
    assert!(history.contains("NACL"), "{history}");
}

#[test]
fn ctrl_c_drops_the_line_and_an_open_block_and_tab_completes() {
    let state = folder("prompt-keys");
    let mut session = prompt(&state);
    session.send("CO2 nonsense").unwrap();
    session.send(ControlCode::EndOfText).unwrap();
    session.expect("aludel> ").unwrap();
    session.send_line("step \"Mix\" {").unwrap();
    session.send(ControlCode::EndOfText).unwrap();
    session.expect("aludel> ").unwrap();
    session.send("help crys\t\n").unwrap();
    session.expect("crystallise flask at 5 °C").unwrap();
    session.expect("aludel> ").unwrap();
    session.send_line("quit").unwrap();
    session.expect(Eof).unwrap();
}

/// Neither a terminal that goes away nor another prompt costs a line of the history.
#[test]
fn the_history_is_written_line_by_line() {
    let state = folder("prompt-history");
    let (mut first, mut second) = (prompt(&state), prompt(&state));
    let enter = |session: &mut Session<UnixProcess, PtyStream>, line: &str| {
        session.send_line(line).unwrap();
        session.expect("g/mol").unwrap();
        session.expect("aludel> ").unwrap();
    };
    enter(&mut first, "H2O");
    enter(&mut second, "CO2");
    enter(&mut first, "NaCl");
    drop(first);
    second.send(ControlCode::EndOfTransmission).unwrap();
    second.expect(Eof).unwrap();
    let history = std::fs::read_to_string(state.join("aludel/history")).unwrap();
    for line in ["H2O", "CO2", "NaCl"] {
        assert_eq!(
            history.lines().filter(|one| *one == line).count(),
            1,
            "{history}"
        );
    }
    // What is no text is left alone.
    let broken = b"#V2\nH2O\n\xff\xfe\n";
    std::fs::write(state.join("aludel/history"), broken).unwrap();
    let mut third = prompt(&state);
    enter(&mut third, "SO2");
    third.send(ControlCode::EndOfTransmission).unwrap();
    third.expect(Eof).unwrap();
    let kept = std::fs::read(state.join("aludel/history")).unwrap();
    assert_eq!(kept, broken);
}

/// There the library of the line editor reads standard input by itself: it waited for whoever held it, which was us.
#[test]
fn a_terminal_without_a_cursor_is_read_line_by_line() {
    for terminal in ["dumb", "emacs", "cons25"] {
        let mut command = Command::new(env!("CARGO_BIN_EXE_aludel"));
        command
            .env("XDG_STATE_HOME", folder("prompt-plain"))
            .env("TERM", terminal)
            .env("NO_COLOR", "1");
        let mut session = Session::spawn(command).unwrap();
        session.set_expect_timeout(Some(Duration::from_secs(20)));
        session.expect("aludel> ").unwrap();
        session.send_line("H2O").unwrap();
        session.expect("18.015").unwrap();
        session.expect("aludel> ").unwrap();
        session.send_line("step \"Mix\" {").unwrap();
        session.expect("…").unwrap();
        session.send_line("}").unwrap();
        session.expect("aludel> ").unwrap();
        session.send_line("NACL").unwrap();
        session.expect("did you mean `NaCl`?").unwrap();
        session.expect("aludel> ").unwrap();
        session.send(ControlCode::EndOfTransmission).unwrap();
        session.expect(Eof).unwrap();
        let ended = session.get_process().wait().unwrap();
        assert!(
            format!("{ended:?}").contains("Exited"),
            "{terminal}: {ended:?}"
        );
    }
}

/// What is taken back is gone from the vessels, from the script, and from what may be named.
#[test]
fn the_last_statement_can_be_taken_back() {
    let mut session = aludel::shell::Session::new();
    for line in [
        "vessel pot: 100 mL",
        "charge pot: 5 g NaCl",
        "charge pot: 50 g NaCl",
        "Fe + O2 -> Fe2O3",
    ] {
        session.enter(line);
    }
    assert_eq!(
        session.enter("undo").answer,
        "taken back: charge pot: 50 g NaCl\n"
    );
    assert!(session.enter("mass(pot)").answer.contains("5.000 g"));
    // A question is nothing to take back.
    assert_eq!(
        session.enter("undo").answer,
        "taken back: charge pot: 5 g NaCl\n"
    );
    assert!(!session.script().contains("50 g") && session.script().contains("Fe2O3"));
    session.enter("undo");
    let reply = session.enter("charge pot: 5 g NaCl");
    assert_eq!(reply.messages[0].kind, "unknown-name");
    assert_eq!(session.enter("undo").messages[0].kind, "nothing-to-undo");
}

/// A `find` that took another's place gives it back.
#[test]
fn what_was_displaced_comes_back() {
    let mut session = aludel::shell::Session::new();
    for line in [
        "let lot = 2 g",
        "vessel cup: 500 mL",
        "charge cup: lot NaCl",
        "find lot in 1 g .. 9 g: mass(cup) = 4 g",
        "find lot in 1 g .. 9 g: mass(cup) = 5 g",
    ] {
        assert!(session.enter(line).messages.is_empty(), "{line}");
    }
    session.enter("undo");
    assert!(session.enter("mass(cup)").answer.contains("4.000 g"));
}

/// What stands below the operation is not told a second time.
#[test]
fn a_caution_is_told_once() {
    let mut session = aludel::shell::Session::new();
    for line in ["bottle acid: HCl 2 mol/L", "vessel pot: 250 mL"] {
        session.enter(line);
    }
    let reply = session.enter("charge pot: 5 g Zn, 100 mL acid");
    assert!(
        reply.answer.contains("R237") && reply.messages.is_empty(),
        "{reply:?}"
    );
}

/// Whichever core finishes a run tells how far they all are, and the sheet comes after.
#[test]
fn somebody_who_waits_for_many_runs_is_told_how_far_they_are() {
    let mut command = Command::new(env!("CARGO_BIN_EXE_aludel"));
    let route = concat!(env!("CARGO_MANIFEST_DIR"), "/scripts/alum.route");
    // A second or more of work, with optimisation or without.
    let many = if cfg!(debug_assertions) {
        "1500"
    } else {
        "20000"
    };
    command
        .args(["run", route, "--samples", many])
        .env("NO_COLOR", "1");
    let mut session = Session::spawn(command).unwrap();
    session.set_expect_timeout(Some(Duration::from_secs(60)));
    session.expect(format!(" of {many} runs")).unwrap();
    session.expect("Monte Carlo check").unwrap();
    session.expect(Eof).unwrap();
}
