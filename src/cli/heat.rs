//! `aludel heat`

use std::io;

use super::arguments::Heat;
use super::balance::print_json;
use super::{Doors, Status, data, input, refuse, refuse_unread};
use crate::data::Store;
use crate::diagnostic::{Message, formula_fault, no_energetics, no_heat, route_fault, undecided};
use crate::equation::Stated;
use crate::figure::Spread;
use crate::matter::Species;
use crate::number::{Dimension, Number, standard_temperature};
use crate::report::{self, HeatJson};
use crate::route::{self, Fault, parse};
use crate::shell::{Balanced, balanced};
use crate::text::Source;
use crate::thermo::{self, Asked, Energetics};

pub(super) fn heat(asked: &Heat, doors: &mut Doors<'_>) -> io::Result<Status> {
    let store = match data::store(asked.own.data.as_deref(), doors)? {
        Ok(store) => store,
        Err(status) => return Ok(status),
    };
    let conditions = match conditions(asked) {
        Ok(conditions) => conditions,
        Err((message, source)) => return refuse(&message, &source, doors),
    };
    let source = match input::argument("equation", &asked.equation.equation, doors.input) {
        Ok(source) => source,
        Err(message) => return refuse_unread(&message, doors),
    };
    match balanced(source.text()) {
        Ok(found) => answer(&found, &source, asked, &store, &conditions, doors),
        Err((message, status)) => {
            doors.know(status);
            doors.tell(&message, &source)?;
            Ok(status)
        }
    }
}

/// Temperature in K and activities.
type Conditions = (Number, Vec<(Species, Number)>);

fn conditions(asked: &Heat) -> Result<Conditions, (Message, Source)> {
    let kelvin = match &asked.at {
        Some(text) => temperature(text)?,
        None => Number::exact(standard_temperature()),
    };
    let activities = asked.activity.iter().map(|text| activity(text));
    Ok((kelvin, activities.collect::<Result<_, _>>()?))
}

/// `500 K`, `-5 °C`
pub(super) fn temperature(text: &str) -> Result<Number, (Message, Source)> {
    let source = Source::new("--at", text);
    let bare = text.trim_start().trim_start_matches(['-', '−']);
    let offset = text.len() - bare.len();
    let worded = |fault: Fault| (route_fault(&fault).shifted(offset), source.clone());
    let mut literal = parse::parse_quantity(bare).map_err(|fault| worded(Fault::Syntax(fault)))?;
    if offset > text.len() - text.trim_start().len() {
        literal.node.number = -literal.node.number;
    }
    let quantity = route::quantity(&literal).map_err(|fault| worded(Fault::Check(fault)))?;
    if quantity.dimension() == Dimension::TEMPERATURE {
        return Ok(quantity.number().clone());
    }
    let message = Message::error("wrong-dimension", format!("`{text}` is no temperature"))
        .hint("write it in K or °C: --at \"500 K\"");
    Err((message, source))
}

/// `Cu^2+ = 0.01`
fn activity(text: &str) -> Result<(Species, Number), (Message, Source)> {
    let source = Source::new("--activity", text);
    let malformed = || {
        Message::error("malformed-setting", format!("`{text}` sets no activity"))
            .hint("write a species, `=` and a plain number: --activity 'Cu^2+ = 0.01'")
    };
    let Some((species, value)) = text.split_once('=') else {
        return Err((malformed(), source));
    };
    let species =
        Species::parse(species.trim()).map_err(|fault| (formula_fault(&fault), source.clone()))?;
    let value = parse::parse_quantity(value.trim()).ok();
    let value = value.and_then(|literal| route::quantity(&literal).ok());
    match value.filter(|value| value.dimension() == Dimension::NONE) {
        Some(value) => Ok((species, value.number().clone())),
        None => Err((malformed(), source)),
    }
}

fn answer(
    found: &Balanced,
    source: &Source,
    asked: &Heat,
    store: &Store,
    (kelvin, activities): &Conditions,
    doors: &mut Doors<'_>,
) -> io::Result<Status> {
    let Some(equation) = Stated::of(&found.skeleton, &found.balance) else {
        let status = doors.know(Status::No);
        doors.tell(&undecided(&found.balance, &found.skeleton), source)?;
        return Ok(status);
    };
    let question = Asked {
        skeleton: &found.skeleton,
        equation,
        kelvin: kelvin.clone(),
        activities,
    };
    match thermo::energetics(store, &question) {
        Ok(energetics) => told(&energetics, found, source, asked, doors),
        Err(fault) => {
            let message = no_energetics(&fault, &found.skeleton);
            refuse(&message, source, doors)
        }
    }
}

fn told(
    energetics: &Energetics,
    found: &Balanced,
    source: &Source,
    asked: &Heat,
    doors: &mut Doors<'_>,
) -> io::Result<Status> {
    let missing = energetics.at.enthalpy.as_ref().err();
    let problem = missing.map(|missing| no_heat(missing, &energetics.data, &found.skeleton));
    let status = doors.know(match problem {
        Some(_) => Status::No,
        None => Status::Well,
    });
    let spread = if asked.concise {
        Spread::Concise
    } else {
        Spread::PlusMinus
    };
    if asked.json {
        print_json(&HeatJson::of(energetics), doors)?;
    } else if problem.is_none() || energetics.at.gibbs.is_ok() {
        write!(doors.output, "{}", report::heat(energetics, spread))?;
    }
    let messages: Vec<Message> = found
        .messages
        .iter()
        .filter(|message| message.kind != "several-balances")
        .cloned()
        .chain(problem)
        .collect();
    if !messages.is_empty() {
        doors.tell_all(&messages, source)?;
    }
    Ok(status)
}
