//! How long a command takes from start to end, against a program that does nothing.
//!
//! `cargo bench --bench startup` prints the ratios first, measured in turns so that whatever else the machine does
//! falls on all alike, and then the times. docs/performance.md quotes them.

#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "a benchmark looks at the clock and prints"
)]

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const ALUDEL: &str = env!("CARGO_BIN_EXE_aludel");
const NOTHING: &str = "/bin/true";
const NO_MORE: &str = "--nothing-more";
const SELF: &str = "(this program)";

/// Name, program and arguments of each case; the first is what the others are compared with.
const CASES: [(&str, &str, &[&str]); 7] = [
    ("nothing", NOTHING, &[]),
    ("empty Rust", SELF, &[NO_MORE]),
    ("--version", ALUDEL, &["--version"]),
    (
        "balance",
        ALUDEL,
        &["balance", "KMnO4 + HCl -> KCl + MnCl2 + Cl2 + H2O"],
    ),
    ("mass", ALUDEL, &["mass", "KAl(SO4)2·12H2O"]),
    (
        "heat",
        ALUDEL,
        &["heat", "Al + OH^- + H2O -> [Al(OH)4]^- + H2"],
    ),
    ("run alum", ALUDEL, &["run", "scripts/alum.route"]),
];

fn main() {
    // The benchmark is also the empty Rust program that it compares with.
    if std::env::args().nth(1).as_deref() == Some(NO_MORE) {
        return;
    }
    ratios();
    divan::main();
}

fn start(program: &str, arguments: &[&str]) {
    let own = std::env::current_exe().expect("a running program has a file");
    let program = if program == SELF {
        own.as_path()
    } else {
        Path::new(program)
    };
    let ended = Command::new(program)
        .args(arguments)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    assert!(
        ended.is_ok_and(|status| status.success()),
        "{program:?} {arguments:?}"
    );
}

/// The cases that can run here: `/bin/true` is not on every system.
fn cases() -> impl Iterator<Item = (&'static str, &'static str, &'static [&'static str])> {
    let (there, missing): (Vec<_>, Vec<_>) = CASES
        .into_iter()
        .partition(|(_, program, _)| *program == SELF || Path::new(program).exists());
    for (name, program, _) in missing {
        println!("{name} is left out: there is no {program}");
    }
    there.into_iter()
}

fn ratios() {
    const TURNS: usize = 200;
    let cases: Vec<_> = cases().collect();
    let mut times: Vec<Vec<Duration>> = vec![Vec::with_capacity(TURNS); cases.len()];
    for _ in 0..TURNS {
        for ((_, program, arguments), times) in cases.iter().zip(&mut times) {
            let begun = Instant::now();
            start(program, arguments);
            times.push(begun.elapsed());
        }
    }
    let median = |times: &mut Vec<Duration>| {
        times.sort_unstable();
        times[times.len() / 2].as_secs_f64() * 1e3
    };
    let medians: Vec<f64> = times.iter_mut().map(median).collect();
    // On a busy machine the least of many turns tells what the work itself takes.
    let least: Vec<f64> = times.iter().map(|t| t[0].as_secs_f64() * 1e3).collect();
    println!("{TURNS} turns: median and least, each also as times nothing");
    for (at, (name, ..)) in cases.iter().enumerate() {
        println!(
            "{name:<10} {:6.2} ms {:5.2}   {:6.2} ms {:5.2}",
            medians[at],
            medians[at] / medians[0],
            least[at],
            least[at] / least[0]
        );
    }
    println!();
}

#[divan::bench(args = cases().map(|(name, ..)| name).collect::<Vec<_>>(), sample_count = 100)]
fn command(name: &str) {
    let (_, program, arguments) = CASES
        .into_iter()
        .find(|(known, ..)| *known == name)
        .expect("the names come from the same list");
    start(program, arguments);
}
