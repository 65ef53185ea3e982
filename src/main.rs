//! The binary: hands the arguments to [`aludel::cli`] and exits with its status.

use std::io::{IsTerminal, stderr, stdin, stdout};
use std::process::ExitCode;

use aludel::cli::{Doors, Status, run};

#[expect(clippy::disallowed_methods, reason = "this is the door")]
fn main() -> ExitCode {
    let input = stdin();
    let at_terminal = input.is_terminal() && stdout().is_terminal();
    let colour = anstream::AutoStream::choice(&stderr()) != anstream::ColorChoice::Never;
    let mut doors = Doors {
        input: &mut input.lock(),
        output: &mut std::io::BufWriter::new(stdout().lock()),
        // Not locked: a run on several cores tells from any of them how far it is.
        messages: &mut stderr(),
        at_terminal,
        colour,
        known: Status::Well,
    };
    run(std::env::args_os(), &mut doors).into()
}
