//! `aludel scale`

use std::io;

use super::arguments::Scale;
use super::route::{ledger_status, style, tell_faults};
use super::{Doors, Status, data, input, refuse_unread};
use crate::diagnostic::{Message, route_remark};
use crate::matter::Notation;
use crate::report::{self, ScaleJson};
use crate::route::syntax::{Statement, Tree};
use crate::route::{Fault, check, parse, plan};
use crate::text::Source;

pub(super) fn scale(asked: &Scale, doors: &mut Doors<'_>) -> io::Result<Status> {
    let store = match data::store(asked.own.data.as_deref(), doors)? {
        Ok(store) => store,
        Err(status) => return Ok(status),
    };
    let equation = match input::argument("equation", &asked.equation.equation, doors.input) {
        Ok(source) => source.text().trim().to_owned(),
        Err(message) => return refuse_unread(&message, doors),
    };
    let source = match script(&equation, asked) {
        Ok(source) => source,
        Err(message) => return refuse_unread(&message, doors),
    };
    let (mut tree, unparsed) = parse::parse(&source);
    label_bottles(&mut tree, &asked.bottle);
    let (program, unsound) = check::check(&tree, &source, &store);
    let faults = unparsed.into_iter().map(Fault::Syntax);
    let faults: Vec<Fault> = faults
        .chain(unsound.into_iter().map(Fault::Check))
        .collect();
    if !faults.is_empty() {
        return tell_faults(&faults, &source, doors);
    }
    let ledger = plan::once(&program);
    let status = doors.know(match ledger.scales.is_empty() {
        true => Status::Wrong,
        false => ledger_status(&ledger),
    });
    for table in &ledger.scales {
        let answer = match asked.json {
            true => serde_json::to_string(&ScaleJson::of(table))? + "\n",
            false => report::scale(table, style(asked.ascii)),
        };
        write!(doors.output, "{answer}")?;
    }
    let messages = ledger
        .remarks
        .iter()
        .map(|remark| route_remark(remark, Notation::Printed));
    let messages: Vec<Message> = messages.collect();
    if !messages.is_empty() {
        doors.tell_all(&messages, &source)?;
    }
    Ok(status)
}

/// The same question as a script, one line an argument, so that messages have lines to point at.
fn script(equation: &str, asked: &Scale) -> Result<Source, Message> {
    let all = asked.bottle.iter().chain([&asked.to]).map(String::as_str);
    for text in all.chain([equation]) {
        if text.contains(['\n', '\r', '#', '"']) {
            return Err(Message::error(
                "malformed-argument",
                format!("`{text}` is more than one equation, amount or label"),
            )
            .hint("write one line, without `#` and quotes"));
        }
    }
    let bottles = asked.bottle.iter().enumerate();
    let mut text: String = bottles
        .map(|(index, label)| format!("bottle b{index}: {}\n", label.trim()))
        .collect();
    text += &format!("scale {equation} to {}\n", asked.to.trim());
    Ok(Source::new("arguments", text))
}

/// A bottle of the command line is called by its label.
fn label_bottles(tree: &mut Tree, labels: &[String]) {
    for statement in &mut tree.statements {
        if let Statement::Bottle { name, .. } = &mut statement.node
            && let Some(label) = name
                .node
                .strip_prefix('b')
                .and_then(|index| labels.get(index.parse::<usize>().ok()?))
        {
            name.node = label.trim().to_owned();
        }
    }
}
