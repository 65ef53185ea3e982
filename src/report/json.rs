//! A ledger as JSON. The keys are a contract, described in docs/json.md; figures are numbers in the unit their key names,
//! unrounded, and null where they are not known.

mod heat;
mod object;
mod operation;
mod solution;

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::{Value, json};

use self::object::{Object, list};
use self::operation::operation;
use super::caution;
use super::document::Words;
use super::heat_json::HeatJson;
use super::label;
use super::sampling;
use crate::data;
use crate::diagnostic;
use crate::figure;
use crate::matter::Notation;
use crate::number::Quantity;
use crate::route::ledger::*;
use crate::text::Span;

/// The object of a whole route.
#[derive(Debug, Serialize)]
pub struct RouteJson {
    title: Option<String>,
    ambient: Value,
    cautions: Vec<Value>,
    measures: Vec<Value>,
    accepted: Vec<String>,
    refused: bool,
    measure_out: Vec<Value>,
    steps: Vec<StepJson>,
    vessels: Vec<Value>,
    yields: Vec<Value>,
    labels: Vec<Value>,
    shows: Vec<Value>,
    expectations: Vec<Value>,
    scales: Vec<Value>,
    heats: Vec<HeatJson>,
    solutions: Vec<Value>,
    comparisons: Vec<Value>,
    found: Vec<Value>,
    sampling: Option<Value>,
    left: Vec<Value>,
    waste: Value,
    remarks: Vec<Value>,
    sources: Vec<String>,
    source_keys: BTreeMap<String, String>,
}

#[derive(Debug, Serialize)]
struct StepJson {
    title: Option<String>,
    operations: Vec<Value>,
    vessels: Vec<Value>,
    heat: Value,
}

impl RouteJson {
    /// Everything a program may want to know about a route.
    pub fn of(ledger: &Ledger) -> Self {
        let steps = ledger.steps.iter().map(|record| step(record, ledger));
        let keyed = ledger.sources.iter();
        RouteJson {
            title: ledger.title.clone(),
            ambient: Object::default()
                .celsius("temperature_C", &ledger.ambient.temperature)
                .figure("pressure_kPa", &ledger.ambient.pressure)
                .done(),
            cautions: caution::cautions_json(ledger),
            measures: caution::measures_json(ledger),
            accepted: ledger.accepted.clone(),
            refused: ledger.refused,
            measure_out: list(&ledger.draws, draw),
            steps: steps.collect(),
            vessels: list(&ledger.vessels, vessel),
            yields: list(&ledger.yields, product),
            labels: list(&ledger.yields, |record| labelled(record, ledger)),
            shows: list(&ledger.shows, |one| shown(one, ledger)),
            expectations: list(&ledger.expectations, |one| expectation(one, ledger)),
            scales: list(&ledger.scales, scale),
            heats: ledger.energetics.iter().map(HeatJson::of).collect(),
            solutions: list(&ledger.solutions, solution::solution),
            comparisons: list(&ledger.comparisons, comparison),
            found: list(&ledger.findings, finding),
            sampling: match &ledger.sampling {
                Some(Ok(found)) => Some(sampling(found)),
                _ => None,
            },
            left: list(&ledger.outlets, outlet),
            waste: caution::waste_json(ledger),
            remarks: list(&ledger.remarks, remark),
            sources: ledger.sources.iter().cloned().collect(),
            source_keys: keyed
                .map(|citation| (key(citation), citation.clone()))
                .collect(),
        }
    }
}

/// The short name of a publication; what has none, such as data of the route's own, is its own name.
fn key(citation: &str) -> String {
    data::code_of(citation).unwrap_or(citation).to_owned()
}

/// The keys of the sources that the statement at this place rests on.
fn source_keys(ledger: &Ledger, place: Span) -> Vec<String> {
    // Statements do not overlap, so the last that begins no later is the only one that can hold the place.
    let cited = ledger.cited.range(..=Span::new(place.start, usize::MAX));
    let statement = cited.last().filter(|(span, _)| place.end <= span.end);
    let mut keys: Vec<String> = statement
        .into_iter()
        .flat_map(|(_, sources)| sources)
        .map(|source| key(source))
        .collect();
    keys.sort_unstable();
    keys.dedup();
    keys
}

fn step(step: &StepRecord, ledger: &Ledger) -> StepJson {
    StepJson {
        title: step.title.clone(),
        operations: list(&step.operations, |record| operation(record, ledger)),
        vessels: list(&step.after, vessel),
        heat: heat::of_step(&step.heat),
    }
}

fn vessel(state: &VesselState) -> Value {
    Object::default()
        .with("name", &state.name)
        .with("contents", list(&state.contents, content))
        .celsius("temperature_C", &state.temperature)
        .perhaps("volume_mL", state.volume.as_ref())
        .figure("mass_g", &state.mass)
        .perhaps("capacity_mL", state.capacity.as_ref())
        .done()
}

fn content(content: &Content) -> Value {
    Object::default()
        .with("species", content.species.plain())
        .figure("mol", &content.moles)
        .figure("g", &content.grams)
        .done()
}

fn outlet(outlet: &Outlet) -> Value {
    json!({ "account": outlet.account, "contents": list(&outlet.contents, content) })
}

fn draw(draw: &Draw) -> Value {
    Object::default()
        .with("bottle", &draw.bottle)
        .with("substance", draw.substance.plain())
        .with("strength", &draw.strength)
        .with("vessel", &draw.vessel)
        .figure("mol", &draw.moles)
        .figure("g", &draw.grams)
        .perhaps("mL", draw.millilitres.as_ref())
        .done()
}

fn product(record: &YieldRecord) -> Value {
    Object::default()
        .with("vessel", &record.vessel)
        .with("product", record.product.plain())
        .with("basis", record.basis.plain())
        .figure("theoretical_mol", &record.theoretical.0)
        .figure("theoretical_g", &record.theoretical.1)
        .figure("found_mol", &record.found.0)
        .figure("found_g", &record.found.1)
        .perhaps("fraction", record.fraction.as_ref())
        .with("weighed", record.weighed.is_some())
        .done()
}

fn labelled(record: &YieldRecord, ledger: &Ledger) -> Value {
    let label = label::label(Words(Notation::Plain), record, ledger);
    let statement = |(code, text): &(&str, &str)| json!({ "code": code, "text": text });
    json!({
        "name": label.name,
        "formula": label.formula,
        "strength": label.strength,
        "amount": label.amount,
        "signal": label.signal,
        "statements": list(&label.statements, statement),
        "remarks": label.remarks,
    })
}

/// The table of a whole equation.
pub fn scale(table: &ScaleTable) -> Value {
    Object::default()
        .with("equation", table.reaction.to_text(Notation::Plain))
        .with("basis", table.basis.plain())
        .with("rows", list(&table.rows, scale_row))
        .perhaps("heat_kJ", table.heat.known())
        .done()
}

fn scale_row(row: &ScaleRow) -> Value {
    let bottle = row.bottle.as_ref();
    Object::default()
        .with("species", row.species.plain())
        .with("reactant", row.reactant)
        .figure("mol", &row.moles)
        .figure("g", &row.grams)
        .perhaps("gas_L", row.litres.as_ref())
        .with("bottle", bottle.map(|(name, ..)| name))
        .perhaps(
            "bottle_mL",
            bottle.and_then(|(_, volume, _)| volume.as_ref()),
        )
        .perhaps("bottle_g", bottle.map(|(.., grams)| grams))
        .done()
}

fn comparison(comparison: &Comparison) -> Value {
    let run = |run: &ComparisonRow| {
        let values = run.values.iter().cloned().map(Answer::Quantity);
        json!({
            "values": values.map(|value| answer(&value)).collect::<Vec<_>>(),
            "answers": list(&run.answers, answer),
            "faults": list(&run.faults, remark),
        })
    };
    json!({
        "varied": comparison.varied,
        "shown": comparison.shown,
        "rows": list(&comparison.rows, run),
    })
}

fn finding(finding: &Finding) -> Value {
    let unknown = |(name, value): &(String, Quantity)| {
        let found = Object::from(answer(&Answer::Quantity(value.clone())));
        found.with("name", name).done()
    };
    let condition =
        |(text, left): &(String, Answer)| Object::from(answer(left)).with("condition", text).done();
    json!({
        "unknowns": list(&finding.unknowns, unknown),
        "conditions": list(&finding.conditions, condition),
        "runs": finding.runs,
        "met": finding.met,
    })
}

fn sampling(found: &Sampling) -> Value {
    let faulty =
        |(count, fault): &(usize, Remark)| Object::from(remark(fault)).with("runs", count).done();
    json!({
        "runs": found.asked.count,
        "seed": found.asked.seed,
        "failed": found.failed,
        "faults": list(&found.faults, faulty),
        "figures": list(&found.figures, sampling::figure_json),
    })
}

fn shown(shown: &Shown, ledger: &Ledger) -> Value {
    Object::from(answer(&shown.answer))
        .with("expression", &shown.expression)
        .with("sources", source_keys(ledger, shown.span))
        .done()
}

fn expectation(expectation: &Expectation, ledger: &Ledger) -> Value {
    Object::from(answer(&expectation.value))
        .with("expression", &expectation.expression)
        .with("wanted", answer(&expectation.wanted))
        .with("met", expectation.met)
        .with("sources", source_keys(ledger, expectation.span))
        .done()
}

/// `value`, `unit` and, if there is one, `uncertainty`: one standard uncertainty in the same unit.
fn answer(answer: &Answer) -> Value {
    match answer {
        Answer::Quantity(quantity) => {
            let unit = figure::unit_of(quantity);
            let number = figure::in_unit(quantity, unit).unwrap_or(quantity.number().clone());
            let object = Object::default()
                .with("value", number.to_f64())
                .with("unit", unit.map_or(String::new(), |unit| unit.symbol()));
            match number.is_exact() {
                true => object.done(),
                false => object
                    .with("uncertainty", number.standard_uncertainty())
                    .done(),
            }
        }
        Answer::Budget(shares) => {
            let share = |(input, share): &(String, f64)| json!({ "input": input, "share": share });
            json!({ "value": list(shares, share), "unit": null })
        }
        Answer::Unknown => json!({ "value": null, "unit": null }),
    }
}

fn remark(remark: &Remark) -> Value {
    let message = diagnostic::route_fact(&remark.fact, remark.weight, Notation::Plain);
    json!({ "weight": weight_word(remark.weight), "kind": message.kind, "message": message.title })
}

fn weight_word(weight: Weight) -> &'static str {
    match weight {
        Weight::Note => "note",
        Weight::Warning => "warning",
        Weight::Fault => "fault",
    }
}
