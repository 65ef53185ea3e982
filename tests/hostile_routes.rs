//! Routes that nobody writes by hand: long, deep, or many. Each ends, soon, in an answer or a message.

use std::time::{Duration, Instant};

use aludel::data::Store;
use aludel::diagnostic::{draw_all, route_fault, route_remark};
use aludel::matter::Notation;
use aludel::text::Source;
use aludel::{report, route};

/// Far more than any of these takes, also on a slow and busy machine without optimisation.
const SOON: Duration = Duration::from_secs(120);

/// The kinds of messages about a text, each once; all of them can be drawn.
#[allow(clippy::disallowed_methods)] // A test may look at the clock.
fn kinds(text: &str) -> Vec<&'static str> {
    let begun = Instant::now();
    let outcome = route::follow(&Source::new("long.route", text), &Store::default(), &[]);
    let messages: Vec<_> = outcome.faults.iter().map(route_fault).collect();
    assert!(draw_all(&messages, &outcome.source, false).len() < 1 << 20);
    assert!(begun.elapsed() < SOON, "{:?}", begun.elapsed());
    let mut kinds: Vec<_> = messages.into_iter().map(|message| message.kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    kinds
}

/// The slips that everybody makes once: each is told with a way out.
#[test]
fn each_slip_ends_in_one_message_with_a_way_out() {
    let scene = "let x = 1 g\nvessel a\ncharge a: x NaCl\n";
    for (line, kind) in [
        ("show 1 / 0", "division-by-zero"),
        ("show mass(a) / (x - x)", "division-by-zero"),
        ("vessel b: (1 mL / 0)", "division-by-zero"),
        ("bottle b: HCl (1 mol/L / (x - x) * x)", "division-by-zero"),
        ("warm a to 3 mL", "wrong-dimension"),
        ("let x = 2 g", "redefined"),
        ("show y\nlet y = 1 g", "unknown-name"),
        ("procedure p(v) {\n  do p(v)\n}", "recursion"),
        ("find x in 1 g .. 2 g: mass(a) = 50 g", "not-found"),
        ("find x in 2 g .. 1 g: mass(a) = 1 g", "bad-range"),
        ("vary x: 1 g .. 5 g by 0 g show mass(a)", "bad-range"),
        ("vary x: 1 g .. 5 g by -1 g show mass(a)", "bad-range"),
        (
            "vary x: 0 g .. 1000 g by 1 µg show mass(a)",
            "too-many-runs",
        ),
    ] {
        let text = format!("{scene}{line}\n");
        let outcome = route::follow(&Source::new("slip", text), &Store::default(), &[]);
        let remarks = outcome.ledger.remarks.iter();
        let faults = remarks.filter(|remark| remark.level == route::ledger::Level::Fault);
        let mut messages: Vec<_> = outcome.faults.iter().map(route_fault).collect();
        messages.extend(faults.map(|remark| route_remark(remark, Notation::Plain)));
        let [message] = &messages[..] else {
            panic!("{line}: {messages:?}");
        };
        assert_eq!(message.kind, kind, "{line}");
        let way_out = !message.hints.is_empty() || message.labels.len() > 1;
        assert!(way_out, "{line}: {message:?}");
    }
}

#[test]
fn ten_megabytes_on_one_line_are_refused() {
    assert_eq!(
        kinds(&format!("show {}1", "1 + ".repeat(2_500_000))),
        ["too-long"]
    );
    assert_eq!(kinds(&"x".repeat(10 << 20)), ["unknown-verb"]);
}

#[test]
fn ten_megabytes_of_lines_are_read() {
    let line = "note \"Keep it moist, keep it cold, and write down what you see.\"\n";
    assert_eq!(kinds(&line.repeat(1_000)), [] as [&str; 0]);
    assert_eq!(kinds(&"\n".repeat(10 << 20)), [] as [&str; 0]);
    assert_eq!(kinds(&"# nothing\n".repeat(1 << 20)), [] as [&str; 0]);
}

#[test]
fn a_hundred_thousand_statements_are_read() {
    let text: String = (0..100_000)
        .map(|n| format!("let x{n} = {n} g\n"))
        .collect();
    assert_eq!(kinds(&text), [] as [&str; 0]);
}

/// Each operation costs the same, however many there were before it and however many vessels stand about: twice the length
/// takes about twice the time, and not four times.
#[test]
fn long_routes_take_time_in_proportion() {
    let charges = |n: usize| format!("vessel pot: 10 L\n{}", "charge pot: 1 mg water\n".repeat(n));
    let vessels = |n: usize| -> String {
        let one = |v: usize| format!("vessel v{v}: 1 L\ncharge v{v}: 1 g water\n");
        (0..n).map(one).collect()
    };
    let routes: [&dyn Fn(usize) -> String; 2] = [&charges, &vessels];
    for (route, length) in routes.into_iter().zip([600, 300]) {
        let [short, long] = [length, 4 * length].map(|n| fastest_run(&route(n)));
        assert!(
            long < 8 * short,
            "{long:?} for four times what took {short:?}"
        );
    }
}

/// Of three runs with their sheet and JSON.
#[allow(clippy::disallowed_methods)] // A test may look at the clock.
fn fastest_run(text: &str) -> Duration {
    let runs = (0..3).map(|_| {
        let begun = Instant::now();
        let outcome = route::follow(&Source::new("long.route", text), &Store::default(), &[]);
        assert!(outcome.faults.is_empty());
        assert!(!report::html(&outcome.ledger).is_empty());
        let json = report::RouteJson::of(&outcome.ledger);
        assert!(serde_json::to_string(&json).is_ok());
        begun.elapsed()
    });
    runs.min().unwrap_or_default()
}

/// Shares of shares would double the digits of every amount.
#[test]
fn two_thousand_shares_of_shares_end_soon() {
    let rounds = "take 1 mL from pot -> can\ncharge pot: 1 mL water\n".repeat(2_000);
    let text = format!(
        "vessel pot: 1 L\ncharge pot: 1 g NaCl, 100 g water\n{rounds}show amount(NaCl, pot)\n"
    );
    assert_eq!(kinds(&text), [] as [&str; 0]);
}

#[test]
fn ten_thousand_faults_are_told_by_the_first_hundred() {
    assert_eq!(kinds(&"stir flask\n".repeat(10_000)), ["unknown-verb"]);
}

#[test]
fn nesting_of_ten_thousand_is_refused() {
    let deep = format!("show {}1{}", "(".repeat(10_000), ")".repeat(10_000));
    assert_eq!(kinds(&deep), ["too-deep"]);
    let blocks = format!("{}{}", "step {\n".repeat(10_000), "}\n".repeat(10_000));
    assert!(kinds(&blocks).contains(&"too-deep"));
    let minus = format!("show {}1", "-".repeat(10_000));
    assert_eq!(kinds(&minus), ["unexpected"]);
}

#[test]
fn long_sums_and_towers_are_refused() {
    let sum = |n: usize| format!("show {}1", "1 + ".repeat(n));
    assert_eq!(kinds(&sum(199)), [] as [&str; 0]);
    assert_eq!(kinds(&sum(200)), ["too-long"]);
}

#[test]
fn towers_of_powers_end_at_some_thousand_digits() {
    let powers = (1..40).map(|n| format!("let a{n} = a{} ^ 16\n", n - 1));
    let text = "let a0 = 2\n".to_owned() + &powers.collect::<String>();
    let outcome = route::follow(&Source::new("tower", text), &Store::default(), &[]);
    let digits = |r: &route::ledger::Remark| r.fact == route::ledger::Fact::TooManyDigits;
    assert!(outcome.ledger.remarks.iter().any(digits));
}

#[test]
fn calls_and_runs_have_limits() {
    let mut text = "vessel cup\nprocedure p0(x) {\n  vent x\n}\n".to_owned();
    for n in 1..30 {
        text += &format!(
            "procedure p{n}(x) {{\n  do p{0}(x)\n  do p{0}(x)\n}}\n",
            n - 1
        );
    }
    assert_eq!(kinds(&format!("{text}do p29(cup)\n")), ["too-large"]);
    let far =
        "let x = 1 g\nvessel cup\nvary x: 0.000001 g .. 1000 g by 0.000001 g show mass(cup)\n";
    assert_eq!(kinds(far), ["too-many-runs"]);
}
