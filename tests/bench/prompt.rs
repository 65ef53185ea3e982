//! How long two thousand lines take at the prompt, as a pipe brings them.
//!
//! `cargo bench --bench prompt`; docs/performance.md quotes the figures.

use std::fmt::Write;

use aludel::shell::{Doors, Status, talk};

const LINES: usize = 2_000;

fn main() {
    divan::main();
}

fn typed(line: &str) -> String {
    let mut text = String::from("vessel cup: 5 L\n");
    for number in 0..LINES {
        writeln!(text, "{}", line.replace('#', &number.to_string())).expect("memory takes it");
    }
    text
}

#[divan::bench(args = ["let x# = # g", "charge cup: 1 mg NaCl", "vessel v#", "show mass(cup)"], sample_count = 5)]
fn two_thousand_lines(bencher: divan::Bencher, line: &str) {
    let text = typed(line);
    bencher.bench(|| {
        let (mut output, mut messages) = (Vec::new(), Vec::new());
        let mut doors = Doors {
            input: &mut text.as_bytes(),
            output: &mut output,
            messages: &mut messages,
            at_terminal: false,
            colour: false,
            known: Status::Well,
        };
        talk(&mut doors).expect("memory takes it");
        output.len()
    });
}
