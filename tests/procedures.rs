//! `procedure`, `do` and `use`: reuse within a route and between files.

#![allow(clippy::disallowed_methods, reason = "a test writes a file to be read")]

use std::cell::RefCell;

use aludel::data::Store;
use aludel::diagnostic::{Message, draw_all, route_fault, route_remark};
use aludel::matter::Notation;
use aludel::number::unit;
use aludel::route::ledger::{Answer, Ledger, Level};
use aludel::route::uses::Unread;
use aludel::route::{self, Session, Surroundings};
use aludel::text::Source;

fn outcome(text: &str) -> route::Outcome {
    route::follow(&Source::new("main.route", text), &Store::default(), &[])
}

fn ledger(text: &str) -> Ledger {
    let outcome = outcome(text);
    assert_eq!(outcome.faults, [], "{text}");
    outcome.ledger
}

fn kinds(text: &str) -> Vec<&'static str> {
    outcome(text)
        .faults
        .iter()
        .map(|f| route_fault(f).kind)
        .collect()
}

fn value(answer: &Answer, unit: &'static aludel::number::Unit) -> f64 {
    let Answer::Quantity(quantity) = answer else {
        panic!("{answer:?}");
    };
    quantity.in_unit(unit).unwrap().to_f64()
}

const NEUTRALISE: &str = "\
bottle lye: NaOH 1.00 mol/L
bottle acid: HCl 1.00 mol/L
vessel cup: 250 mL
vessel jar: 250 mL
procedure neutralise(pot, amount, base, salt) {
  charge pot: amount base
  charge pot: enough acid for NaOH + HCl -> NaCl + H2O
  react pot: NaOH + HCl -> NaCl + H2O
  show amount(salt, pot)
}
";

/// The same statements written out give the same ledger, but for their places.
#[test]
fn a_call_does_what_its_statements_would() {
    let called = ledger(&format!(
        "{NEUTRALISE}do neutralise(cup, 20 mL, lye, NaCl)\ndo neutralise(jar, 2 * 15 mL, lye, NaCl)\n"
    ));
    let written: String = NEUTRALISE.split("procedure").next().unwrap().to_owned()
        + &[("cup", "20 mL"), ("jar", "30 mL")].map(|(pot, amount)| format!(
            "charge {pot}: {amount} lye\ncharge {pot}: enough acid for NaOH + HCl -> NaCl + H2O\nreact {pot}: NaOH + HCl -> NaCl + H2O\nshow amount(NaCl, {pot})\n"
        )).concat();
    let written = ledger(&written);
    let answers = |ledger: &Ledger| {
        ledger
            .shows
            .iter()
            .map(|s| s.answer.clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(answers(&called), answers(&written));
    let contents = |ledger: &Ledger| {
        format!(
            "{:?}",
            ledger
                .vessels
                .iter()
                .map(|v| &v.contents)
                .collect::<Vec<_>>()
        )
    };
    assert_eq!(contents(&called), contents(&written));
    assert!((value(&called.shows[1].answer, &unit::MILLIMOLE) - 30.0).abs() < 1e-9);
}

#[test]
fn the_sheet_names_what_the_procedure_was_given() {
    let ledger = ledger(&format!(
        "{NEUTRALISE}do neutralise(cup, 20 mL, lye, NaCl)\n"
    ));
    let texts: Vec<&str> = ledger.steps[0]
        .operations
        .iter()
        .map(|o| o.text.as_str())
        .collect();
    assert_eq!(texts[0], "charge cup: 20 mL lye");
    assert_eq!(ledger.shows[0].expression, "amount(NaCl, cup)");
    assert_eq!(ledger.draws[0].bottle.as_deref(), Some("lye"));
}

#[test]
fn what_a_procedure_makes_is_its_own_and_what_it_is_given_is_the_callers() {
    let text = "\
vessel a
vessel b
charge a: 1 g CaCO3, 10 mL water
charge b: 2 g CaCO3, 10 mL water
procedure part(slurry, cake) {
  filter slurry -> liquor, cake
  let half = mass(liquor) / 2
  show half
}
do part(a, first)
do part(b, second)
show mass(first), mass(second)
";
    let all = ledger(text);
    let names: Vec<&str> = all.vessels.iter().map(|v| v.name.as_str()).collect();
    assert!(
        names.contains(&"liquor in part") && names.contains(&"liquor in part 2"),
        "{names:?}"
    );
    assert!(
        names.contains(&"first") && names.contains(&"second"),
        "{names:?}"
    );
    assert_eq!(
        kinds(&format!("{text}show mass(liquor)\n")),
        ["unknown-name"]
    );
    assert_eq!(kinds(&format!("{text}show half\n")), ["unknown-name"]);
}

#[test]
fn scope_is_where_a_procedure_is_written() {
    let below = "procedure fill(pot) { charge pot: 1 mL late }\nbottle late: NaCl 1 mol/L\nvessel cup\ndo fill(cup)\n";
    assert_eq!(kinds(below), ["unknown-name"]);
    let own = "let x = 1 g\nvessel cup\nprocedure fill(pot) {\n let x = 2 g\n charge pot: x NaCl\n}\ndo fill(cup)\nexpect mass(cup) = 2 g\nexpect x = 1 g\n";
    assert_eq!(
        kinds(own),
        ["redefined"],
        "a name has one meaning where it can be seen"
    );
    let shadow = "vessel cup\nprocedure fill(cup, x) {\n charge cup: x NaCl\n}\nlet x = 1 g\nvessel pot\ndo fill(pot, 2 g)\nexpect mass(pot) = 2 g\n";
    assert!(ledger(shadow).expectations[0].met);
}

#[test]
fn slips_around_procedures_have_their_own_messages() {
    for (text, kind) in [
        ("do nothing()\n", "unknown-name"),
        (
            "do later(cup)\nprocedure later(x) { vent x }\n",
            "unknown-name",
        ),
        ("procedure a() { do a() }\n", "recursion"),
        (
            "procedure a() { do b() }\nprocedure b() { do a() }\n",
            "recursion",
        ),
        ("procedure a(x, x) { vent x }\n", "redefined"),
        ("procedure cup(x) { vent x }\n", "redefined"),
        ("procedure a(x) { vent x }\ndo a()\n", "wrong-arguments"),
        (
            "procedure a(x) { vent x }\ndo a(cup, cup)\n",
            "wrong-arguments",
        ),
        ("procedure a(x) { vent x }\ndo a(5 g)\n", "wrong-kind"),
        ("procedure a(x) { vent x }\ndo a(NaCl)\n", "wrong-kind"),
        (
            "procedure a(x) { charge cup: x NaCl }\ndo a(5 s)\n",
            "wrong-dimension",
        ),
        ("procedure a(x)\n", "missing-block"),
        ("procedure a(x) { title \"x\" }\n", "misplaced"),
        (
            "procedure a(x) { find x in 1 g .. 2 g: mass(cup) = 1 g }\n",
            "misplaced",
        ),
        (
            "procedure a(x) {\nprocedure b(y) { vent y }\n}\n",
            "misplaced",
        ),
        ("step \"S\" {\nprocedure b(y) { vent y }\n}\n", "misplaced"),
        (
            "procedure a(x) {\nstep \"S\" { vent x }\n}\nstep \"T\" {\ndo a(cup)\n}\n",
            "misplaced",
        ),
        ("do cup(cup)\n", "wrong-kind"),
        ("show mass(fill)\n", "unknown-name"),
    ] {
        let all = kinds(&format!("vessel cup\ncharge cup: 1 g NaCl\n{text}"));
        assert!(all.contains(&kind), "{text}: {all:?}");
    }
}

#[test]
fn a_circle_is_shown_with_every_call_of_it() {
    let text = "procedure grind(x) { do sift(x) }\nprocedure sift(x) { do dry_it(x) }\nprocedure dry_it(x) { do grind(x) }\n";
    let message = route_fault(&outcome(text).faults[0]);
    assert!(
        message.title.contains("grind → sift → dry_it → grind"),
        "{}",
        message.title
    );
    assert_eq!(message.labels.len(), 3);
}

#[test]
fn a_fault_inside_is_told_once_with_the_call_that_leads_there() {
    let text = "vessel cup\nprocedure fill(pot) {\n  charge pot: 1 mL nobody\n}\ndo fill(cup)\ndo fill(cup)\n";
    let outcome = outcome(text);
    assert_eq!(outcome.faults.len(), 1);
    let drawn = draw(&[route_fault(&outcome.faults[0])], &outcome.source);
    assert!(
        drawn.contains("nobody") && drawn.contains("in this call of `fill`"),
        "{drawn}"
    );
    let run =
        "vessel cup: 5 mL\nprocedure fill(pot) {\n  charge pot: 50 mL water\n}\ndo fill(cup)\n";
    let ledger = ledger(run);
    let remark = ledger
        .remarks
        .iter()
        .find(|r| r.level == Level::Fault)
        .unwrap();
    let message = route_remark(remark, Notation::Plain);
    assert_eq!(message.labels.len(), 2, "{message:?}");
}

fn draw(messages: &[Message], source: &Source) -> String {
    draw_all(messages, source, false)
}

/// A folder in memory.
fn with_files(main: &str, files: &[(&str, &str)]) -> route::Outcome {
    let store = Store::default();
    let opened = RefCell::new(0);
    let load = |path: &str, _: &str| {
        *opened.borrow_mut() += 1;
        let found = files.iter().find(|(name, _)| *name == path);
        found
            .map(|(name, text)| Source::new(*name, *text))
            .ok_or(Unread::Missing { near: None })
    };
    let bench = Surroundings {
        load: &load,
        ..Surroundings::new(&store)
    };
    let outcome = bench.follow(&Source::new("main.route", main));
    assert!(opened.into_inner() < 100);
    outcome
}

const SHELF: (&str, &str) = (
    "shelf.route",
    "title \"Another\"\nambient 5 °C\nbottle acid: HCl 1.00 mol/L\nlet cup_size = 100 mL\nprocedure rinse(x) {\n  charge x: 1 mL acid\n}\nvessel pot\ncharge pot: 1 g NaCl\nshow mass(pot)\n",
);

#[test]
fn a_file_brings_its_declarations_and_procedures_and_nothing_else() {
    let text = "title \"Mine\"\nuse \"shelf.route\"\nuse \"shelf.route\"\nvessel cup: cup_size\ndo rinse(cup)\nshow volume(cup)\n";
    let outcome = with_files(text, &[SHELF]);
    assert_eq!(outcome.faults, []);
    let ledger = outcome.ledger;
    assert_eq!(ledger.title.as_deref(), Some("Mine"));
    assert!(ledger.ambient.temperature.to_f64() > 290.0);
    assert_eq!(ledger.shows.len(), 1);
    assert_eq!(ledger.draws.len(), 1);
}

#[test]
fn a_fault_in_a_used_file_is_shown_there() {
    let broken = (
        "shelf.route",
        "bottle acid: HCl 1.00 mol/L\nbottle lye: NaOH 3 s\n",
    );
    let outcome = with_files("use \"shelf.route\"\n", &[broken]);
    let drawn = draw(
        &outcome.faults.iter().map(route_fault).collect::<Vec<_>>(),
        &outcome.source,
    );
    assert!(drawn.contains("shelf.route:2:18"), "{drawn}");
    let inside = (
        "shelf.route",
        "procedure fill(pot) {\n  charge pot: 1 mL nobody\n}\n",
    );
    let outcome = with_files("use \"shelf.route\"\nvessel cup\ndo fill(cup)\n", &[inside]);
    let drawn = draw(
        &outcome.faults.iter().map(route_fault).collect::<Vec<_>>(),
        &outcome.source,
    );
    assert!(
        drawn.contains("shelf.route:2:20") && drawn.contains("main.route:3:1"),
        "{drawn}"
    );
}

#[test]
fn circles_and_missing_files_are_told() {
    let kinds = |main: &str, files: &[(&str, &str)]| -> Vec<&'static str> {
        with_files(main, files)
            .faults
            .iter()
            .map(|f| route_fault(f).kind)
            .collect()
    };
    assert_eq!(kinds("use \"none.route\"\n", &[]), ["missing-file"]);
    assert_eq!(
        kinds(
            "use \"a.route\"\n",
            &[
                ("a.route", "use \"b.route\"\n"),
                ("b.route", "use \"a.route\"\n")
            ]
        ),
        ["use-cycle"]
    );
    assert_eq!(
        kinds(
            "use \"main.route\"\n",
            &[("main.route", "use \"main.route\"\n")]
        ),
        ["use-cycle"]
    );
    assert_eq!(
        kinds("step \"S\" {\nuse \"shelf.route\"\n}\n", &[SHELF]),
        ["misplaced"]
    );
    assert_eq!(
        kinds(
            "use \"a.route\"\nuse \"b.route\"\n",
            &[("a.route", "let x = 1 g\n"), ("b.route", "let x = 2 g\n")]
        ),
        ["redefined"]
    );
    assert_eq!(
        outcome("use \"a.route\"\n").faults.len(),
        1,
        "nothing is read where nobody gives files"
    );
}

#[test]
fn the_prompt_keeps_procedures() {
    let mut session = Session::new(&Store::default());
    for line in [
        "vessel cup",
        "procedure fill(pot, amount) {\n  charge pot: amount NaCl\n  pour pot -> out\n}",
        "do fill(cup, 1 g)",
        "do fill(cup, 2 g)",
        "show mass(cup)",
    ] {
        let fed = session.feed(&Source::new("prompt", line));
        assert!(
            fed.faults.is_empty() && !fed.refused,
            "{line}: {:?}",
            fed.faults
        );
    }
    let fed = session.feed(&Source::new("prompt", "do fill(cup, 1 mL)"));
    assert_eq!(fed.faults.len(), 1);
}

/// Each procedure calls the one before it twice: 2^40 statements, if anybody wrote them out.
#[test]
fn calls_that_double_forty_times_end_in_a_message() {
    let mut text = "vessel cup\nprocedure p0(x) {\n  vent x\n}\n".to_owned();
    for n in 1..=40 {
        text += &format!(
            "procedure p{n}(x) {{\n  do p{0}(x)\n  do p{0}(x)\n}}\n",
            n - 1
        );
    }
    assert!(kinds(&format!("{text}do p20(cup)\n")).contains(&"too-large"));
    assert!(kinds(&format!("{text}do p40(cup)\n")).contains(&"too-deep"));
}

/// Each kept a copy of what stands above it, and eight thousand took two gigabytes.
#[test]
#[cfg(target_os = "linux")]
fn procedures_share_what_stands_above_them() {
    let text: String = (0..8_000)
        .map(|n| format!("procedure p{n}(v) {{\n vent v\n}}\n"))
        .collect();
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("p.route"), text).unwrap();
    // Of the address space, in KiB; what the program itself maps and its threads are in it.
    let script = format!(
        "ulimit -v {}; exec {} check p.route",
        150 << 10,
        env!("CARGO_BIN_EXE_aludel")
    );
    let mut shell = std::process::Command::new("sh");
    let ended = shell
        .args(["-c", &script])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert!(ended.status.success(), "{ended:?}");
}
