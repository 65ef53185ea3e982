//! The prompt's memory: places that never repeat, entries that leave no trace when they fail, and time that grows with
//! what is typed alone.

#![allow(clippy::disallowed_methods, reason = "the tests look at the clock")]

use std::fmt::Write;
use std::time::{Duration, Instant};

use aludel::data::Store;
use aludel::route::Session;
use aludel::route::ledger::{Fact, Ledger};
use aludel::shell;
use aludel::text::Source;

/// What an entry adds; it must do so.
#[track_caller]
fn feed(session: &mut Session, text: &str) -> Ledger {
    let fed = session.feed(&Source::new("prompt", text));
    assert!(fed.faults.is_empty(), "{text}: {:?}", fed.faults);
    assert!(!fed.refused, "{text}: {:?}", fed.news.remarks);
    fed.news
}

/// Statements of equal length stood in the same place once, and what one did was told of the other.
#[test]
fn no_two_entries_stand_in_the_same_place() {
    let mut session = Session::new(&Store::default());
    for line in [
        "step \"a\" {\n charge aa: 10 mL water\n}",
        "step \"b\" {\n pour aa -> bb\n}",
        "step \"c\" {\n pour bb -> cc\n}",
        "step \"d\" {\n pour cc -> dd\n}",
    ] {
        let names = ["vessel aa", "vessel bb", "vessel cc", "vessel dd"];
        if line.contains("charge") {
            for name in names {
                feed(&mut session, name);
            }
        }
        feed(&mut session, line);
    }
    let mut spans: Vec<_> = session
        .ledger()
        .steps
        .iter()
        .flat_map(|step| &step.operations)
        .map(|one| one.span)
        .collect();
    spans.sort();
    let all = spans.len();
    spans.dedup();
    assert_eq!((all, spans.len()), (4, 4));

    // Each vessel is empty since another step, and what was in it went elsewhere.
    for (vessel, step, into) in [("aa", 2, "bb"), ("bb", 3, "cc"), ("cc", 4, "dd")] {
        let news = session.feed(&Source::new(
            "prompt",
            format!("take 1 g from {vessel} -> dd"),
        ));
        let emptied = news.news.remarks.iter().find_map(|one| match &one.fact {
            Fact::Empty { emptied, .. } => emptied.clone(),
            _ => None,
        });
        let emptied = emptied.unwrap_or_else(|| panic!("{vessel}: {:?}", news.news.remarks));
        assert_eq!(emptied.step, Some(step), "{vessel}");
        assert_eq!(emptied.into, Some(vec![into.to_owned()]), "{vessel}");
    }
}

/// Whatever of the program and of the state an entry could have changed.
fn trace(session: &Session) -> String {
    format!("{:?} {:?}", session.ledger(), session.names())
}

#[test]
fn an_entry_that_fails_leaves_no_trace_in_names_values_or_vessels() {
    let mut session = Session::new(&Store::default());
    for line in [
        "let lot = 2.00 g ± 0.01 g",
        "bottle acid: HCl 1 mol/L ± 1 %",
        "vessel cup: 50 mL",
        "procedure fill(v, m) {\n charge v: m NaCl\n}",
        "charge cup: lot NaCl, 10 mL water",
        "find lot in 1 g .. 9 g: mass(cup) = 12 g",
    ] {
        feed(&mut session, line);
    }
    let before = trace(&session);
    for line in [
        // Not read, not sound, and refused when it runs: the last line of each is at fault.
        "title \"x\"\nstir cup",
        "title \"x\"\nambient 30 °C, 90 kPa\nlet new = 1 g ± 0.1 g\nbottle lye: NaOH 1 mol/L\nvessel jar\ncharge jug: 1 g NaCl",
        "substance Xy: dfH 1 kJ/mol",
        "substance NaCl(s): dfH -1 kJ/mol, source \"x\"\ninstrument balance: ± 1 g\ncharge nowhere: 1 g NaCl",
        "procedure twice(v) {\n do fill(v, 1 g)\n}\ndo twice(cup)\ndo twice(nowhere)",
        "do fill(cup, 1 g)\ndo fill(jar, 1 g)",
        "let new = 1 g\ncharge cup: new NaCl\ntake 1 L from cup -> jar",
        "do fill(cup, 1 g)\ncharge cup: (1 g - 2 g) NaCl",
        "find lot in 1 g .. 9 g: mass(cup) = 1 kg\ncharge nowhere: 1 g NaCl",
        "let new = 1 g\nvessel vat\nvary lot: 1 g, 2 g show mass(nowhere)",
    ] {
        let fed = session.feed(&Source::new("prompt", line));
        assert!(fed.refused || !fed.faults.is_empty(), "{line}");
        assert!(fed.superseded.is_empty(), "{line}");
        assert_eq!(trace(&session), before, "{line}");
    }
    // The names of what failed are free, the second call is the second, and all goes on as if nothing had been.
    let mut other = Session::new(&Store::default());
    for line in [
        "let lot = 2.00 g ± 0.01 g",
        "bottle acid: HCl 1 mol/L ± 1 %",
        "vessel cup: 50 mL",
        "procedure fill(v, m) {\n charge v: m NaCl\n}",
        "charge cup: lot NaCl, 10 mL water",
        "find lot in 1 g .. 9 g: mass(cup) = 12 g",
    ] {
        feed(&mut other, line);
    }
    for session in [&mut session, &mut other] {
        for line in [
            "let new = 1 g ± 0.1 g",
            "vessel vat",
            "do fill(vat, new)",
            "do fill(vat, 2 g)",
            "charge vat: 20 mL acid",
        ] {
            feed(session, line);
        }
    }
    let unplaced = |session: &Session| {
        let ledger = session.ledger();
        let steps: Vec<_> = ledger
            .steps
            .iter()
            .map(|step| (&step.after, &step.heat))
            .collect();
        format!(
            "{steps:?} {:?} {:?} {:?}",
            ledger.vessels,
            ledger.inputs,
            session.names()
        )
    };
    assert_eq!(unplaced(&session), unplaced(&other));
}

#[test]
fn what_comes_of_leaving_a_vessel_is_told_once_until_it_changes() {
    let mut session = shell::Session::new();
    let mut kinds = |line: &str| {
        let reply = session.enter(line);
        let kinds = reply.messages.iter().map(|message| message.kind);
        (kinds.collect::<Vec<_>>(), reply)
    };
    for line in [
        "bottle acid: HCl 1 mol/L",
        "bottle lye: NaOH 1 mol/L",
        "vessel cup: 500 mL",
    ] {
        assert_eq!(kinds(line).0, [""; 0]);
    }
    let (first, reply) = kinds("charge cup: 10 mL acid, 10 mL lye");
    assert!(first.contains(&"acid-beside-base"), "{reply:?}");
    assert_eq!(kinds("mass(cup)").0, [""; 0]);
    assert_eq!(kinds("let x = 5 g").0, [""; 0]);
    assert!(
        !kinds("charge cup: 10 mL water")
            .0
            .contains(&"acid-beside-base")
    );
    assert!(
        !kinds("react cup: HCl + NaOH -> NaCl + H2O")
            .0
            .contains(&"acid-beside-base")
    );
    let (again, reply) = kinds("charge cup: 10 mL acid, 10 mL lye");
    assert!(again.contains(&"acid-beside-base"), "{reply:?}");
}

/// As many lines as asked for, in turn, at a prompt of which nobody sees more than the answers.
fn typed(lines: usize, of: &[&str]) -> String {
    let mut text = String::from("vessel cup: 5 L\nbottle acid: HCl 1 mol/L\n");
    for (number, line) in (0..lines).zip(of.iter().cycle()) {
        writeln!(text, "{}", line.replace('#', &number.to_string())).unwrap();
    }
    text
}

fn time(text: &str) -> Duration {
    let (mut output, mut messages) = (Vec::new(), Vec::new());
    let mut doors = shell::Doors {
        input: &mut text.as_bytes(),
        output: &mut output,
        messages: &mut messages,
        at_terminal: false,
        colour: false,
        known: shell::Status::Well,
    };
    let begun = Instant::now();
    shell::talk(&mut doors).unwrap();
    begun.elapsed()
}

/// Twice the lines take twice the time. What runs the whole session again with each line takes four times as long;
/// three is between, for a machine that is busy with other things, too.
#[test]
fn time_at_the_prompt_grows_with_the_lines() {
    for of in [
        &["let x# = # g"][..],
        &["charge cup: 1 mg NaCl"],
        &[
            "vessel v#",
            "charge v#: 1 g NaCl",
            "show mass(cup)",
            "expect mass(cup) >= 0 g",
        ],
        &[
            "charge nowhere: 1 g NaCl",
            "let y# = 1 g",
            "let y = 1 mol + 1 g",
            "NaCl",
        ],
    ] {
        let (fewer, more) = (typed(1_000, of), typed(2_000, of));
        let ratio = || time(&more).as_secs_f64() / time(&fewer).as_secs_f64();
        let all: Vec<f64> = (0..3)
            .map(|_| ratio())
            .take_while(|one| *one >= 3.0)
            .collect();
        assert!(all.len() < 3, "{of:?}: {all:?}");
    }
}
