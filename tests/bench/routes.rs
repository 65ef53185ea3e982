//! How long a route takes once it is read and checked: what `vary` and the Monte Carlo check repeat thousands of times.
//!
//! `cargo bench --bench routes`; docs/performance.md quotes the figures.

#![allow(
    clippy::disallowed_methods,
    reason = "a benchmark reads the shipped routes"
)]

use aludel::data::Store;
use aludel::route::ledger::Samples;
use aludel::route::{Program, plan, prepare};
use aludel::text::Source;

fn main() {
    divan::main();
}

fn program(name: &str) -> Program {
    let path = format!("{}/scripts/{name}.route", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).expect("a shipped route");
    let (program, faults) = prepare(&Source::new(path, text), &Store::default(), &[]);
    assert!(faults.is_empty(), "{name}: {faults:?}");
    program
}

/// One run of a checked program, tables already read.
#[divan::bench(args = ["alum", "malachite", "zinc"])]
fn run_again(bencher: divan::Bencher, name: &str) {
    let program = program(name);
    bencher.bench(|| plan::run(&program, None, &|_, _| {}));
}

/// A thousand runs of the alum route by `vary`, on all cores.
#[divan::bench(sample_count = 5)]
fn vary_a_thousand_times(bencher: divan::Bencher) {
    let path = format!("{}/scripts/alum.route", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).expect("a shipped route")
        + "vary scrap: 0.5 g .. 1.499 g by 0.001 g show mass(crop)\n";
    let (program, faults) = prepare(&Source::new(path, text), &Store::default(), &[]);
    assert!(faults.is_empty(), "{faults:?}");
    bencher.bench(|| plan::run(&program, None, &|_, _| {}));
}

/// Reading and checking the text.
#[divan::bench(args = ["alum", "malachite", "zinc"])]
fn read_and_check(bencher: divan::Bencher, name: &str) {
    bencher.bench(|| program(name));
}

/// A thousand samples of the alum route, on all cores.
#[divan::bench(sample_count = 5)]
fn sample_a_thousand_times(bencher: divan::Bencher) {
    let program = program("alum");
    let samples = Some(Samples {
        count: 1000,
        seed: Samples::SEED,
    });
    bencher.bench(|| plan::run(&program, samples, &|_, _| {}));
}
