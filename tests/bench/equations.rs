//! How many equations a second are answered: read, parsed, balanced, verified and printed.
//!
//! `cargo bench --bench equations` prints rates and ratios first, each the best of several turns, and then the times of
//! the large cases. docs/performance.md quotes them.

#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "a benchmark looks at the clock, reads its files and prints"
)]

use std::time::Instant;

use aludel::equation::{Side, balance, nullspace, parse_equation, quick};
use aludel::matter::Notation;
use aludel::shell::{answer_line, run_batch};

/// The corpora with one balance each that come from open data.
const OPEN_DATA: [&str; 3] = ["modelseed_sample", "combustion", "burnt_compounds"];
/// Lines of the large text.
const LINES: usize = 200_000;
const TURNS: usize = 5;

fn main() {
    rates();
    divan::main();
}

/// A small generator (xorshift) with a fixed seed: the same lines on every machine.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % below as u64) as usize
    }
}

fn collected() -> Vec<String> {
    let of = |name: &str| {
        let path = format!(
            "{}/tests/corpora/equations/{name}.tsv",
            env!("CARGO_MANIFEST_DIR")
        );
        let table = std::fs::read_to_string(path).expect("the corpora belong to the project");
        let lines = table.lines().skip(1);
        lines
            .filter_map(|line| line.split('\t').nth(1).map(str::to_owned))
            .collect::<Vec<_>>()
    };
    OPEN_DATA.into_iter().flat_map(of).collect()
}

/// Distinct equations: those of the open data with element symbols exchanged at random.
fn lines() -> Vec<String> {
    const SYMBOLS: [&str; 24] = [
        "H", "C", "N", "O", "F", "Na", "Mg", "Al", "Si", "P", "S", "Cl", "K", "Ca", "Fe", "Cu",
        "Zn", "Br", "Ag", "I", "Ba", "Pb", "W", "U",
    ];
    let collected = collected();
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    let mut known = std::collections::HashSet::new();
    let mut lines = Vec::with_capacity(LINES);
    while lines.len() < LINES {
        let mut symbols = SYMBOLS;
        for at in (1..symbols.len()).rev() {
            symbols.swap(at, dice.roll(at + 1));
        }
        let text = &collected[dice.roll(collected.len())];
        let exchanged = exchanged(text, &SYMBOLS, &symbols);
        if known.insert(exchanged.clone()) {
            lines.push(exchanged);
        }
    }
    lines
}

fn exchanged(text: &str, from: &[&str], to: &[&str]) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let length = if first.is_ascii_uppercase() {
            1 + rest[1..].bytes().take_while(u8::is_ascii_lowercase).count()
        } else {
            first.len_utf8()
        };
        let piece = &rest[..length];
        out += from
            .iter()
            .position(|symbol| *symbol == piece)
            .map_or(piece, |at| to[at]);
        rest = &rest[length..];
    }
    out
}

/// Lines a second, the best of a few turns.
fn rate(lines: usize, mut turn: impl FnMut()) -> f64 {
    let mut best = f64::INFINITY;
    for _ in 0..TURNS {
        let start = Instant::now();
        turn();
        best = best.min(start.elapsed().as_secs_f64());
    }
    lines as f64 / best
}

fn rates() {
    let lines = lines();
    let text = lines.join("\n");
    write_matrices(&lines);
    let quickly = lines.iter().filter(|line| quick(line).is_some()).count();
    println!(
        "{} distinct lines, {quickly} of them answered the quick way",
        lines.len()
    );
    let mut out = Vec::new();
    let one = rate(lines.len(), || {
        out.clear();
        for (number, line) in (1..).zip(&lines) {
            assert!(answer_line(line.as_bytes(), number, &mut out), "{line}");
        }
    });
    println!(
        "whole answers, one core       {one:>10.0} /s   {:.1} x 170,000 /s",
        one / 170_000.0
    );
    let print = |line: &String| {
        let skeleton = parse_equation(line).expect("quick lines are equations");
        skeleton.to_text(Notation::Printed)
    };
    let printed: Vec<String> = lines[..20_000].iter().map(print).collect();
    let long = rate(printed.len(), || {
        out.clear();
        for (number, line) in (1..).zip(&printed) {
            assert!(answer_line(line.as_bytes(), number, &mut out), "{line}");
        }
    });
    println!("the same the long way         {long:>10.0} /s");
    let grammar = rate(20_000, || {
        for line in &lines[..20_000] {
            let skeleton = parse_equation(line).expect("quick lines are equations");
            divan::black_box(balance(&skeleton).expect("and have a balance"));
        }
    });
    println!("by the grammar, without JSON  {grammar:>10.0} /s");
    let by = |threads: usize| {
        rate(lines.len(), || {
            let mut sink = std::io::sink();
            run_batch(&mut text.as_bytes(), &mut sink, threads, &mut |_| {})
                .expect("memory can be read");
        })
    };
    let (alone, two) = (by(1), by(2));
    println!("batch on one thread           {alone:>10.0} /s");
    println!(
        "batch on two threads          {two:>10.0} /s   {:.2} x one",
        two / alone
    );
}

/// With MATRICES=FILE, the composition matrices of the lines, one a line, for whoever wants to time null spaces alone.
fn write_matrices(lines: &[String]) {
    let Some(file) = std::env::var_os("MATRICES") else {
        return;
    };
    let text: String = lines
        .iter()
        .map(|line| format!("{:?}\n", matrix(line)))
        .collect();
    std::fs::write(file, text).expect("MATRICES names a file that can be written");
}

/// A row for each element and one for the charge; products count negative.
fn matrix(line: &str) -> Vec<Vec<i64>> {
    let skeleton = parse_equation(line).expect("quick lines are equations");
    let width = skeleton.terms().count();
    let mut rows: std::collections::BTreeMap<String, Vec<i64>> = std::collections::BTreeMap::new();
    for (column, (side, term)) in skeleton.terms().enumerate() {
        let sign = if side == Side::Left { 1 } else { -1 };
        let mut add = |row: &str, count: i64| {
            rows.entry(row.to_owned()).or_insert_with(|| vec![0; width])[column] = sign * count;
        };
        for (element, count) in &term.species.composition().atoms {
            add(
                element.symbol(),
                i64::try_from(*count).expect("counts here are small"),
            );
        }
        if term.species.charge() != 0 {
            add("charge", term.species.charge());
        }
    }
    rows.into_values().collect()
}

/// The null space of a random sparse matrix with five entries a row and a rank of one less than its size.
#[divan::bench(args = [50, 100, 200], sample_count = 5)]
fn sparse_nullspace(bencher: divan::Bencher<'_, '_>, size: usize) {
    let mut dice = Dice(size as u64 + 11);
    let mut rows = vec![vec![0i64; size]; size - 1];
    for (at, row) in rows.iter_mut().enumerate() {
        row[at] = 1 + dice.roll(5) as i64;
        for _ in 0..4 {
            row[dice.roll(size)] = dice.roll(11) as i64 - 5;
        }
    }
    bencher.bench_local(|| nullspace(&rows));
}

/// An equation whose matrix is a random sparse one, `size` square with a nullspace of dimension one: species are chains
/// over made-up isotopes of composition, so each formula has five elements of the first hundred.
#[divan::bench(args = [20, 50, 90])]
fn sparse(bencher: divan::Bencher<'_, '_>, size: usize) {
    let text = sparse_equation(size);
    bencher.bench(|| balance(&parse_equation(&text).expect("a made equation can be read")));
}

fn sparse_equation(size: usize) -> String {
    let symbols = symbols();
    let mut dice = Dice(size as u64 + 7);
    let mut left = Vec::new();
    let mut totals = vec![0usize; size];
    for species in 0..size {
        let mut counts = std::collections::BTreeMap::new();
        // The element of its own makes the rank full.
        counts.insert(species, 1 + dice.roll(4));
        for _ in 0..4 {
            counts.insert(dice.roll(size), 1 + dice.roll(4));
        }
        let times = 1 + dice.roll(5);
        for (element, count) in &counts {
            totals[*element] += count * times;
        }
        left.push(formula(&counts, &symbols));
    }
    let all: std::collections::BTreeMap<usize, usize> = (0..size).map(|e| (e, totals[e])).collect();
    format!("{} -> {}", left.join(" + "), formula(&all, &symbols))
}

fn formula(counts: &std::collections::BTreeMap<usize, usize>, symbols: &[String]) -> String {
    counts
        .iter()
        .map(|(element, n)| format!("{}{n}", symbols[*element]))
        .collect()
}

fn symbols() -> Vec<String> {
    let letters = 'A'..='Z';
    let singles = letters.clone().map(String::from);
    let pairs = letters.flat_map(|a| ('a'..='z').map(move |b| format!("{a}{b}")));
    singles
        .chain(pairs)
        .filter(|s| aludel::matter::Element::of_symbol(s).is_some())
        .collect()
}

/// The longest equation of the teaching literature here (R. Stout, J. Chem. Educ. 72 (1995) 1125).
#[divan::bench]
fn textbook_longest() {
    let text =
        "[Cr(N2H4CO)6]4[Cr(CN)6]3 + KMnO4 + H2SO4 -> K2Cr2O7 + MnSO4 + CO2 + KNO3 + K2SO4 + H2O";
    let skeleton = parse_equation(text).expect("it can be read");
    divan::black_box(balance(&skeleton).expect("it has a balance"));
}
