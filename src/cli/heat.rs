//! `aludel heat`

use std::io;

use super::arguments::Heat;
use super::balance::print_json;
use super::{Doors, Status, input, refuse, refuse_unread};
use crate::data::Store;
use crate::diagnostic::{Message, no_heat, undecided};
use crate::report::{self, HeatJson};
use crate::shell::{Balanced, balanced};
use crate::text::Source;
use crate::thermo;

pub(super) fn heat(asked: &Heat, doors: &mut Doors<'_>) -> io::Result<Status> {
    let source = match input::argument("equation", &asked.equation.equation, doors.input) {
        Ok(source) => source,
        Err(message) => return refuse_unread(&message, doors),
    };
    match balanced(source.text()) {
        Ok(found) => answer(&found, &source, asked, doors),
        Err((message, status)) => refuse(&message, &source, doors).map(|_| status),
    }
}

fn answer(
    found: &Balanced,
    source: &Source,
    asked: &Heat,
    doors: &mut Doors<'_>,
) -> io::Result<Status> {
    let Some(reaction) = found.balance.reaction() else {
        doors.tell(&undecided(&found.balance, &found.skeleton), source)?;
        return Ok(Status::No);
    };
    let data = thermo::reaction(&Store::default(), &reaction.signed());
    let problem: Option<Message> = data
        .enthalpy()
        .err()
        .map(|missing| no_heat(&missing, &data, &found.skeleton));
    if asked.json {
        print_json(&HeatJson::of(reaction, &data), doors)?;
    } else if problem.is_none() {
        write!(doors.output, "{}", report::heat(reaction, &data))?;
    }
    let messages: Vec<Message> = found
        .messages
        .iter()
        .cloned()
        .chain(problem.clone())
        .collect();
    if !messages.is_empty() {
        doors.tell_all(&messages, source)?;
    }
    Ok(if problem.is_some() {
        Status::No
    } else {
        Status::Well
    })
}
