//! `aludel balance`

use std::io;

use serde::Serialize;

use super::arguments::Balance;
use super::{Doors, Status, input, refuse_unread};
use crate::diagnostic::Message;
use crate::matter::Notation;
use crate::report::{self, BalanceAnswerJson, BalanceJson, FaultJson, RefusedJson};
use crate::shell::{Balanced, balanced};
use crate::text::Source;

pub(super) fn balance(asked: &Balance, doors: &mut Doors<'_>) -> io::Result<Status> {
    let source = match input::argument("equation", &asked.equation.equation, doors.input) {
        Ok(source) => source,
        Err(message) => {
            doors.know(Status::Wrong);
            if asked.json {
                print_refusal("", &message, doors)?;
            }
            return refuse_unread(&message, doors);
        }
    };
    match balanced(source.text()) {
        Ok(found) => print(&found, &source, asked, doors),
        Err((message, status)) => {
            doors.know(status);
            if asked.json {
                print_refusal(source.text().trim(), &message, doors)?;
            }
            doors.tell(&message, &source)?;
            Ok(status)
        }
    }
}

fn print(
    found: &Balanced,
    source: &Source,
    asked: &Balance,
    doors: &mut Doors<'_>,
) -> io::Result<Status> {
    let notation = if asked.ascii {
        Notation::Ascii
    } else {
        Notation::Printed
    };
    if asked.json {
        let answer = BalanceJson::of(&found.balance, &found.skeleton);
        print_json(&BalanceAnswerJson::Balanced(answer), doors)?;
    } else {
        write!(
            doors.output,
            "{}",
            report::balance(&found.balance, notation)
        )?;
    }
    if let Some(reaction) = found.balance.reaction() {
        let further = match (asked.working, asked.ions) {
            (true, _) => report::explained(&found.skeleton, reaction, notation),
            (false, true) => report::ions(reaction, notation),
            (false, false) => String::new(),
        };
        write!(doors.output, "{further}")?;
    }
    if !found.messages.is_empty() {
        doors.tell_all(&found.messages, source)?;
    }
    Ok(Status::Well)
}

fn print_refusal(equation: &str, message: &Message, doors: &mut Doors<'_>) -> io::Result<()> {
    let error = FaultJson::of(message);
    let refused = RefusedJson { equation, error };
    print_json(&BalanceAnswerJson::Refused(refused), doors)
}

pub(super) fn print_json(object: &impl Serialize, doors: &mut Doors<'_>) -> io::Result<()> {
    serde_json::to_writer(&mut *doors.output, object)?;
    writeln!(doors.output)
}
