//! `aludel solution`

use std::io;

use super::arguments::Solution;
use super::route::{ledger_status, tell_faults};
use super::{Doors, Status, data, refuse_unread};
use crate::diagnostic::{Message, route_fact};
use crate::matter::Notation;
use crate::report::{self, Style};
use crate::route::{self, ledger::Level};
use crate::text::Source;

pub(super) fn solution(asked: &Solution, doors: &mut Doors<'_>) -> io::Result<Status> {
    let store = match data::store(asked.own.data.as_deref(), doors)? {
        Ok(store) => store,
        Err(status) => return Ok(status),
    };
    let words = asked.words.join(" ");
    if words.contains(['\n', '\r', '#', '"']) {
        let message = Message::error("malformed-argument", "this is more than one question")
            .hint("write one line, without `#` and quotes");
        return refuse_unread(&message, doors);
    }
    let source = Source::new("arguments", format!("solution {}\n", words.trim()));
    let outcome = route::follow(&source, &store, &[]);
    if !outcome.faults.is_empty() {
        return tell_faults(&outcome.faults, &source, doors);
    }
    let ledger = &outcome.ledger;
    let status = doors.know(match ledger.solutions.is_empty() {
        true => Status::Wrong,
        false => ledger_status(ledger),
    });
    for answer in &ledger.solutions {
        write!(
            doors.output,
            "{}",
            report::solution(answer, Style::default())
        )?;
    }
    let remarks = ledger.remarks.iter();
    let messages: Vec<Message> = remarks
        .filter(|remark| remark.level > Level::Note)
        .map(|remark| {
            route_fact(&remark.fact, remark.level, Notation::Printed).at_first(remark.span)
        })
        .collect();
    if !messages.is_empty() {
        doors.tell_all(&messages, &source)?;
    }
    Ok(status)
}
