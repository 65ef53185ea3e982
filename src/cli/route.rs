//! `aludel check` and `aludel run`

use std::io;

use super::arguments::{Check, Format, Run};
use super::waiting::Waiting;
use super::{Doors, Status, data, input, output, refuse, refuse_unread};
use crate::data::Store;
use crate::diagnostic::{Message, bad_samples, not_sampled, route_fault, route_remark, unmet};
use crate::matter::Notation;
use crate::report::{self, RouteJson, Style};
use crate::route::ledger::{Level, Samples};
use crate::route::{self, Fault, Ledger, Setting, Surroundings, parse};
use crate::shell::{faults_status, file};
use crate::text::Source;

pub(super) fn check(asked: &Check, doors: &mut Doors<'_>) -> io::Result<Status> {
    let store = match data::store(asked.own.data.as_deref(), doors)? {
        Ok(store) => store,
        Err(status) => return Ok(status),
    };
    let source = match input::file(&asked.file, doors.input) {
        Ok(source) => source,
        Err(message) => return refuse_unread(&message, doors),
    };
    let bench = Surroundings {
        load: &file::beside,
        ..Surroundings::new(&store)
    };
    let (_, faults, source) = bench.prepare(&source);
    if faults.is_empty() {
        writeln!(doors.output, "{}: no fault found", source.name())?;
        return Ok(Status::Well);
    }
    tell_faults(&faults, &source, doors)
}

pub(super) fn run(asked: &Run, doors: &mut Doors<'_>) -> io::Result<Status> {
    let store = match data::store(asked.own.data.as_deref(), doors)? {
        Ok(store) => store,
        Err(status) => return Ok(status),
    };
    let settings: Result<Vec<_>, _> = asked.set.iter().map(|text| setting(text)).collect();
    let settings = match settings {
        Ok(settings) => settings,
        Err(told) => return refuse(&told.0, &told.1, doors),
    };
    let source = match input::file(&asked.file, doors.input) {
        Ok(source) => source,
        Err(message) => return refuse_unread(&message, doors),
    };
    let samples = match asked.samples.map(|count| samples(count, asked.seed)) {
        Some(Err(message)) => return refuse_unread(&message, doors),
        Some(Ok(samples)) => Some(samples),
        None => None,
    };
    // Before it runs, which may take long; and once more when all the files are known that it uses.
    let data = asked.own.data.as_deref();
    if let Err(message) = output::check(asked.file_for_sheet(), &source, data) {
        return refuse_unread(&message, doors);
    }
    let outcome = follow(&source, &store, &settings, samples, doors.at_terminal);
    let source = &outcome.source;
    if let Err(message) = output::check(asked.file_for_sheet(), source, data) {
        return refuse_unread(&message, doors);
    }
    if !outcome.faults.is_empty() {
        return tell_faults(&outcome.faults, source, doors);
    }
    if outcome.ledger.refused && asked.format != Format::Json {
        // A sheet would be a recipe up to the very step that must not be.
        return tell_ledger(&outcome.ledger, source, doors);
    }
    if let Some(Err(why)) = outcome.ledger.sampling
        && let Some(message) = not_sampled(why)
    {
        return refuse_unread(&message, doors);
    }
    let sheet = match written(asked, &outcome.ledger)? {
        Ok(sheet) => sheet,
        Err(message) => return refuse_unread(&message, doors),
    };
    let sheet = match explained(asked, sheet, &outcome.ledger, &store) {
        Ok(sheet) => sheet,
        Err(message) => return refuse_unread(&message, doors),
    };
    let status = doors.know(ledger_status(&outcome.ledger));
    match asked.file_for_sheet() {
        None => doors.output.write_all(sheet.as_bytes())?,
        Some(path) if status == Status::Wrong => {
            tell_ledger(&outcome.ledger, source, doors)?;
            return refuse_unread(&output::withheld(path), doors);
        }
        Some(path) => {
            if let Err(message) = output::file(path, &sheet) {
                return refuse_unread(&message, doors);
            }
        }
    }
    tell_ledger(&outcome.ledger, source, doors)
}

/// Runs a route; one that takes long shows at a terminal how far it is.
fn follow(
    source: &Source,
    store: &Store,
    settings: &[Setting],
    samples: Option<Samples>,
    at_terminal: bool,
) -> route::Outcome {
    let waiting = Waiting::new(at_terminal);
    let bench = Surroundings {
        settings,
        samples,
        load: &file::beside,
        progress: &|done, all| waiting.tell(done, all),
        ..Surroundings::new(store)
    };
    let outcome = bench.follow(source);
    waiting.done();
    outcome
}

/// The sheet in one of its forms.
fn written(asked: &Run, ledger: &Ledger) -> io::Result<Result<String, Message>> {
    Ok(Ok(match asked.format {
        Format::Text => report::sheet(ledger, style(asked.ascii)),
        Format::Csv => report::csv(ledger),
        Format::Json => serde_json::to_string(&RouteJson::of(ledger))? + "\n",
        Format::Markdown => report::markdown(ledger),
        Format::Html => report::html(ledger),
        Format::Svg => match report::svg(ledger) {
            Some(pictures) => pictures,
            None => {
                let title =
                    "there is nothing to draw: no temperature changes and no yield is asked for";
                let message = Message::error("no-picture", title);
                return Ok(Err(message.hint(
                    "add `yield VESSEL: PRODUCT on BASIS`, or print the sheet as text",
                )));
            }
        },
    }))
}

/// With `--explain` the sheet and how its figures came about; with `--explain=TEXT` only what mentions the text.
fn explained(
    asked: &Run,
    sheet: String,
    ledger: &Ledger,
    store: &Store,
) -> Result<String, Message> {
    let Some(about) = &asked.explain else {
        return Ok(sheet);
    };
    if asked.format != Format::Text {
        let title = "figures are explained beside a sheet of text";
        return Err(Message::error("explained-as-text", title).hint("leave `--format` out"));
    }
    if about.is_empty() {
        let told = report::explain(ledger, store, None).unwrap_or_default();
        return Ok(sheet + "\n" + &told);
    }
    report::explain(ledger, store, Some(about)).ok_or_else(|| {
        let title = format!("nothing that mentions `{about}` is reckoned in this route");
        Message::error("nothing-explained", title)
            .hint("`--explain` alone tells everything; then look for the figure")
    })
}

/// Printed as books do, or in ASCII alone.
pub(super) fn style(ascii: bool) -> Style {
    let notation = if ascii {
        Notation::Ascii
    } else {
        Notation::Printed
    };
    Style { notation }
}

/// Messages of faults found before anything ran.
pub(super) fn tell_faults(
    faults: &[Fault],
    source: &Source,
    doors: &mut Doors<'_>,
) -> io::Result<Status> {
    let status = doors.know(faults_status(faults));
    let messages: Vec<Message> = faults.iter().map(route_fault).collect();
    doors.tell_all(&messages, source)?;
    Ok(status)
}

/// What the sheet says already is not said again, but for what went wrong and so decides the status.
fn tell_ledger(ledger: &Ledger, source: &Source, doors: &mut Doors<'_>) -> io::Result<Status> {
    let status = doors.know(ledger_status(ledger));
    let faults = ledger
        .remarks
        .iter()
        .filter(|remark| remark.level == Level::Fault);
    let failed = faults.map(|remark| route_remark(remark, Notation::Printed));
    let missed = ledger.expectations.iter().filter(|one| !one.met).map(unmet);
    let messages: Vec<Message> = failed.chain(missed).collect();
    if !messages.is_empty() {
        doors.tell_all(&messages, source)?;
    }
    Ok(status)
}

/// An operation that could not be carried out is a fault of the input; what may not meet, and what was expected and did
/// not come, is the chemistry's no.
pub(super) fn ledger_status(ledger: &Ledger) -> Status {
    let faults = ledger
        .remarks
        .iter()
        .filter(|remark| remark.level == Level::Fault);
    let (refusals, wrong): (Vec<_>, Vec<_>) = faults.partition(|remark| remark.is_refusal());
    let no = ledger.refused || !refusals.is_empty() || ledger.expectations.iter().any(|e| !e.met);
    match (wrong.is_empty(), no) {
        (false, _) => Status::Wrong,
        (true, true) => Status::No,
        (true, false) => Status::Well,
    }
}

/// `--samples N --seed S`
fn samples(count: u64, seed: u64) -> Result<Samples, Message> {
    let fits = usize::try_from(count).ok();
    let fits = fits.filter(|count| (Samples::FEWEST..=Samples::MOST).contains(count));
    fits.map(|count| Samples { count, seed })
        .ok_or_else(|| bad_samples(count))
}

/// `NAME=VALUE`
fn setting(text: &str) -> Result<Setting, Box<(Message, Source)>> {
    let source = Source::new("--set", text);
    let Some((name, value)) = text.split_once('=') else {
        let message = Message::error("malformed-setting", format!("`{text}` sets nothing"))
            .hint("write a name, `=` and a quantity: --set scrap='2.00 g'");
        return Err(Box::new((message, source)));
    };
    let offset = name.len() + 1;
    let worded = |fault: Fault| Box::new((route_fault(&fault).shifted(offset), source.clone()));
    let literal = parse::parse_quantity(value).map_err(|fault| worded(Fault::Syntax(fault)))?;
    let quantity = route::quantity(&literal).map_err(|fault| worded(Fault::Check(fault)))?;
    Ok(Setting {
        name: name.trim().to_owned(),
        value: quantity,
        distribution: literal.node.distribution,
    })
}
